package steamleaf.app.driver.nau7802;

import com.pi4j.io.i2c.I2C;
import org.jspecify.annotations.Nullable;

/**
 * NAU7802 on a bridge: gain 128, ten conversions a second, excitation and reference from its own
 * regulator at 3.0 V.
 *
 * <p>Register addresses and bits: facts also found in the Linux driver for this chip; Source (not
 * checked): Nuvoton NAU7802 datasheet, register map, power-up sequence and calibration bits.
 *
 * <p>Nothing waits: {@link #read} takes the next step of the power-up sequence until conversions
 * run (four reads, at least 100 ms apart, so that the regulator has settled before the offset is
 * calibrated), then answers samples. Configuration is read in the same burst as the ready bit,
 * before each result.
 */
public final class Nau7802 {
    /** What one read of the chip came to. */
    public sealed interface Answer {

        /**
         * A new conversion.
         *
         * @param code 24-bit two's complement result
         */
        record Sample(int code) implements Answer {

            /**
             * Bridge output over its excitation, mV/V: code / 2^23 / gain · 1000, reference =
             * excitation.
             */
            public double millivoltsPerVolt() {
                return code * (1000.0 / (8_388_608.0 * GAIN));
            }
        }

        /**
         * The converter is at the end of its range: bridge broken, overloaded, or wired backwards.
         *
         * @param code 24-bit two's complement result
         */
        record Saturated(int code) implements Answer {}

        /** No conversion since the last read. */
        record NotReady() implements Answer {}

        /**
         * Still on the way through power-up; each read takes one step.
         *
         * @param phase where it stands
         */
        record Starting(Phase phase) implements Answer {}

        /**
         * Registers were not what was written, as after a dip of the supply, or calibration failed;
         * the power-up sequence starts again.
         *
         * @param puCtrl register 00h as found
         */
        record Misconfigured(int puCtrl) implements Answer {}

        /**
         * The bus gave nothing usable.
         *
         * @param why what the bus said
         */
        record NoAnswer(String why) implements Answer {}
    }

    /** Gain of the amplifier. */
    public static final int GAIN = 128;

    // Register addresses.
    static final int PU_CTRL = 0x00;
    static final int CTRL1 = 0x01;
    static final int CTRL2 = 0x02;
    static final int ADCO_B2 = 0x12;

    // PU_CTRL bits.
    static final int RR = 0x01; // register reset
    static final int PUD = 0x02; // power up digital
    static final int PUA = 0x04; // power up analog
    static final int PUR = 0x08; // power up ready
    static final int CS = 0x10; // cycle start
    static final int CR = 0x20; // cycle ready
    static final int AVDDS = 0x80; // AVDD from the internal regulator

    // CTRL1: VLDO in bits 5:3 as (4500 mV − Vldo) / 300, gain code in bits 2:0 as its base-2
    // logarithm.
    static final int VLDO_3_0_V = 5;
    static final int GAIN_128 = 7;
    static final int CTRL1_VALUE = (VLDO_3_0_V << 3) | GAIN_128;

    // CTRL2: channel 1, 10 conversions a second (CRS = 000); calibration bits below.
    static final int CTRL2_VALUE = 0x00;
    static final int CALS = 0x04; // start calibration, clears itself
    static final int CAL_ERR = 0x08;

    static final int MAX_CODE = 0x7F_FFFF;
    static final int MIN_CODE = -0x80_0000;

    /** Steps of the power-up sequence. */
    public enum Phase {
        RESET,
        POWERING_UP,
        SETTLING,
        CALIBRATING,
        CONVERTING
    }

    private static final Answer NOT_READY = new Answer.NotReady();

    private final I2C i2c;
    private final byte[] two = new byte[2];
    private final byte[] three = new byte[3];
    private Phase phase = Phase.RESET;

    public Nau7802(I2C i2c) {
        this.i2c = i2c;
    }

    /**
     * Takes the next step of the power-up sequence, or reads a conversion. Never throws for the
     * bus's sake.
     */
    public Answer read() {
        return switch (phase) {
            case RESET -> reset();
            case POWERING_UP -> powerUp();
            case SETTLING -> calibrate();
            case CALIBRATING -> startConversions();
            case CONVERTING -> convert();
        };
    }

    /** Registers to their defaults, then the digital part on; PUR follows about 200 µs later. */
    private Answer reset() {
        String trouble = write(PU_CTRL, RR);
        if (trouble == null) {
            trouble = write(PU_CTRL, PUD);
        }
        return next(trouble, Phase.POWERING_UP);
    }

    private Answer powerUp() {
        String trouble = readFrom(PU_CTRL);
        if (trouble != null) {
            return new Answer.NoAnswer(trouble);
        }
        if ((three[0] & (PUR | PUD)) != (PUR | PUD)) {
            return startAgain();
        }
        trouble = write(CTRL1, CTRL1_VALUE);
        if (trouble == null) {
            trouble = write(CTRL2, CTRL2_VALUE);
        }
        if (trouble == null) {
            trouble = write(PU_CTRL, PUD | PUA | AVDDS);
        }
        return next(trouble, Phase.SETTLING);
    }

    private Answer calibrate() {
        return next(write(CTRL2, CTRL2_VALUE | CALS), Phase.CALIBRATING);
    }

    private Answer startConversions() {
        String trouble = readFrom(PU_CTRL);
        if (trouble != null) {
            return new Answer.NoAnswer(trouble);
        }
        int ctrl2 = three[2] & 0xFF;
        if ((ctrl2 & CAL_ERR) != 0 || (three[1] & 0xFF) != CTRL1_VALUE) {
            return startAgain();
        }
        if ((ctrl2 & CALS) != 0) {
            return new Answer.Starting(phase);
        }
        return next(write(PU_CTRL, PUD | PUA | AVDDS | CS), Phase.CONVERTING);
    }

    private Answer convert() {
        String trouble = readFrom(PU_CTRL);
        if (trouble != null) {
            return new Answer.NoAnswer(trouble);
        }
        int puCtrl = three[0] & 0xFF;
        boolean asWritten =
                (puCtrl & ~CR) == (PUD | PUA | PUR | CS | AVDDS)
                        && (three[1] & 0xFF) == CTRL1_VALUE
                        && (three[2] & 0xFF) == CTRL2_VALUE;
        if (!asWritten) {
            return startAgain();
        }
        if ((puCtrl & CR) == 0) {
            return NOT_READY;
        }
        trouble = readFrom(ADCO_B2);
        if (trouble != null) {
            return new Answer.NoAnswer(trouble);
        }
        int code =
                (three[0] << 16)
                        | ((three[1] & 0xFF) << 8)
                        | (three[2] & 0xFF); // the sign comes with the first byte
        return code == MAX_CODE || code == MIN_CODE
                ? new Answer.Saturated(code)
                : new Answer.Sample(code);
    }

    private Answer startAgain() {
        phase = Phase.RESET;
        return new Answer.Misconfigured(three[0] & 0xFF);
    }

    private Answer next(@Nullable String trouble, Phase following) {
        if (trouble != null) {
            phase = Phase.RESET; // nobody knows which write was lost
            return new Answer.NoAnswer(trouble);
        }
        phase = following;
        return new Answer.Starting(following);
    }

    private @Nullable String write(int register, int value) {
        two[0] = (byte) register;
        two[1] = (byte) value;
        try {
            int count = i2c.write(two, 0, 2);
            return count == 2 ? null : "I2C wrote " + count + " of 2 bytes";
        } catch (
                RuntimeException
                        failure) { // whatever a provider throws, it is the bus's failure, not ours
            return "I2C write failed: " + failure.getMessage();
        }
    }

    /** Three registers in one burst. */
    private @Nullable String readFrom(int register) {
        try {
            int count = i2c.readRegister(register, three, 0, 3);
            return count == 3 ? null : "I2C read " + count + " of 3 bytes";
        } catch (RuntimeException failure) { // as above
            return "I2C read failed: " + failure.getMessage();
        }
    }
}
