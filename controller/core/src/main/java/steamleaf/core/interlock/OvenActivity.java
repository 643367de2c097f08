package steamleaf.core.interlock;

/**
 * What the batch has in one oven.
 *
 * @param charge number of the charge in the oven, 0 for none; a new number means new leaf, and the
 *     door must have been seen open since the last one
 * @param batch number of the batch that has the oven, 0 for none; it stays while the leaf is out to
 *     be rolled, so that heat is counted for all of its dryings
 */
public record OvenActivity(long charge, long batch) {
    public static final OvenActivity EMPTY = new OvenActivity(0, 0);
}
