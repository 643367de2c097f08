package steamleaf.core.batch;

/**
 * What a batch wants of its oven.
 *
 * @param airC air set-point, NaN for no heat
 * @param leafMaxC the air gives way so that the leaf stays below
 * @param airLimitC warmest air the guard shall allow now
 */
public record OvenWish(double airC, double leafMaxC, boolean fan, double damper, double airLimitC) {
    /** Nobody wants anything; the fan may still finish its cool-down. */
    public static final OvenWish NOTHING =
            new OvenWish(Double.NaN, Double.NaN, false, 0.0, OvenWish.HELD_AIR_C);

    /** Wet leaf that waits is kept below this. Common practice, no source. */
    static final double HELD_AIR_C = 35.0;

    public boolean heat() {
        return airC == airC;
    }
}
