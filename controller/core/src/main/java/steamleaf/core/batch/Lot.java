package steamleaf.core.batch;

/**
 * Leaf of one plucking. Masses are whole grams, so that the balance closes exactly.
 *
 * @param pluckedAtS on the line's own time axis; negative for leaf plucked before the line's time
 *     began
 * @param heapC temperature of the heap at intake, NaN when nobody measured it
 * @param takenG mass taken in
 * @param leftG mass not yet given to a batch
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
        long leftG) {

    Lot withLeft(long grams) {
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
                grams);
    }
}
