package steamleaf.sim.plant;

/**
 * Saturation properties of ordinary water, by the supplementary equations of IAPWS, not by IF97.
 *
 * <p>Source: IAPWS SR1-86(1992), Revised Supplementary Release on Saturation Properties of Ordinary
 * Water Substance, equations 1 to 3; coefficients from memory, checked against the release's own
 * values at 373.1243 K and against IF97. Range 0 to 373.9 °C; used here from −20 °C (extrapolated
 * over supercooled water) to 150 °C. Hotter than the critical point, as in a burning oven, counts
 * as at it: no physics, but a number.
 */
final class Steam {
    static final double CRITICAL_K = 647.096;
    static final double CRITICAL_PA = 22.064e6;
    static final double CRITICAL_KG_PER_M3 = 322;
    static final double ZERO_C_K = 273.15;

    private static final double A1 = -7.85951783;
    private static final double A2 = 1.84408259;
    private static final double A3 = -11.7866497;
    private static final double A4 = 22.6807411;
    private static final double A5 = -15.9618719;
    private static final double A6 = 1.80122502;

    private Steam() {}

    /**
     * Saturation pressure in pascal: ln(p/pc) = Tc/T·(a1τ + a2τ^1.5 + a3τ^3 + a4τ^3.5 + a5τ^4 +
     * a6τ^7.5), τ = 1 − T/Tc.
     */
    static double saturationPa(double temperatureC) {
        double kelvin = temperatureC + ZERO_C_K;
        double tau = Math.max(0, 1 - kelvin / CRITICAL_K);
        double root = Math.sqrt(tau);
        double cubed = tau * tau * tau;
        double sum =
                tau * (A1 + A2 * root) + cubed * (A3 + A4 * root + tau * (A5 + A6 * cubed * root));
        return CRITICAL_PA * Math.exp(CRITICAL_K / kelvin * sum);
    }

    /**
     * Slope of the saturation line, Pa/K, with {@code saturationPa} its value at the same
     * temperature.
     */
    static double slopePaPerK(double temperatureC, double saturationPa) {
        double kelvin = temperatureC + ZERO_C_K;
        double tau = Math.max(0, 1 - kelvin / CRITICAL_K);
        double root = Math.sqrt(tau);
        double squared = tau * tau;
        double cubed = squared * tau;
        double sum =
                7.5 * A6 * squared * squared * squared * root
                        + 4 * A5 * cubed
                        + 3.5 * A4 * squared * root
                        + 3 * A3 * squared
                        + 1.5 * A2 * root
                        + A1
                        + Math.log(saturationPa / CRITICAL_PA);
        return -saturationPa / kelvin * sum;
    }

    /**
     * Temperature at which {@code pressurePa} is the saturation pressure, °C, by Newton's method on
     * ln p over 1/T.
     */
    static double boilingC(double pressurePa) {
        double target = Math.log(pressurePa);
        double inverse = 1 / (100 + ZERO_C_K);
        for (int i = 0; i < 20; i++) {
            double celsius = 1 / inverse - ZERO_C_K;
            double saturation = saturationPa(celsius);
            double slope = slopePaPerK(celsius, saturation) / saturation; // d ln p / dT
            double step = (target - Math.log(saturation)) / (-slope / (inverse * inverse));
            inverse += step;
            if (Math.abs(step) < 1e-13) {
                break;
            }
        }
        return 1 / inverse - ZERO_C_K;
    }

    /** Density of saturated vapour, kg/m³. */
    static double vapourKgPerM3(double temperatureC) {
        double tau = Math.max(0, 1 - (temperatureC + ZERO_C_K) / CRITICAL_K);
        double sixth = Math.pow(tau, 1.0 / 6);
        double sum =
                -2.03150240 * Math.pow(sixth, 2)
                        - 2.68302940 * Math.pow(sixth, 4)
                        - 5.38626492 * Math.pow(sixth, 8)
                        - 17.2991605 * Math.pow(sixth, 18)
                        - 44.7586581 * Math.pow(sixth, 37)
                        - 63.9201063 * Math.pow(sixth, 71);
        return CRITICAL_KG_PER_M3 * Math.exp(sum);
    }

    /** Density of saturated liquid, kg/m³. */
    static double liquidKgPerM3(double temperatureC) {
        double tau = Math.max(0, 1 - (temperatureC + ZERO_C_K) / CRITICAL_K);
        double third = Math.cbrt(tau);
        double sum =
                1
                        + 1.99274064 * third
                        + 1.09965342 * Math.pow(third, 2)
                        - 0.510839303 * Math.pow(third, 5)
                        - 1.75493479 * Math.pow(third, 16)
                        - 45.5170352 * Math.pow(third, 43)
                        - 6.74694450e5 * Math.pow(third, 110);
        return CRITICAL_KG_PER_M3 * sum;
    }

    /** Latent heat, J/kg, by the Clapeyron equation T·dp/dT·(1/ρ″ − 1/ρ′). */
    static double latentJPerKg(double temperatureC) {
        double slope = slopePaPerK(temperatureC, saturationPa(temperatureC));
        return (temperatureC + ZERO_C_K)
                * slope
                * (1 / vapourKgPerM3(temperatureC) - 1 / liquidKgPerM3(temperatureC));
    }
}
