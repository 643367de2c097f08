package steamleaf.app.driver.pca9685;

import com.pi4j.io.i2c.I2C;
import org.jspecify.annotations.Nullable;

/**
 * PCA9685 with its own oscillator, push-pull outputs, all channels starting their pulse at count 0.
 *
 * <p>Source (not checked): NXP PCA9685 datasheet rev 4, section 7.3: tables 4 to 7 registers,
 * MODE1, MODE2 and LEDn, 7.3.5 PRE_SCALE.
 *
 * <pre>
 *   PRE_SCALE = round(25 MHz / (4096 · f)) − 1,  3 to 255
 * </pre>
 *
 * <p>After reset the chip sleeps and all channels are off. PRE_SCALE can be written only while it
 * sleeps. A duty of 0 uses the full-off bit and 1 the full-on bit, so that neither leaves a sliver
 * of pulse. Not-a-number is off.
 */
public final class Pca9685 {
    /** What a look at the chip came to. */
    public sealed interface Answer {

        /** Mode, frequency and all channels read as written. */
        record AsWritten() implements Answer {}

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

    /** Channels of the chip. */
    public static final int CHANNELS = 16;

    static final int MODE1 = 0x00;
    static final int LED0_ON_L = 0x06;
    static final int PRE_SCALE = 0xFE;

    // MODE1 bits (table 5): auto-increment, sleep, restart. ALLCALL stays 0: nobody else may speak
    // to this
    // chip.
    static final int AI = 0x20;
    static final int SLEEP = 0x10;
    static final int RESTART =
            0x80; // set by the chip when sleep stopped running pulses; writing 1 clears it
    static final int OUTDRV = 0x04; // MODE2 (table 6): totem pole

    /** In LEDn_ON_H and LEDn_OFF_H: full on, full off (table 7). */
    static final int FULL = 0x10;

    static final double OSCILLATOR_HZ = 25e6;
    static final int COUNTS = 4096;

    private final I2C i2c;
    private final int preScale;
    private final int used;

    /** MODE1, MODE2, SUBADR1..3, ALLCALLADR and the used channels, as read in one burst. */
    private final byte[] found;

    private final byte[] leds;
    private final byte[] two = new byte[2];
    private final byte[] five = new byte[5];
    private final byte[] one = new byte[1];

    /**
     * @param frequencyHz pulse frequency, 24 to 1526 Hz
     * @param used channels 0 to {@code used − 1} are in use
     */
    public Pca9685(I2C i2c, double frequencyHz, int used) {
        long rounded = Math.round(OSCILLATOR_HZ / (COUNTS * frequencyHz)) - 1;
        if (!(frequencyHz > 0.0) || rounded < 3 || rounded > 255) {
            throw new IllegalArgumentException(
                    "PCA9685: frequencyHz = " + frequencyHz + ", allowed: 24 to 1526");
        }
        if (used < 1 || used > CHANNELS) {
            throw new IllegalArgumentException(
                    "PCA9685: " + used + " channels, allowed: 1 to " + CHANNELS);
        }
        this.i2c = i2c;
        this.used = used;
        preScale = (int) rounded;
        found = new byte[LED0_ON_L + 4 * used];
        leds = new byte[4 * used];
        for (int channel = 0; channel < used; channel++) {
            encode(0.0, leds, 4 * channel);
        }
    }

    /** Writes everything: asleep first, frequency, channels, then awake, pulses restarted. */
    public boolean setUp() {
        boolean asleep =
                send(MODE1, AI | SLEEP) == null
                        && send(PRE_SCALE, preScale) == null
                        && send(MODE1 + 1, OUTDRV) == null;
        for (int channel = 0; channel < used; channel++) {
            asleep &= sendChannel(channel) == null;
        }
        return asleep && send(MODE1, AI) == null && send(MODE1, RESTART | AI) == null;
    }

    /**
     * Remembers a duty and writes it at once.
     *
     * @param duty 0 to 1; anything else is brought into that range, not-a-number is 0
     * @return whether the bus took it
     */
    public boolean set(int channel, double duty) {
        if (channel < 0 || channel >= used) {
            throw new IllegalArgumentException(
                    "PCA9685 channel " + channel + ", allowed: 0 to " + (used - 1));
        }
        encode(duty, leds, 4 * channel);
        return sendChannel(channel) == null;
    }

    /** Reads mode, frequency and channels back and judges them. Never throws for the bus's sake. */
    public Answer check() {
        String trouble = receive(MODE1, found);
        if (trouble == null) {
            trouble = receive(PRE_SCALE, one);
        }
        if (trouble != null) {
            return new Answer.NoAnswer(trouble);
        }
        int wrong = firstDifference();
        if (wrong < 0) {
            return AS_WRITTEN;
        }
        int content = (wrong == PRE_SCALE ? one[0] : found[wrong]) & 0xFF;
        setUp();
        return new Answer.Misconfigured(wrong, content);
    }

    private static final Answer AS_WRITTEN = new Answer.AsWritten();

    private int firstDifference() {
        if ((found[MODE1] & 0xFF) != AI) {
            return MODE1;
        }
        if ((found[MODE1 + 1] & 0xFF) != OUTDRV) {
            return MODE1 + 1;
        }
        for (int i = 0; i < leds.length; i++) {
            if (found[LED0_ON_L + i] != leds[i]) {
                return LED0_ON_L + i;
            }
        }
        return (one[0] & 0xFF) == preScale ? -1 : PRE_SCALE;
    }

    /** LEDn_ON_L, ON_H, OFF_L, OFF_H of one duty. */
    static void encode(double duty, byte[] into, int at) {
        long count = Math.round(duty * COUNTS); // not-a-number rounds to 0
        boolean off = count <= 0;
        boolean on = count >= COUNTS;
        into[at] = 0;
        into[at + 1] = (byte) (on ? FULL : 0);
        into[at + 2] = (byte) (on || off ? 0 : count);
        into[at + 3] = (byte) (off ? FULL : on ? 0 : count >> 8);
    }

    private @Nullable String sendChannel(int channel) {
        five[0] = (byte) (LED0_ON_L + 4 * channel);
        System.arraycopy(leds, 4 * channel, five, 1, 4);
        return send(five);
    }

    private @Nullable String send(int register, int value) {
        two[0] = (byte) register;
        two[1] = (byte) value;
        return send(two);
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

    private @Nullable String receive(int register, byte[] into) {
        try {
            int count = i2c.readRegister(register, into, 0, into.length);
            return count == into.length
                    ? null
                    : "I2C read " + count + " of " + into.length + " bytes";
        } catch (RuntimeException failure) { // as above
            return "I2C read failed: " + failure.getMessage();
        }
    }
}
