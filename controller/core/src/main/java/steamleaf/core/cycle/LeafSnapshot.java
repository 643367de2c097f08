package steamleaf.core.cycle;

import org.jspecify.annotations.Nullable;
import steamleaf.core.estimate.MoistureState;
import steamleaf.core.learn.Applied;
import steamleaf.core.learn.Taught;

/**
 * What one oven knows of its leaf, for a restart.
 *
 * @param zeroBias offset of the exhaust humidity found with the oven empty, NaN if none was
 * @param filter null while no leaf is known
 * @param openSample id of the hand sample whose value is awaited
 * @param learned what the filter began with; null, as in what older versions kept, for nothing
 * @param taught what the batch said so far; the same
 * @param zeroRefusedBy how far off the sensor was that could not be zeroed; null if it could
 * @param bench of leaf that came out of the oven; null, as in what older versions kept, where that
 *     is not known
 */
public record LeafSnapshot(
        double zeroBias,
        @Nullable MoistureState filter,
        @Nullable String openSample,
        @Nullable Applied learned,
        @Nullable Taught taught,
        @Nullable Double zeroRefusedBy,
        @Nullable Bench bench) {

    /**
     * @param outS since the leaf came out of the oven
     * @param moistureOut how wet it was then, wet basis
     * @param unseenS how long nobody watched since, not yet in {@code outS} nor in the estimate
     */
    public record Bench(double outS, double moistureOut, double unseenS) {}

    /** The same after a gap of unknown length: what the leaf took up since can't be told. */
    LeafSnapshot withoutBench() {
        return new LeafSnapshot(zeroBias, filter, openSample, learned, taught, zeroRefusedBy, null);
    }
}
