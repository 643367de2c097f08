package steamleaf.core.cycle;

import steamleaf.core.loop.FirstOrderFilter;

/**
 * How cold the chest was, as leaf feels it, since leaf is on the belt.
 *
 * @param feltC the chest through the leaf's own slowness
 * @param coldestC the coldest of it; infinite before there is leaf, NaN if a sensor failed
 */
public record ChestWatch(double feltC, double coldestC) {
    static final ChestWatch NONE = new ChestWatch(Double.NaN, Double.POSITIVE_INFINITY);

    /** Leaf follows the steam with about this time constant; as the dose has it. */
    private static final double LEAF_S = 8.0;

    ChestWatch next(double chestC, double elapsedS) {
        double felt = FirstOrderFilter.step(feltC, chestC, LEAF_S, elapsedS);
        return new ChestWatch(felt, Math.min(coldestC, felt));
    }
}
