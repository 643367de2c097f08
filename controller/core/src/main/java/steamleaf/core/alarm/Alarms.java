package steamleaf.core.alarm;

import java.util.List;

/** Steps all alarms of the line. */
public final class Alarms {
    private final int ovens;

    public Alarms(int ovens) {
        this.ovens = ovens;
    }

    public int ovens() {
        return ovens;
    }

    public AlarmStep step(AlarmStates states, AlarmInput in) {
        return new AlarmStep(states, List.of(), Signals.DARK);
    }
}
