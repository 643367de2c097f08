package steamleaf.core.alarm;

/** One change of one alarm, for journal and notices. */
public sealed interface AlarmEvent {
    record Changed(AlarmKey alarm, AlarmStage from, AlarmStage to, String by, String reason)
            implements AlarmEvent {}

    record Refused(AlarmRequest request, Refusal why) implements AlarmEvent {}

    enum Refusal {
        TRIPS_ARE_NEVER_HIDDEN,
        REASON_MISSING,
        TOO_LONG,
        NOTHING_TO_ACKNOWLEDGE,
        NOT_SHELVED,
        NOT_OUT_OF_SERVICE
    }
}
