package steamleaf.core.batch;

import steamleaf.core.reading.UnitId;

/** What was done to leaf, for the estimate. Masses are of leaf alone; NaN when nobody weighed. */
public sealed interface LeafAction {
    UnitId oven();

    /** A new charge is under steam. */
    record Fed(UnitId oven, Batch batch) implements LeafAction {}

    /** Steamed and cooled leaf is in the oven now. */
    record Loaded(UnitId oven, Batch batch, double massKg) implements LeafAction {}

    record Turned(UnitId oven) implements LeafAction {}

    record TakenOut(UnitId oven) implements LeafAction {}

    /** Rolled, shaped or rested, on the bench, for so long. */
    record Worked(UnitId oven, OperationKind kind, double forS) implements LeafAction {}

    record PutBack(UnitId oven, double massKg) implements LeafAction {}

    record Weighed(UnitId oven, double massKg) implements LeafAction {}

    /** A hand sample leaves the oven. */
    record SampleOut(UnitId oven, String sampleId) implements LeafAction {}

    /** The value of a sample. */
    record Sampled(UnitId oven, Sample sample) implements LeafAction {}

    /** Packed or thrown away. */
    record Gone(UnitId oven) implements LeafAction {}
}
