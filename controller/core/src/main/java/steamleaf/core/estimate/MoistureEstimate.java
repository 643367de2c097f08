package steamleaf.core.estimate;

/**
 * What the filter knows of the charge now. Moistures on wet basis, 0 to 1; deviations are standard
 * deviations.
 *
 * @param wettest moisture of the wettest part: the stems on the wettest tray
 * @param shareOfLimit evaporation over what the air could take: near 1 while the air, not the leaf,
 *     sets the pace
 * @param equilibrium moisture that this air leads to in the end
 * @param inBandProbability that the mean lies in the band now
 * @param rateFactor drying rate relative to its parameter, and its relative deviation
 * @param humidityUsed this step used the humidity balance
 * @param scaleUsed this step used the tray scale
 * @param humidityDisagrees the exhaust humidity does not fit what is known, and is not believed
 * @param scaleDisagrees the same of the tray scale
 */
public record MoistureEstimate(
        double mean,
        double sd,
        double wettest,
        double wettestSd,
        double waterKg,
        double dryKg,
        double dryKgSd,
        double leafC,
        double evaporationKgPerS,
        double shareOfLimit,
        double equilibrium,
        double inBandProbability,
        double rateFactor,
        double rateSd,
        double airflowFactor,
        double airflowSd,
        double transferFactor,
        double transferSd,
        double humidityBias,
        double humidityBiasSd,
        boolean humidityUsed,
        boolean scaleUsed,
        boolean humidityDisagrees,
        boolean scaleDisagrees) {}
