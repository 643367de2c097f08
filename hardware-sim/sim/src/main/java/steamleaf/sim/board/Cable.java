package steamleaf.sim.board;

import com.pi4j.io.exception.IOException;
import java.io.BufferedInputStream;
import java.io.BufferedOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.net.InetAddress;
import java.net.Socket;
import org.jspecify.annotations.Nullable;

/**
 * The near end of a cable to a board in another process: every call becomes one frame over a
 * loopback socket and waits for its answer, so that a program which is stopped or killed leaves the
 * board exactly as it last drove it. The far end is a {@link Socketed}.
 *
 * <p>A frame is one byte of what is asked and its numbers in network order; the answer follows.
 */
final class Cable implements Ends {
    static final int LEVEL = 1;
    static final int DRIVE = 2;
    static final int PULL = 3;
    static final int HAS_I2C = 4;
    static final int HAS_SPI = 5;
    static final int I2C_WRITE = 6;
    static final int I2C_READ = 7;
    static final int SPI_TRANSFER = 8;

    private static final I2cLines.Reply[] REPLIES = I2cLines.Reply.values();

    private final DataInputStream in;
    private final DataOutputStream out;

    private Cable(Socket socket) throws java.io.IOException {
        in = new DataInputStream(new BufferedInputStream(socket.getInputStream()));
        out = new DataOutputStream(new BufferedOutputStream(socket.getOutputStream()));
    }

    /** Plugs in at a board that listens on that loopback port. */
    static Cable plug(int port) {
        try {
            Socket socket = new Socket(InetAddress.getLoopbackAddress(), port);
            socket.setTcpNoDelay(true);
            return new Cable(socket);
        } catch (java.io.IOException e) {
            throw new IOException("no board listens on loopback port " + port, e);
        }
    }

    /** What is written into a frame. */
    @FunctionalInterface
    private interface Asked {
        void write(DataOutputStream out) throws java.io.IOException;
    }

    /** What is read of the answer. */
    @FunctionalInterface
    private interface Answered<T> {
        T read(DataInputStream in) throws java.io.IOException;
    }

    private synchronized <T> T call(int what, Asked asked, Answered<T> answered) {
        try {
            out.writeByte(what);
            asked.write(out);
            out.flush();
            return answered.read(in);
        } catch (java.io.IOException e) {
            throw new IOException("the board's cable is broken", e);
        }
    }

    @Override
    public Pins gpio() {
        return new Pins() {
            @Override
            public boolean level(int pin) {
                return call(LEVEL, o -> o.writeByte(pin), DataInputStream::readBoolean);
            }

            @Override
            public void drive(int pin, boolean high) {
                put(DRIVE, pin, high);
            }

            @Override
            public void pull(int pin, boolean high) {
                put(PULL, pin, high);
            }
        };
    }

    private void put(int what, int pin, boolean high) {
        call(
                what,
                o -> {
                    o.writeByte(pin);
                    o.writeBoolean(high);
                },
                DataInputStream::readBoolean);
    }

    @Override
    public @Nullable I2c i2c(int bus) {
        boolean there = call(HAS_I2C, o -> o.writeByte(bus), DataInputStream::readBoolean);
        return there ? new FarI2c(bus) : null;
    }

    @Override
    public @Nullable Spi spi(int bus) {
        boolean there = call(HAS_SPI, o -> o.writeByte(bus), DataInputStream::readBoolean);
        if (!there) {
            return null;
        }
        return (chipEnable, shifted, mosi, mosiAt, miso, misoAt, length) ->
                call(
                        SPI_TRANSFER,
                        o -> {
                            o.writeByte(bus);
                            o.writeByte(chipEnable);
                            o.writeBoolean(shifted);
                            o.writeShort(length);
                            o.write(mosi, mosiAt, length);
                        },
                        i -> {
                            i.readFully(miso, misoAt, length);
                            return true;
                        });
    }

    private final class FarI2c implements I2c {
        private final int bus;

        FarI2c(int bus) {
            this.bus = bus;
        }

        @Override
        public I2cLines.Reply write(
                int address, byte[] bytes, int offset, int length, boolean stop) {
            return call(
                    I2C_WRITE,
                    o -> {
                        o.writeByte(bus);
                        o.writeInt(address);
                        o.writeBoolean(stop);
                        o.writeShort(length);
                        o.write(bytes, offset, length);
                    },
                    i -> REPLIES[i.readByte()]);
        }

        @Override
        public I2cLines.Reply read(int address, byte[] into, int offset, int length) {
            return call(
                    I2C_READ,
                    o -> {
                        o.writeByte(bus);
                        o.writeInt(address);
                        o.writeShort(length);
                    },
                    i -> {
                        I2cLines.Reply reply = REPLIES[i.readByte()];
                        i.readFully(into, offset, length);
                        return reply;
                    });
        }
    }
}
