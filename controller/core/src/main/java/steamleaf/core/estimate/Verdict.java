package steamleaf.core.estimate;

/** What the filter did with a value that a person entered. */
public enum Verdict {
    /** Used. */
    TAKEN,
    /** So far from what is known that it was not used: ask again. */
    QUESTIONED,
    /** Not a number, or outside what can be. */
    REFUSED
}
