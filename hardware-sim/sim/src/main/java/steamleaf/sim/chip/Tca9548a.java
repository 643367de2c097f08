package steamleaf.sim.chip;

/**
 * Texas Instruments TCA9548A eight-channel bus switch: one control register, bit n connects channel
 * n.
 *
 * <p>Source: TI SCPS207F: power-up value 00h, table 2 (bits), and that a channel becomes active
 * only after the STOP condition.
 */
public final class Tca9548a implements I2cChip {
    private int written;
    private int active;

    /** Bit n set: channel n is connected to the bus. */
    public int activeChannels() {
        return active;
    }

    @Override
    public boolean write(byte[] bytes, int offset, int length) {
        if (length > 0) {
            written = bytes[offset + length - 1] & 0xFF;
        }
        return true;
    }

    @Override
    public boolean read(byte[] into, int offset, int length) {
        for (int i = 0; i < length; i++) {
            into[offset + i] = (byte) written;
        }
        return true;
    }

    @Override
    public void stop() {
        active = written;
    }

    @Override
    public void advance(double elapsedS) {}

    @Override
    public void powerUp() {
        written = 0;
        active = 0;
    }
}
