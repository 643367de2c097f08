package steamleaf.core.learn;

/**
 * What lessons come to. Logarithms of factors.
 *
 * @param count lessons that count
 * @param meanLn of them
 * @param spread deviation between batches
 * @param meanSd deviation of the mean
 * @param appliedLn what the next charge begins with, 0 for nothing
 */
public record Belief(int count, double meanLn, double spread, double meanSd, double appliedLn) {
    public boolean isApplied() {
        return appliedLn != 0.0;
    }
}
