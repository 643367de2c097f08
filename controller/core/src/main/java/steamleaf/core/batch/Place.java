package steamleaf.core.batch;

/** Where the leaf of a batch is. */
public enum Place {
    HEAP,
    BELT,
    BENCH,
    OVEN,
    /** Packed or thrown away. */
    GONE
}
