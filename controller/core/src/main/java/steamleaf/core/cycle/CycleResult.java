package steamleaf.core.cycle;

import java.util.List;
import steamleaf.core.alarm.AlarmEvent;
import steamleaf.core.batch.Answer;
import steamleaf.core.batch.Event;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.Annunciation;
import steamleaf.core.interlock.GuardEvent;

/**
 * What one cycle decided.
 *
 * @param second whether this cycle did the once-a-second work: time to publish and to record
 */
public record CycleResult(
        LineState state,
        AllowedOutputs outputs,
        Annunciation annunciation,
        List<Event> events,
        List<GuardEvent> guardEvents,
        List<AlarmEvent> alarmEvents,
        List<Answer> answers,
        boolean second) {}
