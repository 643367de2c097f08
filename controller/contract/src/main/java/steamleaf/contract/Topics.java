package steamleaf.contract;

/**
 * Topic names under {@code steamleaf/1/{site}/}. A breaking change of any message moves everything
 * to {@code steamleaf/2/}.
 */
public record Topics(String site) {
    /** The version in every topic. */
    public static final int VERSION = 1;

    public Topics {
        requireLevel("site", site);
    }

    private String at(String rest) {
        return "steamleaf/" + VERSION + "/" + site + "/" + rest;
    }

    /** {@link Status}, QoS 1, retained, also the controller's last will. */
    public String status() {
        return at("status");
    }

    /** {@link LineDescription}, QoS 1, retained. */
    public String line() {
        return at("line");
    }

    /** {@link RecipeDescription}, QoS 1, retained. */
    public String recipe(String name) {
        return at("recipe/" + requireLevel("recipe", name));
    }

    /** {@link UnitLive}, QoS 0, retained, at most four per real second and unit. */
    public String unit(String unit) {
        return at("unit/" + requireLevel("unit", unit));
    }

    /** {@link AlarmLive}, QoS 1, retained. */
    public String alarm(String id) {
        return at("alarm/" + requireLevel("alarm", id));
    }

    /** {@link LearnedLive}, QoS 1, retained. */
    public String learned(String oven) {
        return at("learned/" + requireLevel("oven", oven));
    }

    /** {@link Have}, QoS 1, retained: a store acknowledges and asks. */
    public String have(String store) {
        return at("have/" + requireLevel("store", store));
    }

    /** {@link JournalRecord}, QoS 1: numbered records after what the store has. */
    public String record(String store) {
        return at("record/" + requireLevel("store", store));
    }

    /** {@link CommandMessage}, QoS 1, never retained. */
    public String command() {
        return at("command");
    }

    /** {@link AnswerMessage}, QoS 1, not retained. */
    public String answer(String client) {
        return at("answer/" + requireLevel("client", client));
    }

    /** The last level of a topic such as {@code have/{store}}. */
    public static String lastLevel(String topic) {
        return topic.substring(topic.lastIndexOf('/') + 1);
    }

    /** One topic level: not empty, no separator, no wildcard. */
    static String requireLevel(String what, String level) {
        if (level.isEmpty() || level.length() > 64 || !level.matches("[A-Za-z0-9._-]+")) {
            throw new IllegalArgumentException(
                    what
                            + " = \""
                            + level
                            + "\", allowed: 1 to 64 letters, digits, dots, hyphens and underscores");
        }
        return level;
    }
}
