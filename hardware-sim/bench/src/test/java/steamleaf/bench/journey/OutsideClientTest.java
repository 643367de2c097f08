package steamleaf.bench.journey;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Debian's mosquitto-clients and {@code docs/mqtt.md} are all that this client has. */
@Timeout(value = 5, unit = TimeUnit.MINUTES)
final class OutsideClientTest {
    private static final List<String> UNITS =
            List.of("line", "steamer", "oven-1", "oven-2", "oven-3");

    @TempDir Path folder;
    private Child line;
    private Outside outside;

    @BeforeEach
    void aLineWhereABatchIsPlanned() throws Exception {
        int port = SimulatedLineProcess.freePort();
        line = SimulatedLineProcess.start(folder, port);
        outside = new Outside(port, "kei");
        String lot = outside.takeInLot();
        outside.moved(
                "oven-1",
                "plan-batch",
                Map.of("recipe", "light", "lots", List.of(Map.of("lot", lot, "massKg", 4.0))));
        outside.awaitUnit(
                "oven-1", Child.PATIENCE, live -> live.path("state").asText().equals("planned"));
    }

    @AfterEach
    void everythingEnds() {
        outside.close();
        line.close();
    }

    @Test
    void followsTheLineAndItsWholeRecordByTheDocumentedTopics() throws Exception {
        int written = JournalFiles.checked(folder.resolve("journal")).size();
        JsonNode status =
                outside.await(
                                Outside.AT + "status",
                                0,
                                Child.PATIENCE,
                                said -> said.path("last").longValue() >= written)
                        .json();
        assertTrue(status.path("up").booleanValue());
        assertTrue(status.path("standIn").booleanValue(), "a simulator's presses are marked");
        for (String unit : UNITS) {
            assertEquals(status.path("start"), outside.unit(unit).path("start"), unit);
        }
        JsonNode described = outside.heard(Outside.AT + "line").getFirst().json();
        assertEquals(Outside.SITE, described.path("site").asText());
        for (JsonNode recipe : described.path("recipes")) {
            assertFalse(
                    outside.heard(Outside.AT + "recipe/" + recipe.asText()).isEmpty(),
                    "recipe " + recipe);
        }

        outside.publish(Outside.AT + "have/" + Outside.STORE, "{\"n\":0}", "-r");
        long last = status.path("last").longValue();
        outside.await(
                Outside.AT + "record/" + Outside.STORE,
                0,
                Child.PATIENCE,
                record -> record.path("n").longValue() == last);
        long n = 0;
        List<JsonNode> got = new ArrayList<>();
        for (Outside.Message message : outside.heard(Outside.AT + "record/" + Outside.STORE)) {
            JsonNode record = message.json();
            if (record.path("n").longValue() > n) { // the same one may arrive twice
                assertEquals(n + 1, record.path("n").longValue(), "none is left out");
                n = record.path("n").longValue();
                got.add(record);
            }
            assertFalse(message.retained());
        }
        assertEquals("started", got.getFirst().path("kind").asText());
        assertEquals(1, takenIn(got));
        List<JsonNode> kept = JournalFiles.checked(folder.resolve("journal"));
        assertEquals(kept.subList(0, got.size()), got, "what is sent is what is in the files");
        outside.publish(Outside.AT + "have/" + Outside.STORE, "", "-r");
    }

    @Test
    void whatIsMalformedStaleRepeatedOrForbiddenIsAnsweredAsDocumentedAndChangesNothing()
            throws Exception {
        Map<String, String> before = states();
        long events = eventsInTheJournal();

        refused(
                "command-malformed",
                "oven-1",
                "arm",
                Map.of("action", "start"),
                c -> c.remove("by"));
        refused(
                "command-malformed",
                "oven-1",
                "arm",
                Map.of("action", "start"),
                c -> c.put("seenCycle", "now"));
        refused("command-malformed", "oven-1", "arm", Map.of("action", "heat"), c -> {});
        refused("command-malformed", "line", "take-in-lot", Map.of(), c -> {});
        refused("command-unknown-kind", "oven-1", "start", Map.of(), c -> {});
        refused("command-unknown-kind", "steamer", "open-valve", Map.of(), c -> {});
        refused("command-unknown-kind", "oven-1", "force-heater", Map.of("duty", 1), c -> {});
        refused(
                "command-too-large",
                "oven-1",
                "plan-batch",
                Map.of("recipe", "light", "lots", List.of(), "reason", "x".repeat(20_000)),
                c -> {});
        refused(
                "command-other-start",
                "oven-1",
                "arm",
                Map.of("action", "start"),
                c -> c.put("start", "s-of-another-day"));
        refused(
                "refused.stale",
                "oven-1",
                "arm",
                Map.of("action", "start"),
                c -> c.put("seenCycle", (Long) c.get("seenCycle") - 51));
        refused(
                "refused.stale",
                "oven-1",
                "arm",
                Map.of("action", "start"),
                c -> c.put("seenCycle", (Long) c.get("seenCycle") + 1_000_000));
        refused(
                "refused.already-moved",
                "oven-1",
                "arm",
                Map.of("action", "start"),
                c -> c.put("seenState", (Long) c.get("seenState") - 1));
        refused("refused.unknown-unit", "oven-9", "arm", Map.of("action", "start"), c -> {});
        refused(
                "refused.unknown-prompt",
                "oven-1",
                "answer-prompt",
                Map.of("prompt", "p"),
                c -> {});
        refused("refused.oven-taken", "oven-1", "plan-batch", plan("lot-1", 0.3), c -> {});
        refused("refused.unknown-lot", "oven-2", "plan-batch", plan("lot-7", 0.3), c -> {});
        refused("refused.not-enough-leaf", "oven-2", "plan-batch", plan("lot-1", 3.0), c -> {});
        refused("refused.out-of-range", "oven-2", "plan-batch", plan("lot-1", -1.0), c -> {});
        retainedIsRefusedAndTakenOffTheBroker();
        ignored("{\"id\":\"1\",");
        ignored("\u00ff\u0000not a command");
        ignored("[]");
        ignored("{\"id\":\"x\",\"client\":\"a/b\",\"kind\":\"arm\"}");

        assertEquals(before, states());
        assertEquals(events, eventsInTheJournal(), "records of anything but refusals");
    }

    @Test
    void aRepeatedCommandHearsItsFirstAnswerAndIsDoneOnce() throws Exception {
        Map<String, Object> intake =
                outside.command(
                        "line",
                        "take-in-lot",
                        Map.of(
                                "lot",
                                Map.of(
                                        "label",
                                        "78",
                                        "field",
                                        "Quarry field",
                                        "cultivar",
                                        "seedling",
                                        "shadingDays",
                                        0,
                                        "ripeness",
                                        "tender",
                                        "wetByRain",
                                        true,
                                        "pluckedAgoH",
                                        0.5,
                                        "massKg",
                                        2.0)));
        JsonNode first = outside.answer(intake);
        assertEquals("moved", first.path("outcome").asText(), first.toString());
        JsonNode second = outside.answer(intake);
        assertEquals(first.path("outcome"), second.path("outcome"));
        assertEquals(first.path("made"), second.path("made"));
        line.say("stop");
        assertEquals(0, line.await());
        assertEquals(2, takenIn(JournalFiles.checked(folder.resolve("journal"))));
    }

    @Test
    void stopIsTakenHoweverOldMalformedOrRetained() {
        outside.moved("oven-1", "arm", Map.of("action", "start"));
        outside.press("start");
        outside.awaitUnit(
                "oven-1", Child.PATIENCE, live -> live.path("state").asText().equals("running"));
        outside.publish(Outside.AT + "command", "{\"kind\":\"stop\",\"unit\":\"oven-1\"}");
        outside.awaitUnit(
                "oven-1", Child.PATIENCE, live -> live.path("state").asText().equals("stopped"));
        int from = outside.now();
        outside.publish(
                Outside.AT + "command",
                "{\"kind\":\"stop\",\"client\":\"kei\",\"id\":\"old\",\"start\":\"s-gone\",\"seenCycle\":1}",
                "-r");
        JsonNode answer =
                outside.await(
                                Outside.AT + "answer/kei",
                                from,
                                Child.PATIENCE,
                                said -> said.path("id").asText().equals("old"))
                        .json();
        assertEquals("moved", answer.path("outcome").asText());
        takenOffTheBroker(from);
    }

    private static long takenIn(List<JsonNode> records) {
        return JournalFiles.ofKind(records, "lot").stream()
                .filter(lot -> lot.path("body").path("event").asText().equals("taken-in"))
                .count();
    }

    private static Map<String, ?> plan(String lot, double massKg) {
        return Map.of("recipe", "light", "lots", List.of(Map.of("lot", lot, "massKg", massKg)));
    }

    /** Sends a command that is right but for one change, and looks at what comes back. */
    private void refused(
            String because,
            String unit,
            String kind,
            Map<String, ?> args,
            Consumer<Map<String, Object>> change) {
        Map<String, Object> command =
                new LinkedHashMap<>(
                        outside.command(UNITS.contains(unit) ? unit : "oven-1", kind, args));
        command.put("unit", unit);
        change.accept(command);
        JsonNode answer = outside.answer(command);
        assertEquals("refused", answer.path("outcome").asText(), answer.toString());
        assertEquals(because, Outside.because(answer), answer.toString());
        assertFalse(answer.has("made"), answer.toString());
    }

    private void retainedIsRefusedAndTakenOffTheBroker() {
        Map<String, Object> command = outside.command("oven-1", "arm", Map.of("action", "start"));
        int from = outside.now();
        JsonNode answer =
                outside.answer(String.valueOf(command.get("id")), Outside.text(command), "-r");
        assertEquals("command-retained", Outside.because(answer));
        takenOffTheBroker(from);
    }

    /** The controller publishes an empty retained message in its place. */
    private void takenOffTheBroker(int from) {
        outside.awaitEmpty(Outside.AT + "command", from);
    }

    /** Nobody can be answered; a good command sent behind it is, so the line is well. */
    private void ignored(String text) {
        int from = outside.now();
        outside.publish(Outside.AT + "command", text);
        String id = UUID.randomUUID().toString();
        Map<String, Object> behind = outside.command("oven-1", "no-such-kind", Map.of());
        behind.put("id", id);
        outside.answer(id, Outside.text(behind));
        assertEquals(
                1,
                outside.heardFrom(from).stream()
                        .filter(message -> message.topic().contains("/answer/"))
                        .count(),
                "answers to " + text);
    }

    /** Everything about a unit that a command could have moved. */
    private Map<String, String> states() {
        Map<String, String> states = new LinkedHashMap<>();
        for (String unit : UNITS) {
            long seen = outside.unit(unit).path("cycle").longValue();
            JsonNode live =
                    outside.awaitUnit(
                            unit, Child.PATIENCE, next -> next.path("cycle").longValue() > seen);
            StringBuilder state = new StringBuilder();
            for (String field :
                    List.of(
                            "state",
                            "stateNumber",
                            "operation",
                            "phase",
                            "batch",
                            "recipe",
                            "lots",
                            "outputs",
                            "prompt",
                            "armed",
                            "causes",
                            "setAirC")) {
                state.append(field).append('=').append(live.path(field)).append(' ');
            }
            states.put(unit, state.toString());
        }
        return states;
    }

    private long eventsInTheJournal() throws Exception {
        return JournalFiles.checked(folder.resolve("journal")).stream()
                .filter(
                        record ->
                                !record.path("kind").asText().equals("second")
                                        && !record.path("body")
                                                .path("answer")
                                                .path("outcome")
                                                .asText()
                                                .equals("refused"))
                .count();
    }
}
