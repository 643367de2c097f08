package steamleaf.app.recall;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.core.alarm.AlarmKey;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.alarm.AlarmStage;
import steamleaf.core.alarm.AlarmStatus;
import steamleaf.core.batch.Answer;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Buttons;
import steamleaf.core.batch.Charge;
import steamleaf.core.batch.Floor;
import steamleaf.core.batch.GradeLearned;
import steamleaf.core.batch.HeldCause;
import steamleaf.core.batch.LoopTuning;
import steamleaf.core.batch.Lot;
import steamleaf.core.batch.Numbers;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.Place;
import steamleaf.core.batch.Portion;
import steamleaf.core.batch.Procedure;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Prompt;
import steamleaf.core.batch.PromptKind;
import steamleaf.core.batch.Refusal;
import steamleaf.core.batch.Ripeness;
import steamleaf.core.batch.Sample;
import steamleaf.core.batch.SampleHelp;
import steamleaf.core.batch.Stock;
import steamleaf.core.batch.StockRecipes;
import steamleaf.core.batch.Tuning;
import steamleaf.core.cycle.LeafSnapshot;
import steamleaf.core.cycle.LineSnapshot;
import steamleaf.core.estimate.MoistureState;
import steamleaf.core.interlock.GuardState;
import steamleaf.core.learn.Applied;
import steamleaf.core.learn.Learned;
import steamleaf.core.learn.Lesson;
import steamleaf.core.learn.Taught;
import steamleaf.core.reading.UnitId;

final class RecallTest {
    @TempDir Path folder;

    /** Everything that a line in the middle of its work has to remember. */
    private static LineSnapshot busy() {
        UnitId oven = UnitId.oven(1);
        Portion portion = new Portion("lot-1", 4.2);
        Batch batch =
                new Batch(
                        "b-1",
                        1,
                        oven,
                        StockRecipes.standard(),
                        50.0,
                        new Procedure(
                                ProcedureState.HELD,
                                HeldCause.RESTARTED,
                                12.5,
                                2,
                                10.0,
                                new Phase.Drying(11.0, Double.POSITIVE_INFINITY)),
                        new Charge(
                                List.of(portion),
                                List.of("上の畑 7"),
                                -3_600.0,
                                true,
                                4_200,
                                Place.OVEN,
                                Double.NaN),
                        List.of(
                                new Prompt(
                                        "prompt-1",
                                        PromptKind.TURN,
                                        oven,
                                        "b-1",
                                        false,
                                        7,
                                        1.0,
                                        99.0,
                                        true,
                                        new SampleHelp(0.71, 0.98, 0.983))),
                        List.of(
                                new Sample(
                                        "sample-1",
                                        "b-1",
                                        3.0,
                                        0.31,
                                        0.02,
                                        Double.NaN,
                                        Double.NaN,
                                        "")),
                        8,
                        true);
        Floor floor =
                new Floor(
                        new Stock(
                                List.of(
                                        new Lot(
                                                "lot-1",
                                                "上の畑 7",
                                                "field",
                                                "early",
                                                3,
                                                Ripeness.TENDER,
                                                false,
                                                -10.0,
                                                Double.NaN,
                                                9_000,
                                                4_800,
                                                1.12,
                                                "batch-6")),
                                List.of(),
                                9_000,
                                0,
                                0),
                        List.of(
                                new OvenSlot(
                                        batch,
                                        true,
                                        4.0,
                                        new Tuning.Proposed(
                                                new LoopTuning(0.03, 120.0, 0.0), 1.2, 40.0),
                                        new LoopTuning(0.02, 90.0, 5.0),
                                        List.of(
                                                new GradeLearned(
                                                        Ripeness.MEDIUM,
                                                        Learned.NOTHING.with(lesson())))),
                                OvenSlot.EMPTY),
                        new Numbers(1, 1, 1, 1, 0),
                        null,
                        Buttons.UNKNOWN,
                        List.of(
                                new Answer.Moved("c-1", "Mo", "lot-1"),
                                new Answer.Refused(
                                        "c-2",
                                        "Mo",
                                        Refusal.STALE,
                                        "",
                                        java.util.Map.of("ageS", 6.5))));
        return new LineSnapshot(
                123.4,
                floor,
                new GuardState.Kept(
                        List.of(new GuardState.KeptTrip("L-2", UnitId.LINE, true, 44)),
                        List.of(
                                new GuardState.KeptOven(1, 55.5, true, false, Double.NaN, 1L),
                                new GuardState.KeptOven(0, 0.0, false, true, 81.0, null))),
                List.of(
                        new AlarmStatus(
                                new AlarmKey(oven, AlarmKind.LEAF_TOO_WARM),
                                AlarmStage.SHELVED,
                                40,
                                44,
                                4.4,
                                "Mo",
                                "known",
                                64.4)),
                122.0,
                List.of(
                        new LeafSnapshot(
                                0.012,
                                new MoistureState(List.of(1.0, 1.0 / 3.0, Double.MIN_VALUE)),
                                "sample-1",
                                new Applied(-0.3, 0.4, 1.1, 0.12),
                                Taught.NOTHING,
                                0.12,
                                new LeafSnapshot.Bench(540.5, 0.0512, 20.0)),
                        new LeafSnapshot(Double.NaN, null, null, null, null, null, null)));
    }

    /** A batch that said nothing of the rate: its deviation is infinite. */
    private static Lesson lesson() {
        return new Lesson(
                "batch-5",
                new Lesson.Part(0.0, Double.POSITIVE_INFINITY, Lesson.Worth.NO_SAMPLE),
                new Lesson.Part(0.1, 0.05, Lesson.Worth.COUNTS));
    }

    private static Recalled recalled(long cycle, @Nullable LineSnapshot snapshot) {
        return new Recalled(1_777_000_000_000L, false, cycle, List.of(1L, 2L), snapshot);
    }

    private Recall write(long... cycles) throws IOException {
        Recall recall = new Recall(folder, true);
        for (long cycle : cycles) {
            recall.offer(recalled(cycle, busy()));
            recall.writeOut();
        }
        return recall;
    }

    private long found() throws IOException {
        Recalled found = new Recall(folder, true).found();
        assertNotNull(found);
        return found.cycle();
    }

    @Test
    void everythingComesBackToTheLastBit() throws IOException {
        write(7);
        assertEquals(recalled(7, busy()), new Recall(folder, true).found());
    }

    @Test
    void theNewestOfTwoIsFoundAndTheLastTwoAreKept() throws IOException {
        write(1, 2, 3);
        assertEquals(3, found());
        try (var files = Files.list(folder)) {
            assertEquals(2, files.count());
        }
    }

    @Test
    void anEmptyFolderHoldsNothing() throws IOException {
        assertNull(new Recall(folder, true).found());
    }

    @Test
    void whicheverByteOfTheNewestIsDamagedTheOneBeforeIsFound() throws IOException {
        write(1, 2);
        Path newest = folder.resolve("recall-b.json");
        byte[] whole = Files.readAllBytes(newest);
        for (int i = 0; i < whole.length; i += 7) {
            byte[] damaged = whole.clone();
            damaged[i] ^= 4;
            Files.write(newest, damaged);
            int at = i;
            assertEquals(1, found(), () -> "byte " + at);
        }
    }

    @Test
    void aFileCutShortAtAnyLengthLeavesTheOneBefore() throws IOException {
        write(1, 2);
        Path newest = folder.resolve("recall-b.json");
        byte[] whole = Files.readAllBytes(newest);
        for (int length = 0; length < whole.length; length += 11) {
            Files.write(newest, java.util.Arrays.copyOf(whole, length));
            assertEquals(1, found());
        }
    }

    @Test
    void anUnfinishedWritingIsNoRecollection() throws IOException {
        write(1);
        Files.writeString(folder.resolve("recall-b.json.tmp"), "half a file");
        assertEquals(1, found());
        write(2);
        assertEquals(2, found());
    }

    @Test
    void aRecollectionOfAnotherVersionIsNamedAndNotUsed() throws IOException {
        write(1);
        Path file = folder.resolve("recall-a.json");
        Files.writeString(
                file,
                Files.readString(file).replaceFirst("steamleaf-recall 1", "steamleaf-recall 2"));
        Recall recall = new Recall(folder, true);
        assertNull(recall.found());
        assertEquals(List.of("recall-a.json: of version 2"), recall.complaints());
    }

    /** Nothing of what was written before there was a bench, or a refused zero, is lost. */
    @Test
    void whatAnOlderVersionKeptOfALeafIsFoundAllTheSame() throws RecordJson.Unfit {
        LeafSnapshot now = busy().leaves().getFirst();
        ObjectNode older = (ObjectNode) RecordJson.write(now);
        older.remove(List.of("bench", "zeroRefusedBy"));
        LeafSnapshot found = RecordJson.read(older, LeafSnapshot.class);
        assertEquals(
                new LeafSnapshot(
                        now.zeroBias(),
                        now.filter(),
                        now.openSample(),
                        now.learned(),
                        now.taught(),
                        null,
                        null),
                found);
    }

    @Test
    void onlyTheNewestOfferIsWritten() throws IOException {
        Recall recall = new Recall(folder, true);
        recall.offer(recalled(1, null));
        recall.offer(recalled(2, null));
        recall.writeOut();
        recall.writeOut();
        assertEquals(2, found());
    }
}
