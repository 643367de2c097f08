package steamleaf.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.app.assemble.Journals;
import steamleaf.app.config.Config;
import steamleaf.app.config.ConfigFile;
import steamleaf.app.config.Misconfigured;
import steamleaf.app.journal.Cursor;
import steamleaf.app.journal.Durability;
import steamleaf.app.journal.Journal;
import steamleaf.app.link.Inbox;
import steamleaf.app.link.Offers;
import steamleaf.app.recall.Recall;
import steamleaf.contract.CommandMessage.LotDraft;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.cycle.MoistureView;
import steamleaf.core.cycle.UnitView;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.plant.PlantSettings;

/** The controller dies in the middle of a drying, and comes back five minutes later. */
final class KilledAndStartedAgainTest {
    private static final Instant BEGUN = Instant.parse("2026-05-12T06:00:00Z");
    private static final UnitId OVEN = UnitId.oven(1);
    private static final int AWAY_S = 300;

    @TempDir Path folder;

    private Rig start(SimulatedLine line, String start, Instant begun)
            throws IOException, Misconfigured {
        Config config = ConfigFile.parse("steamleaf.yaml", ConfigFile.stock(), folder);
        Path at = folder.resolve("journal");
        Journal journal = Journals.open(at, () -> "j-bench", Durability.WRITTEN, config.journal());
        return new Rig(
                line,
                config,
                start,
                begun,
                journal,
                true,
                new Recall(at.resolve("recall"), false),
                new Inbox(),
                Offers.NONE);
    }

    private static UnitView oven(Rig rig) {
        UnitView view = rig.controller().view(OVEN);
        assertNotNull(view);
        return view;
    }

    private static MoistureView leaf(Rig rig) {
        MoistureView leaf = oven(rig).moisture();
        assertNotNull(leaf);
        return leaf;
    }

    private static void dry(Rig rig) {
        Hands hands = new Hands(rig.line().plant(), rig, Hands.Help.ALL, _ -> {});
        rig.cycle();
        hands.beginDay();
        hands.runBatch(
                new LotDraft("41", "Upper terrace", "seedling", 0, "medium", false, 2.0, 6.0, 22.0),
                "light",
                OVEN,
                4.0);
        double hotS = Double.NaN;
        for (long cycle = 2; !(rig.nowS() - hotS > 900); cycle++) {
            rig.cycle();
            if (cycle % 5 == 0) {
                hands.look();
            }
            Batch batch = rig.floor().batch(OVEN);
            if (batch != null && batch.phase() instanceof Phase.Drying && Double.isNaN(hotS)) {
                hotS = rig.nowS();
            }
            assertTrue(rig.nowS() < 4 * 3600, "drying never began");
        }
    }

    @Test
    void itComesBackHeldWithHeatOffTheBatchIntactAndTheGapMarked()
            throws IOException, Misconfigured {
        PlantSettings plant = PlantSettings.stock();
        try (SimulatedLine line = SimulatedLine.open(plant, Board.stock(), 20_260_512)) {
            Rig first = start(line, "s-1", BEGUN);
            dry(first);
            String batch = oven(first).batchId();
            assertEquals(ProcedureState.RUNNING, oven(first).state());
            assertTrue(line.plant().contactorClosed());
            MoistureView before = leaf(first);
            long lots = first.floor().stock().takenG();
            Instant died = first.lineTime();

            // Nobody drives: pins keep their level, and the relay must do the rest.
            for (int i = 0; i < AWAY_S * 10; i++) {
                line.advance(0.1);
                boolean relayHadItsTime = i > 20;
                assertFalse(relayHadItsTime && line.plant().contactorClosed());
            }
            assertTrue(line.plant().hornSounds());
            first.abandon();

            Rig second = start(line, "s-2", died.plusSeconds(AWAY_S));
            for (int i = 0; i < 600; i++) {
                second.cycle();
                assertFalse(line.plant().contactorClosed(), "heat came back by itself");
                assertFalse(second.result().outputs().ovens().getFirst().heater());
            }
            assertEquals(0, second.controller().failures());
            assertEquals(ProcedureState.HELD, oven(second).state());
            assertEquals(batch, oven(second).batchId());
            assertEquals(lots, second.floor().stock().takenG());
            assertTrue(leaf(second).deviation() >= before.deviation(), "more certain than before");
            assertEquals(before.mean(), leaf(second).mean(), 0.05);
            assertFalse(oven(second).prompts().isEmpty(), "nobody is asked");
            second.controller().journal().writeOut();
            List<String> lines = lines(second.controller().journal());
            assertTrue(lines.stream().anyMatch(text -> text.contains("\"what\":\"gap\"")));
            assertTrue(
                    lines.stream()
                            .anyMatch(
                                    text ->
                                            text.contains("\"start\":\"s-2\"")
                                                    && text.contains(
                                                            "\"heldBatches\":[\"" + batch)));
            second.abandon();
        }
    }

    private static List<String> lines(Journal journal) throws IOException {
        List<String> lines = new ArrayList<>();
        try (Cursor cursor = journal.from(1)) {
            for (byte[] line = cursor.next(); line != null; line = cursor.next()) {
                lines.add(new String(line, StandardCharsets.UTF_8));
            }
        }
        return lines;
    }
}
