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
 * @param by who acknowledged or shelved
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
        Because what) {}
