package steamleaf.core.batch;

/**
 * A hand sample: stamped when taken, its value entered later.
 *
 * @param takenS on the line's time axis
 * @param estimateWhenTaken the charge's mean moisture then, wet basis
 * @param deviationWhenTaken of that estimate
 * @param valueWet wet basis, NaN until it is entered
 * @param deviationWet of the method, wet basis
 */
public record Sample(
        String id,
        String batchId,
        double takenS,
        double estimateWhenTaken,
        double deviationWhenTaken,
        double valueWet,
        double deviationWet,
        String method) {
    public boolean isOpen() {
        return Double.isNaN(valueWet);
    }

    Sample valued(double wet, double wetDeviation, String by) {
        return new Sample(
                id, batchId, takenS, estimateWhenTaken, deviationWhenTaken, wet, wetDeviation, by);
    }
}
