package steamleaf.core.interlock;

import java.nio.file.Files;
import java.nio.file.Path;

/** Where the documents made from tables stand. */
public final class Repository {
    private Repository() {}

    /** The repository's root, found from the module's folder. */
    public static Path root() {
        Path at = Path.of("").toAbsolutePath();
        while (!Files.isDirectory(at.resolve("controller/contract"))) {
            at = at.getParent();
            if (at == null) {
                throw new IllegalStateException("not inside the repository");
            }
        }
        return at;
    }
}
