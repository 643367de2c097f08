package steamleaf.sim.plant;

/**
 * Peroxidase left in leaf after heat, as two isoenzymes of first order.
 *
 * <pre>
 *   A/A0 = (1 − f)·exp(−∫k1 dt) + f·exp(−∫k2 dt),   k = k_ref·exp(−Ea/R·(1/T − 1/357.75 K))
 * </pre>
 *
 * Watercress leaf; no value for whole tea leaf is published. Source: Cruz, Vieira &amp; Silva 2006,
 * J. Food Eng. 72:8–15: k1 18/min, Ea1 421 kJ/mol, k2 0.24/min, f 0.5 at 84.6 °C. Ea2 = 352 kJ/mol
 * follows from survivals computed with the published parameters.
 */
final class Peroxidase {
    static final double RESISTANT_SHARE = 0.5;
    private static final double REFERENCE_K = 84.6 + Steam.ZERO_C_K;
    private static final double LABILE_PER_S = 18.0 / 60;
    private static final double LABILE_J_PER_MOL = 421_000;
    private static final double RESISTANT_PER_S = 0.24 / 60;
    private static final double RESISTANT_J_PER_MOL = 352_000;

    private Peroxidase() {}

    static double labilePerS(double temperatureC) {
        return LABILE_PER_S * Math.exp(LABILE_J_PER_MOL * over(temperatureC));
    }

    static double resistantPerS(double temperatureC) {
        return RESISTANT_PER_S * Math.exp(RESISTANT_J_PER_MOL * over(temperatureC));
    }

    private static double over(double temperatureC) {
        return (1 / REFERENCE_K - 1 / (temperatureC + Steam.ZERO_C_K)) / MoistAir.GAS_J_PER_MOL_K;
    }

    /** Activity left from the two integrals of k over time. */
    static double left(double labile, double resistant) {
        return (1 - RESISTANT_SHARE) * Math.exp(-labile) + RESISTANT_SHARE * Math.exp(-resistant);
    }
}
