package steamleaf.bench.campaign;

import java.util.List;
import java.util.Map;

/** How a campaign went, as written to {@code summary.json}. */
record Report(
        int runs,
        long seed,
        int windows,
        int wholeBatches,
        int batches,
        int cells,
        int cellsTold,
        List<String> notReached,
        int pairsNotReached,
        int faultsNotBegun,
        int faultsAfterBatch,
        double simulatedH,
        Map<String, Integer> failuresByCheck,
        Map<String, Integer> leftToHardWiring,
        int peopleFailed,
        Map<String, Integer> peopleFailedBy,
        List<String> failed) {
    static Report of(int runs, long seed, Campaign.Outcome o) {
        return new Report(
                runs,
                seed,
                o.windows(),
                o.wholeBatches(),
                o.batches(),
                o.cells(),
                o.cellsTold(),
                o.notReached(),
                o.pairsNotReached(),
                o.faultsNotBegun(),
                o.faultsAfterBatch(),
                Math.round(10 * o.simulatedH()) / 10.0,
                o.byCheck(),
                o.uncovered(),
                o.peopleFailed(),
                o.peopleFailedBy(),
                o.failed().stream().map(window -> window.story().toString()).toList());
    }
}
