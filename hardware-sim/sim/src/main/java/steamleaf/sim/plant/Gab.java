package steamleaf.sim.plant;

/**
 * Water activity over leaf of a given moisture, by Guggenheim, Anderson and de Boer with a
 * temperature-dependent monolayer.
 *
 * <pre>
 *   X = Xm·C·a / ((1 − a)·(1 + (C − 1)·a)),   a = K·aw,   Xm = Xm50·exp(q/R·(1/T − 1/323.15 K))
 *   B = Xm·C − (C − 2)·X,   a = 2X / (B + √(B² + 4(C − 1)X²))
 * </pre>
 *
 * The closed form is capped at aw = 1: water beyond that is free. Stock numbers: engineering
 * choice, near 4 % w.b. at aw 0.26 and 25 °C, 7 % d.b. at 60 %; no coefficient table for tea was at
 * hand. Form: standard, source (not checked): van den Berg &amp; Bruin 1981. The sorption heat is
 * not in the energy books; the temperature dependence is.
 */
final class Gab {
    private final double monolayerAt50;
    private final double heatOverGas;
    private final double c;
    private final double k;
    private double monolayer;
    private double lastC = Double.NaN;

    /** Results of {@link #at}: activity and its slope over moisture. */
    double activity;

    double slope;

    Gab(PlantSettings.Sorption settings) {
        monolayerAt50 = settings.monolayerKgPerKg();
        heatOverGas = settings.monolayerHeatJPerMol() / MoistAir.GAS_J_PER_MOL_K;
        c = settings.guggenheim();
        k = settings.k();
    }

    void temperature(double celsius) {
        if (celsius != lastC) {
            monolayer =
                    monolayerAt50
                            * Math.exp(heatOverGas * (1 / (celsius + Steam.ZERO_C_K) - 1 / 323.15));
            lastC = celsius;
        }
    }

    void at(double moistureKgPerKg) {
        double x = moistureKgPerKg;
        double b = monolayer * c - (c - 2) * x;
        double root = Math.sqrt(b * b + 4 * (c - 1) * x * x);
        double a = 2 * x / (b + root);
        activity = a / k;
        slope = (1 + (c - 2) * a - (c - 1) * a * a) / (root * k);
        if (activity >= 1) {
            activity = 1;
            slope = 0;
        }
    }

    /** Moisture in equilibrium with an activity, kg/kg d.b., at the temperature last set. */
    double moistureKgPerKg(double activityWanted) {
        double a = k * activityWanted;
        return monolayer * c * a / ((1 - a) * (1 + (c - 1) * a));
    }
}
