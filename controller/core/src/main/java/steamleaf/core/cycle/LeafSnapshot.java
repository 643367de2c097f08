package steamleaf.core.cycle;

import org.jspecify.annotations.Nullable;
import steamleaf.core.estimate.MoistureState;

/**
 * What one oven knows of its leaf, for a restart.
 *
 * @param zeroBias offset of the exhaust humidity found with the oven empty, NaN if none was
 * @param filter null while no leaf is known
 * @param openSample id of the hand sample whose value is awaited
 */
public record LeafSnapshot(
        double zeroBias, @Nullable MoistureState filter, @Nullable String openSample) {}
