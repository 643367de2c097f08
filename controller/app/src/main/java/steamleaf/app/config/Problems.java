package steamleaf.app.config;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** Every mistake found in one file. */
final class Problems {
    private record Problem(int line, String text) {}

    private final String file;
    private final List<Problem> problems = new ArrayList<>();
    private final Map<String, Integer> places = new HashMap<>();

    Problems(String file) {
        this.file = file;
    }

    /** {@code file:line: path = value, allowed: … why}. */
    void value(int line, String path, String value, String allowed, String why) {
        say(
                line,
                path + " = " + value + ", allowed: " + allowed + (why.isEmpty() ? "" : ". " + why));
    }

    void say(int line, String text) {
        problems.add(new Problem(line, file + ":" + line + ": " + text));
    }

    /** Remembers where {@code path} stands. */
    void place(String path, int line) {
        places.putIfAbsent(path, line);
    }

    /** Where {@code path}, or the nearest block around it, stands. */
    int lineOf(String path) {
        for (String at = path; !at.isEmpty(); at = parent(at)) {
            Integer line = places.get(at);
            if (line != null) {
                return line;
            }
        }
        return 1;
    }

    private static String parent(String path) {
        int dot = path.lastIndexOf('.');
        return dot < 0 ? "" : path.substring(0, dot);
    }

    boolean none() {
        return problems.isEmpty();
    }

    /** In the order of the file. */
    List<String> all() {
        return problems.stream()
                .sorted(Comparator.comparingInt(Problem::line))
                .map(Problem::text)
                .toList();
    }
}
