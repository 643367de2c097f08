package steamleaf.core.alarm;

import java.util.List;

/** The state of every alarm: a value. */
public final class AlarmStates {
    private AlarmStates() {}

    public static AlarmStates none(int ovens) {
        return new AlarmStates();
    }

    /** What a restart gets back: everything that was not normal. */
    public static AlarmStates recalled(int ovens, List<AlarmStatus> kept) {
        return new AlarmStates();
    }

    /** All alarms that are not normal, in order of appearance: first cause first. */
    public List<AlarmStatus> standing() {
        return List.of();
    }
}
