package steamleaf.core.interlock;

/**
 * Whose first warming it is. Ovens are warmed for the first time one after the other, so that the
 * air which answers is that of the oven which is heated: swapped probes show (O-3, O-15).
 *
 * @param owner number of the oven in its first warming, 0 for none
 * @param sinceS guard time at which its heat was first on
 * @param fromC its air then
 * @param over bits of the ovens whose first warming is over: their air has answered, or their time
 *     was up
 */
record WarmingTurn(int owner, double sinceS, double fromC, int over) {
    /** The air has answered. The same rise shows on another oven that is not heated. */
    static final double ANSWER_K = OvenWatch.RISING_K;

    /** Nobody waits longer than this for one oven; an air that has not answered has tripped. */
    static final double LONGEST_S = 250.0;

    static final WarmingTurn NONE = new WarmingTurn(0, 0.0, Double.NaN, 0);

    /**
     * @param started units that may have heat; an oven that was stopped or tripped is warmed anew
     * @param ownerAirC air of the oven in its first warming, NaN when it is not known
     */
    WarmingTurn next(int started, double ownerAirC, double nowS) {
        if (owner == 0) {
            return this;
        }
        int bit = 1 << owner;
        boolean given = (started & bit) == 0;
        boolean ended = ownerAirC - fromC >= ANSWER_K || nowS - sinceS >= LONGEST_S;
        return given || ended
                ? new WarmingTurn(0, nowS, Double.NaN, given ? over : over | bit)
                : this;
    }

    /** An oven's heat is on: takes the turn if it is free and the oven has not had it. */
    WarmingTurn heated(int oven, double airC, double nowS) {
        return owner == 0 && (over & 1 << oven) == 0
                ? new WarmingTurn(oven, nowS, airC, over)
                : this;
    }

    /** No other oven is in its first warming, or this one has had its own. */
    boolean mayHeat(int oven) {
        return owner == 0 || owner == oven || (over & 1 << oven) != 0;
    }
}
