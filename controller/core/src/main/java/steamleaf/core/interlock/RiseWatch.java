package steamleaf.core.interlock;

/**
 * Air temperature at the beginning of a short window.
 *
 * @param atS guard time at which the window began
 * @param airC NaN when unknown
 */
record RiseWatch(double atS, double airC) {
    /** Length of the window. */
    static final double WINDOW_S = 10.0;

    RiseWatch next(double nowAirC, double nowS) {
        boolean over = nowS - atS >= WINDOW_S;
        boolean known = !Double.isNaN(airC) && !Double.isNaN(nowAirC);
        return known && !over ? this : fresh(nowAirC, nowS);
    }

    private RiseWatch fresh(double nowAirC, double nowS) {
        boolean same = Double.isNaN(airC) && Double.isNaN(nowAirC); // unknown stays unknown
        return same ? this : new RiseWatch(nowS, nowAirC);
    }

    /** Rose by more than {@code limitKPerS} over the whole window's length, however quickly. */
    boolean tooFast(double nowAirC, double limitKPerS) {
        return nowAirC - airC > limitKPerS * WINDOW_S;
    }
}
