package steamleaf.sim.board;

import com.pi4j.context.Context;
import com.pi4j.exception.Pi4JException;
import com.pi4j.exception.ShutdownException;
import com.pi4j.io.i2c.I2C;
import com.pi4j.io.i2c.I2CBase;
import com.pi4j.io.i2c.I2CBusBase;
import com.pi4j.io.i2c.I2CConfig;
import com.pi4j.io.i2c.I2CProvider;
import com.pi4j.io.i2c.I2CProviderBase;
import java.io.IOException;
import java.util.HashMap;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.Callable;

/**
 * I2C on a board. Answers, lengths and exceptions are those of Pi4J's linuxfs provider (3.0.3, read
 * in its source): plain reads and writes are transfers of their own with a STOP, {@code
 * readRegister} is one combined transfer, {@code writeRead} is not, and a chip that does not
 * acknowledge is an {@link IOException} inside two {@link Pi4JException}s.
 */
final class BoardI2cProvider extends I2CProviderBase implements I2CProvider {
    private final Ends board;
    private final Map<Integer, Bus> buses = new HashMap<>();

    BoardI2cProvider(Ends board) {
        super("steamleaf-simulated-i2c", "I2C of the simulated board");
        this.board = board;
    }

    @Override
    public I2C create(I2CConfig config) {
        Ends.I2c lines = board.i2c(config.bus());
        if (lines == null) {
            throw new Pi4JException(
                    "Sysfs validation failed for I2C bus "
                            + config.bus()
                            + ": the board has no such bus.");
        }
        Bus bus = buses.computeIfAbsent(config.bus(), _ -> new Bus(config));
        Device device = new Device(this, config, bus, lines);
        context.registry().add(device);
        return device;
    }

    @Override
    public I2CProvider shutdown(Context context) throws ShutdownException {
        buses.clear();
        return super.shutdown(context);
    }

    /** The lock that a caller's own sequence runs under. */
    private static final class Bus extends I2CBusBase {
        Bus(I2CConfig config) {
            super(config);
        }

        @Override
        public <R> R execute(I2C i2c, Callable<R> action) {
            return _execute(
                    i2c,
                    () -> {
                        try {
                            return action.call();
                        } catch (RuntimeException e) {
                            throw e;
                        } catch (Exception e) {
                            throw failed(i2c.device(), i2c.bus(), e);
                        }
                    });
        }
    }

    private static Pi4JException failed(int device, int bus, Throwable cause) {
        return new Pi4JException(
                "Failed to execute action for device " + device + " on bus " + bus, cause);
    }

    private static final class Device extends I2CBase<Bus> implements I2C {
        private final Ends.I2c lines;
        private final int address;
        private final int busNumber;
        private byte[] frame = new byte[32];
        private final byte[] single = new byte[1];

        Device(I2CProvider provider, I2CConfig config, Bus bus, Ends.I2c lines) {
            super(provider, config, bus);
            this.lines = lines;
            address = config.device();
            busNumber = config.bus();
        }

        /** The messages are the kernel's for EREMOTEIO and ETIMEDOUT. */
        private void check(I2cLines.Reply reply) {
            switch (reply) {
                case ACKNOWLEDGED -> {}
                case NOT_ACKNOWLEDGED -> throw refused("Remote I/O error");
                case TIMED_OUT -> throw refused("Connection timed out");
            }
        }

        private Pi4JException refused(String message) {
            return failed(address, busNumber, failed(address, busNumber, new IOException(message)));
        }

        @Override
        public int write(byte b) {
            single[0] = b;
            check(lines.write(address, single, 0, 1, true));
            return 1;
        }

        @Override
        public int write(byte[] data, int offset, int length) {
            Objects.checkFromIndexSize(offset, length, data.length);
            check(lines.write(address, data, offset, length, true));
            return length;
        }

        @Override
        public int read() {
            check(lines.read(address, single, 0, 1));
            return single[0] & 0xFF;
        }

        @Override
        public int read(byte[] buffer, int offset, int length) {
            Objects.checkFromIndexSize(offset, length, buffer.length);
            check(lines.read(address, buffer, offset, length));
            return length;
        }

        @Override
        public int writeRead(
                byte[] writeBuffer,
                int writeSize,
                int writeOffset,
                byte[] readBuffer,
                int readSize,
                int readOffset) {
            write(writeBuffer, writeOffset, writeSize);
            return read(readBuffer, readOffset, readSize);
        }

        @Override
        public int writeRegister(int register, byte b) {
            frame[0] = (byte) register;
            frame[1] = b;
            check(lines.write(address, frame, 0, 2, true));
            return 2; // as linuxfs counts here: with the register
        }

        @Override
        public int writeRegister(int register, byte[] data, int offset, int length) {
            Objects.checkFromIndexSize(offset, length, data.length);
            byte[] bytes = frame(length + 1);
            bytes[0] = (byte) register;
            System.arraycopy(data, offset, bytes, 1, length);
            check(lines.write(address, bytes, 0, length + 1, true));
            return length + 1; // as above
        }

        @Override
        public int writeRegister(byte[] register, byte[] data, int offset, int length) {
            Objects.checkFromIndexSize(offset, length, data.length);
            int total = register.length + length;
            byte[] bytes = frame(total);
            System.arraycopy(register, 0, bytes, 0, register.length);
            System.arraycopy(data, offset, bytes, register.length, length);
            check(lines.write(address, bytes, 0, total, true));
            return length; // and here without it
        }

        @Override
        public int readRegister(int register) {
            frame[0] = (byte) register;
            check(lines.write(address, frame, 0, 1, false));
            check(lines.read(address, single, 0, 1));
            return single[0] & 0xFF;
        }

        @Override
        public int readRegister(int register, byte[] buffer, int offset, int length) {
            Objects.checkFromIndexSize(offset, length, buffer.length);
            frame[0] = (byte) register;
            check(lines.write(address, frame, 0, 1, false));
            check(lines.read(address, buffer, offset, length));
            return length;
        }

        @Override
        public int readRegister(byte[] register, byte[] buffer, int offset, int length) {
            Objects.checkFromIndexSize(offset, length, buffer.length);
            check(lines.write(address, register, 0, register.length, false));
            check(lines.read(address, buffer, offset, length));
            return length;
        }

        /** linuxfs transfers nothing here and answers 0. */
        @Override
        public int writeReadRegisterWord(int register, int word) {
            return 0;
        }

        private byte[] frame(int length) {
            if (frame.length < length) {
                frame = new byte[length];
            }
            return frame;
        }
    }
}
