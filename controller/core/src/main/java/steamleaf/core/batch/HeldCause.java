package steamleaf.core.batch;

/** Why a batch is held. */
public enum HeldCause {
    /** A person asked for it. */
    ASKED,
    /** The guard took the heat away. */
    TRIPPED,
    /** Hood open or not locked with leaf in the steamer. */
    INTERLOCKED,
    /** Permit key off, contactor open. */
    PERMIT,
    /** Nobody came in time. */
    NOBODY_CAME,
    /** The door stayed open too long. */
    DOOR_LEFT_OPEN,
    /** The longest time of the operation has passed before its end condition. */
    TOOK_TOO_LONG,
    /** The controller was restarted. */
    RESTARTED,
    /** A stopped batch was reset. */
    RESET_AFTER_STOP
}
