package steamleaf.contract;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.lang.reflect.Field;
import java.lang.reflect.Modifier;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.regex.MatchResult;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import java.util.zip.CRC32C;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * The examples that stand in docs/mqtt.md. Changing one of them changes the protocol: fields may be
 * added; anything else needs another version in the topics.
 */
final class GoldenTest {
    private static final Path FOLDER = Path.of("src/test/resources/golden");
    private static final Path PAGE = Path.of("../../docs/mqtt.md");

    /** What stands in the body, by kind; every kind of {@link Kinds} must be here. */
    private static final Map<String, Class<?>> BODIES =
            Map.ofEntries(
                    Map.entry(Kinds.SECOND, Bodies.Second.class),
                    Map.entry(Kinds.CHANGED, Bodies.Changed.class),
                    Map.entry(Kinds.GUARD, Bodies.Guard.class),
                    Map.entry(Kinds.ALARM, Bodies.Alarm.class),
                    Map.entry(Kinds.COMMAND, Bodies.Commanded.class),
                    Map.entry(Kinds.PROMPT, Bodies.Prompted.class),
                    Map.entry(Kinds.SAMPLE, Bodies.Sample.class),
                    Map.entry(Kinds.LOT, Bodies.Lot.class),
                    Map.entry(Kinds.RECIPE, RecipeDescription.class),
                    Map.entry(Kinds.LEARNED, Bodies.Learned.class),
                    Map.entry(Kinds.STARTED, Bodies.Started.class),
                    Map.entry(Kinds.CLOCK, Bodies.Clock.class),
                    Map.entry(Kinds.LOST, Bodies.Lost.class));

    static List<Path> files() throws IOException {
        try (Stream<Path> files = Files.list(FOLDER)) {
            return files.sorted().toList();
        }
    }

    private static Class<?> type(String name) {
        return switch (name.replaceFirst("[-.].*", "")) {
            case "status" -> Status.class;
            case "line" -> LineDescription.class;
            case "recipe" -> RecipeDescription.class;
            case "unit" -> UnitLive.class;
            case "alarm" -> AlarmLive.class;
            case "learned" -> LearnedLive.class;
            case "have" -> Have.class;
            case "record" -> JournalRecord.class;
            case "command" -> CommandMessage.class;
            case "answer" -> AnswerMessage.class;
            case "stand" -> name.startsWith("stand-in-says") ? StandInSays.class : StandIn.class;
            default -> throw new AssertionError("what is " + name + "?");
        };
    }

    private static JsonNode tree(byte[] bytes) throws Codec.Malformed {
        return Codec.read(bytes, JsonNode.class);
    }

    @ParameterizedTest
    @MethodSource("files")
    void anExampleIsReadAndWrittenAgainTheSame(Path file) throws IOException, Codec.Malformed {
        byte[] bytes = Files.readAllBytes(file);
        Object message = Codec.read(bytes, type(file.getFileName().toString()));
        ObjectNode expected = (ObjectNode) tree(bytes);
        expected.remove("crc"); // covers the line as it stands in the journal; no field of a record
        assertEquals(expected, tree(Codec.write(message)));
    }

    @ParameterizedTest
    @MethodSource("files")
    void theBodyOfARecordIsReadAndWrittenAgainTheSame(Path file)
            throws IOException, Codec.Malformed {
        if (!file.getFileName().toString().startsWith("record-")) {
            return;
        }
        byte[] bytes = Files.readAllBytes(file);
        JournalRecord record = Codec.read(bytes, JournalRecord.class);
        Class<?> type = BODIES.get(record.kind());
        assertNotNull(type, record.kind());
        assertEquals(record.body(), tree(Codec.write(Codec.read(record.body(), type))));

        String line = new String(bytes, StandardCharsets.UTF_8).strip();
        int covered = line.lastIndexOf(",\"crc\":");
        CRC32C crc = new CRC32C();
        crc.update(line.substring(0, covered).getBytes(StandardCharsets.UTF_8));
        assertEquals(String.format(",\"crc\":\"%08x\"}", crc.getValue()), line.substring(covered));
    }

    @Test
    void everyKindOfRecordAndEveryCommandHasItsExample() throws IOException {
        List<String> names = files().stream().map(f -> f.getFileName().toString()).toList();
        List<String> wanted = new ArrayList<>();
        for (Field field : Kinds.class.getFields()) {
            if (Modifier.isStatic(field.getModifiers())) {
                wanted.add("record-" + constant(field) + ".json");
            }
        }
        CommandMessage.KINDS.forEach(kind -> wanted.add("command-" + kind + ".json"));
        assertTrue(wanted.size() > 20);
        assertEquals(List.of(), wanted.stream().filter(name -> !names.contains(name)).toList());
    }

    private static Object constant(Field field) {
        try {
            return field.get(null);
        } catch (IllegalAccessException e) {
            throw new AssertionError(e);
        }
    }

    /** In the page: {@code golden/NAME.json} in a line of its own above the block. */
    @Test
    void thePageShowsEveryExampleExactly() throws IOException, Codec.Malformed {
        String page = Files.readString(PAGE);
        Matcher blocks =
                Pattern.compile("`golden/([a-z-]+\\.json)`[^`]*```json\\n(.*?)```", Pattern.DOTALL)
                        .matcher(page);
        Map<String, String> shown = new TreeMap<>();
        for (MatchResult block : blocks.results().toList()) {
            shown.put(block.group(1), block.group(2));
        }
        for (Path file : files()) {
            String name = file.getFileName().toString();
            String text = shown.remove(name);
            assertNotNull(text, name + " is not in " + PAGE);
            assertEquals(
                    tree(Files.readAllBytes(file)),
                    tree(text.getBytes(StandardCharsets.UTF_8)),
                    name);
        }
        assertEquals(Map.of(), shown, "the page shows what is no example");
        long all = Pattern.compile("```json").matcher(page).results().count();
        assertEquals(files().size(), all, "a block of JSON without its example's name");
    }

    @Test
    void everyTopicStandsInThePage() throws IOException {
        String page = Files.readString(PAGE);
        Topics topics = new Topics("SITE");
        for (String topic :
                List.of(
                        topics.status(),
                        topics.line(),
                        topics.recipe("NAME"),
                        topics.unit("UNIT"),
                        topics.alarm("ID"),
                        topics.learned("OVEN"),
                        topics.have("STORE"),
                        topics.record("STORE"),
                        topics.command(),
                        topics.answer("CLIENT"))) {
            String written =
                    topic.replaceAll("([A-Z]+)", "{$1}").toLowerCase(java.util.Locale.ROOT);
            assertTrue(page.contains("`" + written + "`"), written);
        }
        assertTrue(page.contains("`" + StandIn.topic("SITE").replace("SITE", "{site}") + "`"));
        assertTrue(page.contains("`" + StandInSays.topic("SITE").replace("SITE", "{site}") + "`"));
        for (String kind : CommandMessage.KINDS) {
            assertTrue(page.contains("| `" + kind + "` |"), kind);
        }
    }
}
