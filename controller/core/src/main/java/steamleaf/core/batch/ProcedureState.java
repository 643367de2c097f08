package steamleaf.core.batch;

/**
 * Where a unit's batch stands, in the words of IEC 61512. {@code PLANNED} is ours: leaf is
 * allotted, nothing has been heated. A batch that is packed leaves its oven, which is idle again.
 */
public enum ProcedureState {
    IDLE,
    PLANNED,
    RUNNING,
    HELD,
    STOPPED,
    ABORTED
}
