package steamleaf.core.estimate;

import steamleaf.core.science.EnzymeKinetics;
import steamleaf.core.science.Saturation;

/**
 * What steam has done to a portion of leaf: its temperature, and how far the enzymes are gone.
 *
 * <pre>
 *   dTleaf/dt = (Tsteam − Tleaf)/τ      Tsteam: the chest, at most the boiling point at the measured pressure
 *   F = ∫ 10^((Tleaf − Tref)/z) dt      decimal reductions = F/Dref
 * </pre>
 *
 * Temperatures in °C, times in s, z in K, reductions without a unit. Condensing steam cannot warm
 * leaf above its saturation temperature, whatever a superheated chest reads. Peroxidase of leaf
 * vegetables stands in for the leaf's own enzymes; F, its sources and its range of 0 to 125 °C, out
 * of which leaf gets no credit: {@link EnzymeKinetics}. The heating is an engineering choice, τ = 8
 * s so that it reproduces the published 98 °C after 30 s in steam of 100 °C.
 *
 * @param leafC leaf temperature
 * @param elapsedS time under steam so far
 * @param equivalentS F, seconds at the reference temperature
 * @param labileExponent ∫k1 dt of the two-population model
 * @param resistantExponent ∫k2 dt
 */
public record SteamDose(
        double leafC,
        double elapsedS,
        double equivalentS,
        double labileExponent,
        double resistantExponent) {

    private static final double DWELL_STEP_S = 0.5;

    /** No belt is that slow. Engineering choice. */
    private static final double LONGEST_DWELL_S = 300.0;

    /**
     * @param heatingS τ, time constant of the leaf in the steam
     * @param floorReductions decimal reductions that every style must reach; engineering choice 1,
     *     that is nine tenths of the stand-in's activity
     */
    public record Parameters(
            double heatingS,
            double decimalTimeS,
            double referenceC,
            double zK,
            EnzymeKinetics.Biphasic biphasic,
            double floorReductions) {
        public static final Parameters STOCK =
                new Parameters(
                        8.0,
                        EnzymeKinetics.STAND_IN_D_S,
                        EnzymeKinetics.STAND_IN_REFERENCE_C,
                        EnzymeKinetics.STAND_IN_Z_K,
                        EnzymeKinetics.Biphasic.WATERCRESS,
                        1.0);
    }

    /** Leaf as it goes in. */
    public static SteamDose start(double leafC) {
        return new SteamDose(leafC, 0.0, 0.0, 0.0, 0.0);
    }

    /**
     * A step of time. A chest or pressure that can't be trusted gives no credit: time passes, the
     * dose stands. Simpson's rule over the step.
     */
    public SteamDose step(Parameters parameters, double chestC, double pressureKPa, double stepS) {
        double boilingC = Saturation.temperatureC(pressureKPa);
        double steamC = Math.min(chestC, boilingC); // NaN if either is
        if (!Double.isFinite(steamC)) {
            return new SteamDose(
                    leafC, elapsedS + stepS, equivalentS, labileExponent, resistantExponent);
        }
        double middleC = warmed(parameters, steamC, 0.5 * stepS);
        double endC = warmed(parameters, steamC, stepS);
        double sixth = stepS / 6.0;
        return new SteamDose(
                endC,
                elapsedS + stepS,
                equivalentS
                        + sixth
                                * (lethal(parameters, leafC)
                                        + 4.0 * lethal(parameters, middleC)
                                        + lethal(parameters, endC)),
                labileExponent
                        + sixth
                                * (labile(parameters, leafC)
                                        + 4.0 * labile(parameters, middleC)
                                        + labile(parameters, endC)),
                resistantExponent
                        + sixth
                                * (resistant(parameters, leafC)
                                        + 4.0 * resistant(parameters, middleC)
                                        + resistant(parameters, endC)));
    }

    /** The dose of a portion that stays {@code dwellS} in steam of this chest and pressure. */
    public static SteamDose ofDwell(
            Parameters parameters, double leafC, double chestC, double pressureKPa, double dwellS) {
        SteamDose dose = start(leafC);
        int steps = (int) Math.ceil(dwellS);
        for (int i = 0; i < steps; i++) {
            dose = dose.step(parameters, chestC, pressureKPa, dwellS / steps);
        }
        return dose;
    }

    /**
     * Seconds that leaf has to stay in steam of this chest and pressure until it reaches the floor,
     * to the next half second; NaN if it does not within {@value #LONGEST_DWELL_S} s, or if chest
     * or pressure is unknown.
     */
    public static double dwellToFloorS(
            Parameters parameters, double leafC, double chestC, double pressureKPa) {
        SteamDose dose = start(leafC);
        while (dose.elapsedS < LONGEST_DWELL_S) {
            dose = dose.step(parameters, chestC, pressureKPa, DWELL_STEP_S);
            if (dose.floorReached(parameters)) {
                return dose.elapsedS;
            }
        }
        return Double.NaN;
    }

    /** Decimal reductions of the stand-in so far. */
    public double decimalReductions(Parameters parameters) {
        return equivalentS / parameters.decimalTimeS();
    }

    /** Share of activity left by the two-population model. A model's answer, not a measurement. */
    public double activityLeft(Parameters parameters) {
        return parameters.biphasic().shareLeft(labileExponent, resistantExponent);
    }

    public boolean floorReached(Parameters parameters) {
        return decimalReductions(parameters) >= parameters.floorReductions();
    }

    private double warmed(Parameters parameters, double steamC, double afterS) {
        return steamC + (leafC - steamC) * Math.exp(-afterS / parameters.heatingS());
    }

    private static double lethal(Parameters parameters, double temperatureC) {
        return orNothing(
                EnzymeKinetics.lethalRate(temperatureC, parameters.referenceC(), parameters.zK()));
    }

    private static double labile(Parameters parameters, double temperatureC) {
        return orNothing(parameters.biphasic().labileRatePerS(temperatureC));
    }

    private static double resistant(Parameters parameters, double temperatureC) {
        return orNothing(parameters.biphasic().resistantRatePerS(temperatureC));
    }

    /** Outside the relation's range there is no credit. */
    private static double orNothing(double rate) {
        return Double.isNaN(rate) ? 0.0 : rate;
    }
}
