package steamleaf.sim.board;

import org.jspecify.annotations.Nullable;
import steamleaf.sim.chip.I2cChip;
import steamleaf.sim.chip.Max31865;

/** A chip's place on its bus, with what can go wrong between chip and bus. */
public final class Seat {
    final String name;
    final @Nullable I2cChip i2c;
    final @Nullable Max31865 spi;
    boolean missing;
    boolean garbled;

    private Seat(String name, @Nullable I2cChip i2c, @Nullable Max31865 spi) {
        this.name = name;
        this.i2c = i2c;
        this.spi = spi;
    }

    static Seat of(String name, I2cChip chip) {
        return new Seat(name, chip, null);
    }

    static Seat of(String name, Max31865 chip) {
        return new Seat(name, null, chip);
    }

    public String name() {
        return name;
    }

    /** The chip answers nothing, as if it were not there. */
    public void missing(boolean missing) {
        this.missing = missing;
    }

    /** What is read from the chip are random bits. */
    public void garbled(boolean garbled) {
        this.garbled = garbled;
    }
}
