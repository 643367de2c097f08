package steamleaf.sim.text;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** Everything wrong with one file, collected so that it can be told at once. */
public final class Mistakes {
    private record Mistake(int line, String text) {}

    private final String file;
    private final List<Mistake> found = new ArrayList<>();

    public Mistakes(String file) {
        this.file = file;
    }

    public void add(int line, String text) {
        found.add(new Mistake(line, text));
    }

    /** In the common form: where, what was found, what is allowed. */
    public void add(int line, String where, String value, String allowed) {
        add(line, where + " = " + value + ", allowed: " + allowed);
    }

    public int count() {
        return found.size();
    }

    public boolean isEmpty() {
        return found.isEmpty();
    }

    /** One line each, by line of the file. */
    public List<String> lines() {
        return found.stream()
                .sorted(Comparator.comparingInt(Mistake::line))
                .map(m -> file + ":" + m.line() + ": " + m.text())
                .distinct() // whoever asks twice is told once
                .toList();
    }

    /**
     * Ends the reading of a file that has mistakes.
     *
     * @throws FileMistakes naming them all, unless there are none
     */
    public void throwIfAny() {
        if (!found.isEmpty()) {
            throw new FileMistakes(lines());
        }
    }
}
