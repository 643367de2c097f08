package steamleaf.contract;

import java.util.List;

/**
 * A reason and its values; {@link Sentences} makes the sentence in the reader's language.
 *
 * @param key as in the table of texts, for example {@code door-open}
 * @param values filled into {@code {0}}, {@code {1}} … of the text, already in the unit that the
 *     text names
 */
public record Because(String key, List<String> values) {
    public static Because of(String key, String... values) {
        return new Because(key, List.of(values));
    }
}
