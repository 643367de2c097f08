package steamleaf.core.cycle;

/**
 * What is known of the leaf in an oven. Moistures on the wet basis.
 *
 * @param landsInS until the current drying ends, NaN if not drying
 * @param inBandProbability that the charge's mean is inside 4 to 7 % when it lands
 */
public record MoistureView(
        double mean,
        double deviation,
        double wettest,
        double leafC,
        double endMoisture,
        double landsInS,
        double landsInDeviationS,
        double inBandProbability) {}
