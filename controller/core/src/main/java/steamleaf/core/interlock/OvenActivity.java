package steamleaf.core.interlock;

/**
 * What the batch has in one oven.
 *
 * @param charge number of the charge in the oven, 0 for none; a new number means new leaf, and the
 *     door must have been seen open since the last one
 */
public record OvenActivity(long charge) {
    public static final OvenActivity EMPTY = new OvenActivity(0);
}
