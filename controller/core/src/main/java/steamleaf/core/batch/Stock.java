package steamleaf.core.batch;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * All leaf that is here. Every gram taken in is either left in its lot, in a charge, in a packed
 * lot or discarded.
 *
 * @param takenG everything ever taken in
 * @param packedFromG fresh grams that have left in packed lots
 * @param discardedG fresh grams written off
 */
public record Stock(
        List<Lot> lots, List<PackedLot> packed, long takenG, long packedFromG, long discardedG) {
    /** Lots and packed lots that are kept at hand; the record keeps all. Engineering choice. */
    public static final int KEPT = 64;

    public static final Stock EMPTY = new Stock(List.of(), List.of(), 0, 0, 0);

    public Stock {
        lots = List.copyOf(lots);
        packed = List.copyOf(packed);
    }

    public @Nullable Lot lot(String id) {
        for (Lot lot : lots) {
            if (lot.id().equals(id)) {
                return lot;
            }
        }
        return null;
    }

    /** Ripeness of most of this leaf; null if none of its lots is known. */
    public @Nullable Ripeness grade(List<Portion> portions) {
        long[] grams = new long[Ripeness.values().length];
        for (Portion portion : portions) {
            Lot lot = lot(portion.lotId());
            if (lot != null) {
                grams[lot.ripeness().ordinal()] += portion.grams();
            }
        }
        Ripeness most = null;
        for (Ripeness grade : Ripeness.values()) {
            long own = grams[grade.ordinal()];
            if (own > 0 && (most == null || own > grams[most.ordinal()])) {
                most = grade;
            }
        }
        return most;
    }

    /** Grams that are left in lots. */
    public long leftG() {
        long grams = 0;
        for (Lot lot : lots) {
            grams += lot.leftG();
        }
        return grams;
    }

    /** Whether no further lot can be taken in; lots that batches are made of stay. */
    boolean isFull(Set<String> inUse) {
        return lots.size() >= KEPT && indexOfDone(inUse) < 0;
    }

    Stock takingIn(Lot lot, Set<String> inUse) {
        List<Lot> all = new ArrayList<>(lots);
        if (all.size() >= KEPT) {
            all.remove(indexOfDone(inUse));
        }
        all.add(lot);
        return new Stock(all, packed, takenG + lot.takenG(), packedFromG, discardedG);
    }

    private int indexOfDone(Set<String> inUse) {
        for (int i = 0; i < lots.size(); i++) {
            if (lots.get(i).leftG() == 0 && !inUse.contains(lots.get(i).id())) {
                return i;
            }
        }
        return -1;
    }

    /** The portions' grams leave their lots for a charge. */
    Stock allotting(List<Portion> portions) {
        return moving(portions, -1);
    }

    /** The portions' grams leave their lots for good. */
    Stock writingOff(List<Portion> portions) {
        long grams = 0;
        for (Portion portion : portions) {
            grams += portion.grams();
        }
        return moving(portions, -1).discarding(grams);
    }

    /** The portions' grams come back to their lots. */
    Stock returning(List<Portion> portions) {
        return moving(portions, +1);
    }

    /** What was seen in the steamed leaf is remembered for the rest of these lots. */
    Stock judging(List<Portion> portions, String batch, SteamVerdict verdict) {
        List<Lot> all = new ArrayList<>(lots);
        for (Portion portion : portions) {
            all.replaceAll(
                    lot -> lot.id().equals(portion.lotId()) ? lot.judged(batch, verdict) : lot);
        }
        return new Stock(all, packed, takenG, packedFromG, discardedG);
    }

    private Stock moving(List<Portion> portions, int sign) {
        List<Lot> all = new ArrayList<>(lots);
        for (Portion portion : portions) {
            boolean found = false;
            for (int i = 0; i < all.size(); i++) {
                Lot lot = all.get(i);
                if (lot.id().equals(portion.lotId())) {
                    all.set(i, lot.withLeft(lot.leftG() + sign * portion.grams()));
                    found = true;
                }
            }
            if (!found) {
                throw new IllegalStateException("no lot " + portion.lotId());
            }
        }
        return new Stock(all, packed, takenG, packedFromG, discardedG);
    }

    Stock packing(PackedLot lot, long fromG) {
        List<PackedLot> all = new ArrayList<>(packed);
        if (all.size() >= KEPT) {
            all.removeFirst();
        }
        all.add(lot);
        return new Stock(lots, all, takenG, packedFromG + fromG, discardedG);
    }

    Stock discarding(long grams) {
        return new Stock(lots, packed, takenG, packedFromG, discardedG + grams);
    }
}
