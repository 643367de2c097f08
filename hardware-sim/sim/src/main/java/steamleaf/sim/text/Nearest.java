package steamleaf.sim.text;

import java.util.Collection;
import java.util.Comparator;
import java.util.List;

/** The names somebody may have meant. */
public final class Nearest {
    private Nearest() {}

    /**
     * Up to {@code count} of {@code names}, the fewest changed letters first, then in the order
     * given.
     */
    public static List<String> to(String word, Collection<String> names, int count) {
        return names.stream()
                .sorted(Comparator.comparingInt(name -> changes(word, name)))
                .limit(count)
                .toList();
    }

    /** Letters to insert, delete or replace (Levenshtein distance). */
    static int changes(String a, String b) {
        int[] previous = new int[b.length() + 1];
        for (int j = 0; j <= b.length(); j++) {
            previous[j] = j;
        }
        for (int i = 1; i <= a.length(); i++) {
            int[] row = new int[b.length() + 1];
            row[0] = i;
            for (int j = 1; j <= b.length(); j++) {
                int replaced = previous[j - 1] + (a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1);
                row[j] = Math.min(replaced, Math.min(previous[j], row[j - 1]) + 1);
            }
            previous = row;
        }
        return previous[b.length()];
    }
}
