package steamleaf.bench.journey;

import static java.nio.charset.StandardCharsets.UTF_8;

import com.fasterxml.jackson.databind.JsonNode;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Codec;

/**
 * Somebody with Debian's mosquitto-clients and {@code docs/mqtt.md}: listens to everything with one
 * {@code mosquitto_sub} and speaks with {@code mosquitto_pub}.
 */
final class Outside implements AutoCloseable {
    static final String SITE = "ridge-house";
    static final String AT = "steamleaf/1/" + SITE + "/";

    /** A store of its own; what the monitor gets is not listened to. */
    static final String STORE = "notebook";

    private static final String SUB = "/usr/bin/mosquitto_sub";
    private static final String PUB = "/usr/bin/mosquitto_pub";
    private static final int MOST_TRIES = 40;

    /** One message as it was heard. */
    record Message(boolean retained, String topic, String text) {
        JsonNode json() {
            return Outside.json(text);
        }
    }

    private final String client;
    private final int port;
    private final Child sub;

    Outside(int port, String client) {
        this.port = port;
        this.client = client;
        sub =
                Child.start(
                        "mosquitto_sub",
                        List.of(
                                Child.program(SUB, "mosquitto-clients"),
                                "-V",
                                "5",
                                "-h",
                                "127.0.0.1",
                                "-p",
                                Integer.toString(port),
                                "-q",
                                "1",
                                "-t",
                                AT + "+",
                                "-t",
                                AT + "unit/+",
                                "-t",
                                AT + "alarm/+",
                                "-t",
                                AT + "recipe/+",
                                "-t",
                                AT + "have/+",
                                "-t",
                                AT + "record/" + STORE,
                                "-t",
                                AT + "answer/+",
                                "-F",
                                "%r %t %p"));
    }

    static JsonNode json(String text) {
        try {
            return Codec.read(text.getBytes(UTF_8), JsonNode.class);
        } catch (Codec.Malformed e) {
            throw new AssertionError("not JSON: " + text, e);
        }
    }

    private static @Nullable Message message(String line) {
        String[] parts = line.split(" ", 3);
        return parts.length == 3 && parts[0].matches("[01]")
                ? new Message(parts[0].equals("1"), parts[1], parts[2])
                : null;
    }

    /** How much was heard so far; what comes later stands behind it. */
    int now() {
        return sub.said().count();
    }

    /** Everything heard on a topic, or on all below it where it ends with a slash. */
    List<Message> heard(String topic) {
        List<Message> found = new ArrayList<>();
        for (String line : sub.said().all()) {
            Message message = message(line);
            if (message != null
                    && (message.topic().equals(topic)
                            || (topic.endsWith("/") && message.topic().startsWith(topic)))) {
                found.add(message);
            }
        }
        return found;
    }

    /** The first message on the topic, behind the first {@code from} lines, that is wanted. */
    Message await(String topic, int from, Duration patience, Predicate<JsonNode> wanted) {
        int[] looked = {from};
        return sub.said()
                .await(
                        "a message on " + topic,
                        patience,
                        lines -> {
                            for (; looked[0] < lines.size(); looked[0]++) {
                                Message message = message(lines.get(looked[0]));
                                if (message != null
                                        && message.topic().equals(topic)
                                        && !message.text().isEmpty()
                                        && wanted.test(message.json())) {
                                    return message;
                                }
                            }
                            return null;
                        });
    }

    /** Everything heard behind the first {@code from} lines. */
    List<Message> heardFrom(int from) {
        List<Message> found = new ArrayList<>();
        List<String> lines = sub.said().all();
        for (String line : lines.subList(from, lines.size())) {
            Message message = message(line);
            if (message != null) {
                found.add(message);
            }
        }
        return found;
    }

    /** Waits for an empty message on the topic: what was retained there is gone. */
    void awaitEmpty(String topic, int from) {
        sub.said()
                .await(
                        "an empty message on " + topic,
                        Child.PATIENCE,
                        lines ->
                                lines.subList(from, lines.size()).stream()
                                        .filter(line -> line.strip().endsWith(" " + topic))
                                        .findFirst()
                                        .orElse(null));
    }

    /** The newest live state of a unit. */
    JsonNode unit(String unit) {
        String topic = AT + "unit/" + unit;
        return sub.said()
                .await(
                        "a message on " + topic,
                        Child.PATIENCE,
                        lines -> {
                            for (int i = lines.size() - 1; i >= 0; i--) {
                                Message message = message(lines.get(i));
                                if (message != null && message.topic().equals(topic)) {
                                    return message.json();
                                }
                            }
                            return null;
                        });
    }

    /** The first live state from now on that is wanted. */
    JsonNode awaitUnit(String unit, Duration patience, Predicate<JsonNode> wanted) {
        return await(AT + "unit/" + unit, now(), patience, wanted).json();
    }

    /** A command as {@code docs/mqtt.md} says, of what was last heard. */
    Map<String, Object> command(String unit, String kind, Map<String, ?> args) {
        JsonNode seen = unit(unit);
        Map<String, Object> command = new LinkedHashMap<>();
        command.put("id", UUID.randomUUID().toString());
        command.put("client", client);
        command.put("by", "Kei");
        command.put("start", seen.path("start").textValue());
        command.put("seenCycle", seen.path("cycle").longValue());
        command.put("seenState", seen.path("stateNumber").longValue());
        command.put("unit", unit);
        command.put("kind", kind);
        command.put("args", args);
        return command;
    }

    static String text(Map<String, ?> command) {
        return new String(Codec.write(command), UTF_8);
    }

    void publish(String topic, String text, String... more) {
        List<String> command =
                new ArrayList<>(
                        List.of(
                                Child.program(PUB, "mosquitto-clients"),
                                "-V",
                                "5",
                                "-h",
                                "127.0.0.1",
                                "-p",
                                Integer.toString(port),
                                "-q",
                                "1",
                                "-t",
                                topic));
        command.addAll(text.isEmpty() ? List.of("-n") : List.of("-s"));
        command.addAll(List.of(more));
        try (Child pub = Child.start("mosquitto_pub", command)) {
            pub.sayAll(text);
            int code = pub.await();
            if (code != 0) {
                throw new AssertionError("mosquitto_pub ended with " + code + pub.said().all());
            }
        }
    }

    /** Sends a command's text and gives its answer. */
    JsonNode answer(String id, String text, String... more) {
        int from = now();
        publish(AT + "command", text, more);
        return await(
                        AT + "answer/" + client,
                        from,
                        Child.PATIENCE,
                        answer -> answer.path("id").asText().equals(id))
                .json();
    }

    JsonNode answer(Map<String, ?> command) {
        return answer(String.valueOf(command.get("id")), text(command));
    }

    /**
     * Asks as a person does: when the line has run on too far meanwhile, looks again and repeats.
     */
    JsonNode moved(String unit, String kind, Map<String, ?> args) {
        JsonNode answer = answer(command(unit, kind, args));
        for (int i = 0; i < MOST_TRIES && because(answer).equals("refused.stale"); i++) {
            long seen = unit(unit).path("cycle").longValue();
            awaitUnit(unit, Child.PATIENCE, live -> live.path("cycle").longValue() > seen);
            answer = answer(command(unit, kind, args));
        }
        if (!answer.path("outcome").asText().equals("moved")) {
            throw new AssertionError(kind + " for " + unit + ": " + answer);
        }
        return answer;
    }

    static String because(JsonNode answer) {
        return answer.path("because").path("key").asText();
    }

    /** Presses a simulated button through the stand-in. */
    void press(String button) {
        publish("steamleaf-stand-in/" + SITE, text(Map.of("button", button)));
    }

    String takeInLot() {
        return moved(
                        "line",
                        "take-in-lot",
                        Map.of(
                                "lot",
                                Map.of(
                                        "label",
                                        "77",
                                        "field",
                                        "Quarry field",
                                        "cultivar",
                                        "seedling",
                                        "shadingDays",
                                        0,
                                        "ripeness",
                                        "medium",
                                        "wetByRain",
                                        false,
                                        "pluckedAgoH",
                                        1.5,
                                        "massKg",
                                        4.4,
                                        "heapC",
                                        22.5)))
                .path("made")
                .asText();
    }

    /** Takes in leaf, plans a batch of it in oven 1 and gives its start at the machine. */
    void startBatch(String recipe) {
        String lot = takeInLot();
        moved(
                "oven-1",
                "plan-batch",
                Map.of("recipe", recipe, "lots", List.of(Map.of("lot", lot, "massKg", 4.0))));
        awaitUnit("oven-1", Child.PATIENCE, live -> live.path("state").asText().equals("planned"));
        moved("oven-1", "arm", Map.of("action", "start"));
        press("start");
        awaitUnit("oven-1", Child.PATIENCE, live -> live.path("state").asText().equals("running"));
    }

    @Override
    public void close() {
        sub.close();
    }
}
