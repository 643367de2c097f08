package steamleaf.core.reading;

/** One scan of the whole line: immutable, dense, addressed by unit and quantity. */
public final class Readings {
    private static final Quality[] QUALITIES = Quality.values();

    private final int ovens;
    private final double[] values;
    private final byte[] qualities;

    private Readings(int ovens, double[] values, byte[] qualities) {
        this.ovens = ovens;
        this.values = values;
        this.qualities = qualities;
    }

    public int ovens() {
        return ovens;
    }

    public Reading get(UnitId unit, Quantity quantity) {
        int at = index(unit, quantity);
        return new Reading(values[at], QUALITIES[qualities[at]]);
    }

    public Reading get(Channel channel) {
        return get(channel.unit(), channel.quantity());
    }

    /** The value if it may be believed, else NaN. */
    public double good(UnitId unit, Quantity quantity) {
        int at = index(unit, quantity);
        return qualities[at] == 0 ? values[at] : Double.NaN;
    }

    /** A contact that is provably closed. */
    public boolean isOn(UnitId unit, Quantity quantity) {
        int at = index(unit, quantity);
        return qualities[at] == 0 && values[at] >= 0.5; // as Reading.isOn, without the record
    }

    /** A contact that is provably open. */
    public boolean isOff(UnitId unit, Quantity quantity) {
        int at = index(unit, quantity);
        return qualities[at] == 0 && values[at] < 0.5;
    }

    private static int index(UnitId unit, Quantity quantity) {
        if (unit.kind() != quantity.of()) {
            throw new IllegalArgumentException(unit.label() + " has no " + quantity);
        }
        int lines = Quantity.count(UnitKind.LINE);
        return switch (unit.kind()) {
            case LINE -> quantity.offset();
            case STEAMER -> lines + quantity.offset();
            case OVEN ->
                    lines
                            + Quantity.count(UnitKind.STEAMER)
                            + (unit.number() - 1) * Quantity.count(UnitKind.OVEN)
                            + quantity.offset();
        };
    }

    /**
     * Collects one scan; everything not set is {@code NOT_YET_READ}. May be reused for the next
     * scan.
     */
    public static final class Collector {
        private final int ovens;
        private final double[] values;
        private final byte[] qualities;

        public Collector(int ovens) {
            this.ovens = ovens;
            int size =
                    Quantity.count(UnitKind.LINE)
                            + Quantity.count(UnitKind.STEAMER)
                            + ovens * Quantity.count(UnitKind.OVEN);
            values = new double[size];
            qualities = new byte[size];
            java.util.Arrays.fill(values, Double.NaN);
            java.util.Arrays.fill(qualities, (byte) Quality.NOT_YET_READ.ordinal());
        }

        public Collector set(UnitId unit, Quantity quantity, double value, Quality quality) {
            int at = index(unit, quantity);
            values[at] = value;
            qualities[at] =
                    (byte)
                            (quality == Quality.GOOD && Double.isNaN(value)
                                            ? Quality.OUT_OF_RANGE
                                            : quality)
                                    .ordinal();
            return this;
        }

        public Collector set(UnitId unit, Quantity quantity, boolean on) {
            return set(unit, quantity, on ? 1.0 : 0.0, Quality.GOOD);
        }

        public Readings build() {
            return new Readings(ovens, values.clone(), qualities.clone());
        }
    }
}
