package steamleaf.contract;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * The sentences for each reason and state, in both languages, from the tables {@code texts-*.tsv}
 * beside this class: key, English, Japanese. A {@code {0}} stands for the first value. Keys ending
 * in {@code .do} say what to do about the key before the dot.
 */
public final class Sentences {
    private static final List<String> TABLES =
            List.of("texts-words.tsv", "texts-guard.tsv", "texts-batch.tsv", "texts-link.tsv");
    private static final Map<String, Text> TEXTS = load();

    private Sentences() {}

    private record Text(String english, String japanese) {}

    /** The sentence, or key and values when no table has the key (a newer peer): never nothing. */
    public static String say(Language language, Because because) {
        Text text = TEXTS.get(because.key());
        if (text == null) {
            return because.values().isEmpty()
                    ? because.key()
                    : because.key() + " (" + String.join(", ", because.values()) + ")";
        }
        return fill(
                language == Language.JAPANESE ? text.japanese() : text.english(), because.values());
    }

    public static String say(Language language, String key, String... values) {
        return say(language, Because.of(key, values));
    }

    /** What to do about it, or null when the table names nothing. */
    public static @Nullable String whatToDo(Language language, Because because) {
        String key = because.key() + ".do";
        return TEXTS.containsKey(key) ? say(language, new Because(key, because.values())) : null;
    }

    public static boolean has(String key) {
        return TEXTS.containsKey(key);
    }

    public static Set<String> keys() {
        return Set.copyOf(TEXTS.keySet());
    }

    private static String fill(String text, List<String> values) {
        StringBuilder out = new StringBuilder(text.length() + 16);
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            boolean slot =
                    c == '{'
                            && i + 2 < text.length()
                            && Character.isDigit(text.charAt(i + 1))
                            && text.charAt(i + 2) == '}';
            if (slot) {
                int at = text.charAt(i + 1) - '0';
                out.append(at < values.size() ? values.get(at) : "–");
                i += 2;
            } else {
                out.append(c);
            }
        }
        return out.toString();
    }

    private static Map<String, Text> load() {
        Map<String, Text> texts = new HashMap<>();
        for (String table : TABLES) {
            try (InputStream in = Sentences.class.getResourceAsStream(table)) {
                if (in == null) {
                    throw new IllegalStateException("table of texts missing: " + table);
                }
                read(
                        table,
                        new BufferedReader(new InputStreamReader(in, StandardCharsets.UTF_8)),
                        texts);
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }
        return texts;
    }

    private static void read(String table, BufferedReader lines, Map<String, Text> texts)
            throws IOException {
        int number = 0;
        for (String line = lines.readLine(); line != null; line = lines.readLine()) {
            number++;
            if (line.isBlank() || line.startsWith("#")) {
                continue;
            }
            String[] cells = line.split("\t", -1);
            if (cells.length != 3
                    || cells[0].isBlank()
                    || cells[1].isBlank()
                    || cells[2].isBlank()) {
                throw new IllegalStateException(
                        table
                                + ":"
                                + number
                                + ": "
                                + line
                                + ", allowed: key, English and Japanese, tab separated");
            }
            if (texts.put(cells[0], new Text(cells[1], cells[2])) != null) {
                throw new IllegalStateException(
                        table + ":" + number + ": key " + cells[0] + " stands twice");
            }
        }
    }
}
