package steamleaf.app.driver.mcp23017;

import com.pi4j.io.i2c.I2C;
import org.jspecify.annotations.Nullable;

/**
 * MCP23017 with one output wired back to one input of its own.
 *
 * <p>Source: Microchip DS20001952C, table 3-5 (registers, IOCON.BANK = 0). GPA7 and GPB7 are used
 * as outputs only, as later sheets ask. Pull-ups stay off: inputs are pulled down outside, so that
 * an open wire reads 0.
 *
 * <p>An {@link #exchange} writes both latches with the loop-back bit turned over and then reads all
 * 22 registers in one burst. So each exchange proves that the chip has its directions and latches,
 * and that its pins still follow: a chip that froze, or that answers from dead pins, cannot show
 * "healthy". As pins after reset are inputs, a chip that lost its supply lets go of its outputs;
 * the same burst shows it and everything is written again, latches before directions.
 */
public final class Mcp23017 {
    /** What one exchange with the chip came to. Only {@link Pins} may be believed. */
    public sealed interface Answer {

        /**
         * Registers as written and the loop-back bit followed.
         *
         * @param levels pin levels, GPA0 in bit 0 to GPB7 in bit 15
         */
        record Pins(int levels) implements Answer {

            /** Level of one pin, 0 (GPA0) to 15 (GPB7). */
            public boolean high(int pin) {
                return ((levels >> pin) & 1) != 0;
            }
        }

        /**
         * The loop-back followed this time, but not yet twice in a row, which is once each way.
         * Pins that froze follow every other time by chance.
         *
         * @param levels pin levels as found
         */
        record Proving(int levels) implements Answer {}

        /**
         * The loop-back input did not take the level just written to its output: the chip's pins do
         * not follow its registers.
         *
         * @param levels pin levels as found
         */
        record NotFollowing(int levels) implements Answer {}

        /**
         * A register was not what was written, as after a dip of the supply; all have been written
         * again.
         *
         * @param register address of the first one that differs
         * @param found its content
         */
        record Misconfigured(int register, int found) implements Answer {}

        /**
         * The bus gave nothing usable.
         *
         * @param why what the bus said
         */
        record NoAnswer(String why) implements Answer {}
    }

    // Table 3-5, IOCON.BANK = 0: A then B.
    static final int IODIRA = 0x00;
    static final int IOCON = 0x0A;
    static final int GPPUB = 0x0D;
    static final int GPIOA = 0x12;
    static final int OLATA = 0x14;
    static final int REGISTERS = 0x16;

    private final I2C i2c;
    private final int outputPins;
    private final int loopOut;
    private final int loopIn;

    /**
     * Registers 00h to 0Dh as they must be: directions, polarity, interrupts off, IOCON, no
     * pull-ups.
     */
    private final byte[] configuration = new byte[GPPUB + 1];

    private final byte[] configure = new byte[1 + GPPUB + 1];
    private final byte[] latch = new byte[3];
    private final byte[] registers = new byte[REGISTERS];
    private int outputs;
    private boolean loopLevel;
    private int followedInARow;

    /**
     * Pins are counted 0 (GPA0) to 15 (GPB7).
     *
     * @param outputPins one bit per output pin, the loop-back output among them
     * @param loopOut loop-back output pin
     * @param loopIn loop-back input pin
     */
    public Mcp23017(I2C i2c, int outputPins, int loopOut, int loopIn) {
        boolean wired =
                ((outputPins >> loopOut) & 1) == 1
                        && ((outputPins >> loopIn) & 1) == 0
                        && outputPins >> 16 == 0;
        if (!wired) {
            throw new IllegalArgumentException(
                    "MCP23017: loop-back from pin "
                            + loopOut
                            + " to pin "
                            + loopIn
                            + " does not fit outputs "
                            + Integer.toHexString(outputPins));
        }
        this.i2c = i2c;
        this.outputPins = outputPins;
        this.loopOut = loopOut;
        this.loopIn = loopIn;
        configuration[IODIRA] = (byte) ~outputPins; // 1 = input
        configuration[IODIRA + 1] = (byte) ~(outputPins >> 8);
        configure[0] = IODIRA;
        System.arraycopy(configuration, 0, configure, 1, configuration.length);
        latch[0] = OLATA;
    }

    /**
     * Remembers the output levels and writes them at once; an exchange writes them again each time.
     *
     * @param levels one bit per pin; bits of input pins and of the loop-back are ignored
     * @return whether the bus took it; whether the pins follow, the next exchange shows
     */
    public boolean write(int levels) {
        want(levels);
        return writeLatches() == null;
    }

    /** Remembers the output levels for the next exchange, and writes nothing. */
    public void want(int levels) {
        outputs = levels & outputPins & ~(1 << loopOut);
    }

    /** Whether the last two exchanges showed that the pins follow what is written. */
    public boolean follows() {
        return followedInARow == 2;
    }

    /** Output levels last asked for. */
    public int outputs() {
        return outputs;
    }

    /**
     * Writes latches and directions, in that order, so that no pin drives a level nobody asked for.
     */
    public boolean setUp() {
        return writeLatches() == null && send(configure) == null;
    }

    /**
     * Turns the loop-back over, reads everything and judges it. Never throws for the bus's sake.
     */
    public Answer exchange() {
        loopLevel = !loopLevel;
        String trouble = writeLatches();
        if (trouble == null) {
            trouble = readAll();
        }
        if (trouble != null) {
            followedInARow = 0;
            return new Answer.NoAnswer(trouble);
        }
        int wrong = firstDifference();
        if (wrong >= 0) {
            followedInARow = 0;
            setUp();
            return new Answer.Misconfigured(wrong, registers[wrong] & 0xFF);
        }
        int levels = (registers[GPIOA] & 0xFF) | ((registers[GPIOA + 1] & 0xFF) << 8);
        boolean followed = ((levels >> loopIn) & 1) == (loopLevel ? 1 : 0);
        followedInARow = followed ? Math.min(followedInARow + 1, 2) : 0;
        if (!followed) {
            return new Answer.NotFollowing(levels);
        }
        return followedInARow == 2 ? new Answer.Pins(levels) : new Answer.Proving(levels);
    }

    private int firstDifference() {
        for (int register = 0; register < configuration.length; register++) {
            if (registers[register] != configuration[register]) {
                return register;
            }
        }
        for (int register = OLATA; register < REGISTERS; register++) {
            if (registers[register] != latch[1 + register - OLATA]) {
                return register;
            }
        }
        return -1;
    }

    private @Nullable String writeLatches() {
        int levels = outputs | (loopLevel ? 1 << loopOut : 0);
        latch[1] = (byte) levels;
        latch[2] = (byte) (levels >> 8);
        return send(latch);
    }

    private @Nullable String send(byte[] bytes) {
        try {
            int count = i2c.write(bytes, 0, bytes.length);
            return count == bytes.length
                    ? null
                    : "I2C wrote " + count + " of " + bytes.length + " bytes";
        } catch (
                RuntimeException
                        failure) { // whatever a provider throws, it is the bus's failure, not ours
            return "I2C write failed: " + failure.getMessage();
        }
    }

    private @Nullable String readAll() {
        try {
            int count = i2c.readRegister(IODIRA, registers, 0, REGISTERS);
            return count == REGISTERS ? null : "I2C read " + count + " of " + REGISTERS + " bytes";
        } catch (RuntimeException failure) { // as above
            return "I2C read failed: " + failure.getMessage();
        }
    }
}
