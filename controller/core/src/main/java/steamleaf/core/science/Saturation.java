package steamleaf.core.science;

/**
 * Water and steam on the saturation line.
 *
 * <p>Source: IAPWS R7-97(2012), Industrial Formulation 1997, region 4, eqs 30 (pressure) and 31
 * (temperature); 0 °C to the critical point. Densities and the latent heat: IAPWS SR1-86(1992),
 * Supplementary saturation equations (Wagner and Pruss 1993), eqs 1 to 3, with the Clapeyron
 * relation; the two formulations agree within 0.02 % from 40 to 120 °C.
 */
public final class Saturation {
    public static final Range TEMPERATURE_C =
            new Range("saturation temperature", "°C", 0.0, 373.946);

    /** Pressures of eq. 31: 611.213 Pa to 22.064 MPa. */
    public static final Range PRESSURE_KPA =
            new Range("saturation pressure", "kPa", 0.611213, 22_064.0);

    private static final double KELVIN = 273.15;
    private static final double N1 = 0.11670521452767e4;
    private static final double N2 = -0.72421316703206e6;
    private static final double N3 = -0.17073846940092e2;
    private static final double N4 = 0.12020824702470e5;
    private static final double N5 = -0.32325550322333e7;
    private static final double N6 = 0.14915108613530e2;
    private static final double N7 = -0.48232657361591e4;
    private static final double N8 = 0.40511340542057e6;
    private static final double N9 = -0.23855557567849;
    private static final double N10 = 0.65017534844798e3;

    private static final double CRITICAL_K = 647.096;
    private static final double CRITICAL_KPA = 22_064.0;
    private static final double CRITICAL_KG_PER_M3 = 322.0;

    private Saturation() {}

    /** Saturation pressure, kPa. Source: IF97 eq. 30. */
    public static double pressureKPa(double temperatureC) {
        if (!TEMPERATURE_C.holds(temperatureC)) {
            return Double.NaN;
        }
        double T = temperatureC + KELVIN;
        double theta = T + N9 / (T - N10);
        double A = theta * theta + N1 * theta + N2;
        double B = N3 * theta * theta + N4 * theta + N5;
        double C = N6 * theta * theta + N7 * theta + N8;
        double root = 2.0 * C / (-B + Math.sqrt(B * B - 4.0 * A * C));
        return 1000.0 * root * root * root * root;
    }

    /**
     * Saturation temperature, which at the measured pressure is the boiling point, °C. Source: IF97
     * eq. 31.
     */
    public static double temperatureC(double pressureKPa) {
        if (!PRESSURE_KPA.holds(pressureKPa)) {
            return Double.NaN;
        }
        double beta = Math.sqrt(Math.sqrt(pressureKPa / 1000.0));
        double E = beta * beta + N3 * beta + N6;
        double F = N1 * beta * beta + N4 * beta + N7;
        double G = N2 * beta * beta + N5 * beta + N8;
        double D = 2.0 * G / (-F - Math.sqrt(F * F - 4.0 * E * G));
        double sum = N10 + D;
        return 0.5 * (sum - Math.sqrt(sum * sum - 4.0 * (N9 + N10 * D))) - KELVIN;
    }

    /** Density of saturated vapour, kg/m³; 0 °C to the critical point. Source: SR1-86 eq. 3. */
    public static double vapourDensityKgPerM3(double temperatureC) {
        if (!TEMPERATURE_C.holds(temperatureC)) {
            return Double.NaN;
        }
        double tau = 1.0 - (temperatureC + KELVIN) / CRITICAL_K;
        double a = Math.cbrt(tau); // tau^(2/6)
        double ln =
                -2.03150240 * a
                        - 2.68302940 * a * a
                        - 5.38626492 * a * a * a * a
                        - 17.2991605 * tau * tau * tau
                        - 44.7586581 * Math.pow(tau, 37.0 / 6.0)
                        - 63.9201063 * Math.pow(tau, 71.0 / 6.0);
        return CRITICAL_KG_PER_M3 * Math.exp(ln);
    }

    /** Density of saturated liquid, kg/m³; 0 °C to the critical point. Source: SR1-86 eq. 2. */
    public static double liquidDensityKgPerM3(double temperatureC) {
        if (!TEMPERATURE_C.holds(temperatureC)) {
            return Double.NaN;
        }
        double tau = 1.0 - (temperatureC + KELVIN) / CRITICAL_K;
        double a = Math.cbrt(tau);
        double ratio =
                1.0
                        + 1.99274064 * a
                        + 1.09965342 * a * a
                        - 0.510839303 * tau * a * a
                        - 1.75493479 * Math.pow(tau, 16.0 / 3.0)
                        - 45.5170352 * Math.pow(tau, 43.0 / 3.0)
                        - 6.74694450e5 * Math.pow(tau, 110.0 / 3.0);
        return CRITICAL_KG_PER_M3 * ratio;
    }

    /**
     * Saturation pressure of the supplementary equations, kPa; differs from IF97 by at most 0.01 %.
     * Source: SR1-86 eq. 1.
     */
    static double supplementaryPressureKPa(double temperatureC) {
        double T = temperatureC + KELVIN;
        return CRITICAL_KPA * Math.exp(CRITICAL_K / T * exponent(1.0 - T / CRITICAL_K));
    }

    /** dp/dT on the saturation line, kPa/K: the derivative of SR1-86 eq. 1. */
    public static double pressureSlopeKPaPerK(double temperatureC) {
        if (!TEMPERATURE_C.holds(temperatureC)) {
            return Double.NaN;
        }
        double T = temperatureC + KELVIN;
        double tau = 1.0 - T / CRITICAL_K;
        double root = Math.sqrt(tau);
        double tau2 = tau * tau;
        double slope =
                -7.85951783
                        + 1.5 * 1.84408259 * root
                        - 3.0 * 11.7866497 * tau2
                        + 3.5 * 22.6807411 * tau2 * root
                        - 4.0 * 15.9618719 * tau2 * tau
                        + 7.5 * 1.80122502 * tau2 * tau2 * tau2 * root;
        double p = supplementaryPressureKPa(temperatureC);
        return -p / T * (Math.log(p / CRITICAL_KPA) + slope);
    }

    private static double exponent(double tau) {
        double root = Math.sqrt(tau);
        double tau3 = tau * tau * tau;
        return -7.85951783 * tau
                + 1.84408259 * tau * root
                - 11.7866497 * tau3
                + 22.6807411 * tau3 * root
                - 15.9618719 * tau3 * tau
                + 1.80122502 * tau3 * tau3 * tau * root;
    }

    /**
     * Latent heat of vaporisation, kJ/kg: Clapeyron, r = T·(dp/dT)·(1/ρ″ − 1/ρ′). 0 °C to the
     * critical point, where it is none. Source: SR1-86 eqs 1 to 3.
     */
    public static double latentHeatKJPerKg(double temperatureC) {
        if (!TEMPERATURE_C.holds(temperatureC)) {
            return Double.NaN;
        }
        double volumes =
                1.0 / vapourDensityKgPerM3(temperatureC) - 1.0 / liquidDensityKgPerM3(temperatureC);
        return (temperatureC + KELVIN) * pressureSlopeKPaPerK(temperatureC) * volumes;
    }
}
