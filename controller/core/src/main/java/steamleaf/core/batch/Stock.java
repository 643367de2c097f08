package steamleaf.core.batch;

import java.util.List;

/**
 * All leaf that is here. Every gram taken in is either left in its lot, in a charge, in a packed
 * lot or discarded.
 *
 * @param packedFromG fresh grams that have left in packed lots
 * @param discardedG fresh grams written off
 */
public record Stock(
        List<Lot> lots, List<PackedLot> packed, long takenG, long packedFromG, long discardedG) {
    public static final Stock EMPTY = new Stock(List.of(), List.of(), 0, 0, 0);

    public Stock {
        lots = List.copyOf(lots);
        packed = List.copyOf(packed);
    }
}
