package steamleaf.core.alarm;

import steamleaf.core.reading.UnitId;

/** One alarm of one unit. */
public record AlarmKey(UnitId unit, AlarmKind kind) {
    /** The name messages use, for example {@code oven-1.door-open}. */
    public String label() {
        return unit.label() + "." + kind.key();
    }
}
