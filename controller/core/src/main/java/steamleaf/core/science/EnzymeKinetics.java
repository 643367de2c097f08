package steamleaf.core.science;

/**
 * Inactivation of the leaf's oxidising enzymes by heat; the temperature is the <em>leaf's</em>.
 *
 * <p>No whole-leaf value for tea is published. Peroxidase of leaf vegetables stands in: broccoli,
 * D(90 °C) = 0.4 min, z = 16.5 K (Gonçalves et al. 2009, J. Agric. Food Chem. 57:5370–5375, 70–90
 * °C; above 90 °C extrapolated); watercress, biphasic (Cruz, Vieira, Silva 2006, J. Food Eng.
 * 72:8–15, about 40–93 °C). Tea extracts give a far gentler slope, z = 39.7 K (Ünal, Yabacı, Şener
 * 2011, GIDA 36(3):137–144). So the parameters are arguments everywhere. Abstracts; 0 to 125 °C.
 *
 * <p>The D and z notation is that of thermal processing. Source (not checked): Bigelow 1921, J.
 * Infect. Dis. 29:528–536; Stumbo 1973, Thermobacteriology in Food Processing, 2nd ed., ch. 7.
 */
public final class EnzymeKinetics {
    public static final Range LEAF_TEMPERATURE_C =
            new Range("leaf temperature under steam", "°C", 0.0, 125.0);

    /** Published z run from 13 K (juice) to 40 K (tea extract). */
    public static final Range Z_K = new Range("z", "K", 1.0, 200.0);

    /** In whatever time unit the caller keeps to. */
    public static final Range DECIMAL_TIME = new Range("D", "time", 1.0e-9, 1.0e9);

    /** ∫k dt of one population; beyond it nothing is left that a double could hold. */
    public static final Range EXPONENT = new Range("rate times time", "-", 0.0, 1.0e9);

    /** Broccoli peroxidase, Gonçalves 2009: D at the reference temperature, s. */
    public static final double STAND_IN_D_S = 24.0;

    /** Reference temperature of the stand-in, °C. */
    public static final double STAND_IN_REFERENCE_C = 90.0;

    /** z of the stand-in, K (printed 16.52). */
    public static final double STAND_IN_Z_K = 16.5;

    private EnzymeKinetics() {}

    /**
     * L = 10^((T − Tref)/z), no unit: seconds at the reference temperature that one second at T is
     * worth. T and Tref in °C, z in K.
     */
    public static double lethalRate(double leafTemperatureC, double referenceC, double zK) {
        boolean known =
                LEAF_TEMPERATURE_C.holds(leafTemperatureC)
                        && LEAF_TEMPERATURE_C.holds(referenceC)
                        && Z_K.holds(zK);
        return known ? Math.exp(Math.log(10.0) * (leafTemperatureC - referenceC) / zK) : Double.NaN;
    }

    /** D = Dref·10^((Tref − T)/z): time for a tenfold loss, in the unit of Dref. */
    public static double decimalTime(
            double decimalTimeAtReference, double referenceC, double zK, double temperatureC) {
        return DECIMAL_TIME.holds(decimalTimeAtReference)
                ? decimalTimeAtReference / lethalRate(temperatureC, referenceC, zK)
                : Double.NaN;
    }

    /** D = ln10/k, in the time unit of k. */
    public static double decimalTimeOfRate(double rate) {
        return Arrhenius.RATE.holds(rate) && rate > 0.0 ? Math.log(10.0) / rate : Double.NaN;
    }

    /**
     * Two populations of the enzyme, one heat-labile, one resistant, each lost by a first-order
     * reaction.
     *
     * <p>A/A0 = (1 − c)·exp(−∫k1 dt) + c·exp(−∫k2 dt), k = kref·exp(−Ea/R·(1/T − 1/Tref)), k in
     * 1/s, Ea in kJ/mol, T in K there. Source (not checked): Ling and Lund 1978, J. Food Sci.
     * 43:1307–1310. 0 to 125 °C.
     *
     * @param resistantShare c, 0 to 1
     */
    public record Biphasic(
            double referenceC,
            double labileRatePerS,
            double labileKJPerMol,
            double resistantRatePerS,
            double resistantKJPerMol,
            double resistantShare) {

        /**
         * Watercress peroxidase: Tref 84.6 °C, k1 = 18 ± 14 and k2 = 0.24 ± 0.14 1/min, Ea1 = 421 ±
         * 115 and Ea2 = 352 ± 81 kJ/mol, c = 0.5 ± 0.06. Source: Cruz, Vieira, Silva 2006,
         * abstract. (Ea2 from memory; it reproduces the reference rows computed from the printed
         * parameters.)
         */
        public static final Biphasic WATERCRESS =
                new Biphasic(84.6, 18.0 / 60.0, 421.0, 0.24 / 60.0, 352.0, 0.5);

        /** k1 at this temperature, 1/s. */
        public double labileRatePerS(double leafTemperatureC) {
            return LEAF_TEMPERATURE_C.holds(leafTemperatureC)
                    ? labileRatePerS
                            * Arrhenius.factor(labileKJPerMol, leafTemperatureC, referenceC)
                    : Double.NaN;
        }

        /** k2 at this temperature, 1/s. */
        public double resistantRatePerS(double leafTemperatureC) {
            return LEAF_TEMPERATURE_C.holds(leafTemperatureC)
                    ? resistantRatePerS
                            * Arrhenius.factor(resistantKJPerMol, leafTemperatureC, referenceC)
                    : Double.NaN;
        }

        /** Share of activity left after the two accumulated exponents ∫k1 dt and ∫k2 dt. */
        public double shareLeft(double labileExponent, double resistantExponent) {
            boolean known = EXPONENT.holds(labileExponent) && EXPONENT.holds(resistantExponent);
            return known
                    ? (1.0 - resistantShare) * Math.exp(-labileExponent)
                            + resistantShare * Math.exp(-resistantExponent)
                    : Double.NaN;
        }

        /** Share of activity left after a time at one temperature. */
        public double shareLeftAt(double leafTemperatureC, double elapsedS) {
            return shareLeft(
                    labileRatePerS(leafTemperatureC) * elapsedS,
                    resistantRatePerS(leafTemperatureC) * elapsedS);
        }
    }
}
