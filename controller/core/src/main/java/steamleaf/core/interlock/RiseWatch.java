package steamleaf.core.interlock;

/**
 * Air temperature at the beginning of a short window.
 *
 * @param atS guard time at which the window began
 * @param airC NaN when unknown
 * @param tooFast the air is further above the window's beginning than heater and fan could bring it
 *     in the window's whole length
 */
record RiseWatch(double atS, double airC, boolean tooFast) {
    /** Length of the window. */
    static final double WINDOW_S = 10.0;

    RiseWatch next(double nowAirC, double limitKPerS, double nowS) {
        boolean fast = nowAirC - airC > limitKPerS * WINDOW_S;
        boolean over = nowS - atS >= WINDOW_S || Double.isNaN(airC) != Double.isNaN(nowAirC);
        if (over) {
            return new RiseWatch(nowS, nowAirC, fast);
        }
        return fast == tooFast ? this : new RiseWatch(atS, airC, fast);
    }
}
