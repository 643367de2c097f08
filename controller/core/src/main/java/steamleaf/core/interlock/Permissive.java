package steamleaf.core.interlock;

import steamleaf.core.reading.UnitId;

/**
 * One precondition of heat or steam of a unit.
 *
 * @param unit where the precondition lives: the unit itself or the line
 * @param reason why not, when not good
 * @param beforeStart true: must be good before a start is accepted; false: comes with the start
 *     (contactor, airflow, the press itself)
 */
public record Permissive(UnitId unit, Reason reason, boolean good, boolean beforeStart) {}
