package steamleaf.core.batch;

/** What a page can prepare and only a press at the machine executes. */
public enum ArmedAction {
    /** Executed by <em>start</em>: a planned batch begins to heat. */
    START,
    /** Executed by <em>start</em>: a held batch goes on. */
    RESUME,
    /** Executed by <em>reset</em>: trips of this unit are reset, a stopped batch becomes held. */
    RESET,
    /** Executed by <em>start</em>: an empty oven heats to find settings for its air loop. */
    TUNE,
    /** Points <em>confirm</em> at one unit when several ask at once. */
    CONFIRM
}
