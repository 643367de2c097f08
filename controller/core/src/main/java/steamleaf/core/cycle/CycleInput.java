package steamleaf.core.cycle;

import java.util.List;
import steamleaf.core.alarm.AlarmCondition;
import steamleaf.core.batch.Command;
import steamleaf.core.reading.Readings;

/**
 * What one cycle is given.
 *
 * @param cycle counts up by one
 * @param elapsedS since the cycle before, monotonic
 * @param late the cycle before did not end in time
 * @param commands in the order they came; the caller bounds their number
 * @param conditions for the alarms, found outside the core: disk full, clock doubtful
 */
public record CycleInput(
        long cycle,
        double elapsedS,
        boolean late,
        Readings readings,
        List<Command> commands,
        List<AlarmCondition> conditions) {}
