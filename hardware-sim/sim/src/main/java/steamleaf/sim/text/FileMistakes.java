package steamleaf.sim.text;

import java.util.List;

/** A file that cannot be used, with every reason. */
public final class FileMistakes extends RuntimeException {
    private final List<String> lines;

    public FileMistakes(List<String> lines) {
        super(String.join(System.lineSeparator(), lines));
        this.lines = List.copyOf(lines);
    }

    public List<String> lines() {
        return lines;
    }
}
