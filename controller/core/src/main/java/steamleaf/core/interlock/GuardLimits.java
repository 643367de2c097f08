package steamleaf.core.interlock;

import java.util.List;

/**
 * Limits that come from outside the guard.
 *
 * @param boilingC boiling point of water at the measured pressure; NaN when the pressure is unknown
 * @param ovens one per oven, oven 1 first
 */
public record GuardLimits(double boilingC, List<OvenLimits> ovens) {}
