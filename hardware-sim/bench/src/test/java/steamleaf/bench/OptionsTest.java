package steamleaf.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import org.junit.jupiter.api.Test;

final class OptionsTest {
    private static Options of(String... args) {
        return new Options(args, List.of("seed", "out"), List.of("fresh"));
    }

    @Test
    void valuesAndFlagsAreRead() {
        Options options = of("--seed", "7", "--fresh");
        assertEquals(7, options.whole("seed", 1, 0, 100));
        assertEquals("true", options.text("fresh"));
        assertEquals(List.of(), options.mistakes());
    }

    @Test
    void everyMistakeIsNamedAtOnce() {
        Options options = of("--sed", "--seed", "seven", "--out");
        options.whole("seed", 1, 0, 100);
        options.required("recipe", "the recipe's name");
        assertEquals(
                List.of(
                        "\"--sed\" is not known, allowed: --seed VALUE, --out VALUE, --fresh",
                        "--out needs a value",
                        "--seed = seven, allowed: a whole number from 0 to 100",
                        "--recipe is missing: the recipe's name"),
                options.mistakes());
    }
}
