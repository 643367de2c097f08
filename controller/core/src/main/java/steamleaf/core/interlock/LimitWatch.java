package steamleaf.core.interlock;

/**
 * Whether the air has been inside the recipe's limit since that limit was last lowered. A limit
 * lowered under hot air (a hold) is no fault of the air; leaving a limit it had kept is.
 */
record LimitWatch(double limitC, boolean kept) {
    LimitWatch next(double nowLimitC, double airC) {
        boolean inside = airC <= nowLimitC;
        boolean lowered = nowLimitC < limitC;
        boolean nowKept = inside || (kept && !lowered);
        return nowLimitC == limitC && nowKept == kept ? this : new LimitWatch(nowLimitC, nowKept);
    }
}
