package steamleaf.monitor.store;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.contract.Bodies;
import steamleaf.contract.Codec;
import steamleaf.contract.Have;
import steamleaf.contract.JournalRecord;
import steamleaf.contract.Kinds;
import steamleaf.monitor.Ridge;

final class StoreTest {
    @TempDir Path folder;
    private Path file;
    private Store store;

    @BeforeEach
    void open() {
        file = folder.resolve("records.db");
        store = Store.open(file);
    }

    @AfterEach
    void close() {
        store.close();
    }

    private Rows.Appended append(List<JournalRecord> records) {
        return store.append(Ridge.SITE, records, 1);
    }

    private int rows() {
        Questions questions = store.questions(Ridge.SITE);
        return questions
                .latest(List.of(Kinds.CHANGED, Kinds.LOT, Kinds.SAMPLE, "from-tomorrow"), 10_000)
                .size();
    }

    @Test
    void anEmptyStoreHasNothingAndKnowsNoJournal() {
        assertEquals(new Have(null, 0), store.have(Ridge.SITE, null));
        assertEquals(new Have("j-9", 0), store.have(Ridge.SITE, "j-9"));
    }

    @Test
    void whatIsAppendedTwiceIsKeptOnce() {
        List<JournalRecord> records = Ridge.empty().finished("b-1", "oven-1", "40", 1).records();
        Rows.Appended first = append(records);
        int rows = rows();
        Rows.Appended again = append(records);
        assertEquals(records.size(), first.stored());
        assertEquals(0, again.stored());
        assertEquals(records.size(), again.repeated());
        assertEquals(rows, rows());
        assertEquals(new Have("j-1", records.size()), store.have(Ridge.SITE, null));
    }

    @Test
    void aRecordThatComesTooEarlyIsLeftOutAndTheGapIsTold() {
        List<JournalRecord> records = Ridge.empty().finished("b-1", "oven-1", "40", 1).records();
        append(records.subList(0, 10));
        Rows.Appended early = append(records.subList(11, 20));
        assertTrue(early.gap());
        assertEquals(10, early.haveN());
        assertEquals(0, early.stored());
        Rows.Appended closed = append(records.subList(10, 20));
        assertFalse(closed.gap());
        assertEquals(20, closed.haveN());
    }

    /** Whatever order, repetition and loss: asking from what is had completes it, once each. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 20_260_501})
    void shuffledRepeatedAndLostRecordsEndUpOnceEach(long seed) {
        Random random = new Random(seed);
        List<JournalRecord> records = Ridge.empty().finished("b-1", "oven-1", "40", 1).records();
        int asked = 0;
        while (store.have(Ridge.SITE, "j-1").n() < records.size()) {
            int from = (int) store.have(Ridge.SITE, "j-1").n();
            int to = Math.min(records.size(), from + 1 + random.nextInt(60));
            List<JournalRecord> sent = new ArrayList<>(records.subList(Math.max(0, from - 5), to));
            if (random.nextBoolean()) {
                Collections.swap(sent, random.nextInt(sent.size()), random.nextInt(sent.size()));
            }
            sent.remove(random.nextInt(sent.size()));
            if (!sent.isEmpty()) {
                append(sent);
            }
            assertTrue(++asked < 10_000, "seed " + seed);
        }
        List<Rows.EventRow> changes =
                store.questions(Ridge.SITE).latest(List.of(Kinds.CHANGED), 1_000);
        long distinct = changes.stream().map(row -> row.record().n()).distinct().count();
        assertEquals(changes.size(), distinct, "seed " + seed);
        List<JournalRecord> kept =
                new ArrayList<>(changes.stream().map(Rows.EventRow::record).toList());
        Collections.reverse(kept);
        assertEquals(
                records.stream().filter(r -> r.kind().equals(Kinds.CHANGED)).toList(),
                kept,
                "seed " + seed);
    }

    @Test
    void twoJournalsOfOneSiteAreKeptApart() {
        append(Ridge.empty().finished("b-1", "oven-1", "40", 1).records());
        List<JournalRecord> other = new Ridge("j-2").lot("lot-9", "49", 3.0).records();
        append(other);
        assertEquals(new Have("j-2", 1), store.have(Ridge.SITE, "j-2"));
        assertTrue(store.have(Ridge.SITE, "j-1").n() > 100);
    }

    @Test
    void aRestartLosesNothingThatWasAppended() {
        List<JournalRecord> records = Ridge.empty().finished("b-1", "oven-1", "40", 1).records();
        append(records.subList(0, 100));
        store.close();
        store = Store.open(file);
        assertEquals(new Have("j-1", 100), store.have(Ridge.SITE, "j-1"));
        append(records.subList(100, records.size()));
        assertEquals(1, store.questions(Ridge.SITE).batches(10).size());
        assertEquals("complete", store.questions(Ridge.SITE).batch("b-1").orElseThrow().state());
    }

    @Test
    void anOldBackupAsksForWhatItLacksAndEndsUpTheSame() throws IOException {
        List<JournalRecord> records = Ridge.empty().finished("b-1", "oven-1", "40", 1).records();
        append(records.subList(0, 50));
        store.close();
        Path backup = folder.resolve("backup.db");
        Files.copy(file, backup);
        store = Store.open(file);
        append(records.subList(50, records.size()));
        List<Rows.Point> whole = store.questions(Ridge.SITE).curve("b-1", 1_000);
        store.close();
        store = Store.open(backup);
        assertEquals(50, store.have(Ridge.SITE, "j-1").n());
        append(records.subList(50, records.size()));
        assertEquals(whole, store.questions(Ridge.SITE).curve("b-1", 1_000));
    }

    @Test
    void numbersThatTheJournalNoLongerHoldsAreNotedAsMissing() {
        List<JournalRecord> records = Ridge.empty().finished("b-1", "oven-1", "40", 1).records();
        append(records.subList(0, 10));
        Rows.Appended later = store.append(Ridge.SITE, records.subList(30, 40), 31);
        assertEquals(40, later.haveN());
        assertEquals(
                List.of(new Rows.Missing("j-1", 11, 30)), store.questions(Ridge.SITE).missing());
    }

    @Test
    void anUnknownKindAndABodyThatDoesNotFitAreKeptRaw() {
        append(
                Ridge.empty()
                        .add("from-tomorrow", Map.of("colour", "green"))
                        .add(Kinds.CHANGED, Map.of("unit", "oven-1"))
                        .add(Kinds.SECOND, Map.of("units", "none"))
                        .records());
        List<Rows.EventRow> kept =
                store.questions(Ridge.SITE)
                        .latest(List.of("from-tomorrow", Kinds.CHANGED, Kinds.SECOND), 10);
        assertEquals(3, kept.size());
        assertEquals("green", kept.get(2).record().body().get("colour").asText());
    }

    @Test
    void aReadingThatHasNoColumnYetIsKeptBesideTheOthers() {
        append(
                Ridge.empty()
                        .add(
                                Kinds.SECOND,
                                new Bodies.Second(
                                        Map.of("oven-1", Map.of("airC", 75.25, "noseC", 12.0)),
                                        Map.of("oven-1", "b-1")))
                        .records());
        Rows.Point point = store.questions(Ridge.SITE).curve("b-1", 10).getFirst();
        assertEquals(75.25, point.airC(), 1e-9);
        assertTrue(Double.isNaN(point.moisture()));
    }

    @Test
    void aBatchIsFollowedFromItsPlanToItsEnd() {
        Ridge ridge = Ridge.empty().finished("b-1", "oven-2", "40", 1);
        append(ridge.records());
        Rows.BatchRow batch = store.questions(Ridge.SITE).batch("b-1").orElseThrow();
        assertEquals("oven-2", batch.oven());
        assertEquals("standard", batch.recipe());
        assertEquals(List.of(new Bodies.Portion("lot-b-1", 4.1)), batch.lots());
        assertNotNull(batch.startedAt());
        assertNotNull(batch.landedAt());
        assertTrue(batch.isOver());
        assertEquals(0.052, batch.moisture());
        assertEquals(0.84, batch.endMassKg());
        Rows.SampleRow sample = store.questions(Ridge.SITE).samples("b-1").getFirst();
        assertEquals(0.128, sample.value());
        assertEquals(0.13, sample.estimate());
        assertEquals("Ines", sample.takenBy());
    }

    @Test
    void whatHappenedToABatchIncludesTheAlarmsOfItsOvenWhileItWasThereAndNoOthers() {
        Ridge ridge =
                Ridge.empty().finished("b-1", "oven-1", "40", 1).finished("b-2", "oven-2", "41", 1);
        append(ridge.records());
        List<Rows.EventRow> first = store.questions(Ridge.SITE).eventsOf("b-1");
        assertEquals(2, first.stream().filter(e -> e.record().kind().equals(Kinds.ALARM)).count());
        assertTrue(first.stream().allMatch(e -> e.unit() == null || !e.unit().equals("oven-2")));
        assertTrue(first.stream().anyMatch(e -> e.record().kind().equals(Kinds.GUARD)));
    }

    @Test
    void aLongCurveIsReducedToAThousandPointsThatKeepItsEnds() {
        Ridge ridge =
                Ridge.empty()
                        .seconds("oven-1", "b-1", 4_000, 0.8, 0.5, 80)
                        .lot("lot-1", "x", 1)
                        .seconds("oven-1", "b-1", 2_000, 0.5, 0.05, 75);
        append(ridge.records());
        List<Rows.Point> points = store.questions(Ridge.SITE).curve("b-1", 1_000);
        assertTrue(points.size() <= 1_000, () -> points.size() + " points");
        assertTrue(points.size() > 500);
        assertEquals(0.8, points.getFirst().moisture(), 0.002);
        assertEquals(0.05, points.getLast().moisture(), 0.002);
        for (int i = 1; i < points.size(); i++) {
            assertTrue(points.get(i).atS() > points.get(i - 1).atS());
        }
    }

    @Test
    void aLotKeepsWhatIsLeftOfIt() throws Codec.Malformed {
        append(
                Ridge.empty()
                        .lot("lot-1", "40", 6.0)
                        .add(
                                Kinds.LOT,
                                new Bodies.Lot(
                                        "lot-1", "charged", "40", null, null, null, null, null,
                                        null, 4.0, 2.0, null, "b-1", null, null))
                        .records());
        Rows.LotRow lot = store.questions(Ridge.SITE).lots(10).getFirst();
        assertEquals(6.0, lot.massKg());
        assertEquals(2.0, lot.remainingKg());
        assertEquals("Heron slope", lot.field());
        assertFalse(lot.packed());
    }
}
