package steamleaf.app.config;

import java.util.List;

/** The file can't be used; says everything that is wrong with it. */
public final class Misconfigured extends Exception {
    private static final long serialVersionUID = 1L;
    private final transient List<String> problems;

    public Misconfigured(List<String> problems) {
        super(String.join("\n", problems));
        this.problems = List.copyOf(problems);
    }

    /** One line for each mistake. */
    public List<String> problems() {
        return problems;
    }
}
