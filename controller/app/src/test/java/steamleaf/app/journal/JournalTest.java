package steamleaf.app.journal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.zip.CRC32C;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

final class JournalTest {
    private static final int HOURS = 3;
    private static final int PER_HOUR = 4;

    private static byte[] ascii(String text) {
        return text.getBytes(StandardCharsets.US_ASCII);
    }

    private static byte[] lost(String what, long count, long hour) {
        return ascii(
                "{\"kind\":\"lost\",\"what\":\""
                        + what
                        + "\",\"count\":"
                        + count
                        + ",\"hour\":"
                        + hour
                        + "}");
    }

    private static byte[] event(int i) {
        return ascii("{\"kind\":\"changed\",\"value\":" + i + "}");
    }

    private static byte[] second(int i) {
        return ascii("{\"kind\":\"second\",\"value\":" + i + "}");
    }

    private static Journal.Settings settings(long keepFree, long queue) {
        return new Journal.Settings(
                () -> "j-1", Durability.SYNCED, JournalTest::lost, keepFree, queue);
    }

    private static Journal open(MemoryDisk disk) throws IOException {
        return new Journal(disk, settings(0, 1 << 20));
    }

    /** All durable lines from number {@code from} on. */
    private static List<String> lines(Journal journal, long from) throws IOException {
        List<String> lines = new ArrayList<>();
        try (Cursor cursor = journal.from(from)) {
            for (byte[] line = cursor.next(); line != null; line = cursor.next()) {
                lines.add(new String(line, StandardCharsets.US_ASCII));
            }
        }
        return lines;
    }

    private static long number(String line) {
        return Long.parseLong(line.replaceFirst(".*\"n\":(\\d+),.*", "$1"));
    }

    private static String body(String line) {
        return line.replaceFirst("^.*?\"n\":\\d+,", "").replaceFirst(",\"crc\":.*", "");
    }

    private static void assertNumberedFromOne(List<String> lines, Object story) {
        for (int i = 0; i < lines.size(); i++) {
            assertEquals(i + 1, number(lines.get(i)), () -> story + "\n" + lines);
        }
    }

    @Test
    void aLineIsJsonWithItsNumberAndTheChecksumOfWhatStandsBeforeIt() throws IOException {
        MemoryDisk disk = new MemoryDisk(1);
        try (Journal journal = open(disk)) {
            journal.append(Weight.EVENT, 0, event(5));
            assertNull(journal.writeOut());
            String covered = "{\"journal\":\"j-1\",\"n\":1,\"kind\":\"changed\",\"value\":5";
            CRC32C crc = new CRC32C();
            crc.update(ascii(covered));
            String line = covered + String.format(",\"crc\":\"%08x\"}", crc.getValue());
            assertEquals(List.of(line), lines(journal, 1));
            assertArrayEquals(ascii(line + "\n"), disk.content("000000000001-19700101T00.jsonl"));
        }
    }

    /**
     * The check value every CRC-32C must give. Source: RFC 3720, appendix B.4, 32 bytes of zeros.
     */
    @Test
    void theChecksumIsTheCastagnoliOne() {
        CRC32C crc = new CRC32C();
        crc.update(new byte[32]);
        assertEquals(0x8A9136AAL, crc.getValue());
    }

    @Test
    void anAlteredByteIsNeverTakenForARecord() {
        Frame frame = new Frame("j-1");
        java.io.ByteArrayOutputStream out = new java.io.ByteArrayOutputStream();
        frame.write(42, event(7), out);
        byte[] line = out.toByteArray();
        int length = line.length - 1;
        assertEquals(42, frame.numberOf(line, 0, length));
        for (int i = 0; i < length; i++) {
            for (int bit = 0; bit < 8; bit++) {
                line[i] ^= (byte) (1 << bit);
                boolean sameChecksumOtherCase =
                        Character.isLetter(line[i]) && (bit == 5) && i > length - 11;
                if (!sameChecksumOtherCase) {
                    assertEquals(-1, frame.numberOf(line, 0, length), "byte " + i + " bit " + bit);
                }
                line[i] ^= (byte) (1 << bit);
            }
        }
        for (int shorter = 0; shorter < length; shorter++) {
            assertEquals(-1, frame.numberOf(line, 0, shorter), "cut to " + shorter);
        }
    }

    @Test
    void nothingIsOfferedBeforeItIsDurable() throws IOException {
        try (Journal journal = open(new MemoryDisk(1));
                Cursor cursor = journal.from(1)) {
            journal.append(Weight.EVENT, 0, event(1));
            assertEquals(0, journal.last());
            assertNull(cursor.next());
            journal.writeOut();
            assertEquals(1, journal.last());
            assertNotNull(cursor.next());
            assertNull(cursor.next());
        }
    }

    @Test
    void closedHoursAreCompressedAndReadOnFromAnyNumber() throws IOException {
        MemoryDisk disk = new MemoryDisk(1);
        try (Journal journal = open(disk);
                Cursor following = journal.from(1)) {
            int followed = 0;
            for (int i = 0; i < HOURS * PER_HOUR; i++) {
                journal.append(Weight.SECOND, i / PER_HOUR, second(i));
                journal.writeOut();
                assertNotNull(following.next());
                followed++;
            }
            assertEquals(
                    List.of(
                            "000000000001-19700101T00.jsonl.gz",
                            "000000000005-19700101T01.jsonl.gz",
                            "000000000009-19700101T02.jsonl",
                            "journal.id"),
                    disk.names());
            assertEquals(HOURS * PER_HOUR, followed);
            for (int from = 1; from <= HOURS * PER_HOUR; from++) {
                List<String> lines = lines(journal, from);
                assertEquals(HOURS * PER_HOUR - from + 1, lines.size());
                assertEquals(from, number(lines.getFirst()));
                assertEquals(
                        new String(second(from - 1), StandardCharsets.US_ASCII),
                        "{" + body(lines.getFirst()) + "}");
            }
            String plain =
                    new String(
                            MemoryDisk.unpacked(disk.content("000000000005-19700101T01.jsonl.gz")),
                            StandardCharsets.US_ASCII);
            assertEquals(PER_HOUR, plain.lines().count());
        }
    }

    @Test
    void theSameRecordsGiveTheSameBytes() throws IOException {
        List<MemoryDisk> disks = List.of(new MemoryDisk(1), new MemoryDisk(2));
        for (MemoryDisk disk : disks) {
            try (Journal journal = open(disk)) {
                for (int i = 0; i < HOURS * PER_HOUR; i++) {
                    journal.append(Weight.SECOND, i / PER_HOUR, second(i));
                    journal.writeOut();
                }
            }
        }
        assertEquals(disks.get(0).names(), disks.get(1).names());
        for (String name : disks.get(0).names()) {
            assertArrayEquals(disks.get(0).content(name), disks.get(1).content(name), name);
        }
    }

    /** Writes everything in steps; what fails is tried again by the next step. */
    private static void story(Journal journal) {
        for (int i = 0; i < HOURS * PER_HOUR; i++) {
            journal.append(i % 2 == 0 ? Weight.EVENT : Weight.SECOND, i / PER_HOUR, event(i));
            journal.writeOut();
        }
        journal.writeOut();
    }

    @Test
    void whicheverOperationFailsOnceNothingIsLostAndNothingStandsTwice() throws IOException {
        boolean failed = true;
        for (int nth = 1; failed; nth++) {
            MemoryDisk disk = new MemoryDisk(nth);
            Journal journal = open(disk);
            disk.failFrom(nth, nth);
            story(journal);
            failed = !disk.story.isEmpty();
            List<String> lines = lines(journal, 1);
            String told = "operation " + nth + ": " + disk.story;
            assertEquals(HOURS * PER_HOUR, lines.size(), told);
            assertNumberedFromOne(lines, told);
            assertEquals(0, journal.lostEvents() + journal.lostSeconds(), told);
            journal.close();
            Journal again = open(disk);
            assertEquals(lines, lines(again, 1), told);
            assertTrue(nth < 1000, "the run never passes");
        }
    }

    @Test
    void whicheverOperationAPowerCutHitsWhatWasOfferedIsStillThereAndTheNumbersGoOn()
            throws IOException {
        int runs = 0;
        for (int seed = 0; seed < 20; seed++) {
            boolean failed = true;
            for (int nth = 1; failed; nth++) {
                MemoryDisk disk = new MemoryDisk(1000L * seed + nth);
                disk.failFrom(nth, Long.MAX_VALUE);
                List<String> offered = new ArrayList<>();
                try {
                    Journal journal = open(disk);
                    story(journal);
                    offered = lines(journal, 1);
                } catch (IOException e) {
                    disk.story.add("not opened: " + e.getMessage());
                }
                failed = !disk.story.isEmpty();
                runs++;
                String told = "seed " + seed + ", operation " + nth + ": " + disk.story;
                disk.powerCut();
                Journal again = open(disk);
                again.append(Weight.EVENT, HOURS, event(99));
                assertNull(again.writeOut(), told);
                List<String> after = lines(again, 1);
                assertTrue(after.size() > offered.size(), told);
                assertEquals(offered, after.subList(0, offered.size()), told);
                assertNumberedFromOne(after, told);
                assertTrue(after.getLast().contains("\"value\":99"), told);
                assertTrue(nth < 1000, "the run never passes");
            }
        }
        assertTrue(runs > 20 * HOURS * PER_HOUR, "every operation of the story was hit");
    }

    @Test
    void aTornTailIsCutAtTheLastWholeLineAndReported() throws IOException {
        MemoryDisk disk = new MemoryDisk(1);
        Journal journal = open(disk);
        journal.append(Weight.EVENT, 0, event(1));
        journal.append(Weight.EVENT, 0, event(2));
        journal.close();
        String name = "000000000001-19700101T00.jsonl";
        byte[] whole = disk.content(name);
        disk.put(name, java.util.Arrays.copyOf(whole, whole.length - 7));
        Journal again = open(disk);
        int secondLine = whole.length / 2 - 7;
        assertEquals(new Journal.Found(false, secondLine), again.found());
        assertEquals(1, again.last());
        again.append(Weight.EVENT, 0, event(3));
        again.writeOut();
        assertEquals(List.of(1L, 2L), lines(again, 1).stream().map(JournalTest::number).toList());
    }

    @Test
    void aDamagedLineIsServedAsARecordThatSaysSo() throws IOException {
        MemoryDisk disk = new MemoryDisk(1);
        Journal journal = open(disk);
        for (int i = 0; i < 3; i++) {
            journal.append(Weight.EVENT, 0, event(i));
        }
        journal.close();
        String name = "000000000001-19700101T00.jsonl";
        byte[] bytes = disk.content(name);
        bytes[bytes.length / 2] ^= 1;
        disk.put(name, bytes);
        List<String> lines = lines(open(disk), 1);
        assertNumberedFromOne(lines, lines);
        assertEquals(3, lines.size());
        assertTrue(lines.get(1).contains("\"what\":\"damaged\""), lines.get(1));
    }

    @Test
    void aDamagedClosedHourCostsOnlyWhatItHeld() throws IOException {
        MemoryDisk disk = new MemoryDisk(1);
        Journal journal = open(disk);
        story(journal);
        journal.close();
        String name = "000000000005-19700101T01.jsonl.gz";
        disk.put(name, java.util.Arrays.copyOf(disk.content(name), 40));
        List<String> lines = lines(open(disk), 1);
        assertEquals(HOURS * PER_HOUR, lines.size());
        assertNumberedFromOne(lines, lines);
        for (String line : lines) {
            boolean readable = number(line) <= 4 || number(line) > 8;
            assertTrue(!readable || !line.contains("damaged"), line);
        }
    }

    @Test
    void withLittleRoomSecondsGoFirstEventsStayAndBothEndsAreSaid() throws IOException {
        MemoryDisk disk = new MemoryDisk(1);
        Journal journal = new Journal(disk, settings(1000, 1 << 20));
        disk.usable = 999;
        for (int i = 0; i < 5; i++) {
            journal.append(Weight.SECOND, 0, second(i));
            journal.append(Weight.EVENT, 0, event(i));
            journal.writeOut();
        }
        disk.usable = 1000;
        journal.append(Weight.SECOND, 0, second(5));
        journal.writeOut();
        List<String> lines = lines(journal, 1);
        assertNumberedFromOne(lines, lines);
        assertEquals(5, lines.stream().filter(line -> line.contains("changed")).count());
        assertEquals(1, lines.stream().filter(line -> line.contains("second\"")).count());
        assertEquals(
                List.of("\"count\":1", "\"count\":4"),
                lines.stream()
                        .filter(line -> line.contains("\"what\":\"seconds\""))
                        .map(line -> line.replaceFirst(".*(\"count\":\\d+).*", "$1"))
                        .toList());
        assertEquals(5, journal.lostSeconds());
        assertEquals(0, journal.lostEvents());
    }

    @Test
    void aDiskThatRefusesEverythingCostsSecondsThenTheNewestEventsAndIsSaidAfterwards()
            throws IOException {
        MemoryDisk disk = new MemoryDisk(1);
        int room = 10 * event(0).length;
        Journal journal = new Journal(disk, settings(0, room));
        disk.failFrom(1, Long.MAX_VALUE);
        for (int i = 0; i < 20; i++) {
            journal.append(Weight.SECOND, 0, second(i));
            journal.append(Weight.EVENT, 0, event(i));
            assertNotNull(journal.writeOut());
            assertTrue(journal.queuedBytes() <= room);
        }
        disk.heal();
        assertNull(journal.writeOut());
        List<String> lines = lines(journal, 1);
        assertNumberedFromOne(lines, lines);
        long events = lines.stream().filter(line -> line.contains("changed")).count();
        assertTrue(events >= 9, () -> "kept " + events);
        assertTrue(lines.getFirst().contains("\"value\":0"), "the oldest events are kept");
        assertTrue(
                lines.stream()
                        .anyMatch(
                                line ->
                                        line.contains("\"what\":\"events\"")
                                                && line.contains("\"count\":" + (20 - events))),
                () -> String.join("\n", lines));
        assertEquals(20 - events, journal.lostEvents());
        assertEquals(20, journal.lostSeconds());
    }

    @Test
    void aClosedHourIsGivenUpForRoomOnlyWhenEveryStoreHasIt() throws IOException {
        MemoryDisk disk = new MemoryDisk(1);
        Journal journal = new Journal(disk, settings(1000, 1 << 20));
        story(journal);
        journal.acknowledge("a", 8);
        journal.acknowledge("b", 4);
        disk.usable = 0;
        journal.append(Weight.EVENT, HOURS - 1, event(50));
        journal.writeOut();
        assertEquals(5, journal.first());
        assertFalse(disk.names().contains("000000000001-19700101T00.jsonl.gz"));
        assertTrue(disk.names().contains("000000000005-19700101T01.jsonl.gz"));
        assertEquals(5, number(lines(journal, 1).getFirst()));
    }

    @Test
    void whatStoresHaveSurvivesAStartAndNobodyHasMoreThanThereIs() throws IOException {
        MemoryDisk disk = new MemoryDisk(1);
        Journal journal = open(disk);
        story(journal);
        journal.acknowledge("a", 8);
        journal.acknowledge("b", 1_000_000);
        journal.close();
        Journal again = open(disk);
        assertEquals(8, again.acknowledged("a"));
        assertEquals(0, again.acknowledged("b"));
    }

    @Test
    void recordsWithoutTheirIdAreNotTakenForThisJournal() throws IOException {
        MemoryDisk disk = new MemoryDisk(1);
        Journal journal = open(disk);
        story(journal);
        journal.close();
        disk.delete("journal.id");
        IOException e = assertThrows(IOException.class, () -> open(disk));
        assertTrue(String.valueOf(e.getMessage()).contains("journal.id is missing"));
    }

    @Test
    void inARealFolderTheSameHolds(@TempDir Path folder) throws IOException {
        Journal journal = Journal.open(folder, settings(0, 1 << 20));
        story(journal);
        List<String> lines = lines(journal, 1);
        assertEquals(HOURS * PER_HOUR, lines.size());
        journal.close();
        Journal again =
                Journal.open(
                        folder,
                        new Journal.Settings(
                                () -> "other", Durability.WRITTEN, JournalTest::lost, 0, 1 << 20));
        assertEquals("j-1", again.id());
        assertEquals(lines, lines(again, 1));
        again.close();
        try (var files = Files.list(folder)) {
            assertEquals(4, files.count());
        }
    }
}
