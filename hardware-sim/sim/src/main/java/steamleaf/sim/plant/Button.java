package steamleaf.sim.plant;

/** Momentary buttons at the machine. */
public enum Button {
    START,
    RESET,
    CONFIRM,
    SILENCE
}
