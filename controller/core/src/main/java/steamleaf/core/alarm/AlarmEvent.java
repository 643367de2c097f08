package steamleaf.core.alarm;

/** One change of one alarm, for journal and notices. */
public sealed interface AlarmEvent {
    /**
     * @param by who asked for it; empty if nobody did
     * @param reason what they said; empty if nothing
     */
    record Changed(AlarmKey alarm, AlarmStage from, AlarmStage to, String by, String reason)
            implements AlarmEvent {}

    /** The horn was silenced at the machine. */
    record Silenced() implements AlarmEvent {}

    record Refused(AlarmRequest request, Refusal why) implements AlarmEvent {}

    enum Refusal {
        /** This unit has no such alarm. */
        NO_SUCH_ALARM,
        TRIPS_ARE_NEVER_HIDDEN,
        REASON_MISSING,
        /** Shelving for no time, or for longer than {@link Alarms#LONGEST_SHELVING_S}. */
        SHELVING_TIME_OUT_OF_RANGE,
        NOTHING_TO_ACKNOWLEDGE,
        NOT_SHELVED,
        NOT_OUT_OF_SERVICE
    }
}
