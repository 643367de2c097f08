package steamleaf.core.cycle;

import java.util.List;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Stock;

/** What must survive a restart: plain records all the way down. */
public record LineSnapshot(double nowS, Stock stock, List<Batch> batches) {}
