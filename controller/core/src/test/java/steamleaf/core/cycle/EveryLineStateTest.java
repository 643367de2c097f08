package steamleaf.core.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import steamleaf.core.Space;
import steamleaf.core.StateKey;
import steamleaf.core.batch.Answer;
import steamleaf.core.batch.ArmedAction;
import steamleaf.core.batch.Basis;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.BatchSettings;
import steamleaf.core.batch.Button;
import steamleaf.core.batch.Buttons;
import steamleaf.core.batch.Command;
import steamleaf.core.batch.Event;
import steamleaf.core.batch.Floor;
import steamleaf.core.batch.HeldCause;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.OvenSettings;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.Place;
import steamleaf.core.batch.Portion;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Prompt;
import steamleaf.core.batch.PromptKind;
import steamleaf.core.batch.Recipe;
import steamleaf.core.batch.Refusal;
import steamleaf.core.batch.Ripeness;
import steamleaf.core.batch.Stamp;
import steamleaf.core.batch.SteamerSettings;
import steamleaf.core.batch.Stock;
import steamleaf.core.batch.Trouble;
import steamleaf.core.batch.Tuning;
import steamleaf.core.batch.Wishes;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.Cause;
import steamleaf.core.interlock.ContactorPhase;
import steamleaf.core.interlock.GuardEvent;
import steamleaf.core.interlock.GuardKey;
import steamleaf.core.interlock.GuardSettings;
import steamleaf.core.interlock.GuardState;
import steamleaf.core.interlock.Reason;
import steamleaf.core.interlock.Rule;
import steamleaf.core.interlock.Texts;
import steamleaf.core.loop.PidState;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/**
 * Batch, units and guard together, in every state that they can reach: {@link Line#step} itself is
 * driven breadth-first from an empty line with one oven, one steamer and one charge.
 *
 * <p><em>Letters.</em> Good readings, cold or warm, leaf wet, nearly dry or dry; one kind of fault
 * at a time (emergency stop, key, hood, over-pressure, door, air sensor: one for each way in which
 * a rule takes effect and lets go) for as long as one step; the same under a start, a resume and a
 * stop; stop, hold, abort, plan, cancel; answers with and without a mass, from a page and at the
 * machine; samples; start, resume, reset, tune and confirm at the machine, and armed on a page,
 * then pressed; a door opened and shut; a restart of the program; and one cycle in which nothing
 * can be read, which is checked and not followed.
 *
 * <p><em>Timers</em> are idle, running or expired. A step takes no time to speak of, or 20 s
 * (expires what takes seconds), or just less than an hour (expires everything). Two states are the
 * same when {@link #key} is: the batch's state, operation, phase, what the phase remembers, place
 * and open prompts, which of its timers have passed; the loops' targets and the extractor's running
 * on; door, tuning and arming; each rule's present, latched and first-out; started units, the
 * contactor's phase, what is driven, and whether the chest is vented. One representative of each is
 * gone on from.
 *
 * <p><em>What this may miss</em>: what depends on how long a timer has run or on the history that
 * the key leaves out (the cause of a hold, samples, which prompts are overdue, a fan's coasting);
 * two kinds of fault at once, and the watches of the guard that look at how warm something is
 * ({@link steamleaf.core.interlock.EveryGuardStateTest} has them, without the batch); buttons that
 * are held; two ovens or two batches; a tuning that finds something. Moisture and chest are what a
 * letter says, in any order; with leaf inside, the oven's loop asks for full heat whenever it may.
 * Temperatures are kept below those at which the guard's watches wake (boiling is at 70 °C: thin
 * air).
 *
 * <p>No state is a dead end: good readings, a door opened and shut, answers, reset, start and
 * resume lead from each to an empty line that is ready to start, without an abort.
 */
class EveryLineStateTest {
    private static final UnitId OVEN = UnitId.oven(1);

    /** Nothing that runs expires. */
    private static final double TINY_S = 1e-5;

    /** Expires what takes seconds: the contactor's test, a steady chest, an armed button. */
    private static final double MID_S = 20.0;

    /** Expires everything. The guard believes no step of an hour. */
    private static final double LONG_S = 3599.0;

    private static final double SET_C = 36.0;
    private static final double COLD_C = 10.0;

    private static final Recipe RECIPE =
            new Recipe(
                    "short",
                    1,
                    0.05,
                    List.of(
                            new Operation.Steam(10.0, 5.0, 15.0),
                            new Operation.CoolOnBench(34.0, 900.0),
                            new Operation.Roll(900.0, 900.0),
                            new Operation.Dry(
                                    SET_C,
                                    60.0,
                                    0.15,
                                    1.0,
                                    1e9,
                                    new Operation.Turn(1200.0, 300.0),
                                    true),
                            new Operation.CoolInOven(22.0, 2700.0),
                            new Operation.Weigh(1800.0),
                            new Operation.Pack(1800.0)));

    /** What is wrong with the readings of one step. */
    private enum Fault {
        NONE(null),
        EMERGENCY_STOP(Rule.EMERGENCY_STOP),
        KEY_OFF(Rule.PERMIT_KEY_OFF),
        HOOD_OPEN(Rule.HOOD_OPEN),
        OVER_PRESSURE(Rule.OVER_PRESSURE),
        DOOR_OPEN(Rule.DOOR_OPEN),
        AIR_BAD(Rule.AIR_SENSOR_BAD),
        NOTHING_KNOWN(null);

        final @Nullable Rule rule;

        Fault(@Nullable Rule rule) {
            this.rule = rule;
        }
    }

    private static final Set<Fault> FAULTS =
            EnumSet.complementOf(EnumSet.of(Fault.NONE, Fault.NOTHING_KNOWN));

    /**
     * One kind of fault at a time: while a rule holds something, only its own fault comes again.
     */
    private static Set<Fault> faults(GuardState guard) {
        Set<Fault> own = EnumSet.noneOf(Fault.class);
        for (Cause cause : guard.causes()) {
            for (Fault fault : FAULTS) {
                if (fault.rule == cause.rule()) {
                    own.add(fault);
                }
            }
        }
        return own.isEmpty() ? FAULTS : own;
    }

    private enum Leaf {
        WET(0.70),
        NEARLY(0.21),
        DRY(0.12);

        final double moisture;

        Leaf(double moisture) {
            this.moisture = moisture;
        }
    }

    private record Input(
            double elapsedS,
            Fault fault,
            boolean warm,
            Leaf leaf,
            @Nullable Button pressed,
            @Nullable Command command) {}

    private record Point(UnitId unit, ArmedAction action, boolean fromPage) {}

    private static final List<Point> POINTS =
            List.of(
                    new Point(OVEN, ArmedAction.START, true),
                    new Point(OVEN, ArmedAction.RESUME, true),
                    new Point(UnitId.LINE, ArmedAction.RESET, true),
                    new Point(UnitId.STEAMER, ArmedAction.START, false),
                    new Point(UnitId.STEAMER, ArmedAction.RESUME, false),
                    new Point(UnitId.STEAMER, ArmedAction.RESET, false),
                    new Point(OVEN, ArmedAction.RESET, false),
                    new Point(OVEN, ArmedAction.TUNE, false),
                    new Point(OVEN, ArmedAction.CONFIRM, false));

    private record Letter(boolean calm, List<Input> steps) {}

    private record Node(LineState state, AllowedOutputs out) {}

    private static final LineSettings SETTINGS = settings();

    private static LineSettings settings() {
        LoopSettings loop = new LoopSettings(10.0, 240.0, 0.0, 4.0, 0.0, 1e9);
        return new LineSettings(
                new BatchSettings(
                        1.0,
                        List.of(new OvenSettings(100.0, 6000.0, 200.0, 6.0, 6.0, true)),
                        new SteamerSettings(800.0, 40.0, 5.0),
                        List.of(RECIPE),
                        12.0,
                        20.0,
                        10.0,
                        5.0,
                        60.0,
                        3.0,
                        1200.0,
                        600.0),
                List.of(loop),
                loop);
    }

    private final Line line;
    private final Map<Leaf, OvenLeaf> leaves = new EnumMap<>(Leaf.class);
    private OvenLeaf noLeaf;
    private final LeafSnapshot[] snapshots = new LeafSnapshot[Leaf.values().length];
    private final Space<Node> space = new Space<>();
    private final Set<Place> places = EnumSet.noneOf(Place.class);
    private boolean tuned;
    private long heats;
    private long steams;
    private long trips;
    private long completed;
    private final BitSet goals = new BitSet();
    private Stock stock;

    private final Set<ProcedureState> states = EnumSet.noneOf(ProcedureState.class);
    private final Set<String> phases = new TreeSet<>();
    private final Set<HeldCause> heldCauses = EnumSet.noneOf(HeldCause.class);
    private final Set<PromptKind> prompts = EnumSet.noneOf(PromptKind.class);
    private final Set<ContactorPhase> contactors = EnumSet.noneOf(ContactorPhase.class);
    private final Set<Trouble> troubles = EnumSet.noneOf(Trouble.class);
    private final Set<Refusal> refusals = EnumSet.noneOf(Refusal.class);
    private final Set<Reason> reasons = EnumSet.noneOf(Reason.class);

    EveryLineStateTest() {
        GuardSettings stock = GuardSettings.stock(1);
        line =
                new Line(
                        SETTINGS,
                        new GuardSettings(
                                stock.heatStopK(),
                                stock.recipeTripK(),
                                LONG_S,
                                stock.watchdogDropS(),
                                stock.watchdogSteadyS(),
                                stock.ovens()));
        for (Leaf leaf : Leaf.values()) {
            MoistureFilter filter = new MoistureFilter(LeafParameters.STOCK, Band.GREEN_TEA);
            filter.load(4.0, 0.3, leaf.moisture, 0.04);
            snapshots[leaf.ordinal()] =
                    new LeafSnapshot(Double.NaN, filter.state(), null, null, null, null, null);
        }
        noLeaf = new OvenLeaf(LeafParameters.STOCK, Band.GREEN_TEA);
    }

    /** Filters are stepped in place: they are made anew after whatever may have touched them. */
    private static boolean touchesLeaf(Event event) {
        return event instanceof Event.PhaseBegan
                || event instanceof Event.OperationEnded
                || event instanceof Event.PromptAnswered
                || event instanceof Event.SampleStamped
                || event instanceof Event.SampleValued
                || event instanceof Event.WeighedIn
                || event instanceof Event.LeafDiscarded;
    }

    private OvenLeaf leaf(Leaf leaf) {
        return leaves.computeIfAbsent(
                leaf,
                l ->
                        OvenLeaf.restored(
                                LeafParameters.STOCK, Band.GREEN_TEA, snapshots[l.ordinal()], 0.0));
    }

    // ---- the line's world

    private Readings readings(Node before, Input in) {
        Readings.Collector c = new Readings.Collector(1);
        if (in.fault() == Fault.NOTHING_KNOWN) {
            return c.build();
        }
        AllowedOutputs out = before.out();
        ContactorPhase phase = before.state().guard().contactor();
        boolean contactor =
                out.contactor()
                        && (phase == ContactorPhase.CLOSING || phase == ContactorPhase.CLOSED);
        double wobble = before.state().cycle() % 1000 * 1e-4;
        c.set(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY, in.fault() != Fault.EMERGENCY_STOP);
        c.set(UnitId.LINE, Quantity.PERMIT_KEY_ON, in.fault() != Fault.KEY_OFF);
        c.set(UnitId.LINE, Quantity.START_BUTTON, in.pressed() == Button.START);
        c.set(UnitId.LINE, Quantity.RESET_BUTTON, in.pressed() == Button.RESET);
        c.set(UnitId.LINE, Quantity.CONFIRM_BUTTON, in.pressed() == Button.CONFIRM);
        c.set(UnitId.LINE, Quantity.SILENCE_BUTTON, in.pressed() == Button.SILENCE);
        c.set(UnitId.LINE, Quantity.CONTACTOR_CLOSED, contactor);
        c.set(UnitId.LINE, Quantity.SUPPLY_HEALTHY, true);
        c.set(UnitId.LINE, Quantity.SMOKE_HEALTHY, true);
        c.set(UnitId.LINE, Quantity.ROOM_C, -6.0, Quality.GOOD);
        c.set(UnitId.LINE, Quantity.ROOM_RH, 0.5, Quality.GOOD);
        c.set(UnitId.LINE, Quantity.ROOM_PRESSURE_KPA, 31.2, Quality.GOOD);
        double chestC = in.warm() ? 69.5 : COLD_C;
        c.set(UnitId.STEAMER, Quantity.CHEST_A_C, chestC, Quality.GOOD);
        c.set(UnitId.STEAMER, Quantity.CHEST_B_C, chestC, Quality.GOOD);
        c.set(UnitId.STEAMER, Quantity.HOOD_CLOSED, in.fault() != Fault.HOOD_OPEN);
        c.set(UnitId.STEAMER, Quantity.HOOD_LOCKED, true);
        c.set(UnitId.STEAMER, Quantity.STEAM_AVAILABLE, true);
        c.set(UnitId.STEAMER, Quantity.OVER_PRESSURE_HEALTHY, in.fault() != Fault.OVER_PRESSURE);
        c.set(
                UnitId.STEAMER,
                Quantity.BELT_MM_PER_S,
                out.beltRun() ? 40.0 * out.beltSpeed() : 0.0,
                Quality.GOOD);
        c.set(UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN, out.extractor());
        double airC = (in.warm() ? SET_C : COLD_C) + wobble;
        boolean airBad = in.fault() == Fault.AIR_BAD;
        c.set(OVEN, Quantity.AIR_C, airC, airBad ? Quality.FAULT : Quality.GOOD);
        c.set(OVEN, Quantity.EXHAUST_C, airC - 1.0, Quality.GOOD);
        c.set(OVEN, Quantity.EXHAUST_RH, 0.3, Quality.GOOD);
        c.set(OVEN, Quantity.SCALE_KG, 9.0, Quality.GOOD);
        c.set(OVEN, Quantity.DOOR_CLOSED, in.fault() != Fault.DOOR_OPEN);
        c.set(OVEN, Quantity.AIRFLOW_PROVEN, out.ovens().getFirst().fan());
        c.set(OVEN, Quantity.HIGH_LIMIT_HEALTHY, true);
        c.set(OVEN, Quantity.HEATER_CURRENT, out.ovens().getFirst().heater() && contactor);
        return c.build();
    }

    private static @Nullable Batch batch(LineState state) {
        return state.floor().batch(OVEN);
    }

    private static boolean leafInside(@Nullable Batch batch) {
        return batch != null && batch.charge().place() == Place.OVEN;
    }

    /**
     * The state as the next step takes it: leaf of the wanted moisture, and a loop that wants all.
     */
    private LineState prepared(LineState s, Input in) {
        boolean inside = leafInside(batch(s));
        OvenLoop loop = s.loops().getFirst();
        OvenLoop full =
                new OvenLoop(
                        PidState.at(1.0),
                        loop.pulse(),
                        loop.targetC(),
                        loop.leafCapC(),
                        loop.fan(),
                        loop.damper(),
                        loop.tuning());
        return with(
                s,
                s.floor(),
                inside ? -in.elapsedS() : 0.0,
                inside && !Double.isNaN(loop.targetC()) ? List.of(full) : s.loops(),
                List.of(inside ? leaf(in.leaf()) : noLeaf));
    }

    private static LineState with(
            LineState s,
            Floor floor,
            double secondS,
            List<OvenLoop> loops,
            List<OvenLeaf> ovenLeaves) {
        return new LineState(
                s.cycle(),
                s.nowS(),
                secondS,
                floor,
                s.guard(),
                s.alarms(),
                loops,
                s.steamer(),
                ovenLeaves,
                s.boilingC(),
                s.chest(),
                s.wanted(),
                s.limits(),
                s.activity(),
                s.conditions(),
                s.inUse(),
                s.untold());
    }

    private Node step(Node before, Input in) {
        Readings readings = readings(before, in);
        LineState state = prepared(before.state(), in);
        CycleResult result =
                line.step(
                        state,
                        new CycleInput(
                                state.cycle() + 1,
                                in.elapsedS(),
                                false,
                                readings,
                                in.command() == null ? List.of() : List.of(in.command()),
                                List.of()));
        if (result.events().stream().anyMatch(EveryLineStateTest::touchesLeaf)) {
            leaves.clear();
            noLeaf = new OvenLeaf(LeafParameters.STOCK, Band.GREEN_TEA);
        }
        Node after = new Node(kept(result.state()), result.outputs());
        check(before, in, readings, result, after);
        return after;
    }

    /** Without what only grows: old answers, and the record of leaf that has left. */
    private LineState kept(LineState s) {
        Floor floor = s.floor();
        boolean empty = floor.batch(OVEN) == null;
        Floor small =
                new Floor(
                        empty && stock != null ? stock : floor.stock(),
                        floor.slots(),
                        floor.numbers(),
                        floor.armed(),
                        floor.buttons(),
                        List.of());
        return with(s, small, 0.0, s.loops(), List.of(noLeaf));
    }

    // ---- what counts as the same state

    private static StateKey key(Node node) {
        LineState s = node.state();
        double nowS = s.nowS();
        StateKey.Packer key = new StateKey.Packer();
        GuardKey.coarse(key, s.guard());
        key.add(!s.untold().isEmpty());
        key.add(s.steamer().steam());
        key.add(!Double.isNaN(s.loops().getFirst().targetC()));
        key.add(s.floor().armed() != null);
        key.add(s.floor().buttons().start().contact() == Buttons.Contact.UNKNOWN);
        OvenSlot slot = s.floor().slots().getFirst();
        key.add(slot.doorOpen());
        key.add(slot.tunes()).add(slot.tuning() instanceof Tuning.Proposed);
        Batch batch = slot.batch();
        key.add(batch != null);
        if (batch != null) {
            add(key, batch, slot, nowS);
        }
        return key.key();
    }

    private static void add(StateKey.Packer key, Batch batch, OvenSlot slot, double nowS) {
        key.add(batch.state().ordinal(), 3);
        key.add(batch.procedure().operation(), 4);
        key.add(phaseNumber(batch.phase()), 4);
        key.add(batch.charge().place().ordinal(), 3);
        int asked = 0;
        for (Prompt prompt : batch.prompts()) {
            asked |= 1 << prompt.kind().ordinal();
        }
        key.add(asked, 13);
        key.add(marked(batch.phase(), nowS), 2);
        boolean runs = batch.isIn(ProcedureState.RUNNING);
        boolean dries =
                batch.phase() instanceof Phase.Drying || batch.phase() instanceof Phase.Turning;
        key.add(runs && dries && nowS - batch.procedure().operationSinceS() >= 300.0);
        double doorS = nowS - slot.doorSinceS();
        boolean answered = Math.min(doorS, nowS - batch.phase().sinceS()) > 3.0;
        key.add(runs && (slot.doorOpen() ? doorS > 600.0 : answered));
    }

    /** The phase's own memory: a door seen open, a hot chest, a time that has passed. */
    private static int marked(Phase phase, double nowS) {
        return switch (phase) {
            case Phase.HeatingChest(_, double hotSinceS) ->
                    Double.isNaN(hotSinceS) ? 0 : nowS - hotSinceS < 10.0 ? 1 : 2;
            case Phase.Steaming(_, double untilS) -> nowS < untilS ? 0 : 1;
            case Phase.Spreading(_, boolean seenOpen) -> seenOpen ? 1 : 0;
            case Phase.Turning(_, boolean seenOpen) -> seenOpen ? 1 : 0;
            case Phase.TakingOut(_, boolean seenOpen) -> seenOpen ? 1 : 0;
            case Phase.PuttingBack(_, boolean seenOpen) -> seenOpen ? 1 : 0;
            case Phase.Drying(_, double nextTurnS) -> nowS < nextTurnS ? 0 : 1;
            case Phase.Working(_, double untilS) -> nowS < untilS ? 0 : 1;
            case Phase.Waiting _,
                    Phase.Warming _,
                    Phase.AwaitingPerson _,
                    Phase.Feeding _,
                    Phase.CoolingInOven _,
                    Phase.Weighing _,
                    Phase.Packing _ ->
                    0;
        };
    }

    private static final List<Class<?>> PHASES = List.of(Phase.class.getPermittedSubclasses());

    private static int phaseNumber(Phase phase) {
        return PHASES.indexOf(phase.getClass());
    }

    // ---- the alphabet

    private List<Letter> letters(Node node) {
        List<Letter> letters = new ArrayList<>();
        Batch batch = batch(node.state());
        Set<Fault> faults = faults(node.state().guard());
        for (double elapsedS : new double[] {TINY_S, MID_S, LONG_S}) {
            for (boolean warm : new boolean[] {true, false}) {
                for (Leaf leaf : leaves(batch)) {
                    add(letters, true, new Input(elapsedS, Fault.NONE, warm, leaf, null, null));
                }
            }
            for (Fault fault : elapsedS == MID_S ? Set.<Fault>of() : faults) {
                boolean calm = fault == Fault.DOOR_OPEN;
                add(letters, calm, new Input(elapsedS, fault, false, Leaf.WET, null, null));
            }
        }
        Input open = new Input(TINY_S, Fault.DOOR_OPEN, false, Leaf.WET, null, null);
        Input shut = new Input(TINY_S, Fault.NONE, false, Leaf.WET, null, null);
        letters.add(new Letter(true, List.of(open, shut)));
        for (UnitId unit : List.of(UnitId.LINE, UnitId.STEAMER, OVEN)) {
            tell(letters, false, new Command.Stop(stamp(node, null), unit));
            tell(letters, false, new Command.Hold(stamp(node, null), unit));
        }
        for (Fault fault : faults) {
            Command stop = new Command.Stop(stamp(node, null), UnitId.LINE);
            add(letters, false, new Input(TINY_S, fault, false, Leaf.WET, null, stop));
        }
        for (Point point : POINTS) {
            boolean calm = point.action() != ArmedAction.TUNE;
            ProcedureState seen = seen(node, point.unit());
            Command atMachine = new Command.Arm(machine(node, seen), point.unit(), point.action());
            tell(letters, calm, atMachine);
            Set<Fault> meanwhile = isFor(point, batch) ? faults : Set.of();
            for (Fault fault : meanwhile) {
                add(letters, false, new Input(TINY_S, fault, false, Leaf.WET, null, atMachine));
            }
            if (point.fromPage()) {
                armedAndPressed(
                        letters,
                        calm,
                        meanwhile,
                        new Command.Arm(stamp(node, seen), point.unit(), point.action()));
            }
        }
        for (Button button : List.of(Button.START, Button.RESET, Button.CONFIRM)) {
            Input down = new Input(TINY_S, Fault.NONE, false, Leaf.WET, button, null);
            Input up = new Input(TINY_S, Fault.NONE, false, Leaf.WET, null, null);
            letters.add(new Letter(true, List.of(down, up)));
        }
        tell(letters, false, new Command.Abort(stamp(node, null), OVEN));
        tell(letters, false, new Command.CancelPlan(stamp(node, null), OVEN));
        tell(
                letters,
                false,
                new Command.PlanBatch(
                        stamp(node, seen(node, OVEN)),
                        OVEN,
                        RECIPE.name(),
                        List.of(new Portion(stock.lots().getFirst().id(), 5.0)),
                        "an enumeration"));
        if (batch != null) {
            for (Prompt prompt : batch.prompts()) {
                String id = prompt.id();
                Double kg = prompt.wantsMass() ? 4.0 : null;
                tell(letters, true, new Command.AnswerPrompt(stamp(node, null), id, kg));
                tell(letters, true, new Command.AnswerPrompt(machine(node, null), id, kg));
                if (prompt.wantsMass()) {
                    tell(letters, true, new Command.AnswerPrompt(stamp(node, null), id, null));
                }
            }
            tell(letters, true, new Command.SampleTaken(stamp(node, null), OVEN));
            if (!batch.samples().isEmpty() && batch.samples().getLast().isOpen()) {
                String id = batch.samples().getLast().id();
                tell(
                        letters,
                        true,
                        new Command.SampleValue(
                                stamp(node, null), id, 0.5, Basis.WET, "oven", 0.005));
            }
            tell(letters, false, new Command.WeighIn(stamp(node, null), OVEN, 3.0));
        }
        return letters;
    }

    /** Armed on a page, then pressed; in between something may go wrong. */
    private void armedAndPressed(
            List<Letter> letters, boolean calm, Set<Fault> faults, Command.Arm arm) {
        Input armed = new Input(TINY_S, Fault.NONE, false, Leaf.WET, null, arm);
        Button button =
                switch (arm.action()) {
                    case START, RESUME, TUNE -> Button.START;
                    case RESET -> Button.RESET;
                    case CONFIRM -> Button.CONFIRM;
                };
        Input down = new Input(TINY_S, Fault.NONE, false, Leaf.WET, button, null);
        Input up = new Input(TINY_S, Fault.NONE, false, Leaf.WET, null, null);
        letters.add(new Letter(calm, List.of(armed, down, up)));
        for (Fault fault : faults) {
            Input wrong = new Input(TINY_S, fault, false, Leaf.WET, button, null);
            letters.add(new Letter(false, List.of(armed, wrong, up)));
        }
    }

    /** A start or resume that would be taken if all were well. */
    private static boolean isFor(Point point, @Nullable Batch batch) {
        if (batch == null || (point.unit().equals(UnitId.STEAMER) && !usesSteamer(point, batch))) {
            return false;
        }
        return switch (point.action()) {
            case START ->
                    batch.isIn(
                            point.unit().isOven()
                                    ? ProcedureState.PLANNED
                                    : ProcedureState.RUNNING);
            case RESUME -> batch.isIn(ProcedureState.HELD);
            case RESET, TUNE, CONFIRM -> false;
        };
    }

    private static boolean usesSteamer(Point point, Batch batch) {
        return point.action() == ArmedAction.START
                ? batch.phase() instanceof Phase.AwaitingPerson
                : batch.hasSteamer();
    }

    /** The moistures that make a difference. */
    private static Set<Leaf> leaves(@Nullable Batch batch) {
        if (batch == null || !leafInside(batch)) {
            return EnumSet.of(Leaf.WET);
        }
        return batch.phase() instanceof Phase.Drying && batch.isIn(ProcedureState.RUNNING)
                ? EnumSet.allOf(Leaf.class)
                : EnumSet.of(Leaf.WET, Leaf.DRY);
    }

    private static void tell(List<Letter> letters, boolean calm, Command command) {
        add(letters, calm, new Input(TINY_S, Fault.NONE, false, Leaf.WET, null, command));
    }

    private static void add(List<Letter> letters, boolean calm, Input in) {
        letters.add(new Letter(calm, List.of(in)));
    }

    private static Stamp stamp(Node node, @Nullable ProcedureState seen) {
        return new Stamp("c", "Aki", false, node.state().cycle(), seen);
    }

    private static Stamp machine(Node node, @Nullable ProcedureState seen) {
        return new Stamp("c", "Aki", true, node.state().cycle(), seen);
    }

    private static ProcedureState seen(Node node, UnitId unit) {
        Batch batch = unit.isOven() ? batch(node.state()) : node.state().floor().inSteamer();
        return batch == null ? ProcedureState.IDLE : batch.state();
    }

    // ---- what must hold

    private int at;
    private final Map<String, String> broken = new TreeMap<>();
    private List<Input> told = List.of();

    private void must(boolean holds, String what, Input in) {
        if (!holds) {
            broken.computeIfAbsent(
                    what, _ -> "in " + in + "\nof " + told + "\nafter\n" + space.story(at));
        }
    }

    private void check(Node before, Input in, Readings r, CycleResult result, Node after) {
        onlyWhatIsAllowedIsOn(in, r, result, after.state());
        tripsStayUntilReset(before.state(), in, after.state().guard());
        offIsNeverRefused(before.state(), in, result);
        everyAnswerHasItsReason(before.state(), in, result);
        statesFollowEachOther(before.state(), in, result, after.state());
        unitsAgreeWithTheBatch(in, after.state());
    }

    private static boolean steams(AllowedOutputs out) {
        return out.steamValve() || out.secondSteamValve() || out.beltRun() || out.beltSpeed() > 0.0;
    }

    private void onlyWhatIsAllowedIsOn(Input in, Readings r, CycleResult result, LineState is) {
        AllowedOutputs out = result.outputs();
        GuardState guard = is.guard();
        contactors.add(guard.contactor());
        Batch batch = batch(is);
        boolean runs = batch != null && batch.isIn(ProcedureState.RUNNING);
        boolean tunes = is.floor().slots().getFirst().tunes();
        boolean heater = out.ovens().getFirst().heater();
        boolean valve = out.steamValve() || out.secondSteamValve();
        if (heater || valve) {
            must(
                    guard.contactor() == ContactorPhase.CLOSED
                            && out.contactor()
                            && r.isOn(UnitId.LINE, Quantity.CONTACTOR_CLOSED)
                            && r.isOn(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY)
                            && r.isOn(UnitId.LINE, Quantity.PERMIT_KEY_ON)
                            && r.isOn(UnitId.LINE, Quantity.SMOKE_HEALTHY)
                            && r.isOn(UnitId.LINE, Quantity.SUPPLY_HEALTHY),
                    "heat or steam and the line is not proven well",
                    in);
        }
        if (heater) {
            must(
                    r.isOn(OVEN, Quantity.DOOR_CLOSED)
                            && r.isOn(OVEN, Quantity.AIRFLOW_PROVEN)
                            && r.isOn(OVEN, Quantity.HIGH_LIMIT_HEALTHY)
                            && r.good(OVEN, Quantity.AIR_C) <= 110.0
                            && out.ovens().getFirst().fan(),
                    "heat and the oven is not proven well",
                    in);
            must(guard.isStarted(OVEN) && !guard.tripped(OVEN), "heat without a start", in);
            must(runs || tunes, "heat for no batch that runs", in);
            must(Wishes.oven(is.floor().slots().getFirst()).heat(), "heat that nobody wants", in);
        }
        if (steams(out)) {
            must(
                    r.isOn(UnitId.STEAMER, Quantity.HOOD_CLOSED)
                            && r.isOn(UnitId.STEAMER, Quantity.HOOD_LOCKED)
                            && r.isOn(UnitId.STEAMER, Quantity.OVER_PRESSURE_HEALTHY)
                            && !Double.isNaN(r.good(UnitId.STEAMER, Quantity.CHEST_A_C))
                            && !Double.isNaN(r.good(UnitId.STEAMER, Quantity.CHEST_B_C)),
                    "steam or belt and the steamer is not proven well",
                    in);
            must(
                    guard.isStarted(UnitId.STEAMER) && !guard.tripped(UnitId.STEAMER),
                    "steam or belt without a start",
                    in);
            must(batch != null && runs && batch.hasSteamer(), "steam or belt for no batch", in);
            must(!out.hoodUnlock(), "steam or belt under an unlocked hood", in);
        }
        must(!out.contactor() || runs || tunes, "a contactor closed for nobody", in);
        must(
                !out.hoodUnlock()
                        || (r.good(UnitId.STEAMER, Quantity.CHEST_A_C) < 60.0
                                && r.good(UnitId.STEAMER, Quantity.CHEST_B_C) < 60.0
                                && r.isOn(UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN)),
                "a hood unlocked over a hot chest",
                in);
        must(
                in.fault() != Fault.NOTHING_KNOWN
                        || !(heater || steams(out) || out.contactor() || out.hoodUnlock()),
                "something is on and nothing is known",
                in);
        heats += heater ? 1 : 0;
        steams += valve ? 1 : 0;
    }

    /** A reset at the machine, and only that, lets go of a trip; a press, and only that, starts. */
    private void tripsStayUntilReset(LineState was, Input in, GuardState is) {
        long before = GuardKey.trips(was.guard());
        long after = GuardKey.trips(is);
        boolean armedReset =
                was.floor().armed() != null
                        && was.floor().armed().action() == ArmedAction.RESET
                        && in.pressed() == Button.RESET;
        must(
                (before & ~after) == 0 || armedReset || armsAtMachine(in, ArmedAction.RESET),
                "a trip went without a reset at the machine",
                in);
        must(
                (GuardKey.firstOut(was.guard()) & before & after)
                        == (GuardKey.firstOut(is) & before & after),
                "the first cause changed",
                in);
        must(
                before != 0 || after == 0 || GuardKey.firstOut(is) != 0,
                "trips and no first cause",
                in);
        for (UnitId unit : List.of(UnitId.STEAMER, OVEN)) {
            must(!(is.tripped(unit) && is.isStarted(unit)), "tripped and started", in);
            boolean begins = is.isStarted(unit) && !was.guard().isStarted(unit);
            must(!begins || isPress(was, in), "a start without a press at the machine", in);
        }
        trips += before == 0 && after != 0 ? 1 : 0;
    }

    private static boolean armsAtMachine(Input in, ArmedAction action) {
        return in.command() instanceof Command.Arm arm
                && arm.stamp().atMachine()
                && arm.action() == action;
    }

    private static boolean isPress(LineState was, Input in) {
        boolean button =
                in.pressed() == Button.CONFIRM
                        || (in.pressed() == Button.START && was.floor().armed() != null);
        boolean panel = in.command() != null && in.command().stamp().atMachine();
        return button || panel;
    }

    private void offIsNeverRefused(LineState was, Input in, CycleResult result) {
        AllowedOutputs out = result.outputs();
        Batch batch = batch(was);
        Command command = in.command();
        boolean moved = command != null && result.answers().getFirst() instanceof Answer.Moved;
        UnitId unit = null;
        if (command instanceof Command.Stop stop) {
            must(moved, "a stop was refused", in);
            unit = stop.unit();
            must(!(unit.equals(UnitId.LINE) && out.contactor()), "stopped, contactor closed", in);
        } else if (command instanceof Command.Hold hold) {
            boolean concerned =
                    batch != null && (!hold.unit().equals(UnitId.STEAMER) || batch.hasSteamer());
            must(moved || !concerned, "a hold was refused", in);
            unit = moved ? hold.unit() : null;
        } else if (command instanceof Command.Abort) {
            boolean lives = batch != null && !batch.isIn(ProcedureState.ABORTED);
            must(moved || !lives, "an abort was refused", in);
            unit = moved ? OVEN : null;
        }
        if (unit != null) {
            boolean ovenOff = unit.equals(UnitId.STEAMER) || !out.ovens().getFirst().heater();
            boolean steamOff = unit.equals(OVEN) || !steams(out);
            must(ovenOff && steamOff, "asked to be off and on", in);
        }
    }

    private void everyAnswerHasItsReason(LineState was, Input in, CycleResult result) {
        must(result.answers().size() == (in.command() == null ? 0 : 1), "not one answer", in);
        boolean counts =
                in.pressed() != null
                        && was.floor().buttons().get(in.pressed()).contact() == Buttons.Contact.OFF;
        boolean answered = !counts || in.pressed() == Button.RESET;
        for (Answer answer : result.answers()) {
            if (answer instanceof Answer.Refused refused) {
                refusals.add(refused.reason());
            }
        }
        for (Event event : result.events()) {
            if (event instanceof Event.PressRefused refused) {
                refusals.add(refused.reason());
            }
            answered |=
                    event instanceof Event.PressRefused
                            || event instanceof Event.PhaseBegan
                            || event instanceof Event.PromptAnswered
                            || event instanceof Event.BatchResumed
                            || event instanceof Event.BatchHeld; // a stop in the same cycle wins
        }
        for (GuardEvent event : result.guardEvents()) {
            if (event instanceof GuardEvent.StartRefused(_, Reason reason)) {
                reasons.add(reason);
            }
            answered |=
                    event instanceof GuardEvent.StartRefused || event instanceof GuardEvent.Started;
        }
        must(answered, "a press that nothing answered", in);
    }

    private void statesFollowEachOther(LineState was, Input in, CycleResult result, LineState is) {
        Batch before = batch(was);
        Batch after = batch(is);
        ProcedureState from = before == null ? ProcedureState.IDLE : before.state();
        ProcedureState to = after == null ? ProcedureState.IDLE : after.state();
        boolean same = before != null && after != null && before.id().equals(after.id());
        must(same || before == null || after == null, "one batch became another", in);
        boolean may =
                switch (from) {
                    case IDLE -> to == from || to == ProcedureState.PLANNED;
                    case PLANNED ->
                            to == from || to == ProcedureState.RUNNING || to == ProcedureState.IDLE;
                    case RUNNING -> to != ProcedureState.PLANNED;
                    case HELD -> to != ProcedureState.PLANNED;
                    case STOPPED ->
                            to == from
                                    || to == ProcedureState.HELD
                                    || to == ProcedureState.ABORTED
                                    || to == ProcedureState.IDLE;
                    case ABORTED -> to == from || to == ProcedureState.IDLE;
                };
        if (!may) {
            must(false, from + " became " + to, in);
        }
        must(
                to != ProcedureState.RUNNING || from == to || isPress(was, in),
                "a batch runs and nobody pressed",
                in);
        boolean ended = false;
        for (Event event : result.events()) {
            ended |=
                    event instanceof Event.BatchCompleted
                            || event instanceof Event.LeafDiscarded
                            || event instanceof Event.BatchAborted
                            || event instanceof Event.PlanCancelled;
            completed += event instanceof Event.BatchCompleted ? 1 : 0;
        }
        must(before == null || after != null || ended, "a batch went and nothing told of it", in);
    }

    private void unitsAgreeWithTheBatch(Input in, LineState is) {
        Batch batch = batch(is);
        OvenSlot slot = is.floor().slots().getFirst();
        boolean runs = batch != null && batch.isIn(ProcedureState.RUNNING);
        must(
                is.steamer().steam() == (batch != null && runs && batch.hasSteamer()),
                "steamer and batch disagree",
                in);
        must(
                Double.isNaN(is.loops().getFirst().targetC()) || Wishes.oven(slot).heat(),
                "oven and batch disagree",
                in);
        must(!is.guard().isStarted(OVEN) || runs || slot.tunes(), "an oven started for nobody", in);
        must(
                !is.guard().isStarted(UnitId.STEAMER)
                        || (batch != null && runs && batch.hasSteamer()),
                "a steamer started for nobody",
                in);
        if (batch != null && batch.isIn(ProcedureState.HELD)) {
            must(batch.prompt(PromptKind.RESUME_OR_ABORT) != null, "held and nobody is asked", in);
        }
        if (batch != null && batch.isIn(ProcedureState.ABORTED)) {
            must(batch.prompt(PromptKind.TAKE_OUT) != null, "aborted and nobody is asked", in);
        }
    }

    // ---- the search

    @Test
    void everyReachableStateKeepsEveryInvariant() {
        Node start = new Node(line.initial(), AllowedOutputs.off(1));
        Command takeIn =
                new Command.TakeInLot(
                        stamp(start, null),
                        "Lower terrace",
                        "field-7",
                        "Green",
                        0,
                        Ripeness.MEDIUM,
                        false,
                        2.0,
                        5.0,
                        24.0);
        Node first = step(start, new Input(TINY_S, Fault.NONE, false, Leaf.WET, null, takeIn));
        stock = first.state().floor().stock();
        space.begin(key(first), first);
        for (at = 0; at < space.size(); at++) {
            expand();
        }
        System.out.printf(
                "batch, units and guard: %d states, %d transitions; heat in %d, steam in %d,"
                        + " %d trips, %d batches completed%n",
                space.size(), space.transitions(), heats, steams, trips, completed);

        assertEquals(Map.of(), broken);
        BitSet stuck = space.without(goals);
        assertEquals(
                0,
                stuck.cardinality(),
                () -> "dead ends, the first after\n" + space.story(stuck.nextSetBit(0)));
        everythingDeclaredWasReached();
        assertTrue(space.size() > 50_000 && space.transitions() > 2_000_000);
        assertTrue(heats > 1000 && steams > 1000 && trips > 1000 && completed > 100);
    }

    private void everythingDeclaredWasReached() {
        // IDLE is an oven without a batch
        assertEquals(EnumSet.complementOf(EnumSet.of(ProcedureState.IDLE)), states);
        Set<String> allPhases = new TreeSet<>();
        PHASES.forEach(phase -> allPhases.add(phase.getSimpleName()));
        assertEquals(allPhases, phases);
        assertEquals(EnumSet.allOf(HeldCause.class), heldCauses);
        assertEquals(EnumSet.allOf(PromptKind.class), prompts);
        assertEquals(EnumSet.allOf(ContactorPhase.class), contactors);
        assertEquals(EnumSet.allOf(Trouble.class), troubles);
        assertEquals(EnumSet.of(Place.HEAP, Place.BELT, Place.BENCH, Place.OVEN), places);
        assertTrue(tuned);
        Set<String> texts = Texts.inBothLanguages();
        for (Refusal refusal : refusals) {
            assertTrue(texts.contains("refused." + word(refusal)), refusal.name());
        }
        for (Reason reason : reasons) {
            assertTrue(texts.contains(reason.key()), reason.name());
        }
        assertTrue(refusals.size() >= 12 && reasons.size() >= 6, refusals + " " + reasons);
    }

    private static String word(Enum<?> constant) {
        return constant.name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    private void expand() {
        Node node = space.node(at);
        look(node);
        for (Letter letter : letters(node)) {
            told = letter.steps();
            Node next = node;
            for (Input in : told) {
                next = step(next, in);
            }
            space.go(at, letter, letter.calm(), key(next), next);
        }
        step(node, new Input(TINY_S, Fault.NOTHING_KNOWN, false, Leaf.WET, null, null));
        Node next = restarted(node);
        space.go(at, "restart", false, key(next), next);
        space.forget(at);
    }

    private Node restarted(Node node) {
        LineState was = node.state();
        LineState is = line.restored(line.snapshot(was), 100.0, true, 1);
        Input none = new Input(TINY_S, Fault.NONE, false, Leaf.WET, null, null);
        Batch before = batch(was);
        Batch after = batch(is);
        must(
                GuardKey.trips(was.guard()) == GuardKey.trips(is.guard())
                        && GuardKey.firstOut(was.guard()) == GuardKey.firstOut(is.guard()),
                "a restart lost a trip",
                none);
        must((before == null) == (after == null), "a restart lost a batch", none);
        if (before != null && after != null) {
            boolean ran = before.isIn(ProcedureState.RUNNING);
            must(
                    after.id().equals(before.id())
                            && after.state() == (ran ? ProcedureState.HELD : before.state()),
                    "a batch did not come back as it must",
                    none);
        }
        unitsAgreeWithTheBatch(none, is);
        return new Node(kept(is), AllowedOutputs.off(1));
    }

    private void look(Node node) {
        LineState s = node.state();
        GuardState guard = s.guard();
        Batch batch = batch(s);
        troubles.add(LineSight.trouble(guard, OVEN));
        troubles.add(LineSight.trouble(guard, UnitId.STEAMER));
        if (batch != null) {
            states.add(batch.state());
            places.add(batch.charge().place());
            phases.add(batch.phase().getClass().getSimpleName());
            if (batch.procedure().heldCause() != null) {
                heldCauses.add(batch.procedure().heldCause());
            }
            batch.prompts().forEach(prompt -> prompts.add(prompt.kind()));
        }
        tuned |= s.floor().slots().getFirst().tunes();
        boolean free = batch == null && !s.floor().slots().getFirst().tunes();
        if (free
                && GuardKey.trips(guard) == 0
                && guard.readyToStart(OVEN)
                && guard.readyToStart(UnitId.STEAMER)) {
            goals.set(at);
        }
    }
}
