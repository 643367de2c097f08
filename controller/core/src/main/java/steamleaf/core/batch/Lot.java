package steamleaf.core.batch;

import steamleaf.core.estimate.FreshnessClock;

/**
 * Leaf of one plucking. Masses are whole grams, so that the balance closes exactly.
 *
 * @param pluckedAtS on the line's own time axis; negative for leaf plucked before the line's time
 *     began
 * @param heapC temperature of the heap at intake, NaN when nobody measured it
 * @param takenG mass taken in
 * @param leftG mass not yet given to a batch
 * @param dwellFactor what test charges of this leaf said: its time under steam is multiplied by it
 * @param judgedBatch the batch whose leaf was judged last, empty before the first
 */
public record Lot(
        String id,
        String label,
        String field,
        String cultivar,
        int shadingDays,
        Ripeness ripeness,
        boolean wetByRain,
        double pluckedAtS,
        double heapC,
        long takenG,
        long leftG,
        double dwellFactor,
        String judgedBatch) {
    /** A heap above this reddens. Common practice, no source. */
    public static final double HEAP_WARM_C = 30.0;

    /**
     * A heap this hot is on its way to compost: a person says why it is used. Engineering choice.
     */
    public static final double HEAP_HOT_C = 38.0;

    /** Time under steam of the next charge, as a factor. Engineering choice. */
    private static final double LONGER = 1.12;

    private static final double SHORTER = 0.88;

    /** However often a lot is judged; the style's own range holds besides. Engineering choice. */
    private static final double LEAST_FACTOR = 0.6;

    private static final double MOST_FACTOR = 1.6;

    /** How old it counts: hours since plucking, faster in a warm heap. */
    public FreshnessClock freshness(double nowS) {
        return new FreshnessClock(0.0, 0.0).later(nowS - pluckedAtS, heapC);
    }

    /** Age and heap together, the worse of the two. */
    public FreshnessClock.Verdict fresh(double nowS, double warningS, double limitS) {
        FreshnessClock.Verdict age = freshness(nowS).verdict(warningS, limitS);
        if (heapC >= HEAP_HOT_C) {
            return FreshnessClock.Verdict.TOO_OLD;
        }
        return heapC >= HEAP_WARM_C && age == FreshnessClock.Verdict.FRESH
                ? FreshnessClock.Verdict.WARNING
                : age;
    }

    Lot judged(String batch, SteamVerdict verdict) {
        double factor =
                switch (verdict) {
                    case RED_STEMS -> LONGER;
                    case RIGHT -> 1.0;
                    case MUSH -> SHORTER;
                };
        double kept = Math.clamp(dwellFactor * factor, LEAST_FACTOR, MOST_FACTOR);
        return with(leftG, kept, batch);
    }

    Lot withLeft(long grams) {
        return with(grams, dwellFactor, judgedBatch);
    }

    private Lot with(long grams, double factor, String judged) {
        return new Lot(
                id,
                label,
                field,
                cultivar,
                shadingDays,
                ripeness,
                wetByRain,
                pluckedAtS,
                heapC,
                takenG,
                grams,
                factor,
                judged);
    }
}
