package steamleaf.core.interlock;

import java.util.Collections;
import java.util.List;

/**
 * Limits and times of the guard that belong to the line as built. All are engineering choices; what
 * they must fit is worked out row by row in {@link Rule}.
 *
 * @param heatStopK the heater is held off while the air is this far above the recipe's limit
 * @param recipeTripK air this far above the recipe's limit is a trip
 * @param longestCycleS a cycle that took longer counts as late
 * @param watchdogDropS the watchdog relay has surely dropped after this time without a pulse (the
 *     stock relay: 0.8 s)
 * @param watchdogSteadyS the watchdog relay can be reset after this time of regular pulses (the
 *     stock relay: 2.0 s)
 * @param ovens one per oven, oven 1 first
 */
public record GuardSettings(
        double heatStopK,
        double recipeTripK,
        double longestCycleS,
        double watchdogDropS,
        double watchdogSteadyS,
        List<Oven> ovens) {

    /**
     * @param airLimitC what the oven's parts are rated for
     * @param exhaustLimitC warmest exhaust
     * @param riseLimitKPerS fastest rise that heater and fan can bring about, with margin (stock: 6
     *     kW into 0.7 kJ/K of air and 0.9 kJ/K of elements, 3.7 K/s, and a third more)
     */
    public record Oven(double airLimitC, double exhaustLimitC, double riseLimitKPerS) {
        public static final Oven STOCK = new Oven(110.0, 105.0, 5.0);
    }

    public static GuardSettings stock(int ovens) {
        return new GuardSettings(2.0, 15.0, 0.5, 1.3, 2.5, Collections.nCopies(ovens, Oven.STOCK));
    }
}
