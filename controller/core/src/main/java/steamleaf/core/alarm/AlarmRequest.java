package steamleaf.core.alarm;

/** What a person did to an alarm. */
public sealed interface AlarmRequest {
    record Acknowledge(AlarmKey alarm, String by) implements AlarmRequest {}

    /** Refused for trips, without a reason, or for longer than the longest shelving time. */
    record Shelve(AlarmKey alarm, double forS, String by, String reason) implements AlarmRequest {}

    record Unshelve(AlarmKey alarm, String by) implements AlarmRequest {}

    record TakeOutOfService(AlarmKey alarm, String by, String reason) implements AlarmRequest {}

    record PutInService(AlarmKey alarm, String by) implements AlarmRequest {}

    /** The button at the machine: the horn is quiet until a new alarm. */
    record Silence() implements AlarmRequest {}
}
