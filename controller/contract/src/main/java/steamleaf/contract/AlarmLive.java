package steamleaf.contract;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * One alarm's state (IEC 62682).
 *
 * @param id unit and definition, for example {@code oven-1.air-high}
 * @param definition key of the alarm table
 * @param state normal, unacknowledged, acknowledged, returned-unacknowledged, shelved, suppressed,
 *     out-of-service
 * @param priority high, medium or low
 * @param respondS time to respond
 * @param since line time of the last change
 * @param by who acknowledged, shelved or took it out of service
 * @param raised cycle in which it was last raised: orders a storm, first cause first; null when it
 *     is normal, and from an older controller
 * @param rank its place in the alarm table: orders alarms of the same cycle, likely causes first
 * @param trip never shelved, suppressed or taken out of service
 * @param reason why it is shelved or out of service
 * @param until line time at which shelving ends
 */
public record AlarmLive(
        String id,
        String unit,
        String definition,
        String state,
        String priority,
        double respondS,
        long cycle,
        Instant since,
        @Nullable String by,
        Because what,
        @Nullable Long raised,
        @Nullable Integer rank,
        @Nullable Boolean trip,
        @Nullable String reason,
        @Nullable Instant until) {
    /** What an older controller says. */
    public AlarmLive(
            String id,
            String unit,
            String definition,
            String state,
            String priority,
            double respondS,
            long cycle,
            Instant since,
            @Nullable String by,
            Because what) {
        this(
                id,
                unit,
                definition,
                state,
                priority,
                respondS,
                cycle,
                since,
                by,
                what,
                null,
                null,
                null,
                null,
                null);
    }
}
