package steamleaf.sim.fault;

import java.util.Locale;

/** Ways in which things break; the catalogue says what each means for a component. */
public enum FaultKind {
    /** A wire is broken. */
    OPEN,
    /** Wires touch. */
    SHORT,
    /** Stays as it is. */
    FROZEN,
    /** An error that grows with time. */
    DRIFT,
    /** Random bits. */
    GARBAGE,
    /** No answer. */
    MISSING,
    /** A line held down. */
    HUNG,
    STUCK_ON,
    STUCK_OFF,
    STUCK_AT,
    /** The way is closed, by a share of it. */
    BLOCKED,
    /** Not there any more: fallen out of its place, burnt out, failed. */
    LOST,
    /** Less than it should be. */
    LOW,
    /** There when it should not be. */
    PRESENT,
    /** In each other's place. */
    SWAPPED,
    /** A sudden lasting error. */
    KNOCKED,
    /** Set to another time. */
    STEPPED,
    /** Somebody presses it, until the end. */
    PRESSED,
    /** Somebody opens it and closes it at the end. */
    OPENED,
    /** Somebody takes it away and brings it back at the end. */
    TAKEN;

    /** As written in a fault file: {@code stuck-on}. */
    public String word() {
        return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
}
