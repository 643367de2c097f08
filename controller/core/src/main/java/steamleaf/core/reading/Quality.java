package steamleaf.core.reading;

/** Whether a value may be believed; everything but {@code GOOD} is bad. */
public enum Quality {
    GOOD,
    /** No conversion has arrived since the start. */
    NOT_YET_READ,
    /** The configuration says there is no such sensor. */
    NOT_FITTED,
    /** The last good value is older than the channel allows. */
    STALE,
    /** The chip or its bus does not answer. */
    NO_ANSWER,
    /** Checksum, read-back or loop-back is wrong. */
    GARBLED,
    /** The chip reports a fault of the element: open, short, over-voltage. */
    FAULT,
    /** Outside what the element can physically show, or not a number. */
    OUT_OF_RANGE,
    /** Not moved by a single count for longer than noise allows. */
    FROZEN,
    /** Contradicts its partner sensor. */
    DISAGREES
}
