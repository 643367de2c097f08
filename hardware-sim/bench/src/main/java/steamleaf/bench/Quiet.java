package steamleaf.bench;

import java.util.List;
import java.util.logging.Level;
import java.util.logging.Logger;

/** Keeps libraries from talking on the terminal of a person who came to see tea. */
public final class Quiet {
    /** Held here, because a logger that nobody holds forgets its level. */
    private static final List<Logger> LOGGERS =
            List.of(
                    Logger.getLogger("com.pi4j"),
                    Logger.getLogger("org.apache.activemq"),
                    Logger.getLogger("io.helidon"),
                    Logger.getLogger("io.netty"));

    private static final Logger OURS = Logger.getLogger("steamleaf");

    private Quiet() {}

    /** Things are broken on purpose: what chips do not answer is no news. */
    public static void broken() {
        OURS.setLevel(Level.SEVERE);
    }

    public static void logs() {
        LOGGERS.forEach(logger -> logger.setLevel(Level.OFF));
        OURS.setLevel(Level.WARNING);
    }
}
