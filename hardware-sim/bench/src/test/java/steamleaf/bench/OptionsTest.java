package steamleaf.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

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

    @Test
    void theNextOptionIsNoValue() {
        Options options = of("--out", "--seed", "7");
        assertEquals(List.of("--out needs a value"), options.mistakes());
        assertEquals(7, options.whole("seed", 1, 0, 100));
    }

    @Test
    void aFolderThatCannotBeMadeIsAMistakeAndOneThatCanIsNot(@TempDir Path folder)
            throws IOException {
        Path file = Files.writeString(folder.resolve("file"), "x");
        Options options = of("--out", file.resolve("deep").toString());
        options.folder("out", "the folder to write to");
        assertEquals(
                List.of(
                        "--out = "
                                + file.resolve("deep")
                                + ", allowed: a folder that can be written to or made; "
                                + file
                                + " is none"),
                options.mistakes());
        Options fine = of("--out", folder.resolve("a").resolve("b").toString());
        fine.folder("out", "the folder to write to");
        assertEquals(List.of(), fine.mistakes());
    }
}
