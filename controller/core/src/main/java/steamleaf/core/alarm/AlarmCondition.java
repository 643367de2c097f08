package steamleaf.core.alarm;

import steamleaf.core.reading.UnitId;

/**
 * A condition that stands in this cycle: found by estimate or batch, or a guard's cause (the caller
 * turns each standing cause into one with {@link AlarmKind#of(String)} of its reason's key).
 */
public record AlarmCondition(UnitId unit, AlarmKind kind) {}
