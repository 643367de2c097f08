package steamleaf.app.recall;

import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.cycle.LineSnapshot;

/**
 * What the file holds.
 *
 * @param atMs line time of the snapshot, milliseconds since 1970
 * @param doubtful that time was not to be trusted
 * @param cycle the cycle it was made in
 * @param startsMs line time of the last starts, the oldest first
 * @param snapshot null until the first cycle of the first start has ended
 */
public record Recalled(
        long atMs,
        boolean doubtful,
        long cycle,
        List<Long> startsMs,
        @Nullable LineSnapshot snapshot) {
    public Recalled {
        startsMs = List.copyOf(startsMs);
    }
}
