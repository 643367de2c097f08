package steamleaf.monitor.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import steamleaf.contract.Because;
import steamleaf.contract.Language;
import steamleaf.contract.Sentences;

final class WordsTest {
    private static final Pattern KEY =
            Pattern.compile(
                    "(?:s\\.t|[^.a-z]t|Words\\.say)\\(\\s*(?:language(?:\\(\\))?,\\s*)?\"([a-z0-9.-]+)\"[,)]");

    private static List<Path> sources() throws IOException {
        List<Path> all = new ArrayList<>();
        for (String root : List.of("src/main/jte", "src/main/java/steamleaf/monitor/page")) {
            try (Stream<Path> files = Files.walk(Path.of(root))) {
                files.filter(Files::isRegularFile).forEach(all::add);
            }
        }
        return all;
    }

    @Test
    void everyKeyThatAPageNamesHasItsRow() throws IOException {
        Set<String> named = new TreeSet<>();
        for (Path file : sources()) {
            Matcher matcher = KEY.matcher(Files.readString(file));
            while (matcher.find()) {
                named.add(matcher.group(1));
            }
        }
        assertTrue(named.size() > 150, () -> "only " + named.size() + " keys were found");
        named.removeIf(key -> Words.has(key) || key.endsWith("."));
        assertEquals(Set.of(), named);
    }

    /** The alarm table's page is made from the controller's code; phones must say the same. */
    @Test
    void everyAlarmSaysWhatItLeadsToAsTheAlarmTableDoes() throws IOException {
        int rows = 0;
        for (String line : Files.readAllLines(Path.of("../docs/alarms.md"))) {
            String[] cells = line.split(" \\| ", -1);
            if (cells.length > 5 && cells[0].matches("\\| \\d+")) {
                String key = "leads." + cells[1];
                assertTrue(Words.has(key), key);
                assertEquals(
                        cells[4].strip(),
                        Words.say(Language.ENGLISH, key).replace('\u00a0', ' '),
                        key);
                rows++;
            }
        }
        assertTrue(rows > 40, "rows of the table: " + rows);
    }

    /** A sentence with a slot in one language has it in the other. */
    @Test
    void bothLanguagesFillTheSameSlots() {
        Pattern slot = Pattern.compile("\\{(\\d)}");
        for (String key : Words.keys()) {
            Set<String> english = new TreeSet<>();
            slot.matcher(Words.say(Language.ENGLISH, key))
                    .results()
                    .forEach(r -> english.add(r.group(1)));
            Set<String> japanese = new TreeSet<>();
            slot.matcher(Words.say(Language.JAPANESE, key))
                    .results()
                    .forEach(r -> japanese.add(r.group(1)));
            assertEquals(english, japanese, key);
        }
    }

    @Test
    void aKeyWithoutARowIsAMistakeOfOurs() {
        assertThrows(IllegalStateException.class, () -> Words.say(Language.ENGLISH, "no-such-key"));
    }

    @Test
    void unitsAreCalledAsPeopleCallThem() {
        assertEquals("Oven 2", Words.unit(Language.ENGLISH, "oven-2"));
        assertEquals("乾燥炉2", Words.unit(Language.JAPANESE, "oven-2"));
        assertEquals("Steamer", Words.unit(Language.ENGLISH, "steamer"));
        assertEquals("kiln", Words.unit(Language.ENGLISH, "kiln"));
    }

    @Test
    void aReasonNamesTheUnitAndAPromptItsNumber() {
        assertEquals(
                "The door of Oven 3 is open.",
                Words.reason(Language.ENGLISH, Because.of("door-open", "oven-3")));
        assertEquals(
                "Take the leaf out of oven 1",
                Words.reason(Language.ENGLISH, Because.of("prompt.take-out", "1")));
    }

    /**
     * Reasons say what is wrong; a permissive that is good must not be shown with that sentence.
     */
    @Test
    void whatIsGoodIsSaidAsGood() {
        assertEquals(
                "The door of Oven 3 is shut.",
                Words.fine(Language.ENGLISH, Because.of("door-open", "oven-3")));
        for (String key : Words.keys()) {
            if (key.startsWith("fine.") && !key.equals("fine.other")) {
                assertTrue(Sentences.has(key.substring("fine.".length())), key);
                Because because = Because.of(key.substring("fine.".length()), "oven-1");
                assertFalse(
                        Words.fine(Language.ENGLISH, because)
                                .equals(Words.reason(Language.ENGLISH, because)),
                        key);
            }
        }
        assertEquals(
                "Not the case: from-tomorrow (Oven 1)",
                Words.fine(Language.ENGLISH, Because.of("from-tomorrow", "oven-1")));
    }
}
