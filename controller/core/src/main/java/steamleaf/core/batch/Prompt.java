package steamleaf.core.batch;

import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;

/**
 * An open question to the people at the line.
 *
 * @param sinceS on the line's time axis
 * @param leafOutside the leaf is out of the oven, so that nobody need open it
 * @param dueS when patience ends, on the line's time axis; infinite if it never does
 * @param help what the hand sample that is asked for is worth, null where that is not known
 */
public record Prompt(
        String id,
        PromptKind kind,
        UnitId unit,
        String batchId,
        boolean leafOutside,
        long sinceCycle,
        double sinceS,
        double dueS,
        boolean overdue,
        @Nullable SampleHelp help) {

    public boolean wantsMass() {
        return kind.wantsMass();
    }

    Prompt nowOverdue() {
        return new Prompt(
                id, kind, unit, batchId, leafOutside, sinceCycle, sinceS, dueS, true, help);
    }

    /** Asked anew: as much patience as at first. */
    Prompt renewed(double nowS) {
        return new Prompt(
                id,
                kind,
                unit,
                batchId,
                leafOutside,
                sinceCycle,
                nowS,
                nowS + (dueS - sinceS),
                false,
                help);
    }
}
