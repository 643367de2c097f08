package steamleaf.contract;

import org.jspecify.annotations.Nullable;

/**
 * What a store has: everything of {@code journal} up to and including {@code n}. It acknowledges
 * and asks: the controller sends from {@code n + 1}.
 *
 * @param journal null when the store has nothing of this site yet
 */
public record Have(@Nullable String journal, long n) {}
