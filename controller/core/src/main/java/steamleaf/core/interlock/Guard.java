package steamleaf.core.interlock;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/**
 * Has the last word in every cycle: looks at each rule, takes what it must, and makes the allowed
 * outputs.
 *
 * <p>Nothing has heat, steam or belt before a press at the machine started it; each trip and
 * interlock takes that start back. The contactor closes only after it was seen to stay open with
 * the watchdog relay dropped. Fans and extractor run on after heat and steam, unless something is
 * on fire. Off is never refused: the only outputs that the guard adds to what was wanted are the
 * running-on of fan and extractor.
 */
public final class Guard {
    /** After a start everything is off until each sensor had time for its first conversion. */
    public static final double SETTLE_S = 3.0;

    /** Fans and extractor run on this long after heat or steam. */
    public static final double RUN_ON_S = 60.0;

    /** A contact that still shows airflow after this is stuck; the fan may run to cool. */
    static final double COAST_DOWN_S = 60.0;

    /** The bits of all units, however many. */
    private static final int ALL = -1;

    private final GuardSettings settings;

    public Guard(GuardSettings settings) {
        this.settings = settings;
    }

    public GuardStep step(GuardState state, GuardInput in) {
        return new Step(state, in).run();
    }

    /** One step's working values; made and dropped within {@link #step}. */
    private final class Step {
        private final GuardState before;
        private final GuardInput in;
        private final Readings readings;
        private final double nowS;
        private final boolean late;
        private final boolean settled;

        private double[] badSinceS;
        private byte[] flags;
        private long[] sinceCycle;
        private int started;
        private int restarts;
        private WarmingTurn turn;
        private @Nullable List<GuardEvent> events;

        /** Units whose heat, steam and belt a rule holds off. */
        private int blocked;

        /** Units of which a rule takes back the start. */
        private int takenBack;

        private boolean contactorBlocked;
        private boolean welded;

        /** Units with fan off and damper closed; bit 0: extractor off. */
        private int fire;

        Step(GuardState before, GuardInput in) {
            this.before = before;
            this.in = in;
            this.readings = in.readings();
            boolean sane = in.elapsedS() >= 0.0 && in.elapsedS() <= settings.longestCycleS();
            this.late = in.cycleLate() || !sane;
            this.nowS = before.nowS + counted(in.elapsedS());
            this.settled = GuardState.settled(nowS);
            this.badSinceS = before.badSinceS;
            this.flags = before.flags;
            this.sinceCycle = before.sinceCycle;
            this.started = before.started;
            this.restarts = before.restartsWithinHour;
            this.turn = before.turn.next(started, airC(before.turn.owner()), nowS);
        }

        GuardStep run() {
            boolean contactorOpen = readings.isOff(UnitId.LINE, Quantity.CONTACTOR_CLOSED);
            ContactorWatch contactor =
                    before.contactor.seen(contactorOpen, before.driven.contactor(), nowS);
            SteamerWatch steamer = before.steamer.next(readings, before.driven, nowS);
            OvenWatch[] ovens = ovens(contactor);
            if (settled) {
                lookAtRules(
                        new View(
                                settings,
                                in,
                                before.driven,
                                contactor,
                                steamer,
                                ovens,
                                late,
                                restarts,
                                started,
                                turn,
                                nowS));
            }
            reset();
            gather();
            started &= ~takenBack;
            stop();
            start();

            boolean contactorClosed = readings.isOn(UnitId.LINE, Quantity.CONTACTOR_CLOSED);
            boolean may =
                    settled
                            && in.wanted().contactor()
                            && !contactorBlocked
                            && !in.requests().stops().contains(UnitId.LINE);
            ContactorWatch moved =
                    contactor.next(
                            may,
                            contactorClosed,
                            contactorOpen,
                            readings.isOn(UnitId.LINE, Quantity.RESET_BUTTON),
                            readings.isOff(UnitId.LINE, Quantity.RESET_BUTTON),
                            settings,
                            nowS);
            if (moved.phase() != before.contactor.phase()) {
                tell(new GuardEvent.ContactorMoved(before.contactor.phase(), moved.phase()));
            }
            boolean powered = moved.phase() == ContactorPhase.CLOSED && contactorClosed;

            WantedOutputs allowed = allow(moved, steamer, ovens, powered);
            boolean pulse = settled && !late && !welded && !moved.withholdsPulse();
            int airflow = airflow();
            GuardState next =
                    new GuardState(
                            before.slots,
                            nowS,
                            badSinceS,
                            flags,
                            sinceCycle,
                            moved,
                            steamer,
                            ovens,
                            allowed,
                            restarts,
                            started,
                            mayHeat(powered, allowed, airflow),
                            airflow,
                            turn);
            return new GuardStep(
                    next,
                    new AllowedOutputs(allowed, pulse),
                    events == null ? List.of() : List.copyOf(events));
        }

        /** The oven's air; not a number when it is not known or there is no such oven. */
        private double airC(int oven) {
            return oven == 0 ? Double.NaN : readings.good(UnitId.oven(oven), Quantity.AIR_C);
        }

        private OvenWatch[] ovens(ContactorWatch contactor) {
            OvenWatch[] watches = before.ovens;
            double openForS = contactor.openForS(nowS);
            for (int i = 0; i < before.ovens.length; i++) {
                OvenWatch next =
                        before.ovens[i].next(
                                UnitId.oven(i + 1),
                                readings,
                                before.driven.ovens().get(i),
                                openForS,
                                in.activity().get(i),
                                in.limits().ovens().get(i).airLimitC(),
                                settings.ovens().get(i).riseLimitKPerS(),
                                settings.heatStopK(),
                                nowS);
                if (next != before.ovens[i]) {
                    watches = watches == before.ovens ? before.ovens.clone() : watches;
                    watches[i] = next;
                }
            }
            return watches;
        }

        private void lookAtRules(View view) {
            Slots slots = before.slots;
            for (int i = 0; i < slots.count(); i++) {
                Rule rule = slots.rule(i);
                boolean good = rule.good(view, slots.unit(i));
                double since = badSinceS[i];
                boolean wasBad = !Double.isNaN(since);
                if (good) {
                    if (wasBad) {
                        setBadSince(i, Double.NaN);
                    }
                } else if (!wasBad) {
                    setBadSince(i, nowS);
                }
                boolean present = !good && isOver(nowS - badSinceS[i], rule.delayS());
                boolean was = (flags[i] & GuardState.PRESENT) != 0;
                if (present != was) {
                    if (present) {
                        takeEffect(i);
                    } else {
                        goAway(i);
                    }
                }
            }
        }

        private void takeEffect(int slot) {
            Rule rule = before.slots.rule(slot);
            UnitId unit = before.slots.unit(slot);
            boolean wasLatched = (flags[slot] & GuardState.LATCHED) != 0;
            boolean latch =
                    switch (rule.latch()) {
                        case TRIP -> true;
                        case INTERLOCK -> (started & GuardState.bit(unit)) != 0;
                        case FOLLOWS -> false;
                    };
            boolean firstOut =
                    wasLatched
                            ? (flags[slot] & GuardState.FIRST_OUT) != 0
                            : rule.latch() == Latch.TRIP && noTripBefore(slot);
            boolean idle =
                    rule.latch() == Latch.INTERLOCK && !latch; // nothing was taken from anybody
            boolean tell = !wasLatched && !idle;
            setFlags(
                    slot,
                    GuardState.PRESENT
                            | (latch || wasLatched ? GuardState.LATCHED : 0)
                            | (firstOut ? GuardState.FIRST_OUT : 0)
                            | (tell ? GuardState.TOLD : 0));
            if (!wasLatched) {
                sinceCycle = sinceCycle == before.sinceCycle ? sinceCycle.clone() : sinceCycle;
                sinceCycle[slot] = in.cycle();
            }
            if (tell) {
                tell(new GuardEvent.TookEffect(rule, unit, firstOut));
            }
            if (rule == Rule.RESTARTED_TOO_OFTEN) {
                restarts = 0; // the latch keeps it now; a reset must be able to let go
            }
        }

        private boolean noTripBefore(int slot) {
            Slots slots = before.slots;
            for (int i = 0; i < slots.count(); i++) {
                boolean trip =
                        (flags[i] & GuardState.LATCHED) != 0 && slots.rule(i).latch() == Latch.TRIP;
                boolean sameGroup =
                        slots.unit(i).equals(slots.unit(slot)) || slots.rule(i).opensContactor();
                if (trip && sameGroup) {
                    return false;
                }
            }
            return true;
        }

        private void goAway(int slot) {
            boolean latched = (flags[slot] & GuardState.LATCHED) != 0;
            boolean told = (flags[slot] & GuardState.TOLD) != 0;
            Rule rule = before.slots.rule(slot);
            UnitId unit = before.slots.unit(slot);
            setFlags(slot, latched ? flags[slot] & ~(GuardState.PRESENT | GuardState.TOLD) : 0);
            if (told) {
                tell(new GuardEvent.Returned(rule, unit));
                if (!latched) {
                    tell(new GuardEvent.LetGo(rule, unit));
                }
            }
        }

        private void reset() {
            if (in.requests().resets().isEmpty()) {
                return;
            }
            Slots slots = before.slots;
            for (int i = 0; i < slots.count(); i++) {
                boolean trip =
                        (flags[i] & GuardState.LATCHED) != 0 && slots.rule(i).latch() == Latch.TRIP;
                boolean asked =
                        slots.rule(i).opensContactor() // stands in the way of every unit
                                || in.requests().resets().contains(slots.unit(i))
                                || in.requests().resets().contains(UnitId.LINE);
                if (trip && asked) {
                    // nor while its delay runs again, nor before anything was looked at
                    if (!settled || !Double.isNaN(badSinceS[i])) {
                        tell(new GuardEvent.ResetRefused(slots.rule(i), slots.unit(i)));
                    } else {
                        letGo(i);
                    }
                }
            }
        }

        private void letGo(int slot) {
            setFlags(slot, 0);
            tell(new GuardEvent.LetGo(before.slots.rule(slot), before.slots.unit(slot)));
        }

        /** Adds up what all rules in effect take away. */
        private void gather() {
            blocked = 0;
            takenBack = 0;
            contactorBlocked = false;
            fire = 0;
            welded = false;
            Slots slots = before.slots;
            for (int i = 0; i < flags.length; i++) {
                if ((flags[i] & (GuardState.PRESENT | GuardState.LATCHED)) != 0) {
                    take(slots.rule(i), slots.unit(i));
                }
            }
        }

        private void take(Rule rule, UnitId unit) {
            int whose =
                    switch (rule.effect()) {
                        case CONTACTOR_OFF, FIRE -> ALL;
                        case STEAM_OFF, HEAT_OFF -> GuardState.bit(unit);
                        case ALARM_ONLY -> 0;
                    };
            blocked |= whose;
            takenBack |= rule.latch() == Latch.FOLLOWS ? 0 : whose;
            contactorBlocked |= rule.opensContactor();
            welded |= rule == Rule.CONTACTOR_WELDED;
            if (rule.effect() == Effect.FIRE) {
                fire |= unit.isOven() ? GuardState.bit(unit) | 1 : ALL;
            }
        }

        private void stop() {
            for (UnitId unit : in.requests().stops()) {
                int whose = unit.equals(UnitId.LINE) ? ALL : GuardState.bit(unit);
                if ((started & whose) != 0) {
                    tell(new GuardEvent.Stopped(unit));
                }
                started &= ~whose;
            }
        }

        private void start() {
            for (UnitId unit : in.requests().starts()) {
                boolean stopped =
                        in.requests().stops().contains(unit)
                                || in.requests().stops().contains(UnitId.LINE);
                if (unit.equals(UnitId.LINE) || stopped) {
                    continue; // units are started one by one, and a stop in the same cycle wins
                }
                Reason refusal = GuardState.startRefusal(before.slots, flags, nowS, unit);
                if (refusal != null) {
                    tell(new GuardEvent.StartRefused(unit, refusal));
                } else {
                    liftInterlocks(unit);
                    started |= GuardState.bit(unit);
                    gather();
                    tell(new GuardEvent.Started(unit));
                }
            }
        }

        private void liftInterlocks(UnitId unit) {
            Slots slots = before.slots;
            for (int i = 0; i < slots.count(); i++) {
                boolean interlock =
                        (flags[i] & GuardState.LATCHED) != 0
                                && slots.rule(i).latch() == Latch.INTERLOCK;
                if (interlock && slots.unit(i).equals(unit)) {
                    letGo(i);
                }
            }
        }

        private WantedOutputs allow(
                ContactorWatch contactor,
                SteamerWatch steamer,
                OvenWatch[] ovens,
                boolean powered) {
            WantedOutputs wanted = in.wanted();
            boolean steamerRuns = (started & ~blocked & 1) != 0 && settled;
            boolean steam = steamerRuns && powered;
            boolean belt = steamerRuns && wanted.beltRun();
            boolean valve = steam && wanted.steamValve();
            boolean secondValve = steam && wanted.secondSteamValve();
            boolean runOn =
                    before.driven.extractor()
                            && (steamer.valveOn() || !steamer.valveOffFor(RUN_ON_S, nowS));
            boolean mayStart =
                    steamer.extractor().on()
                            || steamer.extractor().seenOff()
                            || steamer.extractor().offFor(COAST_DOWN_S, nowS);
            boolean extractor =
                    settled && (fire & 1) == 0 && ((wanted.extractor() && mayStart) || runOn);
            boolean unlock =
                    settled
                            && wanted.hoodUnlock()
                            && steamer.mayUnlock()
                            && extractor
                            && !valve
                            && !secondValve
                            && !belt;
            return new WantedOutputs(
                    contactor.coil(),
                    valve,
                    secondValve,
                    belt,
                    belt ? ratio(wanted.beltSpeed()) : 0.0,
                    extractor,
                    unlock,
                    allowOvens(ovens, powered));
        }

        private List<OvenOutputs> allowOvens(OvenWatch[] ovens, boolean powered) {
            List<OvenOutputs> wanted = in.wanted().ovens();
            OvenOutputs[] allowed = null;
            for (int i = 0; i < ovens.length; i++) {
                OvenOutputs want = wanted.get(i);
                OvenOutputs may = allowOven(UnitId.oven(i + 1), ovens[i], want, powered);
                if (may != want && allowed == null) {
                    allowed = wanted.toArray(new OvenOutputs[0]);
                }
                if (allowed != null) {
                    allowed[i] = may;
                }
            }
            return allowed == null ? wanted : List.of(allowed);
        }

        private OvenOutputs allowOven(
                UnitId unit, OvenWatch watch, OvenOutputs want, boolean powered) {
            int bit = GuardState.bit(unit);
            boolean burning = (fire & bit) != 0;
            boolean fan = settled && !burning && fanRuns(unit, watch, want);
            boolean heater = want.heater() && fan && powered && heatable(unit, bit);
            if (heater) {
                turn = turn.heated(unit.number(), airC(unit.number()), nowS);
            }
            double damper = settled && !burning ? ratio(want.damper()) : 0.0;
            boolean asWanted =
                    heater == want.heater() && fan == want.fan() && damper == want.damper();
            return asWanted ? want : new OvenOutputs(heater, fan, damper);
        }

        private boolean fanRuns(UnitId unit, OvenWatch watch, OvenOutputs want) {
            boolean mayStart = watch.fan().seenOff() || watch.fan().offFor(COAST_DOWN_S, nowS);
            boolean heatedLately =
                    watch.heater().on()
                            || (watch.heater().switches() > 0
                                    && !watch.heater().offFor(RUN_ON_S, nowS));
            boolean runOn =
                    watch.fan().on() && heatedLately && readings.isOn(unit, Quantity.DOOR_CLOSED);
            return (want.fan() && (watch.fan().on() || mayStart)) || runOn;
        }

        private boolean heatable(UnitId unit, int bit) {
            return settled
                    && (started & ~blocked & bit) != 0
                    && turn.mayHeat(unit.number()) // two in the same cycle
                    && readings.isOn(unit, Quantity.AIRFLOW_PROVEN);
        }

        private int airflow() {
            int mask = 0;
            for (int n = 1; n <= before.ovens.length; n++) {
                UnitId unit = UnitId.oven(n);
                mask |= readings.isOn(unit, Quantity.AIRFLOW_PROVEN) ? GuardState.bit(unit) : 0;
            }
            return mask;
        }

        private int mayHeat(boolean powered, WantedOutputs allowed, int airflow) {
            if (!powered || !settled) {
                return 0;
            }
            int withAir = 1;
            for (int i = 0; i < before.ovens.length; i++) {
                boolean may = allowed.ovens().get(i).fan() && turn.mayHeat(i + 1);
                withAir |= may ? airflow & (2 << i) : 0;
            }
            return started & ~blocked & withAir;
        }

        private void setBadSince(int slot, double sinceS) {
            badSinceS = badSinceS == before.badSinceS ? badSinceS.clone() : badSinceS;
            badSinceS[slot] = sinceS;
        }

        private void setFlags(int slot, int value) {
            flags = flags == before.flags ? flags.clone() : flags;
            flags[slot] = (byte) value;
        }

        private void tell(GuardEvent event) {
            List<GuardEvent> list = events;
            if (list == null) {
                list = new ArrayList<>(4);
                events = list;
            }
            list.add(event);
        }
    }

    /** A cycle's time that may be counted on: nobody knows what an hour in one step was. */
    static double counted(double elapsedS) {
        return elapsedS < 3600.0 ? Math.max(0.0, elapsedS) : 0.0;
    }

    /** The delay has passed, to the millisecond: summed cycle times round. */
    static boolean isOver(double standsS, double delayS) {
        return Math.round(standsS * 1e3) >= Math.round(delayS * 1e3);
    }

    /** Inside 0 to 1; not a number is 0. */
    static double ratio(double value) {
        return Double.isNaN(value) ? 0.0 : Math.clamp(value, 0.0, 1.0);
    }
}
