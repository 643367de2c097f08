package steamleaf.app.driver.decoder;

import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalState;
import com.pi4j.io.spi.Spi;

/**
 * Up to eight chips on one SPI chip select: a 3-to-8 decoder, enabled by the chip select, picks one
 * by three address lines.
 *
 * <p>All three lines are written before every transfer. Remembering their levels would save
 * microseconds, but a line lost once would swap two thermometers for good. While the chip select is
 * high the decoder selects nobody, so the order in which the lines move does not matter.
 */
public final class DecodedSpi {
    /** Outputs of the decoder. */
    public static final int OUTPUTS = 8;

    private final Spi spi;
    private final DigitalOutput a0;
    private final DigitalOutput a1;
    private final DigitalOutput a2;

    public DecodedSpi(Spi spi, DigitalOutput a0, DigitalOutput a1, DigitalOutput a2) {
        this.spi = spi;
        this.a0 = a0;
        this.a1 = a1;
        this.a2 = a2;
    }

    /**
     * One full-duplex transfer with the chip on {@code output}; throws what Pi4J throws, and moves
     * nothing when a line could not be set.
     *
     * @return bytes moved
     */
    public int transfer(int output, byte[] write, byte[] read) {
        if (output < 0 || output >= OUTPUTS) {
            throw new IllegalArgumentException(
                    "decoder output " + output + ", allowed: 0 to " + (OUTPUTS - 1));
        }
        a0.state(level(output & 1));
        a1.state(level(output & 2));
        a2.state(level(output & 4));
        return spi.transfer(write, 0, read, 0, write.length);
    }

    private static DigitalState level(int bit) {
        return bit == 0 ? DigitalState.LOW : DigitalState.HIGH;
    }
}
