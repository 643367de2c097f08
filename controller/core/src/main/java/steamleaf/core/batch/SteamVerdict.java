package steamleaf.core.batch;

/**
 * What the processor saw in a steamed test charge. Common practice, no source: red stems mean that
 * the steam did not reach through, mush that it stayed too long.
 */
public enum SteamVerdict {
    /** Longer next time. */
    RED_STEMS,
    RIGHT,
    /** Shorter next time. */
    MUSH
}
