package steamleaf.core.batch;

/** How far the leaf had grown when it was plucked. */
public enum Ripeness {
    TENDER,
    MEDIUM,
    MATURE
}
