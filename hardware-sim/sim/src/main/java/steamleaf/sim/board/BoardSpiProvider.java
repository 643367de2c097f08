package steamleaf.sim.board;

import com.pi4j.context.Context;
import com.pi4j.exception.InitializeException;
import com.pi4j.io.spi.Spi;
import com.pi4j.io.spi.SpiBase;
import com.pi4j.io.spi.SpiConfig;
import com.pi4j.io.spi.SpiMode;
import com.pi4j.io.spi.SpiProvider;
import com.pi4j.io.spi.SpiProviderBase;
import java.util.Arrays;
import java.util.Objects;

/**
 * SPI on a circuit; lengths and answers as Pi4J's linuxfs provider gives them. A chip that is not
 * there is no error on this bus.
 */
final class BoardSpiProvider extends SpiProviderBase implements SpiProvider {
    private final Ends board;

    BoardSpiProvider(Ends board) {
        super("steamleaf-simulated-spi", "SPI of the simulated board");
        this.board = board;
    }

    @Override
    public Spi create(SpiConfig config) {
        int bus = config.bus().getBus();
        int chipEnable = config.address();
        Ends.Spi lines = board.spi(bus);
        if (lines == null || chipEnable < 0 || chipEnable > 1) {
            throw new IllegalStateException(
                    "Failed to open SPI device: the board has no bus "
                            + bus
                            + " with chip enable "
                            + chipEnable);
        }
        Device device = new Device(this, config, lines, chipEnable);
        device.open();
        context.registry().add(device);
        return device;
    }

    private static final class Device extends SpiBase implements Spi {
        private final Ends.Spi lines;
        private final int chipEnable;
        private final boolean shifted;
        private byte[] unused = new byte[64];
        private byte[] zeros = new byte[64];

        Device(SpiProvider provider, SpiConfig config, Ends.Spi lines, int chipEnable) {
            super(provider, config);
            this.lines = lines;
            this.chipEnable = chipEnable;
            SpiMode mode = config.mode();
            shifted =
                    mode != SpiMode.MODE_1
                            && mode != SpiMode.MODE_3; // the MAX31865 knows these two
        }

        @Override
        public void open() {
            super.open();
            isOpen = true;
        }

        @Override
        public Spi shutdown(Context context) {
            close();
            return this;
        }

        @Override
        public Spi initialize(Context context) throws InitializeException {
            return super.initialize(context);
        }

        @Override
        public int transfer(
                byte[] write, int writeOffset, byte[] read, int readOffset, int numberOfBytes) {
            Objects.checkFromIndexSize(writeOffset, numberOfBytes, write.length);
            Objects.checkFromIndexSize(readOffset, numberOfBytes, read.length);
            lines.transfer(
                    chipEnable, shifted, write, writeOffset, read, readOffset, numberOfBytes);
            return numberOfBytes;
        }

        @Override
        public int read() {
            byte[] one = new byte[1];
            read(one, 0, 1);
            return one[0];
        }

        @Override
        public int read(byte[] buffer, int offset, int length) {
            if (zeros.length < length) {
                zeros = new byte[length];
            }
            Arrays.fill(zeros, 0, length, (byte) 0);
            return transfer(zeros, 0, buffer, offset, length);
        }

        @Override
        public int write(byte b) {
            return write(new byte[] {b}, 0, 1);
        }

        @Override
        public int write(byte[] data, int offset, int length) {
            if (unused.length < length) {
                unused = new byte[length];
            }
            return transfer(data, offset, unused, 0, length);
        }
    }
}
