package steamleaf.app.config;

import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;

/** Orders names by how few letters have to change. */
final class Nearest {
    private Nearest() {}

    /** All of {@code names}, the one most like {@code wrong} first. */
    static List<String> first(String wrong, Collection<String> names) {
        String lower = wrong.toLowerCase(Locale.ROOT);
        return names.stream()
                .sorted(
                        Comparator.comparingInt(
                                        (String name) ->
                                                distance(lower, name.toLowerCase(Locale.ROOT)))
                                .thenComparing(Comparator.naturalOrder()))
                .toList();
    }

    /**
     * Least number of letters inserted, removed or replaced to turn {@code a} into {@code b}.
     * Source (not checked): Levenshtein 1966; by the usual table, one row at a time.
     */
    static int distance(String a, String b) {
        int[] row = new int[b.length() + 1];
        for (int j = 0; j <= b.length(); j++) {
            row[j] = j;
        }
        for (int i = 1; i <= a.length(); i++) {
            int diagonal = row[0];
            row[0] = i;
            for (int j = 1; j <= b.length(); j++) {
                int replaced = diagonal + (a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1);
                diagonal = row[j];
                row[j] = Math.min(replaced, 1 + Math.min(row[j], row[j - 1]));
            }
        }
        return row[b.length()];
    }
}
