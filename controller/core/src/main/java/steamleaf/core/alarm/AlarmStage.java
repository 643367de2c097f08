package steamleaf.core.alarm;

/** States of one alarm, IEC 62682 (names as recalled; the standard's text was not opened). */
public enum AlarmStage {
    NORMAL,
    UNACKNOWLEDGED,
    ACKNOWLEDGED,
    RETURNED_UNACKNOWLEDGED,
    /** Hidden by a person for a limited time, with a reason. Never a trip's alarm. */
    SHELVED,
    /** Hidden because another alarm or the state of the line already says it. */
    SUPPRESSED_BY_DESIGN,
    /** Taken out for maintenance. Never a trip's alarm. */
    OUT_OF_SERVICE
}
