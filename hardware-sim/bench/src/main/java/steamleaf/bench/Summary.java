package steamleaf.bench;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How one batch went, as written to {@code summary.json}. Moistures are percent, wet basis: this
 * file is a page for people.
 *
 * @param outcome {@code complete}, or why not
 * @param trueMoisturePercentWetBasis the simulator's truth, mean of the charge, when the leaf had
 *     cooled after the last drying
 * @param estimatedMoisturePercentWetBasis what the controller believed in the same cycle
 * @param trips rules that tripped, with unit and time
 * @param unsafe heat, steam or belt that the simulator saw where there must be none, and demanded
 *     alarms that did not come; empty in a good run
 * @param peopleFailed what the scripted people could not do; says nothing of the controller
 * @param neverBegan faults of the file that the run did not come to
 */
public record Summary(
        String recipe,
        long seed,
        String outcome,
        @Nullable Double trueMoisturePercentWetBasis,
        @Nullable Spread spread,
        @Nullable Double estimatedMoisturePercentWetBasis,
        @Nullable Double estimateStandardDeviation,
        List<Stage> stages,
        List<String> trips,
        List<String> alarms,
        List<Unsafe> unsafe,
        List<String> peopleFailed,
        List<String> faults,
        List<String> neverBegan,
        double simulatedSeconds,
        double wallSeconds,
        double timesRealTime) {

    /**
     * Over blades and stems of all trays, percent wet basis.
     *
     * @param standardDeviation weighted by dry mass
     */
    public record Spread(
            double standardDeviation,
            double driestPart,
            double wettestPart,
            double driestTray,
            double wettestTray,
            double blades,
            double stems) {}

    /**
     * Something that must not be.
     *
     * @param leftToHardWiring the set in {@code docs/limits.md} that explains it; null: nothing
     *     does
     */
    public record Unsafe(String what, @Nullable String leftToHardWiring) {}

    public record Stage(
            int number,
            String operation,
            double seconds,
            @Nullable Double trueMoisturePercentWetBasis,
            @Nullable Double estimatedMoisturePercentWetBasis) {}

    static final String COMPLETE = "complete";

    public long unexplained() {
        return unsafe.stream().filter(one -> one.leftToHardWiring() == null).count();
    }

    public boolean complete() {
        return outcome.equals(COMPLETE);
    }
}
