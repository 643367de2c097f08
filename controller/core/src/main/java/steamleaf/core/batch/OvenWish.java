package steamleaf.core.batch;

/**
 * What a batch wants of its oven.
 *
 * @param airC air set-point, NaN for no heat
 * @param leafMaxC the air gives way so that the leaf stays below; infinite while there is none
 * @param damper as far as it may open
 * @param leastDamper as far as it may close while the exhaust is dry
 * @param gently the set-point climbs at its ramp: nobody waits, and nothing may overshoot
 */
public record OvenWish(
        double airC,
        double leafMaxC,
        boolean gently,
        boolean fan,
        double damper,
        double leastDamper) {
    /** Nobody wants anything; the fan may still finish its cool-down. */
    public static final OvenWish NOTHING =
            new OvenWish(Double.NaN, Double.POSITIVE_INFINITY, true, false, 0.0, 0.0);

    /** Leaf that waits inside is aired with the room's air. */
    static final OvenWish AIRED =
            new OvenWish(Double.NaN, Double.POSITIVE_INFINITY, true, true, 1.0, 1.0);

    public boolean heat() {
        return !Double.isNaN(airC);
    }
}
