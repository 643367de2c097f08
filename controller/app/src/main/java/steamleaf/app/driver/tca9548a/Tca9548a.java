package steamleaf.app.driver.tca9548a;

import com.pi4j.io.i2c.I2C;

/**
 * TCA9548A: one byte opens any of eight channels; after power-up none is open.
 *
 * <p>Source: Texas Instruments SCPS207F, section 8.6 control register, table 2. A channel becomes
 * active after the stop condition of the write. The register is read back each time: all chips
 * behind the switch share their addresses, so a lost switch-over would put one oven's humidity in
 * another's name.
 */
public final class Tca9548a {
    /**
     * What a switch-over came to. Anything but {@link Selected} means: do not talk to what should
     * be behind it.
     */
    public sealed interface Answer {

        /**
         * The control register reads as written.
         *
         * @param control control register, one bit per open channel
         */
        record Selected(int control) implements Answer {}

        /**
         * The control register reads otherwise; whoever answers now may be the wrong chip.
         *
         * @param control control register as found
         */
        record NotSelected(int control) implements Answer {}

        /**
         * The bus gave nothing usable.
         *
         * @param why what the bus said
         */
        record NoAnswer(String why) implements Answer {}
    }

    /** Channels of the switch. */
    public static final int CHANNELS = 8;

    private final I2C i2c;
    private final byte[] control = new byte[1];
    private final Answer[] selected = new Answer[1 + CHANNELS];

    public Tca9548a(I2C i2c) {
        this.i2c = i2c;
        selected[CHANNELS] = new Answer.Selected(0);
        for (int channel = 0; channel < CHANNELS; channel++) {
            selected[channel] = new Answer.Selected(1 << channel);
        }
    }

    /** Opens this channel and closes all others. */
    public Answer select(int channel) {
        if (channel < 0 || channel >= CHANNELS) {
            throw new IllegalArgumentException(
                    "TCA9548A channel " + channel + ", allowed: 0 to " + (CHANNELS - 1));
        }
        return set(1 << channel, selected[channel]);
    }

    /** Closes all channels, so that a second switch may open one. */
    public Answer closeAll() {
        return set(0, selected[CHANNELS]);
    }

    private Answer set(int wanted, Answer done) {
        try {
            control[0] = (byte) wanted;
            int written = i2c.write(control, 0, 1);
            if (written != 1) {
                return new Answer.NoAnswer("I2C wrote " + written + " of 1 byte");
            }
            control[0] = (byte) ~wanted; // so that a read which leaves the buffer alone cannot look
            // right
            int read = i2c.read(control, 0, 1);
            if (read != 1) {
                return new Answer.NoAnswer("I2C read " + read + " of 1 byte");
            }
        } catch (
                RuntimeException
                        failure) { // whatever a provider throws, it is the bus's failure, not ours
            return new Answer.NoAnswer("I2C failed: " + failure.getMessage());
        }
        int found = control[0] & 0xFF;
        return found == wanted ? done : new Answer.NotSelected(found);
    }
}
