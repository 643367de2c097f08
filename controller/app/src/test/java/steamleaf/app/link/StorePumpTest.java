package steamleaf.app.link;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.app.journal.Durability;
import steamleaf.app.journal.Journal;
import steamleaf.app.journal.Weight;

final class StorePumpTest {
    @TempDir Path folder;
    private Journal journal;
    private StorePump pump;

    @BeforeEach
    void tenRecords() throws IOException {
        journal = journal(folder, "j-1");
        write(10);
        pump = new StorePump(journal, false);
    }

    static Journal journal(Path folder, String id) throws IOException {
        return Journal.open(
                folder,
                Journal.Settings.of(
                        () -> id,
                        Durability.WRITTEN,
                        (what, count, hour) ->
                                "{\"kind\":\"lost\"}".getBytes(StandardCharsets.UTF_8)));
    }

    @AfterEach
    void close() {
        pump.close();
        journal.close();
    }

    private void write(int count) {
        for (int i = 0; i < count; i++) {
            journal.append(Weight.EVENT, 0, "{\"kind\":\"x\"}".getBytes(StandardCharsets.UTF_8));
        }
        journal.writeOut();
    }

    /** Numbers of everything that is due now. */
    private List<Long> due(long nowNs) throws IOException {
        List<Long> numbers = new ArrayList<>();
        for (byte[] line = pump.due(nowNs); line != null; line = pump.due(nowNs)) {
            numbers.add(
                    Long.parseLong(
                            new String(line, StandardCharsets.UTF_8)
                                    .replaceFirst(".*\"n\":(\\d+),.*", "$1")));
        }
        return numbers;
    }

    private static List<Long> range(long from, long to) {
        return java.util.stream.LongStream.rangeClosed(from, to).boxed().toList();
    }

    @Test
    void aStoreThatSaidNothingGetsNothing() throws IOException {
        assertNull(pump.due(0));
    }

    @Test
    void recordsFollowWhatTheStoreHas() throws IOException {
        pump.have("j-1", 4, 0);
        assertEquals(range(5, 10), due(0));
        write(2);
        assertEquals(range(11, 12), due(0));
    }

    @Test
    void aStoreWithAnotherJournalOrNoneGetsEverything() throws IOException {
        pump.have("j-0", 7, 0);
        assertEquals(range(1, 10), due(0));
        pump.have(null, 0, 1);
        assertEquals(0, pump.has());
    }

    @Test
    void anAcknowledgementDoesNotSendAgain() throws IOException {
        pump.have("j-1", 0, 0);
        assertEquals(range(1, 10), due(0));
        pump.have("j-1", 6, 1);
        pump.have("j-1", 10, 2);
        assertEquals(List.of(), due(3));
    }

    @Test
    void aStorePutBackFromAnOldBackupGetsTheRestAgain() throws IOException {
        pump.have("j-1", 10, 0);
        pump.have("j-1", 3, 1);
        assertEquals(range(4, 10), due(2));
    }

    @Test
    void aStoreThatAsksAgainGetsItAgain() throws IOException {
        pump.have("j-1", 2, 0);
        due(0);
        pump.have("j-1", 2, 2_000_000_000L);
        assertEquals(range(3, 10), due(2_000_000_001L));
        assertEquals(8, pump.resent());
    }

    @Test
    void aStoreThatHasMoreThanWasSentGoesOnFromThere() throws IOException {
        pump.have("j-1", 2, 0);
        pump.due(0);
        pump.have("j-1", 8, 1);
        assertEquals(range(9, 10), due(2));
    }

    @Test
    void aSilentStoreIsProbedWithAFewRecordsAndThenServedInFull() throws IOException {
        write(90);
        pump.have("j-1", 0, 0);
        assertEquals(range(1, 100), due(0));
        assertEquals(List.of(), due(StorePump.FIRST_RETRY_NS));
        long later = StorePump.FIRST_RETRY_NS + 1;
        assertEquals(range(1, StorePump.PROBE), due(later));
        assertEquals(List.of(), due(later + StorePump.FIRST_RETRY_NS));
        assertEquals(range(1, StorePump.PROBE), due(later + 2 * StorePump.FIRST_RETRY_NS + 1));
        pump.have("j-1", 8, later + 3 * StorePump.FIRST_RETRY_NS);
        assertEquals(range(9, 100), due(later + 3 * StorePump.FIRST_RETRY_NS));
    }

    @Test
    void noMoreIsSentAheadThanTheWindow() throws IOException {
        write(StorePump.AHEAD + 100);
        pump.have("j-1", 0, 0);
        assertEquals(range(1, StorePump.AHEAD), due(0));
        pump.have("j-1", 50, 1);
        assertEquals(range(StorePump.AHEAD + 1, StorePump.AHEAD + 50), due(1));
    }

    @Test
    void whatDidNotArriveIsSentAgain() throws IOException {
        pump.have("j-1", 5, 0);
        due(0);
        pump.failed(1);
        assertEquals(range(6, 10), due(1));
    }

    @Test
    void aStoreAheadOfTheJournalGetsNothingUntilSomebodyHasLooked() throws IOException {
        pump.have("j-1", 11, 0);
        assertTrue(pump.isAheadOfJournal());
        write(5);
        pump.have("j-1", 11, 2_000_000_000L);
        assertEquals(List.of(), due(2_000_000_001L));
    }
}
