package steamleaf.app.translate;

import steamleaf.core.reading.Quantity;

/** Names of quantities on the wire, with their units, and how finely they are said. */
public final class Names {
    private Names() {}

    /** Lower camel case with the unit last, as in {@code docs/mqtt.md}. */
    public static String of(Quantity quantity) {
        return switch (quantity) {
            case EMERGENCY_STOP_HEALTHY -> "emergencyStopHealthy";
            case PERMIT_KEY_ON -> "permitKeyOn";
            case START_BUTTON -> "startButton";
            case RESET_BUTTON -> "resetButton";
            case CONFIRM_BUTTON -> "confirmButton";
            case SILENCE_BUTTON -> "silenceButton";
            case CONTACTOR_CLOSED -> "contactorClosed";
            case SUPPLY_HEALTHY -> "supplyHealthy";
            case SMOKE_HEALTHY -> "smokeHealthy";
            case ROOM_C -> "roomC";
            case ROOM_RH -> "roomRh";
            case ROOM_PRESSURE_KPA -> "pressureKPa";
            case CHEST_A_C -> "chestAC";
            case CHEST_B_C -> "chestBC";
            case HOOD_CLOSED -> "hoodClosed";
            case HOOD_LOCKED -> "hoodLocked";
            case STEAM_AVAILABLE -> "steamAvailable";
            case OVER_PRESSURE_HEALTHY -> "overPressureHealthy";
            case BELT_MM_PER_S -> "beltMmPerS";
            case EXTRACTOR_PROVEN -> "extractorProven";
            case AIR_C -> "airC";
            case EXHAUST_C -> "exhaustC";
            case EXHAUST_RH -> "exhaustRh";
            case SCALE_KG -> "scaleKg";
            case DOOR_CLOSED -> "doorClosed";
            case AIRFLOW_PROVEN -> "airflow";
            case HIGH_LIMIT_HEALTHY -> "highLimitHealthy";
            case HEATER_CURRENT -> "heaterCurrent";
        };
    }

    /** Steps per unit: 100 for two decimals. */
    static int perUnit(Quantity quantity) {
        return switch (quantity) {
            case CHEST_A_C, CHEST_B_C, AIR_C, EXHAUST_C, ROOM_PRESSURE_KPA -> 100;
            case EXHAUST_RH -> 10_000;
            case ROOM_RH, SCALE_KG -> 1_000;
            case ROOM_C, BELT_MM_PER_S -> 10;
            case EMERGENCY_STOP_HEALTHY,
                    PERMIT_KEY_ON,
                    START_BUTTON,
                    RESET_BUTTON,
                    CONFIRM_BUTTON,
                    SILENCE_BUTTON,
                    CONTACTOR_CLOSED,
                    SUPPLY_HEALTHY,
                    SMOKE_HEALTHY,
                    HOOD_CLOSED,
                    HOOD_LOCKED,
                    STEAM_AVAILABLE,
                    OVER_PRESSURE_HEALTHY,
                    EXTRACTOR_PROVEN,
                    DOOR_CLOSED,
                    AIRFLOW_PROVEN,
                    HIGH_LIMIT_HEALTHY,
                    HEATER_CURRENT ->
                    1;
        };
    }
}
