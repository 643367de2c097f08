package steamleaf.core.interlock;

import steamleaf.core.reading.UnitId;

/**
 * A rule that has an effect now, at one unit.
 *
 * @param present the condition stands now; false means only the latch holds
 * @param latched a person must let go of it (see the rule's latch)
 * @param firstOut the first trip of its group: what came first when one thing led to others
 * @param sinceCycle cycle in which it took effect
 */
public record Cause(
        Rule rule,
        UnitId unit,
        boolean present,
        boolean latched,
        boolean firstOut,
        long sinceCycle) {
    /**
     * Rings its alarm: the condition is present, or a trip waits for its reset. (An interlock whose
     * cause is gone only waits for a start.)
     */
    public boolean isStanding() {
        return present || (latched && rule.latch() == Latch.TRIP);
    }

    public Reason reason() {
        return rule.reason();
    }
}
