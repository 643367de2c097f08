package steamleaf.bench.campaign;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import steamleaf.app.config.Config;
import steamleaf.bench.BenchCommand;
import steamleaf.bench.BenchRun;
import steamleaf.bench.Hands;
import steamleaf.bench.Rig;
import steamleaf.core.batch.Batch;
import steamleaf.core.cycle.CycleResult;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.fault.FaultTimeline;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;

/**
 * One batch with one window after the other in it. A window begins at a random moment of the stage
 * it is meant for, once the line has recovered from the window before; so no start is thrown away
 * and none is artificial, and the faults so far, as a fault file, replay all of it to the last bit.
 */
final class Shift {
    private static final UnitId OVEN = UnitId.oven(1);
    private static final double LONGEST_S = 16 * 3600;
    private static final double OVER_S = 90;
    private static final double SETTLED_S = 30;
    private static final int CYCLES_PER_LOOK = 5;
    private static final double LOOK_S = CYCLES_PER_LOOK * Rig.CYCLE_S;

    /** A batch that stays so long in one stage waits for something that nobody brings. */
    private static final double STALLED_S = 4 * 3600;

    /** What is run: a batch, and for each stage what shall happen there. */
    record Order(String recipe, long seed, Map<Stage, List<Story>> stories, boolean whole) {}

    /**
     * One window, over.
     *
     * @param entries the faults of this window as a fault file
     * @param sinceStart those of this and all windows before
     * @param notBegun faults that the window ended before
     * @param afterBatch faults that began when the batch was over already: they met nothing
     */
    record Window(
            Story story,
            String recipe,
            long seed,
            boolean whole,
            double beginS,
            double endS,
            String entries,
            String sinceStart,
            int notBegun,
            int afterBatch,
            List<Finding> findings) {
        Window with(List<Finding> others) {
            List<Finding> all = new ArrayList<>(findings);
            all.addAll(others);
            return new Window(
                    story,
                    recipe,
                    seed,
                    whole,
                    beginS,
                    endS,
                    entries,
                    sinceStart,
                    notBegun,
                    afterBatch,
                    all);
        }
    }

    record Result(List<Window> windows, List<Story> untold, boolean whole, double simulatedS) {}

    private final Order order;
    private final EnumMap<Stage, List<Story>> left = new EnumMap<>(Stage.class);
    private final List<Window> windows = new ArrayList<>();
    private final StringBuilder file = new StringBuilder();
    private @Nullable Story running;
    private double beginS;
    private String entries = "";
    private int findingsBefore;
    private double fitS;
    private @Nullable Stage stageNow;
    private double stageS;
    private double waitedS;
    private double batchOverS = Double.NaN;

    private Shift(Order order) {
        this.order = order;
        order.stories().forEach((stage, stories) -> left.put(stage, new ArrayList<>(stories)));
    }

    /**
     * @param scratch a folder of its own for the journal, deleted afterwards
     */
    static Result run(Config config, Order order, Path scratch) throws IOException {
        BenchCommand.remove(scratch);
        Shift shift = new Shift(order);
        try {
            return shift.run(config, scratch);
        } catch (RuntimeException e) { // told as a failure; the other batches go on
            return shift.brokenOff(e);
        } finally {
            BenchCommand.remove(scratch);
        }
    }

    private Result run(Config config, Path scratch) throws IOException {
        PlantSettings settings = PlantSettings.drawn(order.seed());
        try (SimulatedLine line = SimulatedLine.open(settings, Board.stock(), order.seed());
                Rig rig = Rig.alone(line, config, scratch, "j-campaign", BenchRun.BEGUN)) {
            Plant plant = line.plant();
            Watch watch =
                    new Watch(line, Rig.CYCLE_S, config.guard().ovens().getFirst().airLimitC());
            Hands hands = new Hands(plant, rig, Hands.Help.ALL, _ -> {});
            People people = new People(rig, hands, watch);
            rig.cycle();
            hands.beginDay();
            hands.runBatch(
                    BenchRun.lot(settings), order.recipe(), OVEN, BenchRun.chargeKg(settings));
            boolean begun = false;
            double overS = 0;
            for (long cycle = 2; rig.nowS() < LONGEST_S && stageS < STALLED_S; cycle++) {
                rig.cycle();
                CycleResult result = rig.controller().lastResult();
                watch.look(result, rig.controller().failures());
                if (cycle % CYCLES_PER_LOOK != 0) {
                    continue;
                }
                people.look();
                Batch batch = rig.floor().batch(OVEN);
                begun |= batch != null;
                overS = begun && batch == null ? overS + LOOK_S : 0;
                batchOverS = overS == 0 ? Double.NaN : line.timeS() - overS;
                fitS = people.fit() ? fitS + LOOK_S : 0;
                Stage stage = batch == null ? null : Stage.of(batch);
                stageS = stage == stageNow ? stageS + LOOK_S : 0;
                waitedS = stage == stageNow && running == null ? waitedS + LOOK_S : 0;
                stageNow = stage;
                if (running != null) {
                    end(line, watch);
                } else if (stage != null && fitS > SETTLED_S) {
                    begin(line, stage);
                }
                boolean nothingLeft = left.values().stream().allMatch(List::isEmpty);
                if (running == null && (overS > OVER_S || (nothingLeft && !order.whole()))) {
                    break;
                }
            }
            if (running != null) {
                close(line, watch);
            }
            lateFindings(watch);
            return new Result(List.copyOf(windows), untold(), order.whole(), rig.nowS());
        }
    }

    private Result brokenOff(RuntimeException why) {
        Story story = running;
        if (story == null) {
            story = windows.isEmpty() ? untold().getFirst() : windows.getLast().story();
        }
        String trace =
                why
                        + " at "
                        + Arrays.stream(why.getStackTrace())
                                .limit(6)
                                .map(StackTraceElement::toString)
                                .toList();
        Finding finding = new Finding(beginS, Check.BROKE_OFF, "line", trace, List.of());
        windows.add(
                new Window(
                        story,
                        order.recipe(),
                        order.seed(),
                        order.whole(),
                        beginS,
                        beginS,
                        entries,
                        file.toString(),
                        0,
                        0,
                        List.of(finding)));
        return new Result(List.copyOf(windows), untold(), order.whole(), beginS);
    }

    private List<Story> untold() {
        return left.values().stream().flatMap(List::stream).map(Story::earlier).toList();
    }

    /** What shows after the last window belongs to it. */
    private void lateFindings(Watch watch) {
        List<Finding> all = watch.findings();
        if (findingsBefore < all.size() && !windows.isEmpty()) {
            windows.add(windows.removeLast().with(all.subList(findingsBefore, all.size())));
        }
    }

    private void begin(SimulatedLine line, Stage stage) {
        List<Story> stories = left.getOrDefault(stage, List.of());
        if (stories.isEmpty() || waitedS < stories.getFirst().waitS()) {
            return;
        }
        Story story = stories.removeFirst();
        running = story;
        beginS = Math.round(line.timeS() * 10) / 10.0;
        entries = story.entries(beginS);
        file.append(entries);
        line.faults().plan(FaultTimeline.parse("campaign", entries, line.faults().catalogue()));
    }

    /**
     * Over when all has ended and the line has run again for a while, or nobody can make it run.
     */
    private void end(SimulatedLine line, Watch watch) {
        Story story = running;
        double sinceEndS = story == null ? 0 : line.timeS() - beginS - story.lastS();
        boolean over =
                (sinceEndS > SETTLED_S && fitS > SETTLED_S)
                        || sinceEndS > Rescue.LONGEST_S + SETTLED_S;
        if (over) {
            close(line, watch);
        }
    }

    private int afterBatch(Story story, double nowS) {
        long after = story.beginningAfter(batchOverS - beginS);
        return (int) (after - story.beginningAfter(nowS - beginS));
    }

    private void close(SimulatedLine line, Watch watch) {
        Story story = running;
        if (story == null) {
            return;
        }
        List<Finding> all = watch.findings();
        windows.add(
                new Window(
                        story,
                        order.recipe(),
                        order.seed(),
                        order.whole(),
                        beginS,
                        line.timeS(),
                        entries,
                        file.toString(),
                        (int) story.beginningAfter(line.timeS() - beginS),
                        Double.isNaN(batchOverS) ? 0 : afterBatch(story, line.timeS()),
                        all.subList(findingsBefore, all.size())));
        findingsBefore = all.size();
        running = null;
        fitS = 0;
    }
}
