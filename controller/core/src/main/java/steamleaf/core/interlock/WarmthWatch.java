package steamleaf.core.interlock;

/**
 * The warmest air of the last ten to fifteen minutes: without heat the air cannot become much
 * warmer than that, since walls, trays and leaf were never warmer. Opening and closing a door or a
 * damper of a hot oven therefore looks harmless, as it is; a heater that stays on or a fire does
 * not.
 *
 * @param quiet heat has been off for long enough that only what is stored remains
 * @param blockS guard time at which the running block began
 * @param blockC warmest of the running block
 * @param beforeC warmest of the block before
 * @param longBeforeC warmest of the block before that
 */
record WarmthWatch(
        boolean quiet, double blockS, double blockC, double beforeC, double longBeforeC) {
    /** Length of a block. */
    static final double BLOCK_S = 300.0;

    /** Steps smaller than this are not worth a new record. */
    static final double STEP_K = 0.25;

    /** After a restart: as warm as it was before, which can only make the watch more patient. */
    static WarmthWatch recalled(double warmestC, double nowS) {
        return new WarmthWatch(false, nowS, warmestC, warmestC, warmestC);
    }

    /** Warmest of the last ten to fifteen minutes, NaN when unknown. */
    double warmestC() {
        return Math.max(blockC, Math.max(beforeC, longBeforeC));
    }

    WarmthWatch next(boolean nowQuiet, double airC, double nowS) {
        if (Double.isNaN(airC)) {
            return this;
        }
        if (Double.isNaN(blockC)) {
            return new WarmthWatch(nowQuiet, nowS, airC, airC, airC);
        }
        if (nowQuiet && !quiet) {
            double warmest = Math.max(Math.max(blockC, beforeC), airC);
            return new WarmthWatch(true, nowS, airC, warmest, longBeforeC);
        }
        if (nowS - blockS >= BLOCK_S) {
            return new WarmthWatch(nowQuiet, nowS, airC, blockC, beforeC);
        }
        boolean changed = nowQuiet != quiet || airC >= blockC + STEP_K;
        return changed
                ? new WarmthWatch(nowQuiet, blockS, Math.max(blockC, airC), beforeC, longBeforeC)
                : this;
    }

    /** The air is this far above anything it was before, with heat off. */
    boolean exceededBy(double marginK, double airC) {
        return quiet && airC >= Math.max(beforeC, longBeforeC) + marginK;
    }
}
