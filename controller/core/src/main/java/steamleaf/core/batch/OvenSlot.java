package steamleaf.core.batch;

import org.jspecify.annotations.Nullable;

/**
 * One oven and the batch that has it.
 *
 * @param doorOpen the door is proven open
 * @param doorSinceS since when the door is as it is, on the line's time axis
 * @param tuning an experiment that runs, or what it proposed
 * @param accepted settings in place of the configured ones, null for none
 */
public record OvenSlot(
        @Nullable Batch batch,
        boolean doorOpen,
        double doorSinceS,
        @Nullable Tuning tuning,
        @Nullable LoopTuning accepted) {
    public static final OvenSlot EMPTY = new OvenSlot(null, false, 0.0, null, null);

    /** The oven heats without leaf, to find settings. */
    public boolean tunes() {
        return tuning instanceof Tuning.Running;
    }

    OvenSlot holding(@Nullable Batch newBatch) {
        return new OvenSlot(newBatch, doorOpen, doorSinceS, tuning, accepted);
    }

    OvenSlot door(@Nullable Batch newBatch, boolean open, double sinceS) {
        return new OvenSlot(newBatch, open, sinceS, tuning, accepted);
    }

    OvenSlot tuning(@Nullable Tuning newTuning) {
        return new OvenSlot(batch, doorOpen, doorSinceS, newTuning, accepted);
    }

    OvenSlot accepting(LoopTuning settings) {
        return new OvenSlot(batch, doorOpen, doorSinceS, null, settings);
    }
}
