package steamleaf.sim.board;

import org.jspecify.annotations.Nullable;

/**
 * Where a program's calls to buses and pins arrive: at a circuit in the same process, or at the
 * near end of a {@link Cable} to one in another.
 */
interface Ends {
    Pins gpio();

    /** The bus of that number, or null. */
    @Nullable I2c i2c(int bus);

    /** The bus of that number, or null. */
    @Nullable Spi spi(int bus);

    /** The header's pins. */
    interface Pins {
        boolean level(int pin);

        /** A level put there by a program. */
        void drive(int pin, boolean high);

        /** A pin that no contact leads to follows its pull resistor. */
        void pull(int pin, boolean high);
    }

    /** An I2C bus, seen from its master. */
    interface I2c {
        I2cLines.Reply write(int address, byte[] bytes, int offset, int length, boolean stop);

        I2cLines.Reply read(int address, byte[] into, int offset, int length);
    }

    /** An SPI bus, seen from its master. */
    interface Spi {
        /**
         * One frame under a chip enable.
         *
         * @param shifted clock polarity and phase do not suit the chips
         */
        void transfer(
                int chipEnable,
                boolean shifted,
                byte[] mosi,
                int mosiAt,
                byte[] miso,
                int misoAt,
                int length);
    }
}
