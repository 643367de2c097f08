package steamleaf.sim.chip;

/**
 * A chip on an I2C bus after its own address has been sent. Time is handed in and never passes
 * inside a transfer.
 */
public interface I2cChip {
    /**
     * Bytes following a write header.
     *
     * @return false when the header or a byte was not acknowledged; bytes before it have taken
     *     effect
     */
    boolean write(byte[] bytes, int offset, int length);

    /**
     * A read header and the bytes the master clocks out after it.
     *
     * @return false when the header was not acknowledged; {@code into} is then untouched
     */
    boolean read(byte[] into, int offset, int length);

    /** A STOP condition on the chip's segment. */
    default void stop() {}

    void advance(double elapsedS);

    /** Supply applied: registers take their power-on values. */
    void powerUp();
}
