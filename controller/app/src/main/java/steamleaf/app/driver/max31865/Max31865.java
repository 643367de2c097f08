package steamleaf.app.driver.max31865;

import com.pi4j.io.spi.Spi;
import org.jspecify.annotations.Nullable;

/**
 * MAX31865 in automatic conversion: VBIAS on, one conversion per mains period, thresholds watching
 * the element.
 *
 * <p>Source: Maxim MAX31865 datasheet 19-6478, SPI modes 1 and 3, most significant bit first.
 *
 * <p>Every read is one burst over all eight registers, so that result, fault bit, fault register,
 * configuration and thresholds belong together. A supply dip puts the chip back to its reset values
 * (configuration 00h, thresholds FFFFh and 0000h), which the same burst shows: the result is thrown
 * away and the registers are written again. A data line stuck at either level shows in the same
 * way.
 */
public final class Max31865 {
    /** What one read of the chip came to. Only {@link Sample} carries a temperature. */
    public sealed interface Answer {

        /**
         * A conversion that the chip and this driver both stand behind.
         *
         * @param code 15-bit conversion result as read (table 5: code / 2^15 = R / Rref)
         * @param resistanceOhm element resistance, Ω
         * @param temperatureC Pt100 temperature, °C
         */
        record Sample(int code, double resistanceOhm, double temperatureC) implements Answer {}

        /**
         * The chip flags the element or its wires, or the code lies outside the thresholds.
         *
         * @param code 15-bit conversion result as read
         * @param faultStatus register 07h as read (table 7), 0 when only the code gave it away
         */
        record Fault(int code, int faultStatus) implements Answer {

            /** Table 7, D7: element at or above the high threshold, so open or far too hot. */
            public boolean high() {
                return (faultStatus & 0x80) != 0;
            }

            /** Table 7, D6: element at or below the low threshold, so shorted or far too cold. */
            public boolean low() {
                return (faultStatus & 0x40) != 0;
            }
        }

        /** No conversion has ended since the chip was set up. */
        record NotReady() implements Answer {}

        /**
         * Configuration or thresholds were not what was written, as after a dip of the supply; they
         * have been written again.
         *
         * @param configuration register 00h as found
         */
        record Misconfigured(int configuration) implements Answer {}

        /**
         * The bus gave nothing usable.
         *
         * @param why what the bus said
         */
        record NoAnswer(String why) implements Answer {}
    }

    // Table 1: read addresses; the write address has D7 set.
    static final int CONFIGURATION = 0x00;
    static final int HIGH_FAULT_THRESHOLD_MSB = 0x03;
    static final int WRITE = 0x80;
    static final int REGISTERS = 8;

    // Table 2: configuration register.
    static final int VBIAS = 0x80;
    static final int CONVERSION_MODE_AUTO = 0x40;
    static final int THREE_WIRE = 0x10;
    static final int FAULT_STATUS_CLEAR = 0x02;
    static final int FILTER_50_HZ = 0x01;

    /** Full scale of the 15-bit ratiometric result (table 5). */
    static final int FULL_SCALE = 1 << 15;

    /**
     * One full-duplex transfer of the whole of both arrays, which are equally long; answers the
     * bytes moved.
     */
    @FunctionalInterface
    public interface Link {
        int transfer(byte[] write, byte[] read);
    }

    /**
     * How the chip is wired.
     *
     * @param referenceOhm reference resistor, Ω
     * @param threeWire true for three wires, false for two or four
     * @param mains50Hz notch at 50 Hz, false for 60 Hz
     * @param lowestC an element this cold counts as shorted
     * @param highestC an element this hot counts as open
     */
    public record Settings(
            double referenceOhm,
            boolean threeWire,
            boolean mains50Hz,
            double lowestC,
            double highestC) {
        public Settings {
            if (!(referenceOhm > 0.0 && lowestC < highestC)) {
                throw new IllegalArgumentException(
                        "MAX31865: referenceOhm = "
                                + referenceOhm
                                + ", thresholds "
                                + lowestC
                                + " to "
                                + highestC
                                + " °C; allowed: a positive reference and rising thresholds");
            }
        }
    }

    private final Link link;
    private final double referenceOhm;
    private final int configuration;
    private final int lowCode;
    private final int highCode;

    private final byte[] readCommand = new byte[1 + REGISTERS];
    private final byte[] answer = new byte[1 + REGISTERS];
    private final byte[] stop;
    private final byte[] start;
    private final byte[] thresholds;

    /** A chip alone on its chip select. */
    public Max31865(Spi spi, Settings settings) {
        this((write, read) -> spi.transfer(write, 0, read, 0, write.length), settings);
    }

    public Max31865(Link link, Settings settings) {
        this.link = link;
        referenceOhm = settings.referenceOhm();
        configuration =
                VBIAS
                        | CONVERSION_MODE_AUTO
                        | (settings.threeWire() ? THREE_WIRE : 0)
                        | (settings.mains50Hz() ? FILTER_50_HZ : 0);
        lowCode =
                (int)
                        Math.floor(
                                Pt100.resistanceOhm(settings.lowestC())
                                        / referenceOhm
                                        * FULL_SCALE);
        highCode =
                (int)
                        Math.ceil(
                                Pt100.resistanceOhm(settings.highestC())
                                        / referenceOhm
                                        * FULL_SCALE);
        if (lowCode < 1 || highCode <= lowCode || highCode >= FULL_SCALE) {
            throw new IllegalArgumentException(
                    "MAX31865: thresholds "
                            + settings.lowestC()
                            + " to "
                            + settings.highestC()
                            + " °C do not fit a reference of "
                            + referenceOhm
                            + " Ω");
        }

        readCommand[0] = CONFIGURATION;
        stop =
                new byte[] {
                    (byte) (WRITE | CONFIGURATION), (byte) (configuration & ~CONVERSION_MODE_AUTO)
                };
        start =
                new byte[] {
                    (byte) (WRITE | CONFIGURATION), (byte) (configuration | FAULT_STATUS_CLEAR)
                };
        int high = highCode << 1; // the thresholds are aligned like the result: D0 does not count
        int low = lowCode << 1;
        thresholds =
                new byte[] {
                    (byte) (WRITE | HIGH_FAULT_THRESHOLD_MSB),
                    (byte) (high >> 8),
                    (byte) high,
                    (byte) (low >> 8),
                    (byte) low
                };
    }

    /**
     * Writes everything from scratch. The notch must not be changed while converting automatically
     * (configuration register, D0), so conversion stops first; the last write starts it and clears
     * old faults.
     *
     * @return whether the bus took all of it; whether the chip did, the next read shows
     */
    public boolean setUp() {
        return moved(stop) == null && moved(thresholds) == null && moved(start) == null;
    }

    /** Reads all registers in one burst and judges them. Never throws for the bus's sake. */
    public Answer read() {
        String trouble = moved(readCommand);
        if (trouble != null) {
            return new Answer.NoAnswer(trouble);
        }
        int foundConfiguration = answer[1] & 0xFF;
        boolean asWritten =
                foundConfiguration == configuration
                        && word(4) >> 1 == highCode
                        && word(6) >> 1 == lowCode;
        if (!asWritten) {
            setUp();
            return new Answer.Misconfigured(foundConfiguration);
        }
        int rtd = word(2);
        int code = rtd >> 1;
        boolean flagged = (rtd & 1) != 0; // D0 of the LSB register: some fault bit is set
        int faultStatus = answer[8] & 0xFF;
        if (code == 0 && !flagged && faultStatus == 0) {
            return new Answer.NotReady(); // a converted 0 would have crossed the low threshold
        }
        if (flagged || faultStatus != 0 || code <= lowCode || code >= highCode) {
            moved(start); // the fault is latched: clear it, so that it shows again only if it is
            // still there
            return new Answer.Fault(code, faultStatus);
        }
        double resistanceOhm = code * referenceOhm / FULL_SCALE;
        return new Answer.Sample(code, resistanceOhm, Pt100.temperatureC(resistanceOhm));
    }

    private int word(int at) {
        return ((answer[at] & 0xFF) << 8) | (answer[at + 1] & 0xFF);
    }

    /** Null when every byte moved, else what went wrong. */
    private @Nullable String moved(byte[] write) {
        byte[] read = write.length == answer.length ? answer : new byte[write.length];
        try {
            int count = link.transfer(write, read);
            return count == write.length
                    ? null
                    : "SPI moved " + count + " of " + write.length + " bytes";
        } catch (
                RuntimeException
                        failure) { // whatever a provider throws, it is the bus's failure, not ours
            return "SPI failed: " + failure.getMessage();
        }
    }
}
