package steamleaf.core.interlock;

import java.util.Locale;

/** Why heat or steam is off or a press was refused. The sentences are made in the contract. */
public enum Reason {
    // line
    CYCLE_LATE,
    EMERGENCY_STOP,
    SMOKE,
    CONTACTOR_WELDED,
    CONTACTOR_NOT_CLOSING,
    UNDERVOLTAGE,
    RESTARTED_TOO_OFTEN,
    PERMIT_KEY_OFF,
    // steamer
    HOOD_OPEN,
    HOOD_NOT_LOCKED,
    OVER_PRESSURE,
    CHEST_SENSOR_BAD,
    CHEST_SENSORS_DISAGREE,
    BELT_STOPPED,
    CHEST_NOT_COOLING,
    NO_STEAM_AVAILABLE,
    CHEST_ABOVE_BOILING,
    EXTRACTOR_NOT_PROVEN,
    EXTRACTOR_STUCK_PROVEN,
    // oven
    DOOR_OPEN,
    AIR_SENSOR_BAD,
    HIGH_LIMIT_OPEN,
    AIR_ABOVE_OVEN_LIMIT,
    AIR_ABOVE_RECIPE_LIMIT,
    EXHAUST_ABOVE_LIMIT,
    AIRFLOW_NOT_PROVEN,
    AIRFLOW_STUCK_PROVEN,
    AIR_FROZEN,
    AIR_DISAGREES_EXHAUST,
    HEAT_WITHOUT_RISE,
    RISING_TOO_FAST,
    HEATED_TOO_LONG,
    EXHAUST_SENSOR_BAD,
    CURRENT_WITH_HEAT_OFF,
    RISING_WITH_HEAT_OFF,
    FIRE_LIKE,
    NO_HEATER_CURRENT,
    DOOR_NOT_SEEN_OPEN,
    HEAT_PAUSED_AIR_WARM,
    ANOTHER_OVEN_WARMS_FIRST,
    // preconditions that are no faults
    NOT_READY_AFTER_START,
    CONTACTOR_OPEN,
    PRESS_RESET_AT_MACHINE,
    CONTACTOR_BEING_TESTED,
    PRESS_START_AT_MACHINE,
    FAN_OFF;

    private final String key = name().toLowerCase(Locale.ROOT).replace('_', '-');

    /** Key of the sentence in the contract's table of texts, for example {@code door-open}. */
    public String key() {
        return key;
    }
}
