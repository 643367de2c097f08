package steamleaf.sim.board;

import java.io.BufferedInputStream;
import java.io.BufferedOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.EOFException;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.SocketException;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * A circuit with a socket: a program in another process plugs in with {@link
 * SimulatedPi4j#overCable}. One program at a time; when it is gone, the next may plug in and finds
 * chips and pins as they were left.
 *
 * <p>Whoever moves time on holds the same lock while doing so: a circuit is for one thread at a
 * time.
 */
public final class Socketed implements AutoCloseable {
    private final Circuit circuit;
    private final Object lock;
    private final ServerSocket socket;
    private volatile @Nullable Socket plugged;

    private Socketed(Circuit circuit, Object lock, ServerSocket socket) {
        this.circuit = circuit;
        this.lock = lock;
        this.socket = socket;
    }

    /**
     * Listens on a free loopback port.
     *
     * @param lock held while the circuit is used
     */
    public static Socketed open(Circuit circuit, Object lock) {
        try {
            ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
            Socketed socketed = new Socketed(circuit, lock, socket);
            Thread.ofPlatform().daemon().name("board's socket").start(socketed::listen);
            return socketed;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    public int port() {
        return socket.getLocalPort();
    }

    private void listen() {
        while (!socket.isClosed()) {
            try (Socket program = socket.accept()) {
                plugged = program;
                program.setTcpNoDelay(true);
                serve(
                        new DataInputStream(new BufferedInputStream(program.getInputStream())),
                        new DataOutputStream(new BufferedOutputStream(program.getOutputStream())));
            } catch (EOFException | SocketException e) {
                // the program is gone, or this socket is closed
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }
    }

    private void serve(DataInputStream in, DataOutputStream out) throws IOException {
        while (true) {
            int what = in.readByte();
            switch (what) {
                case Cable.LEVEL -> out.writeBoolean(level(in.readByte()));
                case Cable.DRIVE, Cable.PULL -> {
                    put(what, in.readByte(), in.readBoolean());
                    out.writeBoolean(true);
                }
                case Cable.HAS_I2C -> out.writeBoolean(circuit.i2c(in.readByte()) != null);
                case Cable.HAS_SPI -> out.writeBoolean(circuit.spi(in.readByte()) != null);
                case Cable.I2C_WRITE -> write(in, out);
                case Cable.I2C_READ -> read(in, out);
                case Cable.SPI_TRANSFER -> transfer(in, out);
                default -> throw new IOException("frame " + what + " is not known");
            }
            out.flush();
        }
    }

    private boolean level(int pin) {
        synchronized (lock) {
            return circuit.gpio().level(pin);
        }
    }

    private void put(int what, int pin, boolean high) {
        synchronized (lock) {
            if (what == Cable.DRIVE) {
                circuit.gpio().drive(pin, high);
            } else {
                circuit.gpio().pull(pin, high);
            }
        }
    }

    private void write(DataInputStream in, DataOutputStream out) throws IOException {
        Ends.I2c bus = Objects.requireNonNull(circuit.i2c(in.readByte()));
        int address = in.readInt();
        boolean stop = in.readBoolean();
        byte[] bytes = in.readNBytes(in.readShort());
        synchronized (lock) {
            out.writeByte(bus.write(address, bytes, 0, bytes.length, stop).ordinal());
        }
    }

    private void read(DataInputStream in, DataOutputStream out) throws IOException {
        Ends.I2c bus = Objects.requireNonNull(circuit.i2c(in.readByte()));
        int address = in.readInt();
        byte[] bytes = new byte[in.readShort()];
        synchronized (lock) {
            out.writeByte(bus.read(address, bytes, 0, bytes.length).ordinal());
        }
        out.write(bytes);
    }

    private void transfer(DataInputStream in, DataOutputStream out) throws IOException {
        Ends.Spi bus = Objects.requireNonNull(circuit.spi(in.readByte()));
        int chipEnable = in.readByte();
        boolean shifted = in.readBoolean();
        byte[] bytes = in.readNBytes(in.readShort());
        byte[] answer = new byte[bytes.length];
        synchronized (lock) {
            bus.transfer(chipEnable, shifted, bytes, 0, answer, 0, bytes.length);
        }
        out.write(answer);
    }

    @Override
    public void close() {
        try {
            socket.close();
            Socket program = plugged;
            if (program != null) {
                program.close();
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
