package steamleaf.core.cycle;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import steamleaf.core.alarm.AlarmCondition;
import steamleaf.core.alarm.AlarmInput;
import steamleaf.core.alarm.AlarmRequest;
import steamleaf.core.alarm.AlarmStates;
import steamleaf.core.alarm.AlarmStep;
import steamleaf.core.alarm.Alarms;
import steamleaf.core.alarm.Signals;
import steamleaf.core.batch.Answer;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Command;
import steamleaf.core.batch.Event;
import steamleaf.core.batch.FinishBy;
import steamleaf.core.batch.Floor;
import steamleaf.core.batch.FloorStep;
import steamleaf.core.batch.LeafAction;
import steamleaf.core.batch.LoopTuning;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.OvenSettings;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.OvenWish;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.Place;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Procedures;
import steamleaf.core.batch.Promises;
import steamleaf.core.batch.Ripeness;
import steamleaf.core.batch.SampleHelp;
import steamleaf.core.batch.SteamerWish;
import steamleaf.core.batch.Tuning;
import steamleaf.core.batch.Wishes;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.estimate.OvenAir;
import steamleaf.core.estimate.Verdict;
import steamleaf.core.interlock.Annunciation;
import steamleaf.core.interlock.ContactorPhase;
import steamleaf.core.interlock.Guard;
import steamleaf.core.interlock.GuardInput;
import steamleaf.core.interlock.GuardLimits;
import steamleaf.core.interlock.GuardRequests;
import steamleaf.core.interlock.GuardSettings;
import steamleaf.core.interlock.GuardState;
import steamleaf.core.interlock.GuardStep;
import steamleaf.core.interlock.OvenActivity;
import steamleaf.core.interlock.OvenLimits;
import steamleaf.core.interlock.OvenOutputs;
import steamleaf.core.interlock.WantedOutputs;
import steamleaf.core.learn.Applied;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;
import steamleaf.core.science.Psychrometrics;
import steamleaf.core.science.Saturation;

/**
 * The whole line, one cycle at a time: estimate, then batches and people, then loops, then the
 * guard, then alarms.
 */
public final class Line {
    /** After a gap nobody can tell the length of. Engineering choice: a night. */
    static final double UNKNOWN_GAP_S = 12 * 3600.0;

    /** The chest may still give off steam above this. Design section 7. */
    private static final double CHEST_VENTED_C = 60.0;

    private static final double VENTING_S = 120.0;

    /** Cold leaf in a cooled oven is warm after this. Engineering choice. */
    private static final double SETTLING_S = 600.0;

    /** The damper's spring closes it, but not quite. Engineering choice. */
    private static final double LEAST_FLOW_SHARE = 0.02;

    /** A heater that keeps an oven at temperature is on about this share of the time. */
    private static final double HEAT_ON_SHARE = 0.6;

    private final LineSettings settings;
    private final Guard guard;
    private final GuardSettings guardSettings;
    private final Alarms alarms;
    private final List<OvenLoop.Fixed> ovenLoops;
    private final OvenLoop.Fixed chestLoop;
    private final List<UnitId> ovens = new ArrayList<>();
    private final long cyclesPerSecond;

    public Line(LineSettings settings, GuardSettings guardSettings) {
        this.settings = settings;
        this.guardSettings = guardSettings;
        this.guard = new Guard(guardSettings);
        this.alarms = new Alarms();
        this.ovenLoops = fixed(settings);
        this.chestLoop = OvenLoop.Fixed.of(settings.chestLoop());
        this.cyclesPerSecond = Math.max(1, Math.round(1.0 / settings.batch().cycleS()));
        for (int n = 1; n <= settings.ovens(); n++) {
            ovens.add(UnitId.oven(n));
        }
    }

    private static List<OvenLoop.Fixed> fixed(LineSettings settings) {
        List<OvenLoop.Fixed> all = new ArrayList<>();
        for (int i = 0; i < settings.ovens(); i++) {
            OvenSettings built = settings.batch().ovens().get(i);
            all.add(
                    OvenLoop.Fixed.of(
                            settings.ovenLoops().get(i), built.heaterW(), built.flowM3PerH()));
        }
        return List.copyOf(all);
    }

    // ---- beginning and going on

    /** A line that was never run: no leaf, no batch, nothing known. */
    public LineState initial() {
        List<OvenLeaf> leaves = ovens.stream().map(oven -> newLeaf()).toList();
        return beginning(
                0.0,
                Floor.empty(settings.ovens()),
                GuardState.started(guardSettings, GuardState.Kept.NOTHING, 0),
                AlarmStates.none(settings.ovens()),
                leaves,
                0.0,
                false,
                List.of());
    }

    private static OvenLeaf newLeaf() {
        return new OvenLeaf(LeafParameters.STOCK, Band.GREEN_TEA);
    }

    /** What must survive a restart. */
    public LineSnapshot snapshot(LineState state) {
        return new LineSnapshot(
                state.nowS(),
                state.floor(),
                state.guard().kept(),
                state.alarms().standing(),
                state.alarms().nowS(),
                state.leaves().stream().map(OvenLeaf::snapshot).toList());
    }

    /**
     * The line after the program was away. Running batches come up held, heat off; the hood counts
     * as not vented; the estimate is widened by what may have happened; what was shelved for a time
     * comes back at its time.
     *
     * @param gapS how long nothing was watched, as far as is known
     * @param gapKnown false without a trusted clock: then waiting times get their worst case
     * @param restartsWithinHour starts of the controller in the hour before this one
     */
    public LineState restored(
            LineSnapshot kept, double gapS, boolean gapKnown, int restartsWithinHour) {
        double assumedS = gapKnown ? Math.max(0.0, gapS) : Math.max(gapS, UNKNOWN_GAP_S);
        double nowS = kept.nowS() + assumedS;
        List<OvenLeaf> leaves = new ArrayList<>();
        for (LeafSnapshot leaf : kept.leaves()) {
            LeafSnapshot known = gapKnown ? leaf : leaf.withoutBench();
            leaves.add(OvenLeaf.restored(LeafParameters.STOCK, Band.GREEN_TEA, known, assumedS));
        }
        LineState asleep =
                beginning(
                        nowS,
                        kept.floor(),
                        GuardState.started(guardSettings, kept.guard(), restartsWithinHour),
                        AlarmStates.recalled(
                                settings.ovens(), kept.alarms(), kept.alarmsNowS() + assumedS),
                        List.copyOf(leaves),
                        nowS + SteamerLoop.EXTRACTOR_RUNS_ON_S,
                        true,
                        List.of());
        Readings nothingRead = new Readings.Collector(settings.ovens()).build();
        FloorStep step =
                Procedures.restored(
                        settings.batch(),
                        kept.floor(),
                        new LineSight(asleep, 0, nowS, true, nothingRead),
                        assumedS,
                        gapKnown);
        return beginning(
                nowS,
                step.floor(),
                asleep.guard(),
                asleep.alarms(),
                asleep.leaves(),
                asleep.steamer().extractorUntilS(),
                true,
                step.events());
    }

    private LineState beginning(
            double nowS,
            Floor floor,
            GuardState guardState,
            AlarmStates alarmStates,
            List<OvenLeaf> leaves,
            double extractorUntilS,
            boolean maybeHot,
            List<Event> untold) {
        return new LineState(
                0,
                nowS,
                0.0,
                floor,
                guardState,
                alarmStates,
                ovenLoops.stream().map(fixed -> fixed.atRest(maybeHot)).toList(),
                SteamerLoop.atRest(chestLoop, extractorUntilS),
                leaves,
                Double.NaN,
                ChestWatch.NONE,
                WantedOutputs.off(settings.ovens()),
                limits(Double.NaN, floor),
                activity(floor),
                List.of(),
                Set.of(),
                untold);
    }

    // ---- one cycle

    public CycleResult step(LineState state, CycleInput in) {
        double nowS = state.nowS() + in.elapsedS();
        boolean second = in.cycle() % cyclesPerSecond == 0;
        double sinceS = state.secondS() + in.elapsedS();
        double secondS = second && sinceS > 0.0 ? sinceS : 0.0;
        Readings readings = in.readings();

        LineState seen = second ? estimated(state, readings, secondS) : state;
        FloorStep work =
                Procedures.step(
                        settings.batch(),
                        seen.floor(),
                        new LineSight(seen, in.cycle(), nowS, second, readings),
                        in.commands());
        List<Event> events = told(seen, work);

        List<OvenLoop> loops = loops(seen, work.floor(), readings, in.elapsedS(), secondS);
        SteamerLoop steamer = steamer(seen, work.floor(), readings, nowS, in.elapsedS(), secondS);
        WantedOutputs wanted = wanted(seen, work.floor(), loops, steamer, nowS);

        boolean sameFloor = work.floor() == seen.floor();
        GuardLimits limits =
                sameFloor && Double.compare(seen.limits().boilingC(), seen.boilingC()) == 0
                        ? seen.limits()
                        : limits(seen.boilingC(), work.floor());
        List<OvenActivity> activity = sameFloor ? seen.activity() : activity(work.floor());
        GuardStep guarded =
                guard.step(
                        seen.guard(),
                        new GuardInput(
                                in.cycle(),
                                in.elapsedS(),
                                in.late(),
                                readings,
                                wanted,
                                limits,
                                requests(work),
                                activity));

        boolean look = second || !guarded.events().isEmpty();
        List<AlarmCondition> conditions =
                look
                        ? Conditions.of(
                                settings,
                                work.floor(),
                                guarded.state(),
                                seen.leaves(),
                                in.conditions(),
                                readings.good(UnitId.LINE, Quantity.ROOM_C),
                                readings.good(UnitId.LINE, Quantity.ROOM_RH),
                                nowS)
                        : state.conditions();
        Set<UnitId> inUse = look ? Conditions.inUse(work.floor()) : state.inUse();
        AlarmStep alarmed =
                alarms.step(
                        seen.alarms(),
                        new AlarmInput(
                                in.cycle(),
                                in.elapsedS(),
                                readings,
                                conditions,
                                alarmRequests(work),
                                inUse,
                                isRunning(guarded.state()),
                                isPersonWanted(work.floor())));

        Floor floor = work.floor();
        List<Answer> answers = work.answers();
        if (!work.alarmCommands().isEmpty()) {
            answers = new ArrayList<>(answers);
            for (Command command : work.alarmCommands()) {
                Answer answer = AlarmDesk.answer(command, alarmed.events());
                answers.add(answer);
                floor = floor.having(answer);
            }
        }
        LineState next =
                new LineState(
                        in.cycle(),
                        nowS,
                        second ? 0.0 : sinceS,
                        floor,
                        guarded.state(),
                        alarmed.states(),
                        loops,
                        steamer,
                        seen.leaves(),
                        seen.boilingC(),
                        chest(seen, work, readings, in.elapsedS()),
                        wanted,
                        limits,
                        activity,
                        conditions,
                        inUse,
                        List.of());
        return new CycleResult(
                next,
                guarded.outputs(),
                annunciation(alarmed.signals()),
                events,
                guarded.events(),
                alarmed.events(),
                answers,
                second);
    }

    private static Annunciation annunciation(Signals signals) {
        return new Annunciation(
                signals.horn(),
                signals.lampRed(),
                signals.lampYellow(),
                signals.lampGreen(),
                signals.lampBlue());
    }

    // ---- estimate

    /** Once a second: what the readings say of leaf and steam. */
    private LineState estimated(LineState state, Readings readings, double secondS) {
        double roomC = readings.good(UnitId.LINE, Quantity.ROOM_C);
        double roomRh = readings.good(UnitId.LINE, Quantity.ROOM_RH);
        double pressureKPa = readings.good(UnitId.LINE, Quantity.ROOM_PRESSURE_KPA);
        for (int i = 0; i < ovens.size() && secondS > 0.0; i++) {
            UnitId oven = ovens.get(i);
            OvenLeaf leaf = state.leaves().get(i);
            Batch batch = state.floor().batch(oven);
            if (batch == null) {
                leaf.notEmptyOrNotHot();
                continue;
            }
            switch (batch.charge().place()) {
                case OVEN ->
                        leaf.dry(
                                air(state, batch, readings, roomC, roomRh, pressureKPa),
                                endMoisture(batch),
                                Wishes.oven(batch),
                                secondS);
                case BENCH, BELT, HEAP -> {
                    leaf.rest(roomC, roomRh, pressureKPa, isDried(batch), secondS);
                    if (SampleHelp.mayBeAskedOutside(batch, state.nowS())) {
                        worth(leaf, batch, readings, roomC, roomRh, pressureKPa, secondS);
                    } else {
                        leaf.noWorth();
                    }
                    zero(leaf, batch, oven, readings, roomC, roomRh, secondS);
                }
                case GONE -> {}
            }
            plan(state, leaf, batch, readings, roomC, roomRh, pressureKPa);
            foresee(state.nowS(), leaf, batch, readings, roomC, roomRh, pressureKPa, secondS);
        }
        double boilingC =
                !Double.isNaN(pressureKPa) ? Saturation.temperatureC(pressureKPa) : Double.NaN;
        return boilingC == state.boilingC() ? state : withBoiling(state, boilingC);
    }

    /** What a sample of leaf that is out of the oven would be worth. */
    private void worth(
            OvenLeaf leaf,
            Batch batch,
            Readings readings,
            double roomC,
            double roomRh,
            double pressureKPa,
            double secondS) {
        List<Operation> operations = batch.recipe().procedure();
        leaf.worth(
                forecast(batch.oven()),
                ahead(batch.oven(), roomC, roomRh, pressureKPa),
                operations.subList(batch.procedure().operation(), operations.size()),
                readsHumidity(batch.oven(), readings),
                readsScale(batch.oven(), readings),
                secondS);
    }

    private static boolean isDried(Batch batch) {
        return batch.operation() instanceof Operation.Weigh
                || batch.operation() instanceof Operation.Pack;
    }

    private RestOfRecipe forecast(UnitId oven) {
        double flowM3PerH = settings.batch().ovens().get(oven.number() - 1).flowM3PerH();
        return new RestOfRecipe(damper -> flowM3PerH * Math.max(LEAST_FLOW_SHARE, damper));
    }

    /** The oven's air as it will be, its fan running. */
    private OvenAir ahead(UnitId oven, double roomC, double roomRh, double pressureKPa) {
        OvenSettings built = settings.batch().ovens().get(oven.number() - 1);
        return new OvenAir(
                roomC,
                Double.NaN,
                Double.NaN,
                roomC,
                roomRh,
                pressureKPa,
                built.flowM3PerH(),
                1.0,
                false,
                Double.NaN,
                built.trayTareKg());
    }

    private static boolean readsHumidity(UnitId oven, Readings readings) {
        return !Double.isNaN(readings.good(oven, Quantity.EXHAUST_RH));
    }

    private boolean readsScale(UnitId oven, Readings readings) {
        return settings.batch().ovens().get(oven.number() - 1).scaleFitted()
                && !Double.isNaN(readings.good(oven, Quantity.SCALE_KG));
    }

    /** Looks ahead to the end of the batch, while it dries or is worked. */
    private void foresee(
            double nowS,
            OvenLeaf leaf,
            Batch batch,
            Readings readings,
            double roomC,
            double roomRh,
            double pressureKPa,
            double secondS) {
        boolean foreseen =
                batch.isIn(ProcedureState.RUNNING)
                        && switch (batch.phase()) {
                            case Phase.Drying _,
                                    Phase.Turning _,
                                    Phase.TakingOut _,
                                    Phase.Working _,
                                    Phase.PuttingBack _ ->
                                    true;
                            case Phase.Waiting _,
                                    Phase.Warming _,
                                    Phase.AwaitingPerson _,
                                    Phase.HeatingChest _,
                                    Phase.Feeding _,
                                    Phase.Steaming _,
                                    Phase.Spreading _,
                                    Phase.CoolingInOven _,
                                    Phase.Weighing _,
                                    Phase.Packing _ ->
                                    false;
                        };
        int operation = batch.procedure().operation();
        double untilS = Promises.workUntilS(batch);
        if (!foreseen) {
            leaf.foreseesNothing();
        } else if (leaf.isForesightDue(operation, untilS, secondS)) {
            leaf.foresee(
                    planner(batch.oven()),
                    nowS,
                    operation,
                    untilS,
                    (filter, scout) ->
                            standing(
                                    batch,
                                    batch.recipe().procedure(),
                                    nowS,
                                    filter,
                                    scout,
                                    readings,
                                    roomC,
                                    roomRh,
                                    pressureKPa));
        }
    }

    /** Works on at an end at a wanted time. */
    private void plan(
            LineState state,
            OvenLeaf leaf,
            Batch batch,
            Readings readings,
            double roomC,
            double roomRh,
            double pressureKPa) {
        FinishBy finish = batch.finishBy();
        double nowS = state.nowS();
        if (finish == null || !FinishBy.isDue(batch, nowS)) {
            leaf.noPlan();
            return;
        }
        leaf.plan(
                planner(batch.oven()),
                finish.wantedS(),
                nowS,
                !finish.accepted(),
                (copy, scout) ->
                        standing(
                                batch,
                                finish.recipe(),
                                nowS,
                                copy,
                                scout,
                                readings,
                                roomC,
                                roomRh,
                                pressureKPa));
    }

    private FinishPlanner planner(UnitId oven) {
        OvenSettings built = settings.batch().ovens().get(oven.number() - 1);
        return new FinishPlanner(forecast(oven), built.maxAirC(), built.heaterW());
    }

    private FinishPlanner.Standing standing(
            Batch batch,
            List<Operation> recipe,
            double nowS,
            MoistureFilter filter,
            MoistureFilter scout,
            Readings readings,
            double roomC,
            double roomRh,
            double pressureKPa) {
        UnitId oven = batch.oven();
        return FinishPlanner.Standing.of(
                batch,
                recipe,
                nowS,
                filter,
                scout,
                ahead(oven, roomC, roomRh, pressureKPa),
                readsHumidity(oven, readings),
                readsScale(oven, readings));
    }

    private static LineState withBoiling(LineState s, double boilingC) {
        return new LineState(
                s.cycle(),
                s.nowS(),
                s.secondS(),
                s.floor(),
                s.guard(),
                s.alarms(),
                s.loops(),
                s.steamer(),
                s.leaves(),
                boilingC,
                s.chest(),
                s.wanted(),
                s.limits(),
                s.activity(),
                s.conditions(),
                s.inUse(),
                s.untold());
    }

    private OvenAir air(
            LineState state,
            Batch batch,
            Readings readings,
            double roomC,
            double roomRh,
            double pressureKPa) {
        UnitId oven = batch.oven();
        double nowS = state.nowS();
        OvenSettings built = settings.batch().ovens().get(oven.number() - 1);
        OvenLoop loop = state.loops().get(oven.number() - 1);
        boolean flows = readings.isOn(oven, Quantity.AIRFLOW_PROVEN);
        double share = flows ? Math.max(LEAST_FLOW_SHARE, loop.damper()) : LEAST_FLOW_SHARE;
        return new OvenAir(
                readings.good(oven, Quantity.AIR_C),
                readings.good(oven, Quantity.EXHAUST_C),
                isSettled(batch, nowS) ? readings.good(oven, Quantity.EXHAUST_RH) : Double.NaN,
                roomC,
                roomRh,
                pressureKPa,
                built.flowM3PerH() * share,
                flows ? 1.0 : 0.0,
                !readings.isOn(oven, Quantity.DOOR_CLOSED),
                built.scaleFitted() ? readings.good(oven, Quantity.SCALE_KG) : Double.NaN,
                built.trayTareKg());
    }

    /**
     * While leaf and oven come to their temperatures the exhaust's humidity says more about them
     * than about the leaf's moisture.
     */
    private static boolean isSettled(Batch batch, double nowS) {
        return nowS - batch.procedure().operationSinceS() > SETTLING_S;
    }

    private static double endMoisture(Batch batch) {
        boolean dries =
                batch.isIn(ProcedureState.RUNNING)
                        && (batch.phase() instanceof Phase.Drying
                                || batch.phase() instanceof Phase.Turning);
        return dries && batch.operation() instanceof Operation.Dry dry
                ? dry.endMoisture()
                : Double.NaN;
    }

    /** Before the leaf comes the oven is hot, closed and empty: the moment to zero its humidity. */
    private static void zero(
            OvenLeaf leaf,
            Batch batch,
            UnitId oven,
            Readings readings,
            double roomC,
            double roomRh,
            double secondS) {
        boolean warm =
                batch.phase() instanceof Phase.AwaitingPerson
                        || batch.phase() instanceof Phase.HeatingChest
                        || batch.phase() instanceof Phase.Feeding
                        || batch.phase() instanceof Phase.Steaming;
        double exhaustC = readings.good(oven, Quantity.EXHAUST_C);
        if (!warm
                || !batch.isIn(ProcedureState.RUNNING)
                || !readings.isOn(oven, Quantity.DOOR_CLOSED)
                || !readings.isOn(oven, Quantity.AIRFLOW_PROVEN)) {
            leaf.notEmptyOrNotHot();
            return;
        }
        double vapourKPa = roomRh * Psychrometrics.saturationPressureKPa(roomC);
        double expectedRh = vapourKPa / Psychrometrics.saturationPressureKPa(exhaustC);
        leaf.zero(readings.good(oven, Quantity.EXHAUST_RH), expectedRh, secondS);
    }

    private static ChestWatch chest(
            LineState state, FloorStep work, Readings readings, double elapsedS) {
        Batch batch = work.floor().inSteamer();
        boolean onBelt =
                batch != null
                        && (batch.phase() instanceof Phase.Feeding
                                || batch.phase() instanceof Phase.Steaming);
        if (!onBelt) {
            return ChestWatch.NONE;
        }
        return state.chest().next(LineSight.chestC(readings), elapsedS);
    }

    // ---- what the batches did

    /** Tells the estimate what was done to the leaf, and collects what happened. */
    private static List<Event> told(LineState state, FloorStep work) {
        List<Event> events = work.events();
        if (!state.untold().isEmpty()) {
            events = new ArrayList<>(state.untold());
            events.addAll(work.events());
        }
        for (LeafAction action : work.leafActions()) {
            OvenLeaf leaf = state.leaves().get(action.oven().number() - 1);
            Event zeroed = action instanceof LeafAction.Loaded loaded ? zeroed(leaf, loaded) : null;
            if (zeroed != null) {
                events = new ArrayList<>(events);
                events.add(zeroed);
            }
            if (action instanceof LeafAction.Loaded(UnitId oven, Batch batch, _)) {
                leaf.knows(learned(work.floor(), oven, batch));
            }
            if (leaf.take(action) != Verdict.TAKEN) {
                Event questioned = questioned(action);
                if (questioned != null) {
                    events = new ArrayList<>(events);
                    events.add(questioned);
                }
            }
        }
        return events;
    }

    private static Applied learned(Floor floor, UnitId oven, Batch batch) {
        Ripeness grade = floor.stock().grade(batch.charge().portions());
        return grade == null
                ? Applied.nothing(LeafParameters.STOCK)
                : floor.slots().get(oven.number() - 1).learned(grade).applied(LeafParameters.STOCK);
    }

    /** What the empty oven said of its humidity sensor, told when leaf is in it. */
    private static @Nullable Event zeroed(OvenLeaf leaf, LeafAction.Loaded loaded) {
        String batchId = loaded.batch().id();
        if (!Double.isNaN(leaf.zeroRefusedBy())) {
            return new Event.HumidityNotZeroed(batchId, loaded.oven(), leaf.zeroRefusedBy());
        }
        return Double.isNaN(leaf.zeroFound())
                ? null
                : new Event.HumidityZeroed(batchId, loaded.oven(), leaf.zeroFound());
    }

    private static @Nullable Event questioned(LeafAction action) {
        return switch (action) {
            case LeafAction.Sampled sampled -> new Event.SampleQuestioned(sampled.sample());
            case LeafAction.Weighed(UnitId oven, double massKg) ->
                    new Event.WeighingQuestioned(oven, massKg);
            case LeafAction.PutBack(UnitId oven, double massKg) ->
                    new Event.WeighingQuestioned(oven, massKg);
            case LeafAction.Loaded loaded ->
                    new Event.WeighingQuestioned(loaded.oven(), loaded.massKg());
            case LeafAction.Fed _,
                    LeafAction.Turned _,
                    LeafAction.TakenOut _,
                    LeafAction.Worked _,
                    LeafAction.SampleOut _,
                    LeafAction.Gone _ ->
                    null;
        };
    }

    // ---- loops

    private List<OvenLoop> loops(
            LineState state, Floor floor, Readings readings, double elapsedS, double secondS) {
        double roomC = readings.good(UnitId.LINE, Quantity.ROOM_C);
        OvenLoop[] changed = null;
        for (int i = 0; i < ovens.size(); i++) {
            UnitId oven = ovens.get(i);
            OvenLoop before = state.loops().get(i);
            MoistureView leaf = state.leaves().get(i).view();
            Batch batch = floor.batch(oven);
            boolean leafInside = batch != null && batch.charge().place() == Place.OVEN;
            OvenSlot slot = floor.slots().get(i);
            OvenLoop after =
                    before.step(
                            fixed(i, slot.accepted(), secondS),
                            Wishes.oven(slot),
                            readings.good(oven, Quantity.AIR_C),
                            leaf != null && leafInside ? leaf.leafC() : Double.NaN,
                            leafInside ? state.leaves().get(i).evaporationKgPerS() : Double.NaN,
                            roomC,
                            readings.good(oven, Quantity.EXHAUST_RH),
                            slot.tunes(),
                            mayHeat(state.guard(), oven, readings),
                            elapsedS,
                            secondS);
            if (after != before) {
                changed = changed == null ? state.loops().toArray(new OvenLoop[0]) : changed;
                changed[i] = after;
            }
        }
        return changed == null ? state.loops() : List.of(changed);
    }

    /** The settings are looked at once a second only. */
    private OvenLoop.Fixed fixed(int i, @Nullable LoopTuning accepted, double secondS) {
        OvenLoop.Fixed configured = ovenLoops.get(i);
        return accepted == null || secondS == 0.0 ? configured : configured.with(accepted);
    }

    /**
     * Started, powered and blown through. Where the guard only pauses the heat because the air is
     * too warm the loop runs on, so that it can take back what it gave.
     */
    private static boolean mayHeat(GuardState guard, UnitId oven, Readings readings) {
        return guard.isStarted(oven)
                && guard.contactor() == ContactorPhase.CLOSED
                && readings.isOn(oven, Quantity.AIRFLOW_PROVEN);
    }

    private SteamerLoop steamer(
            LineState state,
            Floor floor,
            Readings readings,
            double nowS,
            double elapsedS,
            double secondS) {
        SteamerWish wish = Wishes.steamer(floor.inSteamer(), settings.batch().steamer());
        SteamerLoop after =
                state.steamer()
                        .step(
                                chestLoop,
                                wish,
                                LineSight.chestC(readings),
                                state.boilingC(),
                                state.guard().steamAllowed(),
                                nowS,
                                elapsedS,
                                secondS);
        boolean hot =
                readings.good(UnitId.STEAMER, Quantity.CHEST_A_C) >= CHEST_VENTED_C
                        || readings.good(UnitId.STEAMER, Quantity.CHEST_B_C) >= CHEST_VENTED_C;
        return secondS > 0.0 && hot ? after.venting(nowS + VENTING_S) : after;
    }

    private WantedOutputs wanted(
            LineState state, Floor floor, List<OvenLoop> loops, SteamerLoop steamer, double nowS) {
        WantedOutputs before = state.wanted();
        OvenOutputs[] changed = null;
        for (int i = 0; i < loops.size(); i++) {
            OvenLoop loop = loops.get(i);
            OvenOutputs was = before.ovens().get(i);
            boolean same =
                    was.heater() == loop.pulse().on()
                            && was.fan() == loop.fan()
                            && was.damper() == loop.damper();
            if (!same) {
                changed = changed == null ? before.ovens().toArray(new OvenOutputs[0]) : changed;
                changed[i] = new OvenOutputs(loop.pulse().on(), loop.fan(), loop.damper());
            }
        }
        boolean contactor = false;
        boolean hoodNeeded = false;
        for (UnitId oven : ovens) {
            Batch batch = floor.batch(oven);
            boolean runs = batch != null && batch.isIn(ProcedureState.RUNNING);
            contactor |= runs || floor.slots().get(oven.number() - 1).tunes();
            hoodNeeded |= batch != null && runs && needsHood(batch);
        }
        double beltSpeed =
                Math.min(1.0, steamer.beltMmPerS() / settings.batch().steamer().fullSpeedMmPerS());
        boolean extractor = steamer.steam() || nowS < steamer.extractorUntilS();
        boolean unlock = extractor && !hoodNeeded && !steamer.steam();
        boolean secondValve = steamer.steam() && state.guard().steamAllowed();
        boolean same =
                changed == null
                        && before.contactor() == contactor
                        && before.steamValve() == steamer.pulse().on()
                        && before.secondSteamValve() == secondValve
                        && before.beltRun() == steamer.steam()
                        && before.beltSpeed() == beltSpeed
                        && before.extractor() == extractor
                        && before.hoodUnlock() == unlock;
        return same
                ? before
                : new WantedOutputs(
                        contactor,
                        steamer.pulse().on(),
                        secondValve,
                        steamer.steam(),
                        beltSpeed,
                        extractor,
                        unlock,
                        changed == null ? before.ovens() : List.of(changed));
    }

    /** From the warming on the hood stays locked, so that it is locked when steam is wanted. */
    private static boolean needsHood(Batch batch) {
        return batch.hasSteamer()
                || batch.phase() instanceof Phase.Warming
                || batch.phase() instanceof Phase.AwaitingPerson;
    }

    // ---- guard and alarms

    /** While no heat is wanted only the oven's own limit counts: what was hot may cool down. */
    private GuardLimits limits(double boilingC, Floor floor) {
        OvenLimits[] limits = new OvenLimits[ovens.size()];
        for (int i = 0; i < limits.length; i++) {
            Batch batch = floor.batch(ovens.get(i));
            OvenSlot slot = floor.slots().get(i);
            OvenWish wish = Wishes.oven(slot);
            double built = settings.batch().ovens().get(i).maxAirC();
            limits[i] =
                    new OvenLimits(
                            wish.heat() ? wish.airC() : built,
                            batch == null ? Tuning.LONGEST_S : longestHeatOnS(batch));
        }
        return new GuardLimits(boilingC, List.of(limits));
    }

    private static double longestHeatOnS(@Nullable Batch batch) {
        double longestS = 0.0;
        if (batch != null) {
            List<Operation> procedure = batch.recipe().procedure();
            for (int i = 0; i < procedure.size(); i++) {
                longestS += procedure.get(i) instanceof Operation.Dry dry ? dry.longestS() : 0.0;
            }
        }
        return HEAT_ON_SHARE * longestS;
    }

    private List<OvenActivity> activity(Floor floor) {
        OvenActivity[] activity = new OvenActivity[ovens.size()];
        for (int i = 0; i < activity.length; i++) {
            Batch batch = floor.batch(ovens.get(i));
            boolean inside = batch != null && batch.charge().place() == Place.OVEN;
            activity[i] =
                    batch == null
                            ? OvenActivity.EMPTY
                            : new OvenActivity(inside ? batch.number() : 0, batch.number());
        }
        return List.of(activity);
    }

    private static GuardRequests requests(FloorStep work) {
        boolean none = work.starts().isEmpty() && work.resets().isEmpty() && work.stops().isEmpty();
        return none
                ? GuardRequests.NONE
                : new GuardRequests(work.starts(), work.resets(), work.stops());
    }

    private static List<AlarmRequest> alarmRequests(FloorStep work) {
        if (!work.silence() && work.alarmCommands().isEmpty()) {
            return List.of();
        }
        List<AlarmRequest> requests = new ArrayList<>();
        if (work.silence()) {
            requests.add(new AlarmRequest.Silence());
        }
        for (Command command : work.alarmCommands()) {
            AlarmRequest request = AlarmDesk.request(command);
            if (request != null) {
                requests.add(request);
            }
        }
        return requests;
    }

    private boolean isRunning(GuardState state) {
        boolean running = state.steamAllowed();
        for (int i = 0; i < ovens.size(); i++) {
            running |= state.heatAllowed(ovens.get(i));
        }
        return running;
    }

    private boolean isPersonWanted(Floor floor) {
        for (int i = 0; i < ovens.size(); i++) {
            Batch batch = floor.batch(ovens.get(i));
            if (batch != null && !batch.prompts().isEmpty()) {
                return true;
            }
        }
        return false;
    }

    /** A unit as people are shown it. */
    public UnitView view(CycleResult result, UnitId unit, Readings readings) {
        return Views.of(settings, result, unit, readings);
    }

    /** The same without prompts, causes and permissives, for the record of each second. */
    public UnitView brief(CycleResult result, UnitId unit, Readings readings) {
        return Views.brief(settings, result, unit, readings);
    }
}
