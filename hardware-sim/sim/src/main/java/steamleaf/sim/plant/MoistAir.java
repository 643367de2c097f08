package steamleaf.sim.plant;

/**
 * Moist air as the plant keeps its books: dry air and vapour as ideal gases with constant heat
 * capacities, per kilogram of dry air, zero of enthalpy at dry air and liquid water of 0 °C.
 *
 * <p>Heat capacities and the vapour's enthalpy at 0 °C: engineering choice near the values at low
 * pressure. The latent heat that follows, {@code VAPOUR_J_PER_KG + (VAPOUR_J_PER_KG_K −
 * WATER_J_PER_KG_K)·t}, stays within 0.5 % of the saturation line from 0 to 100 °C.
 */
final class MoistAir {
    static final double GAS_J_PER_MOL_K = 8.314462618; // CODATA 2018
    static final double DRY_AIR_KG_PER_MOL = 0.0289652; // from memory, mean molar mass of dry air
    static final double WATER_KG_PER_MOL = 0.01801528; // from memory
    static final double RATIO = WATER_KG_PER_MOL / DRY_AIR_KG_PER_MOL;
    static final double DRY_AIR_J_PER_KG_K = 1_006;
    static final double VAPOUR_J_PER_KG = 2_500_900;
    static final double VAPOUR_J_PER_KG_K = 1_850;
    static final double WATER_J_PER_KG_K = 4_190;

    /**
     * Lewis number of water vapour in air to the power 2/3, the ratio of the heat to the mass
     * transfer coefficient times heat capacity. Source (not checked): Chilton &amp; Colburn 1934
     * analogy, Le ≈ 0.865.
     */
    static final double LEWIS_TWO_THIRDS = Math.cbrt(0.865 * 0.865);

    private MoistAir() {}

    static double enthalpyJPerKg(double temperatureC, double humidityKgPerKg) {
        return DRY_AIR_J_PER_KG_K * temperatureC + humidityKgPerKg * vapourJPerKg(temperatureC);
    }

    static double temperatureC(double enthalpyJPerKg, double humidityKgPerKg) {
        return (enthalpyJPerKg - humidityKgPerKg * VAPOUR_J_PER_KG)
                / (DRY_AIR_J_PER_KG_K + humidityKgPerKg * VAPOUR_J_PER_KG_K);
    }

    /** Enthalpy of vapour, J/kg. */
    static double vapourJPerKg(double temperatureC) {
        return VAPOUR_J_PER_KG + VAPOUR_J_PER_KG_K * temperatureC;
    }

    /**
     * Driving force of vapour through a film, in kilograms of vapour per kilogram of dry air: (Ws −
     * W) for lean air, with the film's own outward flow (Stefan) allowed for near boiling.
     *
     * <pre>
     *   ε·ln((p − pv)/(p − ps)) ≈ 2ε·(ps − pv)/(2p − ps − pv)
     * </pre>
     *
     * The right side is the first Padé approximation of the logarithm; it stays finite at boiling.
     * Source of the logarithm (not checked): Bird, Stewart &amp; Lightfoot, Transport Phenomena,
     * diffusion through a stagnant film.
     */
    static double driving(double surfacePa, double vapourPa, double pressurePa) {
        return 2 * RATIO * (surfacePa - vapourPa) / (2 * pressurePa - surfacePa - vapourPa);
    }

    static double vapourPa(double humidityKgPerKg, double pressurePa) {
        return pressurePa * humidityKgPerKg / (RATIO + humidityKgPerKg);
    }

    /**
     * Humidity ratio over a surface of the given water activity; the vapour pressure is held below
     * 97 % of the total.
     */
    static double humidityKgPerKg(double activity, double saturationPa, double pressurePa) {
        double vapourPa = Math.min(activity * saturationPa, 0.97 * pressurePa);
        return RATIO * vapourPa / (pressurePa - vapourPa);
    }

    static double relativeHumidity(double humidityKgPerKg, double saturationPa, double pressurePa) {
        return vapourPa(humidityKgPerKg, pressurePa) / saturationPa;
    }

    /** Dry air in a cubic metre of moist air, kg/m³. */
    static double dryAirKgPerM3(double temperatureC, double humidityKgPerKg, double pressurePa) {
        double dryPa = pressurePa * RATIO / (RATIO + humidityKgPerKg);
        return dryPa * DRY_AIR_KG_PER_MOL / (GAS_J_PER_MOL_K * (temperatureC + Steam.ZERO_C_K));
    }

    /**
     * Temperature of a wet surface in an air stream, from the balance of heat in and vapour out,
     *
     * <pre>
     *   c·Le^(2/3)·(t − tw) = driving(ps(tw), pv)·(hv(tw) − cw·tw),   c = ca + W·cv
     * </pre>
     *
     * by bisection. Differs a little from the thermodynamic wet bulb, as real wet leaf does.
     */
    static double wetSurfaceC(double temperatureC, double humidityKgPerKg, double pressurePa) {
        double low = -20;
        double high = temperatureC;
        double vapourPa = vapourPa(humidityKgPerKg, pressurePa);
        double capacity =
                (DRY_AIR_J_PER_KG_K + humidityKgPerKg * VAPOUR_J_PER_KG_K) * LEWIS_TWO_THIRDS;
        for (int i = 0; i < 60; i++) {
            double middle = 0.5 * (low + high);
            double gain = capacity * (temperatureC - middle);
            double surface = Math.min(Steam.saturationPa(middle), 1.5 * pressurePa);
            double loss =
                    driving(surface, vapourPa, pressurePa)
                            * (vapourJPerKg(middle) - WATER_J_PER_KG_K * middle);
            if (gain > loss) {
                low = middle;
            } else {
                high = middle;
            }
        }
        return 0.5 * (low + high);
    }
}
