package steamleaf.core.batch;

/**
 * The belt steamer, as built.
 *
 * @param beltLengthMm under steam
 * @param fullSpeedMmPerS at belt speed 1.0
 * @param marginS waited after the dwell, so that the last leaf is out
 */
public record SteamerSettings(double beltLengthMm, double fullSpeedMmPerS, double marginS) {}
