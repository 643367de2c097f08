package steamleaf.core.batch;

import java.util.List;

/**
 * What leaves the line. Its portions lead back to the lots.
 *
 * @param massKg as weighed at packing
 * @param moisture estimated, wet basis, with its deviation
 */
public record PackedLot(
        String id,
        String batchId,
        List<Portion> portions,
        double massKg,
        double moisture,
        double moistureDeviation) {
    public PackedLot {
        portions = List.copyOf(portions);
    }
}
