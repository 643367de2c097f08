package steamleaf.core.cycle;

import org.jspecify.annotations.Nullable;
import steamleaf.core.batch.EndPoint;
import steamleaf.core.batch.SampleHelp;

/**
 * What is known of the leaf in an oven. Moistures on the wet basis; deviations are standard
 * deviations.
 *
 * @param wettest of the stems on the wettest tray
 * @param afterCarryOver where the mean would end if heat went off now
 * @param endMoisture where the drying that runs shall end, NaN if none runs
 * @param endPoint why the last drying ends there, null in all others
 * @param sampleHelp what a hand sample would be worth, in the last drying and while the leaf is
 *     worked or rests; else null
 * @param landsInS until it ends, NaN if not known
 * @param inBandProbability that the mean is inside 4 to 7 % when it lands, as far as is known now
 * @param bench of dried leaf outside, before it is packed; else null
 * @param outOfReach this air can't bring the leaf to {@code endMoisture}
 */
public record MoistureView(
        double mean,
        double deviation,
        double wettest,
        double waterKg,
        double dryKg,
        double leafC,
        double afterCarryOver,
        double endMoisture,
        @Nullable EndPoint endPoint,
        @Nullable SampleHelp sampleHelp,
        double landsInS,
        double landsInDeviationS,
        double inBandProbability,
        boolean outOfReach,
        boolean humidityDisagrees,
        boolean scaleDisagrees,
        @Nullable Bench bench) {

    /**
     * Dried leaf that waits outside.
     *
     * @param outS since it came out of the oven
     * @param regain what it has taken up since, a fraction of the wet basis
     * @param packInS until it is at the band's upper edge in this room, 0 when it is there; NaN if
     *     not within half a day
     */
    public record Bench(double outS, double regain, double packInS) {}

    MoistureView with(@Nullable SampleHelp help) {
        return new MoistureView(
                mean,
                deviation,
                wettest,
                waterKg,
                dryKg,
                leafC,
                afterCarryOver,
                endMoisture,
                endPoint,
                help,
                landsInS,
                landsInDeviationS,
                inBandProbability,
                outOfReach,
                humidityDisagrees,
                scaleDisagrees,
                bench);
    }
}
