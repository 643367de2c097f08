package steamleaf.app.driver.max31865;

/**
 * Platinum element of 100 Ω at 0 °C.
 *
 * <pre>
 *   t &lt; 0:  R = R0 [1 + A t + B t² + C (t − 100) t³]
 *   t ≥ 0:  R = R0 (1 + A t + B t²)
 * </pre>
 *
 * <p>t in °C, R in Ω, −200 to 850 °C; beyond it there is no answer but not-a-number. Source
 * (coefficients not checked against the standard itself; they reproduce table 9 of the MAX31865
 * datasheet to its rounding): IEC 60751, Callendar–Van Dusen equation.
 */
public final class Pt100 {
    /** Resistance at 0 °C, Ω. */
    public static final double R0_OHM = 100.0;

    static final double A = 3.9083e-3; // 1/°C
    static final double B = -5.775e-7; // 1/°C²
    static final double C = -4.183e-12; // 1/°C⁴

    private static final double LOWEST_C = -200.0;
    private static final double HIGHEST_C = 850.0;
    private static final double LOWEST_OHM = polynomialOhm(LOWEST_C); // 18.52
    private static final double HIGHEST_OHM = polynomialOhm(HIGHEST_C); // 390.48

    private Pt100() {}

    /** Resistance in Ω at a temperature of −200 to 850 °C. */
    public static double resistanceOhm(double temperatureC) {
        boolean known = temperatureC >= LOWEST_C && temperatureC <= HIGHEST_C;
        return known ? polynomialOhm(temperatureC) : Double.NaN;
    }

    private static double polynomialOhm(double t) {
        double cold = t < 0 ? C * (t - 100.0) * t * t * t : 0.0;
        return R0_OHM * (1.0 + A * t + B * t * t + cold);
    }

    /**
     * Temperature in °C of a resistance of 18.52 to 390.48 Ω.
     *
     * <p>Above R0 the root of the parabola; below it, that root improved by Newton's method on the
     * full equation. Three steps leave less than 1e-6 °C down to −200 °C.
     */
    public static double temperatureC(double resistanceOhm) {
        if (!(resistanceOhm >= LOWEST_OHM && resistanceOhm <= HIGHEST_OHM)) {
            return Double.NaN;
        }
        double t = (-A + Math.sqrt(A * A - 4.0 * B * (1.0 - resistanceOhm / R0_OHM))) / (2.0 * B);
        if (resistanceOhm >= R0_OHM) {
            return t;
        }
        for (int step = 0; step < 3; step++) {
            double slope = R0_OHM * (A + 2.0 * B * t + C * t * t * (4.0 * t - 300.0));
            t -= (polynomialOhm(t) - resistanceOhm) / slope;
        }
        return t;
    }
}
