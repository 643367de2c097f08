package steamleaf.core.interlock;

import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/**
 * What the guard remembers of one oven. Every part is replaced only when it changed.
 *
 * @param doorClosedSinceS guard time; NaN while the door is not provably closed
 */
record OvenWatch(
        FanWatch fan,
        HeaterWatch heater,
        ChargeWatch charge,
        double doorClosedSinceS,
        RiseWatch rise,
        DemandWatch demand,
        FrozenWatch frozen,
        WarmthWatch heatOff,
        WarmthWatch contactorOpen,
        LimitWatch limit) {

    /** Elements and probe have settled this long after the heater went off. */
    static final double HEAT_SETTLED_S = 30.0;

    /** As the rule says: still rising this long after the contactor is proven open. */
    static final double CONTACTOR_SETTLED_S = 20.0;

    /** The air at the probe has settled this long after the fan changed. */
    static final double FAN_SETTLED_S = 60.0;

    /** Warmer than anything before by this, with the heater off: heat from somewhere. */
    static final double RISING_K = 6.0;

    /** Warmer than anything before by this, with the contactor open: like a fire. */
    static final double FIRE_K = 10.0;

    static OvenWatch starting(GuardState.KeptOven kept, double nowS) {
        return new OvenWatch(
                new FanWatch(false, nowS, false),
                new HeaterWatch(false, nowS, kept.heatOnS(), 0, kept.heatedBatch()),
                new ChargeWatch(kept.charge(), kept.doorSeenOpen(), kept.doorProven()),
                Double.NaN,
                new RiseWatch(nowS, Double.NaN, false),
                new DemandWatch(nowS, kept.heatOnS(), Double.NaN, false),
                new FrozenWatch(Double.NaN, nowS, nowS, 0),
                WarmthWatch.recalled(kept.warmestC(), nowS),
                WarmthWatch.recalled(kept.warmestC(), nowS),
                LimitWatch.NONE);
    }

    /**
     * @param driven what the last cycle drove
     * @param openForS how long the contactor has been proven open, NaN when it is not
     */
    OvenWatch next(
            UnitId oven,
            Readings readings,
            OvenOutputs driven,
            double openForS,
            OvenActivity activity,
            double airLimitC,
            double riseLimitKPerS,
            double heatStopK,
            double nowS) {
        double airC = readings.good(oven, Quantity.AIR_C);
        boolean doorClosed = readings.isOn(oven, Quantity.DOOR_CLOSED);
        FanWatch nextFan =
                fan.next(driven.fan(), readings.isOff(oven, Quantity.AIRFLOW_PROVEN), nowS);
        HeaterWatch nextHeater = heater.next(driven.heater(), activity.batch(), nowS);
        ChargeWatch nextCharge =
                charge.next(activity.charge(), readings.isOff(oven, Quantity.DOOR_CLOSED));
        boolean fanSettled = nowS - nextFan.sinceS() >= FAN_SETTLED_S;
        // what has risen already keeps counting when the guard itself stops the fan
        boolean heatQuiet =
                nextHeater.offFor(HEAT_SETTLED_S, nowS)
                        && (fanSettled || heatOff.exceededBy(RISING_K, airC));
        boolean contactorQuiet =
                openForS >= CONTACTOR_SETTLED_S
                        && (fanSettled || contactorOpen.exceededBy(FIRE_K, airC));
        double nextDoor =
                doorClosed ? (nowIs(doorClosedSinceS) ? doorClosedSinceS : nowS) : Double.NaN;
        DemandWatch nextDemand =
                demand.next(
                        doorClosed
                                && driven.fan()
                                && Double.isNaN(openForS)
                                && !nextHeater.offFor(HEAT_SETTLED_S, nowS),
                        nextHeater.onS(nowS),
                        airC,
                        readings.good(UnitId.LINE, Quantity.ROOM_C),
                        nowS);
        RiseWatch nextRise = rise.next(airC, riseLimitKPerS, nowS);
        FrozenWatch nextFrozen = frozen.next(airC, nextHeater.switches(), nowS);
        WarmthWatch nextHeatOff = heatOff.next(heatQuiet, airC, nowS);
        WarmthWatch nextContactorOpen = contactorOpen.next(contactorQuiet, airC, nowS);
        LimitWatch nextLimit =
                limit.next(
                        airLimitC, airC, heatStopK, nowS - nextDoor >= LimitWatch.DOOR_SETTLED_S);
        boolean same =
                nextFan == fan
                        && nextHeater == heater
                        && nextCharge == charge
                        && Double.compare(nextDoor, doorClosedSinceS) == 0
                        && nextRise == rise
                        && nextDemand == demand
                        && nextFrozen == frozen
                        && nextHeatOff == heatOff
                        && nextContactorOpen == contactorOpen
                        && nextLimit == limit;
        return same
                ? this
                : new OvenWatch(
                        nextFan,
                        nextHeater,
                        nextCharge,
                        nextDoor,
                        nextRise,
                        nextDemand,
                        nextFrozen,
                        nextHeatOff,
                        nextContactorOpen,
                        nextLimit);
    }

    private static boolean nowIs(double sinceS) {
        return !Double.isNaN(sinceS);
    }

    boolean doorClosedFor(double s, double nowS) {
        return nowS - doorClosedSinceS >= s;
    }
}
