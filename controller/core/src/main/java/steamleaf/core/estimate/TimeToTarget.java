package steamleaf.core.estimate;

/** When a drying will be done if the air stays as it is. Moistures on wet basis. */
public sealed interface TimeToTarget {

    /** Dry enough already. */
    record Reached() implements TimeToTarget {}

    /**
     * @param secondsS from now to the target
     * @param sdS its standard deviation
     * @param moistureSd what the estimate's deviation will be then, without further measurements
     */
    record In(double secondsS, double sdS, double moistureSd) implements TimeToTarget {}

    /** The target cannot be reached with this air: its equilibrium lies above, or too close. */
    record NotWithThisAir(double equilibrium) implements TimeToTarget {}

    /** Not within the time looked ahead; where the leaf will be at its end. */
    record Later(double horizonS, double moistureThen) implements TimeToTarget {}
}
