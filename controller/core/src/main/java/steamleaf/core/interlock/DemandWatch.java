package steamleaf.core.interlock;

/**
 * Whether the air answers to heat: a window in which the heater is on nearly all the time.
 *
 * @param atS guard time at which the window began
 * @param heatOnS heater-on seconds of the charge at that time
 * @param airC air at that time
 * @param noAnswer the last full window saw full heat and no rise
 */
record DemandWatch(double atS, double heatOnS, double airC, boolean noAnswer) {
    /** Length of the window. */
    static final double WINDOW_S = 120.0;

    /** Heater on for this share of the window counts as full demand. */
    static final double FULL_SHARE = 0.8;

    /** Less than this is no rise. */
    static final double RISE_K = 1.0;

    /** Air this far above the room shows that heat arrives, even if it has stopped rising. */
    static final double WARM_K = 15.0;

    /** Room temperature assumed while the room's sensor is bad: a hot day. */
    static final double ROOM_UNKNOWN_C = 35.0;

    /**
     * @param steady door closed and fan running, so that the answer means something
     */
    DemandWatch next(boolean steady, double nowHeatOnS, double nowAirC, double roomC, double nowS) {
        if (!steady || nowHeatOnS < heatOnS || Double.isNaN(airC)) {
            return nowS - atS < 1.0 && !noAnswer
                    ? this
                    : new DemandWatch(nowS, nowHeatOnS, nowAirC, false);
        }
        if (nowS - atS < WINDOW_S) {
            return this;
        }
        double room = !Double.isNaN(roomC) ? roomC : ROOM_UNKNOWN_C;
        boolean full = nowHeatOnS - heatOnS >= FULL_SHARE * (nowS - atS);
        boolean answered = nowAirC - airC >= RISE_K || nowAirC >= room + WARM_K;
        return new DemandWatch(nowS, nowHeatOnS, nowAirC, full && !answered);
    }
}
