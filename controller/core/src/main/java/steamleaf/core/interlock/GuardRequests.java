package steamleaf.core.interlock;

import java.util.Set;
import steamleaf.core.reading.UnitId;

/**
 * What people asked of the guard in this cycle. Starts and resets are in here only when a button at
 * the machine was pressed (edge, not stuck) and matches what was armed; stops need neither.
 *
 * @param starts start or resume of the steamer or an oven: lifts interlocks whose cause is gone and
 *     permits heat, steam and belt of that unit
 * @param resets reset of all trips that hold this unit's heat or steam off and whose cause is gone,
 *     those of the contactor included; {@code LINE} resets every unit's
 * @param stops heat, steam and belt off in this same cycle, never refused; {@code LINE} stops all
 *     units and opens the contactor
 */
public record GuardRequests(Set<UnitId> starts, Set<UnitId> resets, Set<UnitId> stops) {
    public static final GuardRequests NONE = new GuardRequests(Set.of(), Set.of(), Set.of());
}
