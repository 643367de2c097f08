package steamleaf.core.cycle;

/** What the warm, empty oven says of its own humidity sensor. Offsets are fractions, 0 to 1. */
public sealed interface HotZero {
    /** A steady minute is waited for. */
    record UnderWay() implements HotZero {}

    /**
     * @param offset what the sensor shows too much; it is taken off
     * @param sd what stays unknown of it
     */
    record Zeroed(double offset, double sd) implements HotZero {}

    /**
     * The sensor is off by more than one that works.
     *
     * @param offset what it shows too much; nothing is taken off
     * @param sd of the offset that the estimate counts with instead
     */
    record Refused(double offset, double sd) implements HotZero {}
}
