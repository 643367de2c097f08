package steamleaf.core.alarm;

import java.util.List;

/** The alarms after one cycle, what changed, and horn and lamps. */
public record AlarmStep(AlarmStates states, List<AlarmEvent> events, Signals signals) {}
