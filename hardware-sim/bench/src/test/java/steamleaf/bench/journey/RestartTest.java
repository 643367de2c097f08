package steamleaf.bench.journey;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

@Timeout(value = 5, unit = TimeUnit.MINUTES)
final class RestartTest {
    /**
     * A minute of gap, and some seconds between the last record and the last recollection, at most
     * 0.004 a minute in the first drying. Freshly loaded leaf would be believed 0.06 wetter.
     */
    private static final double MOVED_MEANWHILE = 0.02;

    private static final double DRYING_S = 2400;

    @Test
    void aControllerKilledInMidDryingComesBackHeldColdAndWithItsBatchAndGoesOn(@TempDir Path folder)
            throws Exception {
        int port = SimulatedLineProcess.freePort();
        JsonNode before = killedInMidDrying(folder, port);
        List<JsonNode> durable = JournalFiles.checked(folder.resolve("journal"));

        try (Child line = SimulatedLineProcess.start(folder, port);
                Outside outside = new Outside(port, "kei")) {
            JsonNode held =
                    outside.await(
                                    Outside.AT + "unit/oven-1",
                                    0,
                                    Child.PATIENCE,
                                    live -> !live.path("prompt").isMissingNode())
                            .json();
            assertNotEquals(before.path("start"), held.path("start"));
            assertEquals("held", held.path("state").asText());
            for (String same : List.of("batch", "recipe", "lots", "operation", "stepNumber")) {
                assertEquals(before.path(same), held.path(same), same);
            }
            assertEquals(0.0, held.path("outputs").path("heater").doubleValue());
            assertEquals(
                    0.0,
                    outside.unit("line").path("outputs").path("contactor").doubleValue(),
                    "contactor");
            assertEquals("resume-or-abort", held.path("prompt").path("kind").asText());

            outside.moved("oven-1", "arm", Map.of("action", "resume"));
            outside.press("start");
            line.say("hands on");
            outside.awaitUnit(
                    "oven-1",
                    Child.PATIENCE,
                    live -> live.path("state").asText().equals("running"));
            outside.awaitUnit(
                    "oven-1",
                    Child.PATIENCE,
                    live -> live.path("outputs").path("heater").doubleValue() > 0);
            line.say("stop");
            assertEquals(0, line.await());
        }
        theJournalTellsOfIt(folder, durable.size());
    }

    /**
     * A batch is begun and dries for more than half an hour; then the process is gone between two
     * cycles.
     */
    private static JsonNode killedInMidDrying(Path folder, int port) {
        try (Child line = SimulatedLineProcess.start(folder, port);
                Outside outside = new Outside(port, "kei")) {
            outside.startBatch("standard");
            line.say("hands on");
            JsonNode drying =
                    outside.awaitUnit(
                            "oven-1",
                            Child.PATIENCE,
                            live ->
                                    live.path("operation").asText().equals("dry")
                                            && live.path("state").asText().equals("running")
                                            && live.path("stepElapsedS").doubleValue() > DRYING_S
                                            && live.path("outputs").path("duty").doubleValue() > 0);
            line.kill();
            return drying;
        }
    }

    private static void theJournalTellsOfIt(Path folder, int durable) throws Exception {
        List<JsonNode> records = JournalFiles.checked(folder.resolve("journal"));
        List<JsonNode> starts = JournalFiles.ofKind(records, "started");
        assertEquals(2, starts.size());
        JsonNode second = starts.get(1);
        assertEquals(durable + 1, second.path("n").longValue(), "numbers go on where they stood");
        assertEquals(1, second.path("body").path("heldBatches").size());
        List<JsonNode> gaps =
                JournalFiles.ofKind(records, "changed").stream()
                        .map(record -> record.path("body"))
                        .filter(body -> body.path("what").asText().equals("gap"))
                        .toList();
        assertEquals(1, gaps.size(), "gaps marked");
        double before =
                JournalFiles.ofKind(records.subList(0, durable), "second")
                        .getLast()
                        .path("body")
                        .path("units")
                        .path("oven-1")
                        .path("moisture")
                        .doubleValue();
        double after = gaps.getFirst().path("moisture").path("mean").doubleValue();
        assertEquals(before, after, MOVED_MEANWHILE, "the estimate is still there");
        boolean hot = false;
        boolean resumed = false;
        for (JsonNode record : records.subList(durable, records.size())) {
            resumed |= record.path("body").path("what").asText().equals("resumed");
            JsonNode units = record.path("body").path("units");
            boolean heat =
                    units.path("oven-1").path("heater").doubleValue() > 0
                            || units.path("line").path("contactor").doubleValue() > 0;
            assertTrue(resumed || !heat, "heat before anybody resumed: " + record);
            hot |= heat;
        }
        assertTrue(hot, "heat after the resume");
    }
}
