package steamleaf.bench.campaign;

import java.util.EnumMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import steamleaf.app.config.Config;
import steamleaf.bench.BenchRun;
import steamleaf.bench.Hands;
import steamleaf.bench.Rig;
import steamleaf.core.batch.Batch;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.fault.FaultTimeline;
import steamleaf.sim.plant.PlantSettings;

/**
 * A line, its controller and its people somewhere in a batch: the same as a batch of {@code bench},
 * with everything in memory, so that a {@link Snapshot} can be made of it.
 */
final class World implements AutoCloseable {
    private static final UnitId OVEN = UnitId.oven(1);
    private static final int CYCLES_PER_LOOK = 5;
    private static final double LOOK_S = CYCLES_PER_LOOK * Rig.CYCLE_S;

    private final SimulatedLine line;
    private final Rig rig;
    private final Watch watch;
    private final People people;
    private long cycle = 1;
    private boolean begun;
    private double overS;
    private double fitS;
    private @Nullable Stage stage;

    /** How long the present stage has lasted without a break. */
    private double stageS;

    /** By stage, all of it so far. */
    private final Map<Stage, Double> inStageS = new EnumMap<>(Stage.class);

    private World(Config config, String recipe, PlantSettings settings, SimulatedLine line) {
        this.line = line;
        rig = Rig.inMemory(line, config, "j-campaign", BenchRun.BEGUN);
        watch = new Watch(line, Rig.CYCLE_S, config.guard().ovens().getFirst().airLimitC());
        Hands hands = new Hands(line.plant(), rig, Hands.Help.ALL, _ -> {});
        people = new People(rig, hands, watch);
        rig.cycle();
        hands.beginDay();
        hands.runBatch(BenchRun.lot(settings), recipe, OVEN, BenchRun.chargeKg(settings));
    }

    /** The beginning of a day with one batch. */
    static World open(Config config, String recipe, long seed) {
        PlantSettings settings = PlantSettings.drawn(seed);
        SimulatedLine line = SimulatedLine.open(settings, Board.stock(), seed);
        try {
            return new World(config, recipe, settings, line);
        } catch (RuntimeException e) {
            line.close();
            throw e;
        }
    }

    /** One cycle, and a look of the people when it is time for one. */
    void cycle() {
        rig.cycle();
        watch.look(rig.controller().lastResult(), rig.controller().failures());
        if (++cycle % CYCLES_PER_LOOK == 0) {
            look();
        }
        overS = begun && stage == null ? overS + Rig.CYCLE_S : 0;
        stageS += Rig.CYCLE_S;
        if (stage != null) {
            inStageS.merge(stage, Rig.CYCLE_S, Double::sum);
        }
    }

    private void look() {
        people.look();
        Batch batch = rig.floor().batch(OVEN);
        begun |= batch != null;
        fitS = people.fit() ? fitS + LOOK_S : 0;
        Stage now = batch == null ? null : Stage.of(batch);
        if (now != stage) {
            stageS = 0;
            stage = now;
        }
    }

    /** Entries of a fault file, for what is to come. */
    void plan(String entries) {
        line.faults().plan(FaultTimeline.parse("campaign", entries, line.faults().catalogue()));
    }

    double timeS() {
        return line.timeS();
    }

    Rig rig() {
        return rig;
    }

    Watch watch() {
        return watch;
    }

    /** Null before and after the batch. */
    @Nullable Stage stage() {
        return stage;
    }

    double stageS() {
        return stageS;
    }

    double inStageS(Stage which) {
        return inStageS.getOrDefault(which, 0.0);
    }

    /** For how long the line has run, or could have been started. */
    double fitS() {
        return fitS;
    }

    /** For how long the batch has been over, 0 while it is not. */
    double overS() {
        return overS;
    }

    @Override
    public void close() {
        rig.close();
    }
}
