package steamleaf.core.batch;

import java.util.List;
import java.util.Set;
import steamleaf.core.reading.UnitId;

/**
 * What one cycle did to the floor, and what it asks of the others.
 *
 * @param starts units whose start, resume or confirm was pressed at the machine
 * @param resets units whose reset was pressed at the machine
 * @param stops units whose heat, steam and belt must be off from this cycle on
 * @param alarmCommands commands to alarms that are fresh and new: whoever keeps the alarms answers
 *     them
 * @param silence the horn's button was pressed
 */
public record FloorStep(
        Floor floor,
        List<Event> events,
        List<Answer> answers,
        List<LeafAction> leafActions,
        Set<UnitId> starts,
        Set<UnitId> resets,
        Set<UnitId> stops,
        List<Command> alarmCommands,
        boolean silence) {}
