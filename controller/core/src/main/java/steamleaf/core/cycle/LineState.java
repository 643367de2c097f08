package steamleaf.core.cycle;

import java.util.List;
import java.util.Set;
import steamleaf.core.alarm.AlarmCondition;
import steamleaf.core.alarm.AlarmStates;
import steamleaf.core.batch.Event;
import steamleaf.core.batch.Floor;
import steamleaf.core.interlock.GuardLimits;
import steamleaf.core.interlock.GuardState;
import steamleaf.core.interlock.OvenActivity;
import steamleaf.core.interlock.WantedOutputs;
import steamleaf.core.reading.UnitId;

/**
 * All that one cycle hands to the next. A value, but for the moisture filters, which are stepped in
 * place so that they need not allocate: a state is stepped once, and {@link Line#snapshot} keeps
 * what must be kept.
 *
 * @param nowS the line's time axis: sums elapsed seconds, goes on over a restart
 * @param secondS time since the last once-a-second work
 * @param chest how cold the steam was since leaf is on the belt
 * @param untold events that the next result reports first
 */
public record LineState(
        long cycle,
        double nowS,
        double secondS,
        Floor floor,
        GuardState guard,
        AlarmStates alarms,
        List<OvenLoop> loops,
        SteamerLoop steamer,
        List<OvenLeaf> leaves,
        double boilingC,
        ChestWatch chest,
        WantedOutputs wanted,
        GuardLimits limits,
        List<OvenActivity> activity,
        List<AlarmCondition> conditions,
        Set<UnitId> inUse,
        List<Event> untold) {}
