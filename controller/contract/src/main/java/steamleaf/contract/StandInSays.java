package steamleaf.contract;

/**
 * What the simulated helper did and read, for instance on the bench scale: retained on {@link
 * #topic}, offered only where a simulator stands in for the machine.
 *
 * @param text in plain words
 */
public record StandInSays(String text) {
    /** Full topic: {@code steamleaf-stand-in/{site}/says}. */
    public static String topic(String site) {
        return StandIn.topic(site) + "/says";
    }
}
