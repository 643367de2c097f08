package steamleaf.core.interlock;

import java.util.List;
import steamleaf.core.reading.Readings;

/**
 * All the guard sees in one cycle.
 *
 * @param elapsedS seconds since the last cycle by the monotonic clock
 * @param cycleLate the shell found this or the last cycle late
 * @param wanted what batch and loops would like
 * @param activity one per oven, oven 1 first
 */
public record GuardInput(
        long cycle,
        double elapsedS,
        boolean cycleLate,
        Readings readings,
        WantedOutputs wanted,
        GuardLimits limits,
        GuardRequests requests,
        List<OvenActivity> activity) {}
