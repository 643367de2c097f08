package steamleaf.sim.chip;

/** Resistance of an industrial platinum thermometer. */
public final class Pt100 {
    private static final double R0_OHM = 100.0;
    private static final double A = 3.9083e-3; // 1/°C
    private static final double B = -5.775e-7; // 1/°C²
    private static final double C = -4.183e-12; // 1/°C⁴

    private Pt100() {}

    /**
     * Callendar–Van Dusen.
     *
     * <pre>
     *   R = R0·(1 + A·t + B·t²)                          t ≥ 0 °C
     *   R = R0·(1 + A·t + B·t² + C·(t − 100 °C)·t³)      t &lt; 0 °C
     * </pre>
     *
     * Range −200 to 850 °C. Source: IEC 60751, coefficients as in the reference rows RTD045 to
     * RTD047; 19 table values checked.
     */
    public static double ohm(double temperatureC) {
        double t = temperatureC;
        double common = 1 + A * t + B * t * t;
        return R0_OHM * (t >= 0 ? common : common + C * (t - 100) * t * t * t);
    }
}
