package steamleaf.core.estimate;

/**
 * Where the moisture must land, wet basis, and where to aim.
 *
 * @param target asked for when the estimate is sure
 */
public record Band(double lowest, double highest, double target) {

    /** 4 to 7 %, 5 when sure; common practice, no source. */
    public static final Band GREEN_TEA = new Band(0.04, 0.07, 0.05);

    /** The aim keeps this many deviations from the band's ends while it can; engineering choice. */
    private static final double CLEAR = 3.0;

    public Band {
        if (!(0.0 <= lowest
                && lowest <= target
                && target <= highest
                && highest < 1.0
                && lowest < highest)) {
            throw new IllegalArgumentException(
                    "a band holds its target: " + lowest + ", " + target + ", " + highest);
        }
    }

    /**
     * Where to aim with this much doubt: the target as long as it stands three deviations inside
     * the band, else nearer to the middle, where the probability of the band is highest. (5.5 % at
     * a deviation of 0.5 points.)
     */
    public double aim(double sd) {
        if (!(sd >= 0.0)) {
            return middle();
        }
        if (target <= middle()) {
            return Math.min(middle(), Math.max(target, lowest + CLEAR * sd));
        }
        return Math.max(middle(), Math.min(target, highest - CLEAR * sd));
    }

    public double middle() {
        return 0.5 * (lowest + highest);
    }

    /** Probability that a moisture of this mean and deviation lies in the band. NaN in, NaN out. */
    public double probability(double mean, double sd) {
        if (!(sd > 0.0)) {
            return sd == 0.0 ? (mean >= lowest && mean <= highest ? 1.0 : 0.0) : Double.NaN;
        }
        return Normal.below((highest - mean) / sd) - Normal.below((lowest - mean) / sd);
    }
}
