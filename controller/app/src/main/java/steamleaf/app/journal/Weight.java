package steamleaf.app.journal;

/** What goes first when there is no room. */
public enum Weight {
    /** One of many readings: the first to be given up. */
    SECOND,
    /** Something that happened: given up last. */
    EVENT
}
