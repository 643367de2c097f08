package steamleaf.core.alarm;

/**
 * One alarm that is not normal.
 *
 * @param sinceCycle cycle of the last change of stage
 * @param sinceS line time of the last change of stage
 * @param by who acknowledged, shelved or took it out; empty if nobody
 * @param reason why it is shelved or out of service; empty if neither
 * @param untilS line time at which shelving ends; NaN otherwise
 */
public record AlarmStatus(
        AlarmKey alarm,
        AlarmStage stage,
        long sinceCycle,
        double sinceS,
        String by,
        String reason,
        double untilS) {}
