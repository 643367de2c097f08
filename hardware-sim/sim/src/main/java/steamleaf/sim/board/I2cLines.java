package steamleaf.sim.board;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import steamleaf.sim.chip.I2cChip;
import steamleaf.sim.chip.Tca9548a;

/**
 * The two lines of one I2C bus, seen from its master. Chips are reached directly or through the
 * channels that a multiplexer has connected; where several answer to one address they all take what
 * is written, and what is read is the wired AND of their bits.
 */
public final class I2cLines implements Ends.I2c {
    /** How a transfer ended. */
    enum Reply {
        ACKNOWLEDGED,
        NOT_ACKNOWLEDGED,
        TIMED_OUT
    }

    private static final int ADDRESSES = 128;

    private static final class Switch {
        final Seat seat;
        final Tca9548a chip;
        final @Nullable Seat[][] channels = new @Nullable Seat[8][ADDRESSES];

        Switch(Seat seat, Tca9548a chip) {
            this.seat = seat;
            this.chip = chip;
        }
    }

    private final int bus;
    private final @Nullable Seat[] trunk = new @Nullable Seat[ADDRESSES];
    private final List<Switch> switches = new ArrayList<>();
    private final SplittableRandom noise;
    private final Seat[] answering = new Seat[1 + 8 * 8];
    private int answers;
    private byte[] scratch = new byte[64];
    private boolean hung;

    I2cLines(int bus, SplittableRandom noise) {
        this.bus = bus;
        this.noise = noise;
    }

    public int bus() {
        return bus;
    }

    /**
     * A data line held low: no transfer gets anywhere, and none takes the time it would take on a
     * real bus.
     */
    public void hung(boolean hung) {
        this.hung = hung;
    }

    void fit(int address, Seat seat) {
        trunk[address] = seat;
    }

    @Nullable Seat[][] fitSwitch(int address, Seat seat, Tca9548a chip) {
        Switch mux = new Switch(seat, chip);
        trunk[address] = seat;
        switches.add(mux);
        return mux.channels;
    }

    @Override
    public Reply write(int address, byte[] bytes, int offset, int length, boolean stop) {
        Reply reply = address(address);
        if (reply == Reply.ACKNOWLEDGED) {
            boolean acknowledged = false;
            for (int i = 0; i < answers; i++) {
                acknowledged |= chip(answering[i]).write(bytes, offset, length);
            }
            reply = acknowledged ? Reply.ACKNOWLEDGED : Reply.NOT_ACKNOWLEDGED;
        }
        if (stop || reply != Reply.ACKNOWLEDGED) {
            stop(reply);
        }
        return reply;
    }

    @Override
    public Reply read(int address, byte[] into, int offset, int length) {
        Reply reply = address(address);
        if (reply == Reply.ACKNOWLEDGED) {
            reply = collect(into, offset, length) ? Reply.ACKNOWLEDGED : Reply.NOT_ACKNOWLEDGED;
        }
        stop(reply);
        return reply;
    }

    private boolean collect(byte[] into, int offset, int length) {
        boolean acknowledged = false;
        for (int i = 0; i < answers; i++) {
            Seat seat = answering[i];
            if (!acknowledged) {
                acknowledged = chip(seat).read(into, offset, length);
                if (acknowledged && seat.garbled) {
                    garble(into, offset, length);
                }
                continue;
            }
            if (scratch.length < length) {
                scratch = new byte[length];
            }
            if (chip(seat).read(scratch, 0, length)) {
                if (seat.garbled) {
                    garble(scratch, 0, length);
                }
                for (int k = 0; k < length; k++) {
                    into[offset + k] &= scratch[k];
                }
            }
        }
        return acknowledged;
    }

    private void garble(byte[] bytes, int offset, int length) {
        for (int i = 0; i < length; i++) {
            bytes[offset + i] = (byte) noise.nextInt(256);
        }
    }

    /** Gathers who answers now. */
    private Reply address(int address) {
        if (hung) {
            return Reply.TIMED_OUT;
        }
        answers = 0;
        if (address < 0 || address >= ADDRESSES) {
            return Reply.NOT_ACKNOWLEDGED;
        }
        answer(trunk[address]);
        for (int s = 0; s < switches.size(); s++) {
            Switch mux = switches.get(s);
            if (mux.seat.missing) {
                continue;
            }
            int active = mux.chip.activeChannels();
            for (int channel = 0; active != 0; channel++, active >>= 1) {
                if ((active & 1) != 0) {
                    answer(mux.channels[channel][address]);
                }
            }
        }
        return answers > 0 ? Reply.ACKNOWLEDGED : Reply.NOT_ACKNOWLEDGED;
    }

    private void answer(@Nullable Seat seat) {
        if (seat != null && !seat.missing) {
            answering[answers++] = seat;
        }
    }

    /**
     * Channels change only here; every chip on the bus sees the STOP, only the multiplexers care.
     */
    private void stop(Reply reply) {
        if (reply == Reply.TIMED_OUT) {
            return;
        }
        for (int s = 0; s < switches.size(); s++) {
            switches.get(s).chip.stop();
        }
    }

    private static I2cChip chip(Seat seat) {
        I2cChip chip = seat.i2c;
        if (chip == null) {
            throw new IllegalStateException(seat.name + " is no I2C chip");
        }
        return chip;
    }
}
