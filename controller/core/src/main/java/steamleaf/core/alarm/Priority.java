package steamleaf.core.alarm;

/** How soon somebody must act. */
public enum Priority {
    HIGH,
    MEDIUM,
    LOW
}
