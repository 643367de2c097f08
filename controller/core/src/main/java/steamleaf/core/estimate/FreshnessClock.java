package steamleaf.core.estimate;

import steamleaf.core.science.Range;

/**
 * How old plucked leaf is before its enzymes are stopped: hours since plucking, and hours as they
 * count, which run faster in a warm heap.
 *
 * <p>dcounted/dt = Q10^((Theap − 25)/10), no unit, Theap in °C, not slower than the clock. Q10 = 2
 * and 25 °C are an engineering choice (respiration of plucked leaf about doubles per ten degrees;
 * from memory), carried on to the hottest heap that can be entered, which is no longer respiration.
 * Common practice, no source: steam within hours of plucking; a heap reddens above 30 °C.
 *
 * @param ageS since plucking
 * @param countedS age as it counts
 */
public record FreshnessClock(double ageS, double countedS) {
    /** What may be entered; the clock takes a heap beyond it as at the nearer end. */
    public static final Range HEAP_C = new Range("heap temperature", "°C", -10.0, 80.0);

    private static final double Q10 = 2.0;
    private static final double REFERENCE_C = 25.0;

    /** Counted when nobody measured the heap: anything not known is taken as bad. */
    private static final double UNKNOWN_HEAP_C = 30.0;

    public enum Verdict {
        FRESH,
        WARNING,
        TOO_OLD
    }

    /** Leaf that was plucked {@code ageS} ago, its heap not yet measured. */
    public static FreshnessClock pluckedAgo(double ageS) {
        return new FreshnessClock(0.0, 0.0).later(ageS, Double.NaN);
    }

    /** Not measured, or inside {@link #HEAP_C}. */
    public static boolean takesHeap(double heapC) {
        return Double.isNaN(heapC) || HEAP_C.holds(heapC);
    }

    /**
     * @param heapC NaN if not measured: counted as 30 °C
     */
    public FreshnessClock later(double elapsedS, double heapC) {
        double temperatureC =
                Double.isNaN(heapC)
                        ? UNKNOWN_HEAP_C
                        : Math.clamp(heapC, HEAP_C.lowest(), HEAP_C.highest());
        double pace = Math.max(1.0, Math.pow(Q10, (temperatureC - REFERENCE_C) / 10.0));
        return new FreshnessClock(ageS + elapsedS, countedS + pace * elapsedS);
    }

    /** An age that is not a number is too old. */
    public Verdict verdict(double warningS, double limitS) {
        if (!(countedS < limitS)) {
            return Verdict.TOO_OLD;
        }
        return countedS < warningS ? Verdict.FRESH : Verdict.WARNING;
    }
}
