package steamleaf.core.cycle;

/**
 * One temperature loop with its time-proportioned output.
 *
 * @param gainDutyPerK proportional gain
 * @param integralS integral time
 * @param derivativeS derivative time
 * @param windowS length of one time-proportioning window
 * @param leastOnS shortest pulse and shortest pause
 * @param rampKPerMin how fast the set-point may move
 */
public record LoopSettings(
        double gainDutyPerK,
        double integralS,
        double derivativeS,
        double windowS,
        double leastOnS,
        double rampKPerMin) {}
