package steamleaf.core.interlock;

/**
 * Whether the air's value moves at all while the heater switches. Compared to the last bit: noise
 * and the heater's ripple move a living element by at least one count.
 *
 * @param airC value that has stood
 * @param sinceS guard time since when
 * @param sampledAtS guard time of the last comparison
 * @param switchesThen heater switchings counted when the value appeared
 */
record FrozenWatch(double airC, double sinceS, double sampledAtS, int switchesThen) {
    /** Time between comparisons. */
    static final double EVERY_S = 5.0;

    /** Standing still for this long is frozen, if the heater switched meanwhile. */
    static final double FROZEN_S = 120.0;

    static final int SWITCHES = 4;

    FrozenWatch next(double nowAirC, int switches, double nowS) {
        if (nowS - sampledAtS < EVERY_S) {
            return this;
        }
        return nowAirC == airC
                ? new FrozenWatch(airC, sinceS, nowS, switchesThen)
                : new FrozenWatch(nowAirC, nowS, nowS, switches);
    }

    boolean frozen(int switches) {
        return sampledAtS - sinceS >= FROZEN_S && switches - switchesThen >= SWITCHES;
    }
}
