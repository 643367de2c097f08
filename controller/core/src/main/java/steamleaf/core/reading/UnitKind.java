package steamleaf.core.reading;

/** The kinds of things that have channels. */
public enum UnitKind {
    LINE,
    STEAMER,
    OVEN
}
