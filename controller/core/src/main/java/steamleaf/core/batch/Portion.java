package steamleaf.core.batch;

/** A part of a lot, wanted in a charge. */
public record Portion(String lotId, double massKg) {
    /** Whole grams: how the stock counts. */
    public long grams() {
        return Math.round(massKg * 1000.0);
    }
}
