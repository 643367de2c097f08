package steamleaf.monitor.page;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.Map;
import java.util.Set;
import steamleaf.contract.Because;
import steamleaf.contract.Language;
import steamleaf.contract.Sentences;

/**
 * The pages' own words, from {@code words.tsv}: key, English, Japanese. What the line says (states,
 * reasons, prompts) comes from the contract's sentences instead.
 */
public final class Words {
    private static final Map<String, String[]> TEXTS = load();
    private static final int COLUMNS = 3;

    private Words() {}

    /**
     * The text with {@code {0}} … filled in.
     *
     * @throws IllegalStateException for a key that no row has: a mistake of ours
     */
    public static String say(Language language, String key, Object... values) {
        String[] row = TEXTS.get(key);
        if (row == null) {
            throw new IllegalStateException("words.tsv has no row " + key);
        }
        String text = row[language == Language.JAPANESE ? 2 : 1];
        for (int i = 0; i < values.length; i++) {
            text = text.replace("{" + i + "}", String.valueOf(values[i]));
        }
        return text;
    }

    public static boolean has(String key) {
        return TEXTS.containsKey(key);
    }

    /** The page's word for something the line names, or the name itself when there is none. */
    public static String orName(Language language, String prefix, String name) {
        return has(prefix + name) ? say(language, prefix + name) : name;
    }

    public static Set<String> keys() {
        return Set.copyOf(TEXTS.keySet());
    }

    /** A unit as people call it: {@code oven-2} is oven 2. */
    public static String unit(Language language, String unit) {
        if (unit.equals("line")) {
            return say(language, "unit.line.name");
        }
        if (unit.equals("steamer")) {
            return Sentences.say(language, "unit.steamer");
        }
        return unit.startsWith("oven-")
                ? Sentences.say(language, "unit.oven", unit.substring("oven-".length()))
                : unit;
    }

    /** A reason of the line; unit names among its values are said as people call them. */
    public static String reason(Language language, Because because) {
        return Sentences.say(language, readable(language, because));
    }

    /** The same thing said of when it is good: reasons only tell what is wrong. */
    public static String fine(Language language, Because because) {
        String key = "fine." + because.key();
        return has(key)
                ? say(language, key, readable(language, because).values().toArray())
                : say(language, "fine.other", reason(language, because));
    }

    /** What to do about it, empty when nobody wrote it down. */
    public static String whatToDo(Language language, Because because) {
        String text = Sentences.whatToDo(language, readable(language, because));
        return text == null ? "" : text;
    }

    private static Because readable(Language language, Because because) {
        boolean prompt = because.key().startsWith("prompt."); // says "oven" itself
        return new Because(
                because.key(),
                because.values().stream().map(v -> value(language, prompt, v)).toList());
    }

    private static String value(Language language, boolean numberOnly, String value) {
        if (numberOnly && value.matches("(?i)oven[ -]\\d+")) {
            return value.substring("oven-".length());
        }
        return value.matches("oven-\\d+|steamer|line") ? unit(language, value) : value;
    }

    /** State of a unit: the contract's word, or ours, or the raw one. */
    public static String state(Language language, String state) {
        String key = "state." + state;
        return Sentences.has(key)
                ? Sentences.say(language, key)
                : orName(language, "state.", state);
    }

    public static String operation(Language language, String operation) {
        String key = "operation." + operation;
        return Sentences.has(key) ? Sentences.say(language, key) : operation;
    }

    /** What is going on during an operation. */
    public static String doing(Language language, String operation) {
        return has("doing." + operation)
                ? say(language, "doing." + operation)
                : operation(language, operation);
    }

    /** Without the stop at the end, to stand inside another sentence. */
    static String clause(String sentence) {
        String end = sentence.strip();
        while (end.endsWith(".") || end.endsWith("。")) {
            end = end.substring(0, end.length() - 1);
        }
        return end;
    }

    private static Map<String, String[]> load() {
        Map<String, String[]> rows = new HashMap<>();
        try (InputStream in = Words.class.getResourceAsStream("words.tsv")) {
            if (in == null) {
                throw new IllegalStateException("words.tsv is missing");
            }
            BufferedReader lines =
                    new BufferedReader(new InputStreamReader(in, StandardCharsets.UTF_8));
            for (String line = lines.readLine(); line != null; line = lines.readLine()) {
                if (line.isBlank() || line.startsWith("#")) {
                    continue;
                }
                String[] row = line.replace(" %", "\u00a0%").split("\t", -1);
                if (row.length != COLUMNS || rows.put(row[0], row) != null) {
                    throw new IllegalStateException("words.tsv: " + line);
                }
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return rows;
    }
}
