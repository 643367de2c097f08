package steamleaf.core.science;

/**
 * How much of the green is left: chlorophyll lost by a first-order reaction on leaf temperature. An
 * index from 1 down, not a promise.
 *
 * <p>Ea about 70 kJ/mol: 71.0 ± 4.9 (chlorophyll a, broccoli juice, Weemaes et al. 1999, J. Agric.
 * Food Chem. 47:2404–2409), 72 ± 5 (total, frozen spinach, Dermesonlouoglou et al. 2015, J. Food
 * Eng. 148:13–23); abstracts. The rate at the reference temperature is an engineering choice,
 * 1·10⁻⁴ 1/s at 80 °C: no rate for drying tea leaf was found. 0 to 125 °C; dependence on moisture
 * and acidity is left out.
 */
public final class Chlorophyll {
    public static final Range LEAF_TEMPERATURE_C = new Range("leaf temperature", "°C", 0.0, 125.0);

    public static final Range INDEX = new Range("share of the green left", "-", 0.0, 1.0);

    /** Ea, kJ/mol. */
    public static final double ACTIVATION_KJ_PER_MOL = 70.0;

    public static final double REFERENCE_C = 80.0;

    /** 1/s at 80 °C; engineering choice. */
    public static final double REFERENCE_RATE_PER_S = 1.0e-4;

    private Chlorophyll() {}

    /** k = 10⁻⁴·exp(−Ea/R·(1/T − 1/353.15 K)), 1/s; T in K there. First order, sources above. */
    public static double lossRatePerS(double leafTemperatureC) {
        return LEAF_TEMPERATURE_C.holds(leafTemperatureC)
                ? REFERENCE_RATE_PER_S
                        * Arrhenius.factor(ACTIVATION_KJ_PER_MOL, leafTemperatureC, REFERENCE_C)
                : Double.NaN;
    }

    /** The index after a step at one leaf temperature, no unit: C·exp(−k·Δt). */
    public static double indexAfter(double index, double leafTemperatureC, double elapsedS) {
        return INDEX.holds(index)
                ? index * Arrhenius.shareLeft(lossRatePerS(leafTemperatureC), elapsedS)
                : Double.NaN;
    }
}
