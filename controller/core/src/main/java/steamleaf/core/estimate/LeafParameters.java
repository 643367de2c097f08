package steamleaf.core.estimate;

import steamleaf.core.science.Drying;
import steamleaf.core.science.Isotherm;

/**
 * What the filter believes of leaf, oven and sensors before it has seen anything. Deviations are
 * standard deviations; those of a logarithm are relative.
 *
 * @param isotherm equilibrium moisture
 * @param referenceRatePerS k80 of the blade at 0.1 kg/kg
 * @param activationKJPerMol Ea of the drying rate
 * @param moistureExponent n: the rate constant goes with ((1 + X/0.15)/(1 + 0.1/0.15))^n
 * @param stemShare dry matter of stems and thick parts in the whole
 * @param stemRate rate constant of the stems relative to the blade
 * @param traySpread how much wetter the wettest tray is than the mean of trays, relative
 * @param transferPerS mass transfer to the trays with the fan running, kg dry air per s and kg dry
 *     leaf
 * @param transferExponent of that transfer over the fan's share
 * @param airVolumeM3 of the oven
 * @param sensorLagS of the exhaust humidity sensor
 * @param rateFactor learned factor on k80, 1 if nothing was learned
 * @param rateSd of its logarithm, as those of the next two
 * @param airflowFactor learned factor on the exchange of air
 * @param transferFactor learned factor on the transfer
 * @param humidityBias learned or zeroed offset of the exhaust humidity, 0 to 1
 * @param humidityNoiseSd of one reading of the exhaust humidity, 0 to 1
 * @param scaleZeroSdKg of the tray scale's zero before it was weighed against
 * @param restSd of ln of the factor on the isotherm's moisture; engineering choice, less than the
 *     isotherm's own ± 1.5 % d.b., see docs/science.md
 */
public record LeafParameters(
        Isotherm isotherm,
        double referenceRatePerS,
        double activationKJPerMol,
        double moistureExponent,
        double stemShare,
        double stemRate,
        double traySpread,
        double transferPerS,
        double transferExponent,
        double airVolumeM3,
        double sensorLagS,
        double rateFactor,
        double rateSd,
        double airflowFactor,
        double airflowSd,
        double transferFactor,
        double transferSd,
        double humidityBias,
        double humidityBiasSd,
        double humidityNoiseSd,
        double scaleZeroSdKg,
        double scaleNoiseSdKg,
        double restSd,
        Drift drift) {

    /**
     * How fast beliefs go stale: the model's own error.
     *
     * @param rateSd of ln rate factor against its parameter, as it stands when nothing is measured:
     *     the leaf diffuses, the model is lumped, so a rate learned on wet leaf says only so much
     *     of drier leaf
     * @param rateMemoryEfolds falls of the water by a factor e after which what was learned of the
     *     rate has faded to 1/e
     * @param ratePerRootH of ln rate factor with time
     * @param airflowPerRootH of ln airflow factor with time
     * @param airflowPerChange of ln airflow factor per unit of ln nominal exchange that a damper
     *     moves
     * @param transferPerRootH of ln transfer factor with time (leaf mats, trays are turned)
     * @param biasPerRootH of the humidity offset
     * @param scaleKgPerRootH of the scale's zero
     * @param evaporation of the evaporation itself, relative, lasting about a minute
     * @param benchEvaporation of the evaporation on the bench, relative, lasting half an hour
     * @param nearlyDryLn ln of the factor on k80 of leaf without water, which finished batches
     *     taught: how much more or less drying slows down than the model has it; 0 if nothing was
     *     learned
     */
    public record Drift(
            double rateSd,
            double rateMemoryEfolds,
            double ratePerRootH,
            double airflowPerRootH,
            double airflowPerChange,
            double transferPerRootH,
            double biasPerRootH,
            double scaleKgPerRootH,
            double evaporation,
            double benchEvaporation,
            double nearlyDryLn) {

        /** No model error: for tests against a plant of the same structure. */
        public static final Drift NONE =
                new Drift(0, Double.POSITIVE_INFINITY, 0, 0, 0, 0, 0, 0, 0, 0, 0);

        /** Engineering choice, set on diffusing test plants. */
        public static final Drift STOCK =
                new Drift(0.13, 0.7, 0.10, 0.04, 0.10, 0.15, 0.002, 0.002, 0.05, 0.33, 0.0);

        /** What was learned of nearly dry leaf, with how far a batch strays from it. */
        public Drift nearlyDry(double ln, double sd) {
            return new Drift(
                    sd,
                    rateMemoryEfolds,
                    ratePerRootH,
                    airflowPerRootH,
                    airflowPerChange,
                    transferPerRootH,
                    biasPerRootH,
                    scaleKgPerRootH,
                    evaporation,
                    benchEvaporation,
                    ln);
        }
    }

    private static final double STEM_SHARE = 0.18;
    private static final double STEM_RATE = 0.41;

    /**
     * An oven and leaf that nothing is known of yet; engineering choice but for k80, which is that
     * of the whole leaf, and Ea, see {@link Drying}.
     */
    public static final LeafParameters STOCK =
            new LeafParameters(
                    Isotherm.GREEN_TEA,
                    Drying.REFERENCE_RATE_PER_S / (1.0 - STEM_SHARE * (1.0 - STEM_RATE)),
                    Drying.ACTIVATION_KJ_PER_MOL,
                    0.42,
                    STEM_SHARE,
                    STEM_RATE,
                    0.10,
                    0.030,
                    0.6,
                    0.5,
                    15.0,
                    1.0,
                    0.7,
                    1.0,
                    0.15,
                    1.0,
                    0.25,
                    0.0,
                    0.02,
                    0.004,
                    0.010,
                    0.004,
                    0.2,
                    Drift.STOCK);

    /** A hot zero with the oven empty leaves this much of the humidity sensor's offset unknown. */
    public LeafParameters zeroed(double foundBias, double foundBiasSd) {
        return new LeafParameters(
                isotherm,
                referenceRatePerS,
                activationKJPerMol,
                moistureExponent,
                stemShare,
                stemRate,
                traySpread,
                transferPerS,
                transferExponent,
                airVolumeM3,
                sensorLagS,
                rateFactor,
                rateSd,
                airflowFactor,
                airflowSd,
                transferFactor,
                transferSd,
                foundBias,
                foundBiasSd,
                humidityNoiseSd,
                scaleZeroSdKg,
                scaleNoiseSdKg,
                restSd,
                drift);
    }

    /** What finished batches taught of this oven's exchange of air. */
    public LeafParameters airflow(double newAirflowFactor, double newAirflowSd) {
        return new LeafParameters(
                isotherm,
                referenceRatePerS,
                activationKJPerMol,
                moistureExponent,
                stemShare,
                stemRate,
                traySpread,
                transferPerS,
                transferExponent,
                airVolumeM3,
                sensorLagS,
                rateFactor,
                rateSd,
                newAirflowFactor,
                newAirflowSd,
                transferFactor,
                transferSd,
                humidityBias,
                humidityBiasSd,
                humidityNoiseSd,
                scaleZeroSdKg,
                scaleNoiseSdKg,
                restSd,
                drift);
    }

    /**
     * ln of the rate factor that the rate comes back to as it is forgotten: what was learned of
     * nearly dry leaf comes in as the leaf dries.
     *
     * @param waterKgPerKg moisture of the charge, dry basis
     */
    double rateComesBackToLn(double waterKgPerKg) {
        return Math.log(rateFactor)
                + drift.nearlyDryLn() / (1.0 + waterKgPerKg / NEARLY_DRY_KG_PER_KG);
    }

    /** Half of it is in at this moisture, 20 % wet basis. Engineering choice. */
    private static final double NEARLY_DRY_KG_PER_KG = 0.25;

    public LeafParameters drifting(Drift other) {
        return new LeafParameters(
                isotherm,
                referenceRatePerS,
                activationKJPerMol,
                moistureExponent,
                stemShare,
                stemRate,
                traySpread,
                transferPerS,
                transferExponent,
                airVolumeM3,
                sensorLagS,
                rateFactor,
                rateSd,
                airflowFactor,
                airflowSd,
                transferFactor,
                transferSd,
                humidityBias,
                humidityBiasSd,
                humidityNoiseSd,
                scaleZeroSdKg,
                scaleNoiseSdKg,
                restSd,
                other);
    }
}
