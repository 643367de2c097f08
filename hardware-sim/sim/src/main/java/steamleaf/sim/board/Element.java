package steamleaf.sim.board;

import java.util.function.ToDoubleFunction;
import steamleaf.sim.chip.Max31865;
import steamleaf.sim.chip.Nau7802;
import steamleaf.sim.chip.Pt100;
import steamleaf.sim.chip.Sht31;
import steamleaf.sim.plant.Sensing;

/**
 * A sensing element and its wires, between a place in the plant and a chip, with what can go wrong
 * there.
 *
 * <p>Faults may be combined: a lost element drifts on, a frozen one stops wherever the others had
 * taken it, and an open or shorted wire hides them all.
 */
public abstract sealed class Element {
    private final String name;
    private final Seat seat;
    boolean open;
    boolean shorted;
    boolean frozen;
    boolean lost;
    double knocked;
    double driftPerS;
    double drift;

    private Element(String name, Seat seat) {
        this.name = name;
        this.seat = seat;
    }

    public String name() {
        return name;
    }

    /** The chip that this element hangs on. */
    public Seat seat() {
        return seat;
    }

    /** A broken wire. */
    public void open(boolean open) {
        this.open = open;
    }

    /** Its wires touching each other. */
    public void shorted(boolean shorted) {
        this.shorted = shorted;
    }

    /** Shows what it showed last, whatever happens. */
    public void frozen(boolean frozen) {
        this.frozen = frozen;
    }

    /** Fallen out of its place, hanging in the room. */
    public void lost(boolean lost) {
        this.lost = lost;
    }

    /** A lasting error that grows with time; nought takes it away. */
    public void drift(double perHour) {
        driftPerS = perHour / 3600;
        drift = 0;
    }

    /** A sudden, lasting error. */
    public void knocked(double by) {
        knocked = by;
    }

    /**
     * Stands in the place of {@code other}, an element of the same kind; itself: back in its own.
     */
    public final void standInPlaceOf(Element other) {
        if (!fits(other)) {
            throw new IllegalArgumentException(
                    name() + " and " + other.name() + " are not of one kind");
        }
        stand(other);
    }

    /** Whether the two could be exchanged by mistake. */
    public abstract boolean fits(Element other);

    abstract void stand(Element other);

    /** The unit of its drift, per hour, and of a knock. */
    public abstract String unit();

    abstract void expose(Sensing sensing, double elapsedS);

    final void age(double elapsedS) {
        drift += driftPerS * elapsedS;
    }

    /** A Pt100 on a MAX31865. */
    static final class Temperature extends Element {
        private final Max31865 chip;
        private final ToDoubleFunction<Sensing> own;
        private ToDoubleFunction<Sensing> place;
        private double shownC;

        Temperature(String name, Seat seat, ToDoubleFunction<Sensing> place, Max31865 chip) {
            super(name, seat);
            own = place;
            this.place = place;
            this.chip = chip;
        }

        @Override
        public boolean fits(Element other) {
            return other instanceof Temperature;
        }

        @Override
        void stand(Element other) {
            place = ((Temperature) other).own;
        }

        @Override
        public String unit() {
            return "K";
        }

        @Override
        void expose(Sensing sensing, double elapsedS) {
            age(elapsedS);
            if (!frozen) {
                shownC = (lost ? sensing.roomC : place.applyAsDouble(sensing)) + drift;
            }
            double ohm = Pt100.ohm(shownC);
            chip.sense(open ? Double.POSITIVE_INFINITY : shorted ? 0 : ohm);
        }
    }

    /** A SHT31; drift is of its humidity. */
    static final class Climate extends Element {
        private final Sht31 chip;
        private final Terminals.Climate own;
        private Terminals.Climate place;

        Climate(String name, Seat seat, Terminals.Climate place, Sht31 chip) {
            super(name, seat);
            own = place;
            this.place = place;
            this.chip = chip;
        }

        @Override
        public boolean fits(Element other) {
            return other instanceof Climate;
        }

        @Override
        void stand(Element other) {
            place = ((Climate) other).own;
        }

        @Override
        public String unit() {
            return "1";
        }

        @Override
        void expose(Sensing sensing, double elapsedS) {
            age(elapsedS);
            if (frozen) {
                return;
            }
            double temperatureC =
                    lost ? sensing.roomC : place.temperatureC().applyAsDouble(sensing);
            double humidity =
                    lost ? sensing.roomRh : place.relativeHumidity().applyAsDouble(sensing);
            chip.sense(temperatureC, humidity + drift);
        }
    }

    /** A bridge on a NAU7802: a tray scale or the barometer. */
    static final class Load extends Element {
        /** Far beyond the converter's range: an input that nobody holds drifts to a rail. */
        private static final double OPEN_MV_PER_V = 1000;

        private final Nau7802 chip;
        private final double zeroMvPerV;
        private final double mvPerVPerUnit;
        private final String unit;
        private final ToDoubleFunction<Sensing> own;
        private ToDoubleFunction<Sensing> place;
        private double shownMvPerV;

        Load(String name, Seat seat, Terminals.Load terminal, Board.Bridge bridge, Nau7802 chip) {
            super(name, seat);
            own = terminal.value();
            place = own;
            unit = terminal.unit();
            this.chip = chip;
            zeroMvPerV = bridge.zeroMvPerV();
            mvPerVPerUnit = bridge.fullScaleMvPerV() / bridge.fullScale();
        }

        @Override
        public boolean fits(Element other) {
            return other instanceof Load load && load.unit.equals(unit);
        }

        @Override
        void stand(Element other) {
            place = ((Load) other).own;
        }

        @Override
        public String unit() {
            return unit;
        }

        @Override
        void expose(Sensing sensing, double elapsedS) {
            age(elapsedS);
            if (!frozen) {
                double value = place.applyAsDouble(sensing) + drift + knocked;
                shownMvPerV = zeroMvPerV + value * mvPerVPerUnit;
            }
            chip.sense(open ? OPEN_MV_PER_V : shorted ? 0 : shownMvPerV);
        }
    }
}
