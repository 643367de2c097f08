package steamleaf.core.batch;

import java.util.Map;

/** What became of a command. */
public sealed interface Answer {
    String commandId();

    /**
     * Done, in this cycle.
     *
     * @param subject what came of it: the id of the new lot, batch or sample, else the unit's label
     */
    record Moved(String commandId, String by, String subject) implements Answer {}

    /**
     * Nothing was changed.
     *
     * @param subject what stands in the way: a lot, a unit, a permissive's id
     * @param values numbers for the sentence, unit last in each name
     */
    record Refused(
            String commandId, String by, Refusal reason, String subject, Map<String, Double> values)
            implements Answer {}
}
