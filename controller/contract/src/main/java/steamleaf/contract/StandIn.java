package steamleaf.contract;

/**
 * A press of a simulated button, offered only where a simulator stands in for the machine. The
 * controller does not know this message: the simulator's own process listens to it and presses the
 * simulated contact.
 *
 * @param button {@code start}, {@code reset}, {@code confirm} or {@code silence}
 */
public record StandIn(String button) {
    /** Full topic: {@code steamleaf-stand-in/{site}}. */
    public static String topic(String site) {
        return "steamleaf-stand-in/" + Topics.requireLevel("site", site);
    }

    public static final String TOPIC_SUFFIX = "steamleaf-stand-in/{site}";
}
