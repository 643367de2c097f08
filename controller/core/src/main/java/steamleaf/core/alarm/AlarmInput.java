package steamleaf.core.alarm;

import java.util.List;
import steamleaf.core.reading.Readings;

/**
 * What the alarms see in one cycle.
 *
 * @param conditions everything wrong in this cycle; absent means gone
 * @param running heat or steam is permitted somewhere: green lamp
 * @param personWanted a prompt waits for somebody: blue lamp
 */
public record AlarmInput(
        long cycle,
        double elapsedS,
        Readings readings,
        List<AlarmCondition> conditions,
        List<AlarmRequest> requests,
        boolean running,
        boolean personWanted) {}
