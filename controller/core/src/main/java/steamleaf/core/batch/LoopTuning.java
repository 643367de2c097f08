package steamleaf.core.batch;

/**
 * Settings of an oven's air loop that a person accepted, in place of the configured ones.
 *
 * @param gainDutyPerK proportional gain
 * @param integralS integral time
 * @param derivativeS derivative time, 0 for none
 */
public record LoopTuning(double gainDutyPerK, double integralS, double derivativeS) {
    /** What the configuration allows too. */
    public boolean isSensible() {
        return gainDutyPerK >= 0.0001
                && gainDutyPerK <= 10.0
                && integralS >= 1.0
                && integralS <= 36_000.0
                && derivativeS >= 0.0
                && derivativeS <= 3_600.0;
    }
}
