package steamleaf.bench;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import steamleaf.app.config.Config;
import steamleaf.bench.campaign.Check;
import steamleaf.bench.campaign.Finding;
import steamleaf.bench.campaign.People;
import steamleaf.bench.campaign.Rescue;
import steamleaf.bench.campaign.Uncovered;
import steamleaf.bench.campaign.Watch;
import steamleaf.contract.CommandMessage.LotDraft;
import steamleaf.core.alarm.AlarmEvent;
import steamleaf.core.alarm.AlarmStage;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Event;
import steamleaf.core.batch.OperationKind;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.cycle.CycleResult;
import steamleaf.core.cycle.MoistureView;
import steamleaf.core.cycle.UnitView;
import steamleaf.core.interlock.GuardEvent;
import steamleaf.core.interlock.Latch;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.TraceWriter;
import steamleaf.sim.board.Board;
import steamleaf.sim.fault.Fault;
import steamleaf.sim.fault.FaultTimeline;
import steamleaf.sim.plant.LeafTruth;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;

/** One batch from leaf to record in handed-in time, with scripted hands. */
public final class BenchRun {
    /** An invented morning; the bench's line time starts here. */
    public static final Instant BEGUN = Instant.parse("2026-05-12T06:00:00Z");

    private static final UnitId OVEN = UnitId.oven(1);
    private static final double LONGEST_S = 16 * 3600;
    private static final double HELD_TOO_LONG_S = 3600;
    private static final int CYCLES_PER_LOOK = 5;
    private static final int CYCLES_PER_SECOND = 10;
    private static final double AFTERWARDS_S = 5;

    /**
     * What is run.
     *
     * @param faults null for a good day
     */
    public record Order(
            Config config,
            String recipe,
            long seed,
            PlantSettings plant,
            @Nullable FaultFile faults) {}

    /** A fault file, already checked. */
    public record FaultFile(String name, String text) {
        public FaultTimeline timeline(SimulatedLine line) {
            return FaultTimeline.parse(name, text, line.faults().catalogue());
        }
    }

    private final Order order;
    private final List<Summary.Stage> stages = new ArrayList<>();
    private final List<String> trips = new ArrayList<>();
    private final List<String> alarms = new ArrayList<>();
    private String outcome = "";
    private double heldS;
    private int holds;
    private String heldBecause = "";
    private Summary.@Nullable Spread spread;
    private @Nullable Double trueMoisture;
    private @Nullable Double estimated;
    private @Nullable Double deviation;
    private double estimateBefore = Double.NaN;

    private BenchRun(Order order) {
        this.order = order;
    }

    /**
     * Runs it and says how it went.
     *
     * @param journal folder for the journal
     * @param traceFile where the simulator writes its truth, null for nowhere
     */
    public static Summary run(Order order, Path journal, @Nullable Path traceFile)
            throws IOException {
        return new BenchRun(order).run(journal, traceFile);
    }

    private Summary run(Path journal, @Nullable Path traceFile) throws IOException {
        long wallNs = System.nanoTime();
        try (SimulatedLine line = SimulatedLine.open(order.plant(), Board.stock(), order.seed());
                Rig rig =
                        Rig.alone(
                                line, order.config(), journal, "j-bench-" + order.seed(), BEGUN)) {
            if (order.faults() != null) {
                line.faults().plan(order.faults().timeline(line));
            }
            Watch watch =
                    new Watch(
                            line,
                            Rig.CYCLE_S,
                            order.config().guard().ovens().getFirst().airLimitC());
            if (traceFile == null) {
                live(rig, watch, null);
            } else {
                try (TraceWriter trace = TraceWriter.create(traceFile, line.plant())) {
                    live(rig, watch, trace);
                }
            }
            double wallS = (System.nanoTime() - wallNs) / 1e9;
            return new Summary(
                    order.recipe(),
                    order.seed(),
                    outcome,
                    trueMoisture,
                    spread,
                    estimated,
                    deviation,
                    stages,
                    trips,
                    alarms,
                    unsafe(watch),
                    watch.findings().stream()
                            .filter(f -> f.check() == Check.PEOPLE_FAILED)
                            .map(Finding::toString)
                            .toList(),
                    line.faults().story(),
                    line.faults().toCome().stream()
                            .map(f -> String.format(Locale.ROOT, "%.1f s: %s", f.atS(), f))
                            .toList(),
                    rounded(rig.nowS(), 1),
                    rounded(wallS, 3),
                    rounded(rig.nowS() / wallS, 0));
        }
    }

    private static List<Summary.Unsafe> unsafe(Watch watch) {
        return watch.findings().stream()
                .filter(finding -> finding.check() != Check.PEOPLE_FAILED)
                .map(
                        finding -> {
                            Uncovered set = Uncovered.of(finding);
                            return new Summary.Unsafe(
                                    finding.toString(), set == null ? null : set.word());
                        })
                .toList();
    }

    private void live(Rig rig, Watch watch, @Nullable TraceWriter trace) {
        Plant plant = rig.line().plant();
        Hands hands = new Hands(plant, rig, Hands.Help.ALL, _ -> {});
        People people = new People(rig, hands, watch);
        rig.cycle();
        hands.beginDay();
        hands.runBatch(lot(plant.settings()), order.recipe(), OVEN, chargeKg(plant.settings()));
        double endS = Double.NaN;
        double mendedS = order.faults() == null ? 0 : mendedS(order.faults().timeline(rig.line()));
        for (long cycle = 2; !(rig.nowS() >= endS); cycle++) {
            rig.cycle();
            CycleResult result = rig.result();
            watch.look(result, rig.controller().failures());
            note(rig, hands, result);
            if (cycle % CYCLES_PER_LOOK == 0) {
                people.look();
            }
            if (trace != null && cycle % CYCLES_PER_SECOND == 0) {
                trace.write(cycle / CYCLES_PER_SECOND, plant);
            }
            if (outcome.isEmpty() && cycle % CYCLES_PER_SECOND == 0) {
                giveUp(rig);
            }
            if (!outcome.isEmpty() && Double.isNaN(endS)) {
                endS = Math.max(rig.nowS() + AFTERWARDS_S, mendedS);
            }
        }
    }

    /** All that ends has ended, and people have had their time since; no run waits for days. */
    private static double mendedS(FaultTimeline timeline) {
        double lastS = 0;
        for (Fault fault : timeline.faults()) {
            if (Double.isFinite(fault.durationS())) {
                lastS = Math.max(lastS, fault.endS());
            }
        }
        return Math.min(lastS + Rescue.LONGEST_S + AFTERWARDS_S, LONGEST_S);
    }

    /** A run that goes nowhere ends with its reason. */
    private void giveUp(Rig rig) {
        Batch batch = rig.floor().batch(OVEN);
        boolean held =
                batch != null
                        && !batch.isIn(ProcedureState.RUNNING)
                        && !batch.isIn(ProcedureState.PLANNED);
        heldS = held ? heldS + 1 : 0;
        if (rig.controller().failures() > 0) {
            outcome = "the controller's cycle failed";
        } else if (heldS > HELD_TOO_LONG_S && batch != null) {
            outcome =
                    batch.state().name().toLowerCase(Locale.ROOT)
                            + " for an hour, because "
                            + batch.procedure().heldCause();
        } else if (rig.nowS() > LONGEST_S) {
            outcome = "not finished after " + Math.round(LONGEST_S / 3600) + " hours";
        }
    }

    private void note(Rig rig, Hands hands, CycleResult result) {
        if (result.second()) {
            UnitView view = rig.controller().view(OVEN);
            MoistureView moisture = view == null ? null : view.moisture();
            if (moisture != null) {
                estimateBefore = moisture.mean();
                if (outcome.isEmpty() && trueMoisture == null) {
                    deviation = rounded(100 * moisture.deviation(), 3);
                }
            }
        }
        for (Event event : result.events()) {
            noteEvent(rig, hands, event);
        }
        for (GuardEvent event : result.guardEvents()) {
            if (event instanceof GuardEvent.TookEffect(var rule, UnitId unit, boolean firstOut)
                    && rule.latch() == Latch.TRIP) {
                trips.add(at(rig) + unit.label() + " " + rule + (firstOut ? ", first" : ""));
            }
        }
        for (AlarmEvent event : result.alarmEvents()) {
            if (event instanceof AlarmEvent.Changed changed
                    && changed.to() == AlarmStage.UNACKNOWLEDGED) {
                alarms.add(at(rig) + changed.alarm().label());
            }
        }
    }

    private void noteEvent(Rig rig, Hands hands, Event event) {
        switch (event) {
            case Event.OperationEnded ended -> ended(rig, hands, ended);
            case Event.BatchCompleted _ -> {
                outcome = Summary.COMPLETE;
            }
            case Event.BatchHeld held -> {
                holds++;
                heldBecause = held.cause().name();
            }
            case Event.BatchAborted aborted ->
                    outcome =
                            "aborted by "
                                    + aborted.by()
                                    + (holds == 0
                                            ? ""
                                            : ", held "
                                                    + holds
                                                    + " times, last because "
                                                    + heldBecause);
            default -> {} // a record of the story is in the journal
        }
    }

    private void ended(Rig rig, Hands hands, Event.OperationEnded ended) {
        Integer charge = hands.charge(ended.batchId());
        LeafTruth truth = charge == null ? null : rig.line().plant().charge(charge);
        boolean known = truth != null && truth.present;
        Double percent = known && truth != null ? rounded(100 * truth.moistureWb, 4) : null;
        Double guess = Double.isNaN(ended.moisture()) ? null : rounded(100 * ended.moisture(), 4);
        stages.add(
                new Summary.Stage(
                        ended.operation() + 1,
                        ended.kind().name().toLowerCase(Locale.ROOT),
                        rounded(ended.durationS(), 1),
                        percent,
                        guess));
        boolean cooledAtTheEnd = ended.kind() == OperationKind.COOL && ended.operation() > 2;
        if (cooledAtTheEnd && known && truth != null) {
            trueMoisture = percent;
            estimated = rounded(100 * estimateBefore, 4);
            spread =
                    new Summary.Spread(
                            rounded(100 * truth.spreadWb, 4),
                            rounded(100 * truth.driestWb, 4),
                            rounded(100 * truth.wettestWb, 4),
                            rounded(100 * truth.driestTrayWb, 4),
                            rounded(100 * truth.wettestTrayWb, 4),
                            rounded(100 * truth.bladeWb, 4),
                            rounded(100 * truth.stemWb, 4));
        }
    }

    private static String at(Rig rig) {
        return String.format(Locale.ROOT, "%.1f s: ", rig.nowS());
    }

    /** The day's lot: a little more than a charge. */
    public static LotDraft lot(PlantSettings plant) {
        double ripeness = plant.leaf().ripeness();
        String seen = ripeness < 1.0 / 3 ? "tender" : ripeness < 2.0 / 3 ? "medium" : "mature";
        return new LotDraft(
                "41",
                "Upper terrace",
                "seedling",
                0,
                seen,
                plant.leaf().rainKgPerKg() > 0.02,
                2.0,
                chargeKg(plant) + 0.2,
                22.0);
    }

    public static double chargeKg(PlantSettings plant) {
        return rounded(plant.leaf().lotKg(), 2);
    }

    private static double rounded(double value, int places) {
        double by = Math.pow(10, places);
        return Math.round(value * by) / by;
    }
}
