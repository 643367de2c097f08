package steamleaf.core.interlock;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;

/** What the guard remembers from cycle to cycle: a value. Only {@link Guard} makes the next one. */
public final class GuardState {
    static final byte PRESENT = 1;
    static final byte LATCHED = 2;
    static final byte FIRST_OUT = 4;

    /** Its taking effect was told, its going away not yet. */
    static final byte TOLD = 8;

    /** Bit of a unit in masks: steamer 0, ovens by number. */
    static int bit(UnitId unit) {
        return 1 << unit.number();
    }

    final Slots slots;

    /** Guard time: handed-in seconds since the start. */
    final double nowS;

    /** By slot: guard time since when the condition is bad, NaN while good. */
    final double[] badSinceS;

    /** By slot: {@link #PRESENT}, {@link #LATCHED}, {@link #FIRST_OUT}. */
    final byte[] flags;

    /** By slot: cycle in which it took effect. */
    final long[] sinceCycle;

    final ContactorWatch contactor;
    final SteamerWatch steamer;
    final OvenWatch[] ovens;

    /** What the last cycle drove. */
    final WantedOutputs driven;

    final int restartsWithinHour;

    /** Units that may have heat or steam since a press at the machine. */
    final int started;

    /** Units whose heat or steam may be on in this cycle. */
    final int mayHeat;

    /** Ovens whose airflow was proven in this cycle. */
    final int airflow;

    final WarmingTurn turn;

    GuardState(
            Slots slots,
            double nowS,
            double[] badSinceS,
            byte[] flags,
            long[] sinceCycle,
            ContactorWatch contactor,
            SteamerWatch steamer,
            OvenWatch[] ovens,
            WantedOutputs driven,
            int restartsWithinHour,
            int started,
            int mayHeat,
            int airflow,
            WarmingTurn turn) {
        this.slots = slots;
        this.nowS = nowS;
        this.badSinceS = badSinceS;
        this.flags = flags;
        this.sinceCycle = sinceCycle;
        this.contactor = contactor;
        this.steamer = steamer;
        this.ovens = ovens;
        this.driven = driven;
        this.restartsWithinHour = restartsWithinHour;
        this.started = started;
        this.mayHeat = mayHeat;
        this.airflow = airflow;
        this.turn = turn;
    }

    /**
     * What survives a restart: trips stay tripped, counters go on. Everything else starts at its
     * worst case: nothing started, hood unvented, contactor to be proven.
     *
     * @param ovens one per oven, oven 1 first; missing ones are new
     */
    public record Kept(List<KeptTrip> trips, List<KeptOven> ovens) {
        public static final Kept NOTHING = new Kept(List.of(), List.of());
    }

    /**
     * @param rule the rule's short id
     */
    public record KeptTrip(String rule, UnitId unit, boolean firstOut, long sinceCycle) {}

    /**
     * @param heatOnS heater on in this batch
     * @param doorSeenOpen the door was seen open since the charge last changed
     * @param doorProven the door was seen open before this charge's heat
     * @param warmestC warmest air of the last minutes; NaN when unknown
     * @param batch the batch that the heat was for; null from a version that counted by charge
     */
    public record KeptOven(
            long charge,
            double heatOnS,
            boolean doorSeenOpen,
            boolean doorProven,
            double warmestC,
            @Nullable Long batch) {
        static final KeptOven NEW = new KeptOven(0, 0.0, false, true, Double.NaN, 0L);

        /** A charge has the number of its batch. */
        long heatedBatch() {
            return batch == null ? charge : batch;
        }
    }

    /**
     * The state with which a controller starts.
     *
     * @param restartsWithinHour starts of the controller in the hour before this one; when the wall
     *     clock is doubtful, count every start that may have been
     */
    public static GuardState started(GuardSettings settings, Kept kept, int restartsWithinHour) {
        int count = settings.ovens().size();
        Slots slots = new Slots(count);
        double[] badSinceS = new double[slots.count()];
        java.util.Arrays.fill(badSinceS, Double.NaN);
        byte[] flags = new byte[slots.count()];
        long[] sinceCycle = new long[slots.count()];
        for (KeptTrip trip : kept.trips()) {
            int slot = slot(slots, trip);
            if (slot >= 0) {
                flags[slot] = (byte) (LATCHED | (trip.firstOut() ? FIRST_OUT : 0));
                sinceCycle[slot] = trip.sinceCycle();
            }
        }
        OvenWatch[] ovens = new OvenWatch[count];
        for (int i = 0; i < count; i++) {
            ovens[i] =
                    OvenWatch.starting(
                            i < kept.ovens().size() ? kept.ovens().get(i) : KeptOven.NEW, 0.0);
        }
        return new GuardState(
                slots,
                0.0,
                badSinceS,
                flags,
                sinceCycle,
                ContactorWatch.starting(0.0),
                SteamerWatch.starting(0.0),
                ovens,
                WantedOutputs.off(count),
                restartsWithinHour,
                0,
                0,
                0,
                WarmingTurn.NONE);
    }

    /** The trip's slot, or −1 when its oven is no longer part of the line. */
    private static int slot(Slots slots, KeptTrip trip) {
        boolean known = false;
        for (int i = 0; i < slots.count(); i++) {
            boolean same = slots.rule(i).id().equals(trip.rule());
            known |= same;
            if (same && slots.unit(i).equals(trip.unit())) {
                return i;
            }
        }
        if (!known) {
            throw new IllegalArgumentException(
                    "a kept trip names rule "
                            + trip.rule()
                            + ", allowed: the ids of the rule table; it was written by another"
                            + " version");
        }
        return -1;
    }

    public Kept kept() {
        List<KeptTrip> trips = new ArrayList<>();
        for (int i = 0; i < flags.length; i++) {
            if (latched(i) && slots.rule(i).latch() == Latch.TRIP) {
                trips.add(
                        new KeptTrip(
                                slots.rule(i).id(),
                                slots.unit(i),
                                (flags[i] & FIRST_OUT) != 0,
                                sinceCycle[i]));
            }
        }
        List<KeptOven> kept = new ArrayList<>(ovens.length);
        for (OvenWatch oven : ovens) {
            kept.add(
                    new KeptOven(
                            oven.charge().charge(),
                            oven.heater().onS(nowS),
                            oven.charge().seenOpen(),
                            oven.charge().proven(),
                            oven.heatOff().warmestC(),
                            oven.heater().batch()));
        }
        return new Kept(List.copyOf(trips), List.copyOf(kept));
    }

    boolean present(int slot) {
        return (flags[slot] & PRESENT) != 0;
    }

    boolean latched(int slot) {
        return (flags[slot] & LATCHED) != 0;
    }

    boolean active(int slot) {
        return (flags[slot] & (PRESENT | LATCHED)) != 0;
    }

    private Cause cause(int slot) {
        return new Cause(
                slots.rule(slot),
                slots.unit(slot),
                present(slot),
                latched(slot),
                (flags[slot] & FIRST_OUT) != 0,
                sinceCycle[slot]);
    }

    /** All rules in effect or latched, first cause first. */
    public List<Cause> causes() {
        return causesThat(null);
    }

    /** Causes that take something from this unit: its own, and all that open the contactor. */
    public List<Cause> causes(UnitId unit) {
        return causesThat(unit);
    }

    /** Those that concern the unit, all for null. */
    private List<Cause> causesThat(@Nullable UnitId unit) {
        List<Cause> causes = null;
        for (int i = 0; i < flags.length; i++) {
            if (active(i) && (unit == null || concerns(slots.rule(i), slots.unit(i), unit))) {
                causes = causes == null ? new ArrayList<>() : causes;
                causes.add(cause(i));
            }
        }
        if (causes == null) {
            return List.of();
        }
        causes.sort(
                Comparator.comparingLong(Cause::sinceCycle)); // stable: table order within a cycle
        return List.copyOf(causes);
    }

    private static boolean concerns(Rule rule, UnitId at, UnitId unit) {
        return at.equals(unit) || rule.opensContactor();
    }

    /** A trip is latched that takes heat or steam from this unit. */
    public boolean tripped(UnitId unit) {
        for (int i = 0; i < flags.length; i++) {
            boolean trip = latched(i) && slots.rule(i).latch() == Latch.TRIP;
            if (trip && concerns(slots.rule(i), slots.unit(i), unit)) {
                return true;
            }
        }
        return false;
    }

    /** The press at the machine was given and nothing has taken it back. */
    public boolean isStarted(UnitId unit) {
        return (started & bit(unit)) != 0;
    }

    /** Every precondition of heat (oven) or steam (steamer), good or not. */
    public List<Permissive> permissives(UnitId unit) {
        List<Permissive> list = new ArrayList<>();
        list.add(new Permissive(UnitId.LINE, Reason.NOT_READY_AFTER_START, settled(nowS), true));
        for (int i = 0; i < flags.length; i++) {
            Rule rule = slots.rule(i);
            UnitId at = slots.unit(i);
            boolean own = at.equals(unit) || at.equals(UnitId.LINE);
            if (rule.effect() != Effect.ALARM_ONLY
                    && (own || (rule.opensContactor() && active(i)))) {
                list.add(
                        new Permissive(
                                at, rule.reason(), !holds(slots, flags, i), rule.blocksStart()));
            }
        }
        list.add(new Permissive(unit, Reason.PRESS_START_AT_MACHINE, isStarted(unit), false));
        list.add(contactorPermissive());
        if (unit.isOven()) {
            boolean fan = driven.ovens().get(unit.number() - 1).fan();
            list.add(
                    new Permissive(
                            unit,
                            fan ? Reason.AIRFLOW_NOT_PROVEN : Reason.FAN_OFF,
                            fan && (airflow & bit(unit)) != 0,
                            false));
        }
        return List.copyOf(list);
    }

    private Permissive contactorPermissive() {
        Reason why =
                switch (contactor.phase()) {
                    case OPEN, CLOSING, CLOSED -> Reason.CONTACTOR_OPEN;
                    case RELAY_DROPPING, PROVING_OPEN, PULSE_SETTLING ->
                            Reason.CONTACTOR_BEING_TESTED;
                    case AWAITING_RESET -> Reason.PRESS_RESET_AT_MACHINE;
                };
        return new Permissive(UnitId.LINE, why, contactor.phase() == ContactorPhase.CLOSED, false);
    }

    /**
     * Holds heat or steam off even if a start came now: present, or a trip that waits for reset.
     */
    private static boolean holds(Slots slots, byte[] flags, int slot) {
        boolean waitsForReset =
                (flags[slot] & LATCHED) != 0 && slots.rule(slot).latch() == Latch.TRIP;
        return (flags[slot] & PRESENT) != 0 || waitsForReset;
    }

    /** The first thing that would refuse a start of this unit, or null. */
    static @Nullable Reason startRefusal(Slots slots, byte[] flags, double nowS, UnitId unit) {
        if (!settled(nowS)) {
            return Reason.NOT_READY_AFTER_START;
        }
        for (int i = 0; i < flags.length; i++) {
            Rule rule = slots.rule(i);
            boolean concerns = concerns(rule, slots.unit(i), unit);
            if (concerns && rule.blocksStart() && holds(slots, flags, i)) {
                return rule.reason();
            }
        }
        return null;
    }

    /** A start of this unit would be accepted now. */
    public boolean readyToStart(UnitId unit) {
        return startRefusal(slots, flags, nowS, unit) == null;
    }

    /** Heat may be on in this cycle if wanted. */
    public boolean heatAllowed(UnitId oven) {
        return (mayHeat & bit(oven)) != 0;
    }

    /** Steam may be on in this cycle if wanted. */
    public boolean steamAllowed() {
        return (mayHeat & bit(UnitId.STEAMER)) != 0;
    }

    public ContactorPhase contactor() {
        return contactor.phase();
    }

    /** People must leave: smoke or a fire-like rise. */
    public boolean evacuate() {
        for (int i = 0; i < flags.length; i++) {
            if (active(i) && slots.rule(i).effect() == Effect.FIRE) {
                return true;
            }
        }
        return false;
    }

    /** The hood may be unlocked when asked: vented and cool. */
    public boolean hoodMayUnlock() {
        return steamer.mayUnlock();
    }

    /** Heater-on seconds of the oven's batch. */
    public double heatOnS(UnitId oven) {
        return ovens[oven.number() - 1].heater().onS(nowS);
    }

    /** First conversions have arrived; before that everything stays off and nothing trips. */
    static boolean settled(double nowS) {
        return nowS >= Guard.SETTLE_S - 1e-9;
    }
}
