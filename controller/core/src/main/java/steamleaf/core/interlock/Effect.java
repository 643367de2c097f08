package steamleaf.core.interlock;

/** What a rule takes away. */
public enum Effect {
    /** Contactor open; with it all heat, steam and belt. */
    CONTACTOR_OFF,
    /** Contactor open, fan off, damper and extractor closed or off, evacuate signal. */
    FIRE,
    /** Both steam valves and the belt off. */
    STEAM_OFF,
    /** The oven's heater off. */
    HEAT_OFF,
    /** Nothing: somebody is told. */
    ALARM_ONLY
}
