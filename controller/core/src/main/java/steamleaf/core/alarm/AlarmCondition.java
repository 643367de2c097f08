package steamleaf.core.alarm;

import steamleaf.core.reading.UnitId;

/**
 * A condition that stands in this cycle: found by estimate or batch, or a guard's cause (the caller
 * turns each cause into one with {@link AlarmKind#of(String)} of its reason's key, as long as the
 * cause is present or latched).
 */
public record AlarmCondition(UnitId unit, AlarmKind kind) {}
