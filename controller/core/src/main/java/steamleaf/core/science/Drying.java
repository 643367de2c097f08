package steamleaf.core.science;

/**
 * Drying of leaf on trays in moving air, lumped.
 *
 * <pre>
 *   −dX/dt = min[ k(Tleaf)·(X − Xe), the air's limit ]
 *   k(T) = k80·exp(−Ea/R·(1/T − 1/353.15 K))
 *   the air's limit = η·G·(Wsat(Twb) − Win)/mdry,   η = 1 − exp(−NTU)
 *   Tleaf = Twb + (1 − rate/limit)·(Tair − Twb)
 * </pre>
 *
 * X moisture and Xe equilibrium in kg water per kg dry leaf, k in 1/s, T in K in the exponent and
 * in °C elsewhere, Ea in kJ/mol, G dry air in kg/s, W humidity ratio in kg/kg, mdry dry leaf in kg.
 *
 * <p>Source: the form is textbook (constant-rate and falling-rate period; both seen on fermented
 * tea leaf by Song, Mao, Lian 2003, ASAE paper 036110, abstract); leaf at the wet bulb while wet:
 * the same, and held by reference rows. Between the two it goes with the rate: engineering choice,
 * the heat balance of leaf whose surface takes and gives heat and vapour alike. Ea = 25 kJ/mol:
 * published and recomputed values for tea run from 14 to 33 (27.7 recomputed from the diffusivities
 * of Panchariya, Popovic, Sharma 2002, J. Food Eng. 52:349–357; 26.6 Botheju et al. 2011, J. Natn.
 * Sci. Foundation Sri Lanka 39:61–67; 23.1 pulsed vacuum; abstracts). k80 = 7·10⁻⁴ 1/s: inferred
 * from published stage data (13 to 5 % w.b. in 30 min), good to a factor of 2, to be learned per
 * oven and leaf. η and its number of transfer units: textbook heat exchanger with one side at
 * constant temperature, engineering choice for trays in series.
 */
public final class Drying {
    public static final Range LEAF_TEMPERATURE_C =
            new Range("leaf temperature while drying", "°C", -10.0, 130.0);

    /** k80, wide around the published values for trays, bands and thin layers. */
    public static final Range RATE_PER_S = new Range("rate constant at 80 °C", "1/s", 0.0, 1.0);

    public static final Range TRANSFER_UNITS =
            new Range("number of transfer units", "-", 0.0, 1_000.0);

    /** Of the air's capacity, of the air's limit. */
    public static final Range SHARE = new Range("share", "-", 0.0, 1.0);

    public static final Range DRY_AIR_KG_PER_S = new Range("dry air", "kg/s", 0.0, 100.0);

    public static final double ACTIVATION_KJ_PER_MOL = 25.0;
    public static final double REFERENCE_C = 80.0;

    /** k80, 1/s, tray oven; factor 2. */
    public static final double REFERENCE_RATE_PER_S = 7.0e-4;

    private Drying() {}

    /** k(T) in 1/s. */
    public static double rateConstantPerS(
            double referenceRatePerS, double activationKJPerMol, double leafTemperatureC) {
        return LEAF_TEMPERATURE_C.holds(leafTemperatureC) && RATE_PER_S.holds(referenceRatePerS)
                ? referenceRatePerS
                        * Arrhenius.factor(activationKJPerMol, leafTemperatureC, REFERENCE_C)
                : Double.NaN;
    }

    /**
     * Water that 1 kg of dry air can take up on its adiabatic way to saturation: Wsat(Twb) − W,
     * kg/kg. Range and source: {@link Psychrometrics#wetBulbC}.
     */
    public static double airCapacityKgPerKg(
            double airTemperatureC, double humidityRatio, double pressureKPa) {
        double wetBulbC = Psychrometrics.wetBulbC(airTemperatureC, humidityRatio, pressureKPa);
        double saturated =
                Psychrometrics.humidityRatioOfVapourPressure(
                        Psychrometrics.saturationPressureKPa(wetBulbC), pressureKPa);
        return saturated - humidityRatio;
    }

    /** η = 1 − exp(−NTU): share of the air's capacity that the trays can use, 0 to 1. */
    public static double transferShare(double transferUnits) {
        return TRANSFER_UNITS.holds(transferUnits) ? -Math.expm1(-transferUnits) : Double.NaN;
    }

    /** The air's limit as evaporation, kg/s: η·G·(Wsat(Twb) − W). */
    public static double airLimitKgPerS(
            double dryAirKgPerS, double transferShare, double capacityKgPerKg) {
        boolean known =
                DRY_AIR_KG_PER_S.holds(dryAirKgPerS)
                        && SHARE.holds(transferShare)
                        && capacityKgPerKg >= 0.0
                        && capacityKgPerKg <= Psychrometrics.HUMIDITY_RATIO.highest();
        return known ? dryAirKgPerS * transferShare * capacityKgPerKg : Double.NaN;
    }

    /** Tleaf = Twb + (1 − u)·(Tair − Twb), u = rate over the air's limit, 0 (dry) to 1 (wet). */
    public static double leafTemperatureC(
            double airTemperatureC, double wetBulbC, double shareOfLimit) {
        boolean known =
                LEAF_TEMPERATURE_C.holds(wetBulbC)
                        && wetBulbC <= airTemperatureC
                        && LEAF_TEMPERATURE_C.holds(airTemperatureC)
                        && SHARE.holds(shareOfLimit);
        return known ? wetBulbC + (1.0 - shareOfLimit) * (airTemperatureC - wetBulbC) : Double.NaN;
    }

    /**
     * Mean rate constant between two moistures on the falling-rate curve: ln((X0 − Xe)/(X1 −
     * Xe))/t, 1/s.
     */
    public static double rateConstantBetweenPerS(
            double fromKgPerKg, double toKgPerKg, double equilibriumKgPerKg, double elapsedS) {
        boolean known =
                MoistureBasis.DRY_BASIS.holds(fromKgPerKg)
                        && MoistureBasis.DRY_BASIS.holds(equilibriumKgPerKg)
                        && fromKgPerKg >= toKgPerKg
                        && toKgPerKg > equilibriumKgPerKg
                        && Arrhenius.TIME.holds(elapsedS)
                        && elapsedS > 0.0;
        return known
                ? Math.log((fromKgPerKg - equilibriumKgPerKg) / (toKgPerKg - equilibriumKgPerKg))
                        / elapsedS
                : Double.NaN;
    }
}
