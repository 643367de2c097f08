package steamleaf.core.cycle;

import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Stock;

/**
 * All that one cycle hands to the next.
 *
 * @param nowS the line's time axis: sums elapsed seconds, goes on over a restart
 * @param batches by oven, oven 1 first; null where there is none
 */
public record LineState(long cycle, double nowS, Stock stock, List<@Nullable Batch> batches) {}
