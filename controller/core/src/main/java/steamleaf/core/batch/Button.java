package steamleaf.core.batch;

/** The four buttons at the machine. */
public enum Button {
    START,
    RESET,
    CONFIRM,
    SILENCE
}
