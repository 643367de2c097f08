package steamleaf.bench.study;

import java.util.Arrays;
import java.util.Locale;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/** What the plants of a study are. */
public enum Structure {
    /** The filter's own model, everything drawn as the filter believes it to be. */
    MATCHED,
    /** The simulator's plant: leaf that diffuses, trays in series, its own correlations. */
    DIFFUSING;

    public String word() {
        return name().toLowerCase(Locale.ROOT);
    }

    public static @Nullable Structure of(String word) {
        return Arrays.stream(values()).filter(s -> s.word().equals(word)).findFirst().orElse(null);
    }

    public static String words() {
        return Arrays.stream(values()).map(Structure::word).collect(Collectors.joining(", "));
    }
}
