package steamleaf.core.batch;

/** What a person is asked to do. */
public enum PromptKind {
    /** The oven is warm: press confirm at the machine to heat the steamer. */
    STEAM_READY(false),
    /** Feed the leaf; answer when the last of it is on the belt. */
    FEED(false),
    /** Spread it thin, fan it until it is cool, load the oven, shut the door; mass if weighed. */
    COOL_AND_LOAD(true),
    /** Turn and swap the trays, shut the door, press confirm at the machine. */
    TURN(false),
    /** Take the leaf out. */
    TAKE_OUT(false),
    /** Put the leaf back, shut the door; mass if weighed. */
    PUT_BACK(true),
    /** Take a hand sample from five places. */
    HAND_SAMPLE(false),
    WEIGH(true),
    PACK(true),
    /** Held too long with wet leaf inside: take it out and spread it. */
    TAKE_OUT_AND_SPREAD(false),
    /** The door is closed again: press confirm at the machine, so that heat comes back. */
    PRESS_CONFIRM(false),
    /** The watchdog relay was seen to drop: press reset at the machine, so that it picks up. */
    PRESS_RESET(false),
    /** Held: resume it at the machine or abort it. */
    RESUME_OR_ABORT(false);

    private final boolean wantsMass;

    PromptKind(boolean wantsMass) {
        this.wantsMass = wantsMass;
    }

    public boolean wantsMass() {
        return wantsMass;
    }
}
