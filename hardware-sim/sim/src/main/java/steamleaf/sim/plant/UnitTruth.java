package steamleaf.sim.plant;

/**
 * How a unit really is; a mutable view, filled anew each time it is asked for. What does not apply
 * is not-a-number or false.
 */
public final class UnitTruth {
    /** {@code steamer}, {@code oven-1} … */
    public final String unit;

    /** Air behind the heater of an oven; gas in the chest of the steamer. */
    public double airC;

    public double exhaustC;
    public double exhaustHumidityKgPerKg;
    public double wallC;

    /**
     * Leaf inside; in the steamer the leaf on the belt, whose {@code temperatureC} is that of the
     * leaf about to leave it.
     */
    public final LeafTruth leaf = new LeafTruth();

    /** Door of an oven, hood of the steamer. */
    public boolean doorOpen;

    /** Fan of an oven, extractor of the steamer. */
    public boolean fanOn;

    /** 0 closed to 1 open. */
    public double damper;

    /** The heater's relay conducts, driven or stuck. */
    public boolean heaterOn;

    /** Steam flows. */
    public boolean valveOn;

    /** The main contactor is closed, welded included. */
    public boolean contactorOn;

    public double heaterW;

    /** Fresh air, leak included, at room density; extractor air of the steamer is not counted. */
    public double airflowM3PerH;

    public double steamKgPerS;

    /** Air moved over the trays of an oven as a share of what fan and clean filter move. */
    public double circulation;

    /** Belt of the steamer. */
    public double beltMPerS;

    /** Chest pressure above the air pressure. */
    public double overPressureKPa;

    /** Peroxidase left in the leaf that leaves the belt now. */
    public double enzymeLeft;

    /** Pressure in the room. */
    public double pressureKPa;

    UnitTruth(String unit) {
        this.unit = unit;
    }
}
