package steamleaf.core.cycle;

import java.util.List;
import steamleaf.core.batch.Answer;
import steamleaf.core.batch.Event;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.Annunciation;

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
        List<Answer> answers,
        boolean second) {}
