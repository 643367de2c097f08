package steamleaf.core.batch;

/** Why a command was refused. */
public enum Refusal {
    /** The page that sent it showed a moment too long ago, or one that has not been yet. */
    STALE,
    /** Somebody or something else was faster: the unit is no longer in the state that was seen. */
    ALREADY_MOVED,
    /** A number is missing, not a number or outside what is allowed. */
    OUT_OF_RANGE,
    UNKNOWN_LOT,
    UNKNOWN_RECIPE,
    UNKNOWN_UNIT,
    UNKNOWN_PROMPT,
    UNKNOWN_SAMPLE,
    UNKNOWN_ALARM,
    /** The lot has less left than asked for. */
    NOT_ENOUGH_LEAF,
    /** More than the oven's trays take. */
    TOO_MUCH_FOR_OVEN,
    /** The recipe asks for hotter air than this oven may have. */
    TOO_HOT_FOR_OVEN,
    /** Leaf is older than the limit and nobody gave a reason. */
    NOT_FRESH,
    /** The heap the leaf lies in was hot, and nobody gave a reason. */
    HEAP_HOT,
    /** The oven has a batch. */
    OVEN_TAKEN,
    /** The steamer has another batch. */
    STEAMER_TAKEN,
    /** There is no batch to do this to. */
    NO_BATCH,
    /** An experiment runs in this oven. */
    OVEN_TUNES,
    /** There is no proposal to accept or discard. */
    NO_PROPOSAL,
    /** There is nothing to forget. */
    NOTHING_LEARNED,
    /** There is no time to accept or discard, or it was proposed too long ago. */
    NO_FINISH,
    /** Settings change only with the permit key off. */
    KEY_IS_ON,
    /** Settings change only while no batch is under way and no oven tunes. */
    LINE_NOT_IDLE,
    /** The batch is in a state that does not allow this. */
    WRONG_STATE,
    /** The guard does not permit heat; the subject names the cause. */
    NOT_PERMITTED,
    /** Only a press at the machine does this. */
    NEEDS_MACHINE,
    /** The answer needs a mass. */
    NEEDS_MASS,
    /** The answer needs a reason. */
    NEEDS_REASON,
    /** The door was not seen open, or is not closed now. */
    DOOR_NOT_SEEN_OPEN,
    DOOR_NOT_CLOSED,
    /** A trip's alarm is never hidden. */
    MAY_NOT_BE_SHELVED,
    /** As many as the line keeps at once. */
    TOO_MANY,
    /** A press at the machine fits several prompts; point it at one unit first. */
    SEVERAL_PROMPTS,
    /** Pressed without anything armed, or too late. */
    NOTHING_ARMED
}
