package steamleaf.core.interlock;

import java.util.Collections;
import java.util.List;

/**
 * Limits and times of the guard that belong to the line as built.
 *
 * @param heatStopK the heater is held off while the air is this far above the recipe's limit
 * @param recipeTripK air this far above the recipe's limit is a trip
 * @param longestCycleS a cycle that took longer counts as late
 * @param ovens one per oven, oven 1 first
 */
public record GuardSettings(
        double heatStopK, double recipeTripK, double longestCycleS, List<Oven> ovens) {

    /**
     * @param airLimitC what the oven's parts are rated for
     * @param exhaustLimitC warmest exhaust
     * @param riseLimitKPerS fastest rise that heater and fan can bring about, with margin
     */
    public record Oven(double airLimitC, double exhaustLimitC, double riseLimitKPerS) {
        public static final Oven STOCK = new Oven(110.0, 105.0, 3.0);
    }

    public static GuardSettings stock(int ovens) {
        return new GuardSettings(2.0, 8.0, 0.5, Collections.nCopies(ovens, Oven.STOCK));
    }
}
