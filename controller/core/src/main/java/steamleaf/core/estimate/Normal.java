package steamleaf.core.estimate;

/** The normal distribution. */
final class Normal {
    private Normal() {}

    /**
     * Φ(x), to 1.5e-7. Source (not checked): Abramowitz and Stegun, Handbook of Mathematical
     * Functions, 7.1.26. The test compares with Hipparchus.
     */
    static double below(double x) {
        double z = Math.abs(x) / Math.sqrt(2.0);
        double t = 1.0 / (1.0 + 0.3275911 * z);
        double series =
                t
                        * (0.254829592
                                + t
                                        * (-0.284496736
                                                + t
                                                        * (1.421413741
                                                                + t
                                                                        * (-1.453152027
                                                                                + t
                                                                                        * 1.061405429))));
        double tail = 0.5 * series * Math.exp(-z * z);
        return x >= 0.0 ? 1.0 - tail : tail;
    }
}
