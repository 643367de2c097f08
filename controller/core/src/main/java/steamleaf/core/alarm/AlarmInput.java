package steamleaf.core.alarm;

import java.util.List;
import java.util.Set;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/**
 * What the alarms see in one cycle.
 *
 * @param conditions everything wrong in this cycle; absent means gone
 * @param inUse units that have a batch or are running; alarms that mean nothing on an idle unit are
 *     suppressed elsewhere
 * @param running heat or steam is permitted somewhere: green lamp
 * @param personWanted a prompt waits for somebody: blue lamp
 */
public record AlarmInput(
        long cycle,
        double elapsedS,
        Readings readings,
        List<AlarmCondition> conditions,
        List<AlarmRequest> requests,
        Set<UnitId> inUse,
        boolean running,
        boolean personWanted) {}
