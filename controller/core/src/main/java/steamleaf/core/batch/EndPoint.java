package steamleaf.core.batch;

import org.jspecify.annotations.Nullable;
import steamleaf.core.estimate.Band;

/**
 * Where the last drying shall end, and why there. Moistures on wet basis, deviations are standard
 * deviations, carry-over included: this is what the mean shall be when the leaf has cooled.
 *
 * @param aim the mean shall be there
 * @param target asked for by the recipe, aimed at when the estimate is sure
 * @param deviation of the mean when it lands, as foreseen
 * @param probability that the mean ends inside the band, aimed like this
 * @param wettest where the wettest part (stems, wettest tray) will be then
 * @param wettestProbability that the wettest part ends below the band's upper end
 */
public record EndPoint(
        double aim,
        double target,
        double deviation,
        double probability,
        double wettest,
        double wettestProbability,
        Why why) {

    /** What decided. */
    public enum Why {
        /** The estimate is sure enough for the target itself. */
        SURE,
        /** It is not, so the aim lies where the band's probability is highest. */
        UNSURE,
        /** As unsure, but a little drier for the sake of stems that are wetter than the band. */
        WETTEST
    }

    /**
     * The wettest part may cost the mean this much of its probability, no more: stems even out in
     * the tin (<em>common practice, no source</em>), a charge outside its band does not. The size
     * is an engineering choice.
     */
    static final double FOR_THE_WETTEST = 0.002;

    private static final double NOTICEABLE = 2e-4;

    /**
     * The mean's aim is {@link Band#aim}. Where the wettest part would then end above the band, the
     * aim goes back towards the target, as far as that costs the mean at most {@link
     * #FOR_THE_WETTEST} of its probability of the band, and never below the target.
     *
     * @param target wet basis; null is answered for a target outside the band: then it stands for
     *     itself
     * @param deviation of the mean when it lands
     * @param wetter how much wetter than the mean the wettest part will be then
     * @param wetterDeviation of that
     */
    public static @Nullable EndPoint of(
            Band band, double target, double deviation, double wetter, double wetterDeviation) {
        if (!(target >= band.lowest() && target <= band.highest()) || !(deviation >= 0.0)) {
            return null;
        }
        Band wanted = new Band(band.lowest(), band.highest(), target);
        double best = wanted.aim(deviation);
        double aim = best;
        double excess = best + wetter - band.highest();
        if (excess > 0.0 && best > target) {
            double least = wanted.probability(best, deviation) - FOR_THE_WETTEST;
            aim = driest(wanted, Math.max(target, best - excess), best, deviation, least);
        }
        double wettest = aim + Math.max(0.0, wetter);
        double wettestDeviation = Math.hypot(deviation, Math.max(0.0, wetterDeviation));
        Why why =
                Math.abs(aim - target) < NOTICEABLE
                        ? Why.SURE
                        : best - aim > NOTICEABLE ? Why.WETTEST : Why.UNSURE;
        return new EndPoint(
                aim,
                target,
                deviation,
                wanted.probability(aim, deviation),
                wettest,
                new Band(0.0, band.highest(), target).probability(wettest, wettestDeviation),
                why);
    }

    /** The driest aim between two whose probability is still {@code least}; by bisection. */
    private static double driest(
            Band band, double from, double to, double deviation, double least) {
        if (band.probability(from, deviation) >= least) {
            return from;
        }
        double low = from;
        double high = to;
        for (int i = 0; i < 40; i++) {
            double middle = 0.5 * (low + high);
            if (band.probability(middle, deviation) >= least) {
                high = middle;
            } else {
                low = middle;
            }
        }
        return high;
    }
}
