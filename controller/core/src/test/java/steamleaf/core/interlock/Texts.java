package steamleaf.core.interlock;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.Set;

/** The contract's tables of sentences, read where they stand: the core itself knows only keys. */
public final class Texts {
    private Texts() {}

    /** Keys that have a sentence in English and in Japanese. */
    public static Set<String> inBothLanguages() {
        Path folder =
                Repository.root()
                        .resolve("controller/contract/src/main/resources/steamleaf/contract");
        Set<String> keys = new HashSet<>();
        try (DirectoryStream<Path> tables = Files.newDirectoryStream(folder, "texts-*.tsv")) {
            for (Path table : tables) {
                for (String line : Files.readAllLines(table)) {
                    String[] cells = line.split("\t", -1);
                    if (cells.length == 3 && !cells[1].isBlank() && !cells[2].isBlank()) {
                        keys.add(cells[0]);
                    }
                }
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return keys;
    }
}
