package steamleaf.bench.journey;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** The record is whole in the store, whoever was away meanwhile. */
@Timeout(value = 8, unit = TimeUnit.MINUTES)
final class RecordTest {
    private static final Duration BATCH = Duration.ofMinutes(6);
    private static final int AWAY_S = 600;
    private static final int CYCLES_PER_S = 10;

    @TempDir Path folder;

    @Test
    void aBatchOverMosquittoIsWholeInTheStoreThoughTheMonitorWasKilledForTenMinutesOfIt()
            throws Exception {
        try (Mosquitto broker = new Mosquitto(folder);
                Child line = SimulatedLineProcess.start(folder, broker.port(), List.of());
                Outside outside = new Outside(broker.port(), "kei")) {
            try (Child first = MonitorProcess.start(folder, broker.port())) {
                outside.startBatch("standard");
                line.say("hands on");
                outside.awaitUnit(
                        "oven-1",
                        BATCH,
                        live ->
                                live.path("operation").asText().equals("dry")
                                        && live.path("stepElapsedS").doubleValue() > AWAY_S);
                first.kill();
            }
            long killed = outside.unit("oven-1").path("cycle").longValue();
            outside.awaitUnit(
                    "oven-1",
                    BATCH,
                    live -> live.path("cycle").longValue() > killed + (long) AWAY_S * CYCLES_PER_S);
            long had = last(outside, "have/monitor", "n");
            outside.await(
                    Outside.AT + "status",
                    0,
                    BATCH,
                    status ->
                            status.path("last").longValue() - had >= AWAY_S); // that many are owed
            try (Child second = MonitorProcess.start(folder, broker.port())) {
                outside.awaitUnit("oven-1", BATCH, live -> live.path("batch").isMissingNode());
                getsAll(outside, second);
                line.say("stop");
                assertEquals(0, line.await());
            }
        }
        List<JsonNode> records = compareStoreWithJournal();
        assertEquals(
                1,
                JournalFiles.ofKind(records, "changed").stream()
                        .filter(r -> r.path("body").path("what").asText().equals("completed"))
                        .count());
        try (Connection store = store();
                Statement ask = store.createStatement();
                ResultSet batch =
                        ask.executeQuery("select state, recipe, moisture, lots from batch")) {
            assertTrue(batch.next(), "one batch");
            assertEquals("complete", batch.getString("state"));
            assertEquals("standard", batch.getString("recipe"));
            assertEquals(0.055, batch.getDouble("moisture"), 0.015, "ends between 4 and 7 %");
            assertTrue(!batch.next(), "and no other");
        }
    }

    @Test
    void whatHappensWhileTheNetworkIsCutIsInTheStoreWhenItIsBack() throws Exception {
        int port = SimulatedLineProcess.freePort();
        try (Child line = SimulatedLineProcess.start(folder, port);
                Outside outside = new Outside(port, "kei")) {
            try (Child monitor = MonitorProcess.start(folder, port)) {
                outside.takeInLot();
                line.say("hands on"); // nobody else is waited for, so the line keeps its pace
                LocalTime cut = lineTime(line);
                line.say("cut network");
                line.say("open door 2");
                line.awaitLine("the network is cut");
                while (Duration.between(cut, lineTime(line)).toSeconds() < AWAY_S) {
                    assertTrue(line.isAlive());
                }
                line.say("mend network");
                line.awaitLine("the network is back");
                outside.awaitUnit("line", Child.PATIENCE, live -> true);
                outside.takeInLot();
                getsAll(outside, monitor);
                line.say("stop");
                assertEquals(0, line.await());
            }
        }
        List<JsonNode> records = compareStoreWithJournal();
        assertEquals(2, JournalFiles.ofKind(records, "lot").size());
        assertEquals(
                1,
                JournalFiles.ofKind(records, "changed").stream()
                        .map(record -> record.path("body"))
                        .filter(
                                body ->
                                        body.path("unit").asText().equals("oven-2")
                                                && body.path("what").asText().equals("door-opened"))
                        .count(),
                "the door that was opened meanwhile");
    }

    /** Waits until the store says that it has what the journal held just now. */
    private static void getsAll(Outside outside, Child monitor) {
        long owed =
                outside.await(Outside.AT + "status", outside.now(), BATCH, _ -> true)
                        .json()
                        .path("last")
                        .longValue();
        outside.await(
                Outside.AT + "have/monitor", 0, BATCH, have -> have.path("n").longValue() >= owed);
        assertTrue(monitor.isAlive());
    }

    /** A number in the newest message on a topic. */
    private static long last(Outside outside, String topic, String field) {
        return outside.heard(Outside.AT + topic).getLast().json().path(field).longValue();
    }

    /** The line's clock, from its terminal. */
    private static LocalTime lineTime(Child line) {
        int from = line.said().count();
        line.say("what");
        return LocalTime.parse(line.awaitLine("real time", from).substring(0, 8));
    }

    private Connection store() throws SQLException {
        return DriverManager.getConnection("jdbc:sqlite:" + folder.resolve("monitor.db"));
    }

    /**
     * Each record that the store says it has is there once, under its number and second, and no
     * second of line time is missing. Returns the records that it has.
     */
    private List<JsonNode> compareStoreWithJournal() throws Exception {
        List<JsonNode> journal = JournalFiles.checked(folder.resolve("journal"));
        try (Connection store = store()) {
            assertEquals(List.of(), longs(store, "select n_from from missing"));
            int has = longs(store, "select have_n from journal").getFirst().intValue();
            List<JsonNode> records = journal.subList(0, has);
            Map<String, List<Long>> seconds = new TreeMap<>();
            List<Long> lineTimes = new ArrayList<>();
            List<Long> events = new ArrayList<>();
            for (JsonNode record : records) {
                long n = record.path("n").longValue();
                if (record.path("kind").asText().equals("second")) {
                    lineTimes.add(Instant.parse(record.path("at").asText()).getEpochSecond());
                    record.path("body")
                            .path("units")
                            .fieldNames()
                            .forEachRemaining(
                                    unit ->
                                            seconds.computeIfAbsent(unit, _ -> new ArrayList<>())
                                                    .add(n));
                } else {
                    events.add(n);
                }
            }
            assertEquals(5, seconds.size(), "units: " + seconds.keySet());
            assertEquals(events, longs(store, "select n from event order by n"), "events");
            for (String table : List.of("line_second", "steamer_second", "oven_second")) {
                for (String unit : seconds.keySet()) {
                    if (unit.startsWith(table.substring(0, 4))) {
                        assertEquals(
                                seconds.get(unit),
                                longs(
                                        store,
                                        "select n from "
                                                + table
                                                + " where unit = (select id from name where text = '"
                                                + unit
                                                + "') order by n"),
                                unit);
                    }
                }
            }
            assertEquals(lineTimes, longs(store, "select at_s from line_second order by n"));
            for (int i = 1; i < lineTimes.size(); i++) {
                assertEquals(lineTimes.get(i - 1) + 1, lineTimes.get(i), "a second of line time");
            }
            return records;
        }
    }

    private static List<Long> longs(Connection store, String question) throws SQLException {
        List<Long> found = new ArrayList<>();
        try (Statement ask = store.createStatement();
                ResultSet rows = ask.executeQuery(question)) {
            while (rows.next()) {
                found.add(rows.getLong(1));
            }
        }
        return found;
    }
}
