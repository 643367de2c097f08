package steamleaf.core.interlock;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collections;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Predicate;
import org.junit.jupiter.api.Test;
import steamleaf.core.Space;
import steamleaf.core.StateKey;
import steamleaf.core.interlock.GuardKey.Watch;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;
import steamleaf.core.reading.UnitKind;

/**
 * The guard alone, in every state that it can reach when something is wrong: {@link Guard#step}
 * itself is driven breadth-first from its start, part by part.
 *
 * <p>A part says what its sensors may show: each contact good, bad and unknown; each pair of
 * contacts, one, the other or both bad; each feedback stuck either way; temperatures for each
 * watch; a late cycle; nothing known at all; too many restarts; two ovens. In each part the
 * emergency stop may come besides, so that there is a first cause and a second. <em>Letters</em>:
 * any of these with nothing, everything or an unlocked hood wanted, for no time to speak of, 20 s,
 * 130 s or just less than an hour; starts, resets and stops of each unit, a press of reset; a
 * restart.
 *
 * <p><em>Timers</em> are idle, running or expired. Two states are the same when {@link
 * GuardKey#fine} is: each rule's present, latched and first-out, its delay, started units, the
 * contactor's phase, what is driven, and the watches that the part makes move, their temperatures
 * to the degree. One representative of each is gone on from.
 *
 * <p><em>What this may miss</em>: what depends on how long a timer has run, on a watch that the
 * part does not name, and three causes at once ({@link AnyDayTest} throws everything at the guard,
 * at random).
 */
class EveryGuardStateTest {
    private static final UnitId OVEN = UnitId.oven(1);

    private static final double TINY_S = 1e-5;
    private static final double LONG_S = 3599.0;
    private static final double[] TIMES_S = {TINY_S, 20.0, 130.0, LONG_S};

    /**
     * What the sensors of one step show; where nothing is forced, contacts follow what is driven.
     */
    private static final class World {
        final String name;
        final boolean calm;
        final Map<Quantity, Double> forced = new LinkedHashMap<>();
        double airC = 50.0;
        double exhaustC = 40.0;
        double chestAC = 25.0;
        double chestBC = 25.0;
        double boilingC = 99.6;
        double airLimitC = 85.0;
        double roomC = 22.0;
        long charge;
        boolean wobbles = true;
        boolean late;
        boolean nothingKnown;

        World(String name, boolean calm) {
            this.name = name;
            this.calm = calm;
        }

        World(String name) {
            this(name, false);
        }

        static World good() {
            return new World("good", true);
        }

        /** NaN: cannot be believed. */
        World with(Quantity quantity, double value) {
            forced.put(quantity, value);
            return this;
        }

        World air(double airC) {
            this.airC = airC;
            this.exhaustC = airC - 10.0;
            return this;
        }

        World exhaust(double exhaustC) {
            this.exhaustC = exhaustC;
            return this;
        }

        World chest(double aC, double bC) {
            this.chestAC = aC;
            this.chestBC = bC;
            return this;
        }

        World charge(long number) {
            this.charge = number;
            return this;
        }

        @Override
        public String toString() {
            return name;
        }
    }

    /** One part of the enumeration: what may be wrong in it. */
    private record Part(
            String name,
            int ovens,
            int restarts,
            double longestHeatOnS,
            Set<Watch> watches,
            List<World> worlds) {}

    private static Part part(String name, Set<Watch> watches, World... worlds) {
        return new Part(name, 1, 0, 1e9, watches, List.of(worlds));
    }

    private static final List<Quantity> CONTACTS =
            List.of(
                    Quantity.EMERGENCY_STOP_HEALTHY,
                    Quantity.SMOKE_HEALTHY,
                    Quantity.SUPPLY_HEALTHY,
                    Quantity.PERMIT_KEY_ON,
                    Quantity.HOOD_CLOSED,
                    Quantity.HOOD_LOCKED,
                    Quantity.STEAM_AVAILABLE,
                    Quantity.OVER_PRESSURE_HEALTHY,
                    Quantity.DOOR_CLOSED,
                    Quantity.HIGH_LIMIT_HEALTHY,
                    Quantity.BELT_MM_PER_S);

    /** The watches that a contact makes move. */
    private static Set<Watch> watches(Quantity contact) {
        return switch (contact) {
            case DOOR_CLOSED -> EnumSet.of(Watch.DOOR, Watch.FAN);
            case BELT_MM_PER_S -> EnumSet.of(Watch.VALVES);
            case CONTACTOR_CLOSED -> EnumSet.of(Watch.CONTACTOR_OPEN);
            case EXTRACTOR_PROVEN -> EnumSet.of(Watch.EXTRACTOR, Watch.VALVES);
            case AIRFLOW_PROVEN -> EnumSet.of(Watch.FAN);
            default -> EnumSet.noneOf(Watch.class);
        };
    }

    private static Part pair(Quantity one, Quantity two) {
        return part(
                one + " and " + two,
                EnumSet.noneOf(Watch.class),
                World.good(),
                new World("one off").with(one, 0.0),
                new World("two off").with(two, 0.0),
                new World("both off").with(one, 0.0).with(two, 0.0));
    }

    private static List<Part> parts() {
        List<Part> parts = new ArrayList<>();
        for (Quantity contact : CONTACTS) {
            parts.add(
                    part(
                            contact.name(),
                            watches(contact),
                            World.good(),
                            new World("off").with(contact, 0.0),
                            new World("unknown").with(contact, Double.NaN)));
        }
        for (Quantity one : CONTACTS) {
            for (Quantity two : CONTACTS) {
                if (one.compareTo(two) < 0) {
                    parts.add(pair(one, two));
                }
            }
        }
        for (Quantity follows :
                List.of(
                        Quantity.CONTACTOR_CLOSED,
                        Quantity.EXTRACTOR_PROVEN,
                        Quantity.AIRFLOW_PROVEN,
                        Quantity.HEATER_CURRENT)) {
            parts.add(
                    part(
                            follows.name(),
                            watches(follows),
                            World.good(),
                            new World("stuck off").with(follows, 0.0),
                            new World("stuck on").with(follows, 1.0),
                            new World("unknown").with(follows, Double.NaN)));
        }
        parts.add(
                part(
                        "hot chest",
                        EnumSet.of(Watch.CHEST),
                        World.good(),
                        new World("68").chest(68.0, 68.0),
                        new World("99").chest(99.0, 99.0)));
        parts.add(
                part(
                        "wrong chest",
                        EnumSet.noneOf(Watch.class),
                        World.good(),
                        new World("above boiling").chest(115.0, 115.0),
                        new World("apart").chest(99.0, 90.0),
                        new World("A unknown").chest(Double.NaN, 25.0),
                        new World("B unknown").chest(25.0, Double.NaN)));
        parts.add(
                part(
                        "hood",
                        EnumSet.of(Watch.CHEST, Watch.EXTRACTOR),
                        World.good(),
                        new World("99").chest(99.0, 99.0)));
        parts.add(
                part(
                        "air against its limits",
                        EnumSet.of(Watch.LIMIT),
                        World.good(),
                        new World("90").air(90.0),
                        new World("112").air(112.0)));
        parts.add(
                part(
                        "air that left its limit",
                        EnumSet.of(Watch.LIMIT),
                        World.good(),
                        new World("101").air(101.0),
                        new World("unknown").air(Double.NaN).exhaust(40.0)));
        parts.add(
                part(
                        "rising air",
                        EnumSet.of(Watch.RISE),
                        World.good(),
                        new World("20").air(20.0),
                        new World("75").air(75.0),
                        new World("unknown").air(Double.NaN).exhaust(40.0)));
        parts.add(
                part(
                        "warm air",
                        EnumSet.of(Watch.WARMTH, Watch.HEATER),
                        World.good(),
                        new World("39").air(39.0),
                        new World("66").air(66.0)));
        World still = new World("still");
        still.wobbles = false;
        parts.add(part("frozen air", EnumSet.of(Watch.FROZEN), World.good(), still));
        parts.add(
                part(
                        "exhaust",
                        EnumSet.of(Watch.HEATER),
                        World.good(),
                        new World("63").exhaust(63.0),
                        new World("106").exhaust(106.0),
                        new World("unknown").exhaust(Double.NaN)));
        World roomUnknown = new World("room unknown").air(20.0);
        roomUnknown.roomC = Double.NaN;
        parts.add(
                part(
                        "no answer",
                        EnumSet.of(Watch.DEMAND, Watch.HEATER),
                        World.good(),
                        new World("cold").air(20.0),
                        roomUnknown));
        parts.add(
                part(
                        "charges",
                        EnumSet.of(Watch.CHARGE),
                        World.good(),
                        new World("open", true).with(Quantity.DOOR_CLOSED, 0.0),
                        new World("leaf", true).charge(1),
                        new World("other leaf", true).charge(2),
                        new World("leaf, open", true).charge(1).with(Quantity.DOOR_CLOSED, 0.0)));
        World held = new World("limit 35");
        held.airLimitC = 35.0;
        parts.add(part("limit", EnumSet.of(Watch.LIMIT), World.good(), held));
        World late = new World("late");
        late.late = true;
        parts.add(part("late", EnumSet.noneOf(Watch.class), World.good(), late));
        World nothing = new World("nothing known");
        nothing.nothingKnown = true;
        parts.add(part("nothing known", EnumSet.noneOf(Watch.class), World.good(), nothing));
        parts.add(
                new Part(
                        "restarts", 1, 3, 1e9, EnumSet.noneOf(Watch.class), List.of(World.good())));
        parts.add(
                new Part(
                        "heat for long",
                        1,
                        0,
                        3700.0,
                        EnumSet.of(Watch.HEATER, Watch.CHARGE),
                        List.of(World.good(), new World("leaf", true).charge(1))));
        parts.add(new Part("two ovens", 2, 0, 1e9, EnumSet.of(Watch.TURN), List.of(World.good())));
        return parts;
    }

    private enum Want {
        NOTHING,
        ALL,
        UNLOCK
    }

    private enum Ask {
        NOTHING,
        START_OVEN,
        START_OVEN_2,
        START_STEAMER,
        RESET_LINE,
        RESET_OVEN,
        RESET_STEAMER,
        STOP_LINE,
        STOP_OVEN,
        STOP_STEAMER,
        PRESS_RESET
    }

    private record Letter(World world, double elapsedS, Want want, Ask ask) {
        /** Good sensors, and what people do to have heat again. */
        boolean calm() {
            boolean off = ask == Ask.STOP_LINE || ask == Ask.STOP_OVEN || ask == Ask.STOP_STEAMER;
            return world.calm && want == Want.ALL && !off;
        }
    }

    private record Node(GuardState state, long cycle) {}

    private Part part;
    private Guard guard;
    private GuardSettings settings;
    private List<Letter> letters;
    private Space<Node> space;
    private BitSet goals;
    private int at;
    private long states;
    private long transitions;
    private final Map<String, String> broken = new TreeMap<>();
    private final Set<Rule> present = EnumSet.noneOf(Rule.class);
    private final Set<Rule> latched = EnumSet.noneOf(Rule.class);
    private final Set<Rule> first = EnumSet.noneOf(Rule.class);
    private final Set<ContactorPhase> contactors = EnumSet.noneOf(ContactorPhase.class);
    private final Set<Reason> refusals = EnumSet.noneOf(Reason.class);

    // ---- one step

    private Readings readings(GuardState g, Letter letter, long cycle) {
        Readings.Collector c = new Readings.Collector(part.ovens());
        World world = letter.world();
        if (world.nothingKnown) {
            return c.build();
        }
        for (Quantity q : Quantity.values()) {
            int count = q.of() == UnitKind.OVEN ? part.ovens() : 1;
            for (int n = 1; n <= count; n++) {
                Double forced = world.forced.get(q);
                double value = forced != null ? forced : sensed(g, letter, q, n, cycle);
                c.set(unit(q, n), q, value, Double.isNaN(value) ? Quality.FAULT : Quality.GOOD);
            }
        }
        return c.build();
    }

    private static UnitId unit(Quantity q, int n) {
        return switch (q.of()) {
            case LINE -> UnitId.LINE;
            case STEAMER -> UnitId.STEAMER;
            case OVEN -> UnitId.oven(n);
        };
    }

    private static double sensed(GuardState g, Letter letter, Quantity q, int n, long cycle) {
        World world = letter.world();
        double wobble = world.wobbles ? cycle % 1000 * 1e-4 : 0.0;
        boolean closed =
                g.driven.contactor()
                        && (g.contactor() == ContactorPhase.CLOSING
                                || g.contactor() == ContactorPhase.CLOSED);
        OvenOutputs oven = g.driven.ovens().get(n - 1);
        return switch (q) {
            case EMERGENCY_STOP_HEALTHY, PERMIT_KEY_ON, SUPPLY_HEALTHY, SMOKE_HEALTHY -> 1.0;
            case HOOD_CLOSED, HOOD_LOCKED, STEAM_AVAILABLE, OVER_PRESSURE_HEALTHY -> 1.0;
            case DOOR_CLOSED, HIGH_LIMIT_HEALTHY -> 1.0;
            case START_BUTTON, CONFIRM_BUTTON, SILENCE_BUTTON -> 0.0;
            case RESET_BUTTON -> bit(letter.ask() == Ask.PRESS_RESET);
            case CONTACTOR_CLOSED -> bit(closed);
            case ROOM_C -> world.roomC;
            case ROOM_RH -> 0.6;
            case ROOM_PRESSURE_KPA -> 100.0;
            case CHEST_A_C -> world.chestAC;
            case CHEST_B_C -> world.chestBC;
            case BELT_MM_PER_S -> g.driven.beltRun() ? 8.0 : 0.0;
            case EXTRACTOR_PROVEN -> bit(g.driven.extractor());
            case AIR_C -> world.airC + wobble;
            case EXHAUST_C -> world.exhaustC + wobble;
            case EXHAUST_RH -> 0.4;
            case SCALE_KG -> 10.0;
            case AIRFLOW_PROVEN -> bit(oven.fan());
            case HEATER_CURRENT -> bit(oven.heater() && closed);
        };
    }

    private static double bit(boolean on) {
        return on ? 1.0 : 0.0;
    }

    private WantedOutputs wanted(Want want) {
        boolean all = want == Want.ALL;
        OvenOutputs oven = all ? new OvenOutputs(true, true, 0.5) : OvenOutputs.OFF;
        return new WantedOutputs(
                all,
                all,
                all,
                all,
                all ? 0.5 : 0.0,
                want != Want.NOTHING,
                want == Want.UNLOCK,
                Collections.nCopies(part.ovens(), oven));
    }

    private static GuardRequests requests(Ask ask) {
        Set<UnitId> none = Set.of();
        return switch (ask) {
            case NOTHING, PRESS_RESET -> GuardRequests.NONE;
            case START_OVEN -> new GuardRequests(Set.of(OVEN), none, none);
            case START_OVEN_2 -> new GuardRequests(Set.of(UnitId.oven(2)), none, none);
            case START_STEAMER -> new GuardRequests(Set.of(UnitId.STEAMER), none, none);
            case RESET_LINE -> new GuardRequests(none, Set.of(UnitId.LINE), none);
            case RESET_OVEN -> new GuardRequests(none, Set.of(OVEN), none);
            case RESET_STEAMER -> new GuardRequests(none, Set.of(UnitId.STEAMER), none);
            case STOP_LINE -> new GuardRequests(none, none, Set.of(UnitId.LINE));
            case STOP_OVEN -> new GuardRequests(none, none, Set.of(OVEN));
            case STOP_STEAMER -> new GuardRequests(none, none, Set.of(UnitId.STEAMER));
        };
    }

    private List<Letter> alphabet() {
        List<Letter> all = new ArrayList<>();
        boolean hood = part.watches().contains(Watch.EXTRACTOR);
        Set<Want> wants = hood ? EnumSet.allOf(Want.class) : EnumSet.of(Want.NOTHING, Want.ALL);
        for (World world : part.worlds()) {
            for (double elapsedS : TIMES_S) {
                for (Want want : wants) {
                    all.add(new Letter(world, elapsedS, want, Ask.NOTHING));
                }
            }
            for (Ask ask : Ask.values()) {
                if (ask != Ask.NOTHING && (ask != Ask.START_OVEN_2 || part.ovens() > 1)) {
                    all.add(new Letter(world, TINY_S, Want.ALL, ask));
                }
            }
        }
        World stop = new World("emergency stop").with(Quantity.EMERGENCY_STOP_HEALTHY, 0.0);
        all.add(new Letter(stop, TINY_S, Want.ALL, Ask.NOTHING));
        return all;
    }

    private Node step(Node node, Letter letter) {
        GuardState g = node.state();
        World world = letter.world();
        Readings readings = readings(g, letter, node.cycle() + 1);
        WantedOutputs wanted = wanted(letter.want());
        GuardStep step =
                guard.step(
                        g,
                        new GuardInput(
                                node.cycle() + 1,
                                letter.elapsedS(),
                                world.late,
                                readings,
                                wanted,
                                new GuardLimits(
                                        world.boilingC,
                                        Collections.nCopies(
                                                part.ovens(),
                                                new OvenLimits(
                                                        world.airLimitC, part.longestHeatOnS()))),
                                requests(letter.ask()),
                                Collections.nCopies(
                                        part.ovens(),
                                        new OvenActivity(world.charge, world.charge))));
        check(g, letter, readings, wanted, step);
        return new Node(step.state(), node.cycle() + 1);
    }

    // ---- what must hold

    private void must(boolean holds, String what, Letter letter) {
        if (!holds) {
            broken.computeIfAbsent(
                    what, _ -> part.name() + ": in " + letter + " after\n" + space.story(at));
        }
    }

    private void check(
            GuardState was, Letter letter, Readings r, WantedOutputs wanted, GuardStep step) {
        GuardState is = step.state();
        AllowedOutputs out = step.outputs();
        onlyWhatIsProvenIsOn(letter, r, wanted, is, out);
        rulesTakeWhatTheySay(letter, is, out);
        latchesHold(was, letter, is);
        startsAndStops(was, letter, step);
        must(!out.pulse() || !letter.world().late, "a late cycle and a pulse", letter);
        must(
                !(letter.world().nothingKnown
                        && (isHot(out) || out.contactor() || out.hoodUnlock())),
                "nothing is known and something is on",
                letter);
    }

    private static boolean isSteam(AllowedOutputs out) {
        return out.steamValve() || out.secondSteamValve();
    }

    private static boolean isHot(AllowedOutputs out) {
        boolean hot = isSteam(out) || out.beltRun() || out.beltSpeed() > 0.0;
        for (OvenOutputs oven : out.ovens()) {
            hot |= oven.heater();
        }
        return hot;
    }

    private void onlyWhatIsProvenIsOn(
            Letter letter, Readings r, WantedOutputs wanted, GuardState is, AllowedOutputs out) {
        boolean line =
                r.isOn(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY)
                        && r.isOn(UnitId.LINE, Quantity.PERMIT_KEY_ON)
                        && r.isOn(UnitId.LINE, Quantity.SMOKE_HEALTHY)
                        && r.isOn(UnitId.LINE, Quantity.CONTACTOR_CLOSED)
                        && is.contactor() == ContactorPhase.CLOSED
                        && out.contactor()
                        && !letter.world().late;
        for (int n = 1; n <= part.ovens(); n++) {
            UnitId unit = UnitId.oven(n);
            OvenOutputs oven = out.ovens().get(n - 1);
            must(
                    !oven.heater()
                            || (line
                                    && wanted.ovens().get(n - 1).heater()
                                    && oven.fan()
                                    && is.isStarted(unit)
                                    && is.heatAllowed(unit)
                                    && r.isOn(unit, Quantity.DOOR_CLOSED)
                                    && r.isOn(unit, Quantity.AIRFLOW_PROVEN)
                                    && r.isOn(unit, Quantity.HIGH_LIMIT_HEALTHY)
                                    && r.good(unit, Quantity.AIR_C) <= 110.0
                                    && r.good(unit, Quantity.AIR_C)
                                            <= letter.world().airLimitC + 2.0
                                    && !(r.good(unit, Quantity.EXHAUST_C) > 105.0)),
                    "heat and not everything is proven well",
                    letter);
        }
        must(
                !isSteam(out)
                        || (line
                                && wanted.steamValve()
                                && is.isStarted(UnitId.STEAMER)
                                && is.steamAllowed()
                                && r.isOn(UnitId.STEAMER, Quantity.HOOD_CLOSED)
                                && r.isOn(UnitId.STEAMER, Quantity.HOOD_LOCKED)
                                && r.isOn(UnitId.STEAMER, Quantity.OVER_PRESSURE_HEALTHY)
                                && !Double.isNaN(r.good(UnitId.STEAMER, Quantity.CHEST_A_C))
                                && !Double.isNaN(r.good(UnitId.STEAMER, Quantity.CHEST_B_C))),
                "steam and not everything is proven well",
                letter);
        must(
                !out.beltRun() || (wanted.beltRun() && is.isStarted(UnitId.STEAMER)),
                "a belt that nobody started",
                letter);
        must(!out.contactor() || wanted.contactor(), "a contactor that nobody wants", letter);
        must(
                !out.hoodUnlock()
                        || (!isSteam(out)
                                && !out.beltRun()
                                && out.extractor()
                                && r.good(UnitId.STEAMER, Quantity.CHEST_A_C) < 60.0
                                && r.good(UnitId.STEAMER, Quantity.CHEST_B_C) < 60.0
                                && r.isOn(UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN)),
                "a hood unlocked over steam",
                letter);
        boolean settled = GuardState.settled(is.nowS);
        must(settled || !(isHot(out) || out.contactor() || out.pulse()), "on too early", letter);
    }

    /** Whatever a rule in effect or a latch takes is off, however it came about. */
    private void rulesTakeWhatTheySay(Letter letter, GuardState is, AllowedOutputs out) {
        for (int i = 0; i < is.slots.count(); i++) {
            if (is.active(i)) {
                Rule rule = is.slots.rule(i);
                UnitId unit = is.slots.unit(i);
                boolean off =
                        switch (rule.effect()) {
                            case CONTACTOR_OFF, FIRE -> !isHot(out) && !out.contactor();
                            case STEAM_OFF -> !isSteam(out) && !out.beltRun();
                            case HEAT_OFF -> !out.ovens().get(unit.number() - 1).heater();
                            case ALARM_ONLY -> true;
                        };
                must(off, rule + " is in effect and something is on", letter);
                boolean burns = rule.effect() == Effect.FIRE;
                must(!(burns && out.extractor()), "fire and the extractor runs", letter);
                must(
                        !(burns && out.ovens().getFirst().fan()),
                        "fire and the oven's fan runs",
                        letter);
                note(is, i);
            }
        }
    }

    private void note(GuardState is, int slot) {
        Rule rule = is.slots.rule(slot);
        if (is.present(slot)) {
            present.add(rule);
        }
        if (is.latched(slot)) {
            latched.add(rule);
        }
        if ((is.flags[slot] & GuardState.FIRST_OUT) != 0) {
            first.add(rule);
        }
    }

    private void latchesHold(GuardState was, Letter letter, GuardState is) {
        long before = GuardKey.trips(was);
        long after = GuardKey.trips(is);
        Set<UnitId> resets = requests(letter.ask()).resets();
        for (int i = 0; i < is.slots.count(); i++) {
            boolean went = (before >> i & 1) != 0 && (after >> i & 1) == 0;
            boolean may =
                    resets.contains(UnitId.LINE)
                            || resets.contains(is.slots.unit(i))
                            || (!resets.isEmpty() && is.slots.rule(i).opensContactor());
            boolean good = GuardState.settled(is.nowS) && Double.isNaN(is.badSinceS[i]);
            must(!went || (may && good), "a trip went without its reset", letter);
        }
        long both = before & after;
        must(
                (GuardKey.firstOut(was) & both) == (GuardKey.firstOut(is) & both),
                "the first cause changed",
                letter);
        must(
                before != 0 || after == 0 || GuardKey.firstOut(is) != 0,
                "trips and no first cause",
                letter);
        must((GuardKey.firstOut(is) & ~after) == 0, "a first cause that is no trip", letter);
        long newFirst = GuardKey.firstOut(is) & ~GuardKey.firstOut(was);
        for (int i = 0; i < is.slots.count() && newFirst != 0; i++) {
            for (int j = 0; j < is.slots.count(); j++) {
                boolean cameBefore = (newFirst >> i & 1) != 0 && (both >> j & 1) != 0;
                boolean sameGroup =
                        is.slots.unit(i).equals(is.slots.unit(j))
                                || is.slots.rule(j).opensContactor();
                must(!(cameBefore && sameGroup), "two first causes", letter);
            }
        }
    }

    private void startsAndStops(GuardState was, Letter letter, GuardStep step) {
        GuardState is = step.state();
        GuardRequests requests = requests(letter.ask());
        int asked = 0;
        for (UnitId unit : requests.starts()) {
            asked |= GuardState.bit(unit);
            must(
                    step.events().stream().anyMatch(event -> answers(event, unit)),
                    "a start that nothing answered",
                    letter);
        }
        must((is.started & ~was.started & ~asked) == 0, "started and nobody asked", letter);
        for (GuardEvent event : step.events()) {
            if (event instanceof GuardEvent.StartRefused(UnitId unit, Reason reason)) {
                refusals.add(reason);
                must(was.isStarted(unit) || !is.isStarted(unit), "a refused start started", letter);
            }
        }
        AllowedOutputs out = step.outputs();
        for (UnitId unit : requests.stops()) {
            boolean off =
                    switch (unit.kind()) {
                        case LINE -> !isHot(out) && !out.contactor() && is.started == 0;
                        case STEAMER ->
                                !isSteam(out) && !out.beltRun() && !is.isStarted(UnitId.STEAMER);
                        case OVEN ->
                                !out.ovens().get(unit.number() - 1).heater() && !is.isStarted(unit);
                    };
            must(off, "asked to be off and on", letter);
        }
        for (int n = 0; n <= part.ovens(); n++) {
            UnitId unit = n == 0 ? UnitId.STEAMER : UnitId.oven(n);
            must(!(is.tripped(unit) && is.isStarted(unit)), "tripped and started", letter);
        }
    }

    private static boolean answers(GuardEvent event, UnitId unit) {
        boolean started = event instanceof GuardEvent.Started(UnitId begun) && begun.equals(unit);
        boolean refused =
                event instanceof GuardEvent.StartRefused(UnitId not, _) && not.equals(unit);
        return started || refused;
    }

    // ---- the search

    @Test
    void theGuardKeepsEveryInvariantInEveryReachableState() {
        for (Part each : parts()) {
            enumerate(each);
        }
        System.out.printf(
                "the guard alone: %d parts, %d states, %d transitions%n",
                parts().size(), states, transitions);

        assertEquals(Map.of(), broken);
        assertEquals(EnumSet.allOf(Rule.class), present);
        assertEquals(rules(rule -> rule.latch() != Latch.FOLLOWS), latched);
        assertEquals(rules(rule -> rule.latch() == Latch.TRIP), first);
        assertEquals(EnumSet.allOf(ContactorPhase.class), contactors);
        Set<Reason> refusing = EnumSet.of(Reason.NOT_READY_AFTER_START);
        rules(Rule::blocksStart).forEach(rule -> refusing.add(rule.reason()));
        assertEquals(refusing, refusals);
        Set<String> texts = Texts.inBothLanguages();
        refusals.forEach(reason -> assertTrue(texts.contains(reason.key()), reason.key()));
        assertTrue(states > 50_000 && transitions > 3_000_000, states + " " + transitions);
    }

    private static Set<Rule> rules(Predicate<Rule> which) {
        Set<Rule> rules = EnumSet.allOf(Rule.class);
        rules.removeIf(which.negate());
        return rules;
    }

    private void enumerate(Part each) {
        part = each;
        settings =
                new GuardSettings(
                        2.0,
                        15.0,
                        LONG_S,
                        1.3,
                        2.5,
                        Collections.nCopies(each.ovens(), GuardSettings.Oven.STOCK));
        guard = new Guard(settings);
        letters = alphabet();
        space = new Space<>();
        goals = new BitSet();
        Node start =
                new Node(GuardState.started(settings, GuardState.Kept.NOTHING, each.restarts()), 0);
        space.begin(key(start), start);
        for (at = 0; at < space.size(); at++) {
            Node node = space.node(at);
            contactors.add(node.state().contactor());
            if (heatsAll(node.state())) {
                goals.set(at);
            }
            for (Letter letter : letters) {
                Node next = step(node, letter);
                space.go(at, letter, letter.calm(), key(next), next);
            }
            Node next = new Node(GuardState.started(settings, node.state().kept(), 0), 0);
            must(
                    GuardKey.trips(node.state()) == GuardKey.trips(next.state())
                            && GuardKey.firstOut(node.state()) == GuardKey.firstOut(next.state()),
                    "a restart lost a trip",
                    null);
            space.go(at, "restart", false, key(next), next);
            space.forget(at);
        }
        BitSet stuck = space.without(goals);
        states += space.size();
        transitions += space.transitions();
        if (!stuck.isEmpty()) {
            broken.put(
                    stuck.cardinality() + " dead ends with " + each.name(),
                    space.story(stuck.nextSetBit(0)));
        }
    }

    private StateKey key(Node node) {
        StateKey.Packer key = new StateKey.Packer();
        GuardKey.fine(key, node.state(), part.watches(), part.longestHeatOnS());
        return key.key();
    }

    /** Heat and steam are on everywhere. */
    private boolean heatsAll(GuardState g) {
        boolean all = g.driven.steamValve() && g.driven.secondSteamValve() && g.driven.beltRun();
        for (OvenOutputs oven : g.driven.ovens()) {
            all &= oven.heater();
        }
        return all;
    }
}
