package steamleaf.core.batch;

import org.jspecify.annotations.Nullable;

/**
 * One oven and the batch that has it.
 *
 * @param doorOpen the door is proven open
 * @param doorSinceS since when the door is as it is, on the line's time axis
 */
public record OvenSlot(@Nullable Batch batch, boolean doorOpen, double doorSinceS) {
    public static final OvenSlot EMPTY = new OvenSlot(null, false, 0.0);

    OvenSlot holding(@Nullable Batch newBatch) {
        return new OvenSlot(newBatch, doorOpen, doorSinceS);
    }
}
