package steamleaf.contract;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * The answer to a command.
 *
 * @param id the command's
 * @param outcome {@code moved} or {@code refused}
 * @param because why it was refused, or what it did
 * @param made id of what was made: lot, batch or sample
 */
public record AnswerMessage(
        String id,
        String outcome,
        @Nullable Because because,
        @Nullable String made,
        long cycle,
        Instant at) {
    public static final String MOVED = "moved";
    public static final String REFUSED = "refused";

    public boolean moved() {
        return outcome.equals(MOVED);
    }
}
