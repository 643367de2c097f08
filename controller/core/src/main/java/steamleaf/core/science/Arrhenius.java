package steamleaf.core.science;

/**
 * How a rate changes with temperature.
 *
 * <p>Source (not checked): Arrhenius 1889, Z. phys. Chem. 4:226–248, and every textbook of reaction
 * kinetics; z as in thermal processing, see {@link EnzymeKinetics}. Reference rows hold each
 * relation. −20 to 200 °C; Ea 0 to 1,000 kJ/mol.
 */
public final class Arrhenius {
    public static final Range TEMPERATURE_C = new Range("reaction temperature", "°C", -20.0, 200.0);

    /** Above every value published for food; watercress peroxidase has 421. */
    public static final Range ACTIVATION_KJ_PER_MOL_RANGE =
            new Range("activation energy", "kJ/mol", 0.0, 1_000.0);

    /** Rates of losses, in whatever time unit the caller keeps to. */
    public static final Range RATE = new Range("rate constant", "1/time", 0.0, 1.0e6);

    /** Durations, in whatever time unit the caller keeps to. */
    public static final Range TIME = new Range("time", "time", 0.0, 1.0e9);

    /** R in kJ/(mol·K). CODATA 2018, rounded. */
    public static final double GAS_CONSTANT = 8.314462618e-3;

    static final double KELVIN = 273.15;

    private Arrhenius() {}

    /** k/kref = exp(−Ea/R·(1/T − 1/Tref)), no unit; T in K there. */
    public static double factor(double activationKJPerMol, double temperatureC, double referenceC) {
        boolean known =
                ACTIVATION_KJ_PER_MOL_RANGE.holds(activationKJPerMol)
                        && TEMPERATURE_C.holds(temperatureC)
                        && TEMPERATURE_C.holds(referenceC);
        if (!known) {
            return Double.NaN;
        }
        double reciprocals = 1.0 / (temperatureC + KELVIN) - 1.0 / (referenceC + KELVIN);
        return Math.exp(-activationKJPerMol / GAS_CONSTANT * reciprocals);
    }

    /**
     * Ea = R·ln(k2/k1)/(1/T1 − 1/T2) in kJ/mol from two values of a rate or diffusivity, T in K
     * there; below zero where the rate falls with temperature.
     */
    public static double activationKJPerMol(
            double firstRate, double firstC, double secondRate, double secondC) {
        boolean known =
                TEMPERATURE_C.holds(firstC)
                        && TEMPERATURE_C.holds(secondC)
                        && firstC != secondC
                        && RATE.holds(firstRate)
                        && RATE.holds(secondRate)
                        && firstRate > 0.0
                        && secondRate > 0.0;
        if (!known) {
            return Double.NaN;
        }
        double reciprocals = 1.0 / (firstC + KELVIN) - 1.0 / (secondC + KELVIN);
        return GAS_CONSTANT * Math.log(secondRate / firstRate) / reciprocals;
    }

    /**
     * z = ln10·R·T²/Ea: the temperature rise in K that makes the rate ten times faster, at this
     * temperature.
     */
    public static double zValueK(double activationKJPerMol, double temperatureC) {
        boolean known =
                TEMPERATURE_C.holds(temperatureC)
                        && ACTIVATION_KJ_PER_MOL_RANGE.holds(activationKJPerMol)
                        && activationKJPerMol > 0.0;
        if (!known) {
            return Double.NaN;
        }
        double T = temperatureC + KELVIN;
        return Math.log(10.0) * GAS_CONSTANT * T * T / activationKJPerMol;
    }

    /**
     * Share left after a first-order loss at constant rate: exp(−k·t), k and t in the same time
     * unit.
     */
    public static double shareLeft(double rate, double time) {
        return RATE.holds(rate) && TIME.holds(time) ? Math.exp(-rate * time) : Double.NaN;
    }

    /** Rate constant from the share left after a time: −ln(share)/t. */
    public static double rateOfShareLeft(double shareLeft, double time) {
        return shareLeft > 0.0 && shareLeft <= 1.0 && TIME.holds(time) && time > 0.0
                ? -Math.log(shareLeft) / time
                : Double.NaN;
    }
}
