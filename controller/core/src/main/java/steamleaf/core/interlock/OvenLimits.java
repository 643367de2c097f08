package steamleaf.core.interlock;

/**
 * What the recipe allows one oven now. The oven's own limits of construction stand in {@link
 * GuardSettings} and hold besides.
 *
 * @param airLimitC warmest air the operation now running may have, the oven's own where it wants no
 *     heat; the guard keeps the heat off from {@link GuardSettings#heatStopK} above it
 * @param longestHeatOnS longest time the heater may be on in one batch, seconds of heater on
 */
public record OvenLimits(double airLimitC, double longestHeatOnS) {}
