package steamleaf.bench;

import static java.util.Objects.requireNonNull;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.contract.CommandMessage.Args;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Event;
import steamleaf.core.batch.FinishBy;
import steamleaf.core.batch.FinishPlan;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.OperationKind;
import steamleaf.core.batch.Phase;
import steamleaf.core.cycle.MoistureView;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.plant.PlantSettings;

/** The whole controller on the simulated line, and somebody who wants it done at a certain time. */
final class FinishOnTheLineTest {
    private static final UnitId OVEN = UnitId.oven(1);
    private static final long SEED = 23;

    @TempDir private Path folder;
    private final List<Event> events = new ArrayList<>();

    @Test
    void aBatchEndsWithinFiveMinutesOfTheTimeThatWasAcceptedAndItsRegainIsInTheRecord()
            throws Exception {
        PlantSettings plant = PlantSettings.drawn(SEED);
        try (SimulatedLine line = SimulatedLine.open(plant, Board.stock(), SEED);
                Rig rig =
                        Rig.alone(
                                line,
                                BenchCommand.stock(),
                                folder.resolve("journal"),
                                "j-finish",
                                BenchRun.BEGUN)) {
            Hands hands = new Hands(line.plant(), rig, Hands.Help.ALL, _ -> {});
            rig.cycle();
            hands.beginDay();
            hands.runBatch(BenchRun.lot(plant), "standard", OVEN, BenchRun.chargeKg(plant));
            run(rig, hands, () -> dries(batch(rig), 4) && heard(Event.DoorClosed.class) > 1);

            rig.send("oven-1", "plan-finish", Args.inS(120.0)); // as soon as may be
            run(rig, hands, () -> heard(Event.FinishPlanned.class) == 1);
            FinishBy proposed = requireNonNull(requireNonNull(batch(rig)).finishBy());
            FinishPlan.OnlyNear near = (FinishPlan.OnlyNear) requireNonNull(proposed.plan());
            assertEquals(FinishPlan.Bound.RESERVE, near.bound());
            rig.send("oven-1", "plan-finish", Args.inS(near.nearest().inS() + 600.0));
            run(rig, hands, () -> heard(Event.FinishPlanned.class) == 2);
            rig.send("oven-1", "accept-finish", Args.NONE);
            run(rig, hands, () -> heard(Event.FinishAccepted.class) == 1);
            FinishBy accepted = requireNonNull(requireNonNull(batch(rig)).finishBy());
            assertTrue(accepted.plan() instanceof FinishPlan.Reached, accepted.toString());
            double aheadS = accepted.wantedS() - rig.result().state().nowS();
            assertTrue(aheadS > 100 * 60.0, "asked " + aheadS / 60.0 + " min ahead");

            run(rig, hands, () -> cooled() != null);
            double endS = rig.result().state().nowS();
            assertEquals(accepted.wantedS() / 60.0, endS / 60.0, 5.0);
            assertTrue(heard(Event.FinishTrimmed.class) > 0);

            run(rig, hands, () -> batch(rig) != null && packing(rig) != null);
            MoistureView.Bench bench = requireNonNull(packing(rig));
            assertTrue(bench.outS() >= 0.0 && bench.outS() < 600.0, bench.toString());
            run(rig, hands, () -> heard(Event.BatchCompleted.class) == 1);
            assertEquals(1, heard(Event.Regained.class));
            assertEquals(0, rig.controller().failures());
        }
    }

    private void run(Rig rig, Hands hands, BooleanSupplier until) {
        for (long cycle = 1; !until.getAsBoolean(); cycle++) {
            assertTrue(rig.nowS() < 10 * 3_600.0, "it never came");
            rig.cycle();
            events.addAll(rig.result().events());
            if (cycle % 5 == 0) {
                hands.look();
            }
        }
    }

    private long heard(Class<? extends Event> kind) {
        return events.stream().filter(kind::isInstance).count();
    }

    private static @Nullable Batch batch(Rig rig) {
        return rig.floor().batch(OVEN);
    }

    private static boolean dries(@Nullable Batch batch, int operation) {
        return batch != null
                && batch.procedure().operation() == operation
                && batch.operation() instanceof Operation.Dry
                && batch.phase() instanceof Phase.Drying;
    }

    /** The leaf has cooled in the oven after its last drying. */
    private @Nullable Event cooled() {
        return events.stream()
                .filter(
                        e ->
                                e instanceof Event.OperationEnded ended
                                        && ended.kind() == OperationKind.COOL
                                        && ended.operation() > 2)
                .findFirst()
                .orElse(null);
    }

    private static MoistureView.@Nullable Bench packing(Rig rig) {
        var view = rig.controller().view(OVEN);
        return view == null || view.moisture() == null ? null : view.moisture().bench();
    }
}
