package steamleaf.core.reading;

/**
 * What is sensed, with its unit in the name. Contacts read 1 (closed circuit: healthy, closed,
 * pressed) or 0; an open wire reads 0. Ratios are 0 to 1.
 */
public enum Quantity {
    EMERGENCY_STOP_HEALTHY(UnitKind.LINE),
    PERMIT_KEY_ON(UnitKind.LINE),
    START_BUTTON(UnitKind.LINE),
    RESET_BUTTON(UnitKind.LINE),
    CONFIRM_BUTTON(UnitKind.LINE),
    SILENCE_BUTTON(UnitKind.LINE),
    CONTACTOR_CLOSED(UnitKind.LINE),
    SUPPLY_HEALTHY(UnitKind.LINE),
    SMOKE_HEALTHY(UnitKind.LINE),
    ROOM_C(UnitKind.LINE),
    ROOM_RH(UnitKind.LINE),
    ROOM_PRESSURE_KPA(UnitKind.LINE),

    CHEST_A_C(UnitKind.STEAMER),
    CHEST_B_C(UnitKind.STEAMER),
    HOOD_CLOSED(UnitKind.STEAMER),
    HOOD_LOCKED(UnitKind.STEAMER),
    STEAM_AVAILABLE(UnitKind.STEAMER),
    OVER_PRESSURE_HEALTHY(UnitKind.STEAMER),
    BELT_MM_PER_S(UnitKind.STEAMER),
    EXTRACTOR_PROVEN(UnitKind.STEAMER),

    AIR_C(UnitKind.OVEN),
    EXHAUST_C(UnitKind.OVEN),
    EXHAUST_RH(UnitKind.OVEN),
    /** Leaf and trays on the tray scale; bad quality {@code NOT_FITTED} where there is none. */
    SCALE_KG(UnitKind.OVEN),
    DOOR_CLOSED(UnitKind.OVEN),
    AIRFLOW_PROVEN(UnitKind.OVEN),
    HIGH_LIMIT_HEALTHY(UnitKind.OVEN),
    HEATER_CURRENT(UnitKind.OVEN);

    private final UnitKind of;
    private final int offset;

    Quantity(UnitKind of) {
        this.of = of;
        this.offset = Offsets.next(of);
    }

    /** The kind of unit that has this quantity. */
    public UnitKind of() {
        return of;
    }

    /** Position among the quantities of its kind, from 0. */
    int offset() {
        return offset;
    }

    static int count(UnitKind kind) {
        return Offsets.COUNT[kind.ordinal()];
    }

    /**
     * Enum constants can't write static fields of their own enum while they are made, so the
     * counters live here.
     */
    private static final class Offsets {
        static final int[] COUNT = new int[UnitKind.values().length];

        static int next(UnitKind kind) {
            return COUNT[kind.ordinal()]++;
        }
    }
}
