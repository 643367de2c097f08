package steamleaf.core.alarm;

import java.util.ArrayList;
import java.util.List;
import steamleaf.core.reading.UnitId;
import steamleaf.core.reading.UnitKind;

/** Numbers each alarm of each unit, in the table's order. */
final class AlarmSlots {
    private final List<AlarmKey> keys = new ArrayList<>();
    private final int[] first = new int[AlarmKind.values().length];
    private final int ovens;
    private final int[] fromReadings;

    AlarmSlots(int ovens) {
        this.ovens = ovens;
        for (AlarmKind kind : AlarmKind.values()) {
            first[kind.ordinal()] = keys.size();
            if (kind.scope().contains(UnitKind.LINE)) {
                keys.add(new AlarmKey(UnitId.LINE, kind));
            }
            if (kind.scope().contains(UnitKind.STEAMER)) {
                keys.add(new AlarmKey(UnitId.STEAMER, kind));
            }
            for (int n = 1; kind.scope().contains(UnitKind.OVEN) && n <= ovens; n++) {
                keys.add(new AlarmKey(UnitId.oven(n), kind));
            }
        }
        fromReadings =
                java.util.stream.IntStream.range(0, keys.size())
                        .filter(i -> keys.get(i).kind().source() == Source.READING)
                        .toArray();
    }

    /** Slots whose condition this package finds in the readings. */
    int[] fromReadings() {
        return fromReadings;
    }

    int count() {
        return keys.size();
    }

    AlarmKey key(int slot) {
        return keys.get(slot);
    }

    /** The slot, or −1 when this unit does not have this alarm. */
    int find(AlarmKey key) {
        return find(key.unit(), key.kind());
    }

    int find(UnitId unit, AlarmKind kind) {
        if (!kind.scope().contains(unit.kind()) || unit.number() > ovens) {
            return -1;
        }
        int steamer = kind.scope().contains(UnitKind.STEAMER) ? 1 : 0;
        int base = first[kind.ordinal()];
        return switch (unit.kind()) {
            case LINE, STEAMER -> base; // no kind is of both; AlarmsTest finds each of its slots
            case OVEN -> base + steamer + unit.number() - 1;
        };
    }
}
