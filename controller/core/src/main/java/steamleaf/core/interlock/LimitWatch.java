package steamleaf.core.interlock;

/**
 * The air against the recipe's limit.
 *
 * <p>A limit lowered under hot air (a hold) is no fault of the air; leaving a limit it had kept is.
 * Air that is cool only because the door stands open has kept nothing: closed again, it warms from
 * walls and trays.
 *
 * @param limitC the limit now in force
 * @param kept the air has been inside the limit since it was last lowered
 * @param paused heat waits until the air has cooled
 */
record LimitWatch(double limitC, boolean kept, boolean paused) {
    /** Heat comes back this far below the temperature at which it was stopped. */
    static final double BACK_K = 1.0;

    /** After the door has been closed this long, the air says what walls and trays say. */
    static final double DOOR_SETTLED_S = 120.0;

    static final LimitWatch NONE = new LimitWatch(Double.NaN, false, false);

    /**
     * @param stopK heat stops this far above the limit
     * @param doorSettled the door has been closed for {@link #DOOR_SETTLED_S}
     */
    LimitWatch next(double nowLimitC, double airC, double stopK, boolean doorSettled) {
        boolean inside = airC <= nowLimitC && doorSettled;
        boolean lowered = nowLimitC < limitC;
        boolean nowKept = inside || (kept && !lowered);
        double stopC = nowLimitC + stopK - (paused ? BACK_K : 0.0);
        boolean cool = airC <= stopC; // not a number is not cool
        return nowLimitC == limitC && nowKept == kept && cool == !paused
                ? this
                : new LimitWatch(nowLimitC, nowKept, !cool);
    }
}
