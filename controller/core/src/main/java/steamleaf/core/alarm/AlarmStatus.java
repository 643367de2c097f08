package steamleaf.core.alarm;

/**
 * One alarm that is not normal.
 *
 * @param raisedCycle cycle in which it was last raised: orders a flood, first cause first
 * @param sinceCycle cycle of the last change of stage
 * @param sinceS alarm time of the last change of stage
 * @param by who acknowledged, shelved or took it out; empty if nobody
 * @param reason why it is shelved or out of service; empty if neither
 * @param untilS alarm time at which shelving ends; NaN otherwise
 */
public record AlarmStatus(
        AlarmKey alarm,
        AlarmStage stage,
        long raisedCycle,
        long sinceCycle,
        double sinceS,
        String by,
        String reason,
        double untilS) {}
