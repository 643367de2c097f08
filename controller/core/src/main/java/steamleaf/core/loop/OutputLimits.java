package steamleaf.core.loop;

/**
 * What an output may be. {@code lowest} is also the output when an input can't be trusted, so it
 * must be the safe end.
 *
 * @param ratePerS fastest change per second, up or down; infinite for none
 */
public record OutputLimits(double lowest, double highest, double ratePerS) {

    /** A duty or an opening, 0 to 1, without a rate limit. */
    public static final OutputLimits SHARE = new OutputLimits(0.0, 1.0, Double.POSITIVE_INFINITY);

    public OutputLimits {
        if (!(lowest < highest && ratePerS > 0.0)) {
            throw new IllegalArgumentException(
                    "output limits: lowest below highest and a positive rate, got "
                            + lowest
                            + ", "
                            + highest
                            + ", "
                            + ratePerS);
        }
    }

    /**
     * The wanted output inside the limits, and no further from the previous one than the rate
     * allows. NaN becomes {@code lowest}.
     */
    public double apply(double wanted, double previous, double elapsedS) {
        if (Double.isNaN(wanted)) {
            return lowest;
        }
        double inside = Math.clamp(wanted, lowest, highest);
        double reach = ratePerS * elapsedS;
        return Double.isInfinite(reach)
                ? inside
                : Math.clamp(inside, previous - reach, previous + reach);
    }
}
