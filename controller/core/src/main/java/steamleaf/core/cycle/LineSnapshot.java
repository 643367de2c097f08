package steamleaf.core.cycle;

import java.util.List;
import steamleaf.core.alarm.AlarmStatus;
import steamleaf.core.batch.Floor;
import steamleaf.core.interlock.GuardState;

/**
 * What must survive a restart: plain records all the way down.
 *
 * @param alarmsNowS the alarms' own time
 * @param leaves oven 1 first
 */
public record LineSnapshot(
        double nowS,
        Floor floor,
        GuardState.Kept guard,
        List<AlarmStatus> alarms,
        double alarmsNowS,
        List<LeafSnapshot> leaves) {}
