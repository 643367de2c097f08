package steamleaf.core.loop;

/**
 * First-order lag, exact for an input held over the step: y ← y + (1 − e^(−Δt/τ))·(x − y), Δt and τ
 * in s, x and y in any one unit. Textbook; own solution of τ·dy/dt = x − y over a step. The first
 * good input passes unfiltered; an input that is not a number gives not-a-number, and the filter
 * starts again after it.
 */
public final class FirstOrderFilter {
    private FirstOrderFilter() {}

    public static double step(
            double filtered, double input, double timeConstantS, double elapsedS) {
        if (Double.isNaN(filtered) || !(timeConstantS > 0.0)) {
            return input;
        }
        return filtered - Math.expm1(-elapsedS / timeConstantS) * (input - filtered);
    }
}
