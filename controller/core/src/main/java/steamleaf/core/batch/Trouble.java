package steamleaf.core.batch;

/** What the guard has against heat or steam of a unit, the worst first. */
public enum Trouble {
    /** A trip: needs a reset at the machine. */
    TRIP,
    /** Follows a cause of the whole line, such as the permit key. */
    PERMIT,
    /** Cause still there, such as an open door; then a press at the machine. */
    INTERLOCK,
    /** Only the press at the machine is missing. */
    WAITS_FOR_PRESS,
    NONE
}
