package steamleaf.core.interlock;

import java.util.Set;
import steamleaf.core.StateKey;

/** What the enumerations look at in a guard's state: its flags, and each timer as a few classes. */
public final class GuardKey {
    private GuardKey() {}

    /** Flags and contactor: everything a rule holds, and what is on. */
    private static void flags(StateKey.Packer key, GuardState g) {
        for (int i = 0; i < g.flags.length; i++) {
            key.add(g.flags[i] & ~GuardState.TOLD, 3);
            if (g.slots.rule(i).delayS() > 0.0) {
                key.add(!Double.isNaN(g.badSinceS[i]));
            }
        }
        key.add(GuardState.settled(g.nowS));
        key.add(g.contactor.phase().ordinal(), 3);
        key.add(inPhaseOver(g.contactor, g.nowS));
        key.add(g.started, 9);
        WantedOutputs on = g.driven;
        key.add(on.steamValve()).add(on.beltRun()).add(on.extractor());
        for (OvenOutputs oven : on.ovens()) {
            key.add(oven.heater()).add(oven.fan());
        }
    }

    private static boolean inPhaseOver(ContactorWatch contactor, double nowS) {
        double inPhaseS = nowS - contactor.sinceS();
        return switch (contactor.phase()) {
            case RELAY_DROPPING, PROVING_OPEN, PULSE_SETTLING -> inPhaseS >= 2.5;
            case OPEN, AWAITING_RESET, CLOSING, CLOSED -> false;
        };
    }

    /** For batch × unit × guard: no watch in it that only looks at how warm something is. */
    public static void coarse(StateKey.Packer key, GuardState g) {
        flags(key, g);
        key.add(g.steamer.vented());
        for (OvenWatch oven : g.ovens) {
            key.add(mayStart(oven.fan(), g.nowS)).add(oven.charge().proven());
        }
    }

    private static boolean mayStart(FanWatch fan, double nowS) {
        return fan.on() || fan.seenOff() || fan.offFor(Guard.COAST_DOWN_S, nowS);
    }

    /** By slot: latched trips, one bit each. */
    public static long trips(GuardState g) {
        long trips = 0;
        for (int i = 0; i < g.flags.length; i++) {
            boolean trip = g.latched(i) && g.slots.rule(i).latch() == Latch.TRIP;
            trips |= trip ? 1L << i : 0;
        }
        return trips;
    }

    /** By slot: the first trip of its group, one bit each. */
    public static long firstOut(GuardState g) {
        long first = 0;
        for (int i = 0; i < g.flags.length; i++) {
            first |= (g.flags[i] & GuardState.FIRST_OUT) != 0 ? 1L << i : 0;
        }
        return first;
    }

    /** 0 for idle, then 1 more for each limit that has passed. */
    private static int timed(double elapsedS, double... limitsS) {
        if (Double.isNaN(elapsedS)) {
            return 0;
        }
        int over = 1;
        for (double limitS : limitsS) {
            over += elapsedS >= limitS ? 1 : 0;
        }
        return over;
    }

    /** What the guard remembers besides its flags. */
    enum Watch {
        CONTACTOR_OPEN,
        VALVES,
        CHEST,
        EXTRACTOR,
        FAN,
        HEATER,
        CHARGE,
        DOOR,
        RISE,
        DEMAND,
        FROZEN,
        WARMTH,
        LIMIT,
        TURN
    }

    /** For the guard alone: flags, contactor, and the watches that the part makes move. */
    static void fine(StateKey.Packer key, GuardState g, Set<Watch> watches, double longestHeatOnS) {
        flags(key, g);
        key.add(g.contactor.resetUp()).add(g.driven.hoodUnlock());
        for (Watch watch : watches) {
            switch (watch) {
                case CONTACTOR_OPEN -> key.add(timed(g.contactor.openForS(g.nowS), 20.0), 2);
                case VALVES -> {
                    key.add(g.steamer.valveOn());
                    key.add(timed(g.nowS - g.steamer.valveSinceS(), 30.0, 60.0), 2);
                }
                case CHEST -> chest(key, g.steamer, g.nowS);
                case EXTRACTOR -> fan(key, g.steamer.extractor(), g.nowS);
                case TURN -> {
                    key.add(g.turn.owner(), 4).add(g.turn.over(), 9);
                    key.add(timed(g.nowS - g.turn.sinceS(), WarmingTurn.LONGEST_S), 2);
                }
                case FAN, HEATER, CHARGE, DOOR, RISE, DEMAND, FROZEN, WARMTH, LIMIT -> {
                    for (OvenWatch oven : g.ovens) {
                        oven(key, watch, oven, g.nowS, longestHeatOnS);
                    }
                }
            }
        }
    }

    private static void chest(StateKey.Packer key, SteamerWatch steamer, double nowS) {
        key.add(timed(nowS - steamer.coolFromS(), SteamerWatch.COOLING_S), 2);
        key.add(degrees(steamer.coolFromC()), 8).add(steamer.notCooling());
        key.add(timed(nowS - steamer.ventingSinceS(), SteamerWatch.VENTING_S), 2);
        key.add(steamer.vented());
    }

    private static void oven(
            StateKey.Packer key, Watch watch, OvenWatch oven, double nowS, double longestHeatOnS) {
        HeaterWatch heater = oven.heater();
        switch (watch) {
            case FAN -> fan(key, oven.fan(), nowS);
            case HEATER -> {
                key.add(timed(nowS - heater.sinceS(), 30.0, 60.0), 2);
                key.add(heater.onS(nowS) > longestHeatOnS).add(heater.switches() > 0);
            }
            case CHARGE ->
                    key.add(oven.charge().charge(), 2)
                            .add(oven.charge().seenOpen())
                            .add(oven.charge().proven());
            case DOOR -> key.add(timed(nowS - oven.doorClosedSinceS(), 10.0, 120.0), 2);
            case RISE ->
                    key.add(degrees(oven.rise().airC()), 8)
                            .add(oven.rise().tooFast())
                            .add(timed(nowS - oven.rise().atS(), RiseWatch.WINDOW_S), 2);
            case DEMAND ->
                    key.add(degrees(oven.demand().airC()), 8)
                            .add(oven.demand().noAnswer())
                            .add(timed(nowS - oven.demand().atS(), DemandWatch.WINDOW_S), 2);
            case FROZEN -> {
                FrozenWatch frozen = oven.frozen();
                key.add(frozen.airC() == Math.rint(frozen.airC()));
                double stoodS = frozen.sampledAtS() - frozen.sinceS();
                key.add(timed(stoodS, FrozenWatch.FROZEN_S), 2);
                key.add(
                        Math.min(FrozenWatch.SWITCHES, heater.switches() - frozen.switchesThen()),
                        3);
            }
            case WARMTH -> {
                warmth(key, oven.heatOff());
                warmth(key, oven.contactorOpen());
            }
            case LIMIT ->
                    key.add(oven.limit().kept())
                            .add(oven.limit().paused())
                            .add(degrees(oven.limit().limitC()), 8);
            case CONTACTOR_OPEN, VALVES, CHEST, EXTRACTOR, TURN ->
                    throw new IllegalArgumentException(watch + " is no oven's");
        }
    }

    private static void fan(StateKey.Packer key, FanWatch fan, double nowS) {
        key.add(fan.on()).add(fan.seenOff()).add(timed(nowS - fan.sinceS(), 15.0, 60.0), 2);
    }

    private static void warmth(StateKey.Packer key, WarmthWatch warmth) {
        key.add(warmth.quiet());
        key.add(degrees(Math.max(warmth.beforeC(), warmth.longBeforeC())), 8);
    }

    /** The letters know few temperatures, so whole degrees tell them apart. */
    private static long degrees(double celsius) {
        return Double.isNaN(celsius) ? 255 : Math.round(Math.clamp(celsius, 0.0, 254.0));
    }
}
