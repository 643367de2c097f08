package steamleaf.core.interlock;

/** What must happen before a rule lets go again, once its cause is gone. */
public enum Latch {
    /** A person resets it at the machine; a start is a further press. */
    TRIP,
    /** A person presses start at the machine. */
    INTERLOCK,
    /** Nothing: it follows its cause. */
    FOLLOWS
}
