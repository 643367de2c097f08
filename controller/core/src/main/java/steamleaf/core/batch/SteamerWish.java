package steamleaf.core.batch;

/**
 * What a batch wants of the steamer.
 *
 * @param beltMmPerS 0 for a belt at rest
 */
public record SteamerWish(boolean steam, double beltMmPerS) {
    public static final SteamerWish NOTHING = new SteamerWish(false, 0.0);
}
