package steamleaf.app.config;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** Every mistake found in one file. */
final class Problems {
    private record Problem(int line, String text) {}

    private final String file;
    private final List<Problem> problems = new ArrayList<>();

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
