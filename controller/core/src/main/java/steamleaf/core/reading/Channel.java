package steamleaf.core.reading;

/** One quantity of one unit. */
public record Channel(UnitId unit, Quantity quantity) {
    public Channel {
        if (unit.kind() != quantity.of()) {
            throw new IllegalArgumentException(unit.label() + " has no " + quantity);
        }
    }
}
