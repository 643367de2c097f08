package steamleaf.core.batch;

/**
 * Where a unit's batch stands, in the words of IEC 61512. {@code PLANNED} is ours: leaf is
 * allotted, nothing has been heated.
 */
public enum ProcedureState {
    IDLE,
    PLANNED,
    RUNNING,
    HELD,
    STOPPED,
    ABORTED,
    COMPLETE
}
