package steamleaf.sim.board;

import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import steamleaf.sim.chip.Max31865;

/**
 * An SPI bus whose two chip enables each open a 3-to-8 decoder: of all the chips only the selected
 * one hears and answers.
 */
final class SpiLines implements Ends.Spi {
    private final Board.SpiBus plan;
    private final Gpio gpio;
    private final SplittableRandom noise;
    private final @Nullable Seat[][] seats = new @Nullable Seat[2][8];
    private byte[] scratch = new byte[64];

    SpiLines(Board.SpiBus plan, Gpio gpio, SplittableRandom noise) {
        this.plan = plan;
        this.gpio = gpio;
        this.noise = noise;
    }

    int bus() {
        return plan.bus();
    }

    void fit(int chipEnable, int select, Seat seat) {
        seats[chipEnable][select] = seat;
    }

    /**
     * One frame under a chip enable. Nobody selected: the data line stays low.
     *
     * @param shifted clock polarity and phase do not suit the chips, so each side sees the other
     *     one bit late
     */
    @Override
    public void transfer(
            int chipEnable,
            boolean shifted,
            byte[] mosi,
            int mosiAt,
            byte[] miso,
            int misoAt,
            int length) {
        int select = bit(plan.a0()) | bit(plan.a1()) << 1 | bit(plan.a2()) << 2;
        Seat seat = seats[chipEnable][select];
        if (seat == null || seat.missing) {
            for (int i = 0; i < length; i++) {
                miso[misoAt + i] = 0;
            }
            return;
        }
        Max31865 chip = seat.spi;
        if (chip == null) {
            throw new IllegalStateException(seat.name + " is no SPI chip");
        }
        if (shifted) {
            if (scratch.length < length) {
                scratch = new byte[length];
            }
            late(mosi, mosiAt, scratch, 0, length);
            chip.transfer(scratch, 0, scratch, 0, length);
            late(scratch, 0, miso, misoAt, length);
        } else {
            chip.transfer(mosi, mosiAt, miso, misoAt, length);
        }
        if (seat.garbled) {
            for (int i = 0; i < length; i++) {
                miso[misoAt + i] = (byte) noise.nextInt(256);
            }
        }
    }

    private static void late(byte[] from, int fromAt, byte[] to, int toAt, int length) {
        int carried = 0;
        for (int i = 0; i < length; i++) {
            int b = from[fromAt + i] & 0xFF;
            to[toAt + i] = (byte) (b >> 1 | carried << 7);
            carried = b & 1;
        }
    }

    private int bit(int pin) {
        return gpio.level(pin) ? 1 : 0;
    }
}
