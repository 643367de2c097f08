package steamleaf.core.cycle;

/**
 * What the steamer does to the leaf.
 *
 * @param boilingC at the measured pressure, NaN without one
 * @param logReduction decimal reductions of the stand-in enzyme in this charge
 */
public record SteamView(
        double chestC, double boilingC, double dwellS, double beltSpeed, double logReduction) {}
