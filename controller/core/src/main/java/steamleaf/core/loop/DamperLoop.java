package steamleaf.core.loop;

/**
 * Exhaust damper on the exhaust's humidity: dry exhaust is hot air thrown away, and says little of
 * the leaf, so the damper closes; humid exhaust opens it again. Between two humidities it stands
 * still.
 *
 * <p>It does not fight the heater: it is seven times slower than the air loop's integral, it does
 * not open while the air is below its target, and it does not close while the air is above its
 * target with nothing left to take away. All numbers: engineering choice.
 */
public final class DamperLoop {
    /** Opens above; relative humidity of the exhaust, 0 to 1. */
    static final double HUMID = 0.12;

    /** Closes below. */
    static final double DRY = 0.08;

    /** A whole stroke takes this long. */
    static final double STROKE_S = 1_200.0;

    /** The air is off its target from here on. */
    static final double AIR_OFF_K = 1.0;

    /** A heater that gives less has nothing left to take away. */
    static final double IDLE_DUTY = 0.02;

    private DamperLoop() {}

    /**
     * The opening a while later.
     *
     * @param opening as it is
     * @param least as far as it may close
     * @param most as far as it may open: what the recipe says
     * @param exhaustRh NaN: nobody knows, so the recipe's opening is gone back to
     * @param aboveTargetK air over its target, NaN without one
     * @param duty of the heater, 0 to 1
     */
    public static double step(
            double opening,
            double least,
            double most,
            double exhaustRh,
            double aboveTargetK,
            double duty,
            double elapsedS) {
        double reach = elapsedS / STROKE_S;
        if (Double.isNaN(exhaustRh) || Double.isNaN(aboveTargetK)) {
            return Math.clamp(opening + reach, least, most);
        }
        boolean tooCold = aboveTargetK < -AIR_OFF_K;
        boolean tooHot = aboveTargetK > AIR_OFF_K && duty < IDLE_DUTY;
        if (exhaustRh > HUMID && !tooCold) {
            return Math.clamp(opening + reach, least, most);
        }
        if (exhaustRh < DRY && !tooHot) {
            return Math.clamp(opening - reach, least, most);
        }
        return Math.clamp(opening, least, most);
    }
}
