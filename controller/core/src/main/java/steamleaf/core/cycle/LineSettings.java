package steamleaf.core.cycle;

import java.util.List;
import steamleaf.core.batch.BatchSettings;

/**
 * Everything the line is configured with. Ranges are checked where the file is read.
 *
 * @param ovenLoops oven 1 first
 */
public record LineSettings(
        BatchSettings batch, List<LoopSettings> ovenLoops, LoopSettings chestLoop) {
    public LineSettings {
        ovenLoops = List.copyOf(ovenLoops);
    }

    public int ovens() {
        return batch.ovens().size();
    }
}
