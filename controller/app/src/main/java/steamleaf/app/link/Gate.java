package steamleaf.app.link;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.Set;
import steamleaf.contract.Because;
import steamleaf.contract.Codec;
import steamleaf.contract.CommandMessage;

/**
 * Looks at what arrives on the command topic before the cycle hears of it. Whatever asks for a stop
 * passes, however old, repeated, retained or incomplete: off is never refused.
 */
final class Gate {
    static final String STOP = "stop";
    private static final String HOLD = "hold";
    private static final String LINE = "line";

    /** Longest command that is taken. Engineering choice; a real one has under 1 kB. */
    static final int MOST_BYTES = 16 * 1024;

    private static final int LONGEST_TEXT = 64;
    private static final String LEVEL = "[A-Za-z0-9._-]{1,64}";

    /** What becomes of a message. */
    sealed interface Verdict {
        record Take(CommandMessage command) implements Verdict {}

        record Refuse(String client, String id, Because because) implements Verdict {}

        /** Nobody can be answered. */
        record Ignore(String why) implements Verdict {}
    }

    private final String start;
    private final Set<String> units;

    /**
     * @param start id of this start of the controller
     * @param units labels of all units, the line included
     */
    Gate(String start, Set<String> units) {
        this.start = start;
        this.units = units;
    }

    Verdict check(byte[] payload, boolean retained) {
        JsonNode tree;
        try {
            tree = Codec.read(payload, JsonNode.class);
        } catch (Codec.Malformed e) {
            return new Verdict.Ignore(String.valueOf(e.getMessage()));
        }
        if (text(tree, "kind").equals(STOP)) {
            return new Verdict.Take(stop(tree));
        }
        String client = text(tree, "client");
        if (!client.matches(LEVEL)) {
            return new Verdict.Ignore("no client to answer to");
        }
        if (payload.length > MOST_BYTES) {
            return refuse(
                    tree,
                    Because.of(
                            "command-too-large",
                            Integer.toString(payload.length),
                            Integer.toString(MOST_BYTES)));
        }
        try {
            return check(tree, Codec.read(tree, CommandMessage.class), retained);
        } catch (Codec.Malformed e) {
            return refuse(tree, Because.of("command-malformed", String.valueOf(e.getMessage())));
        }
    }

    private Verdict check(JsonNode tree, CommandMessage command, boolean retained) {
        if (!isShort(command.id()) || !isShort(command.by())) {
            return refuse(
                    tree,
                    Because.of(
                            "command-malformed",
                            "id and by: 1 to " + LONGEST_TEXT + " characters"));
        }
        if (!CommandMessage.KINDS.contains(command.kind())) {
            return refuse(tree, Because.of("command-unknown-kind", shortened(command.kind())));
        }
        if (retained) {
            return refuse(tree, Because.of("command-retained"));
        }
        boolean off = command.kind().equals(HOLD);
        if (!off && !command.start().equals(start)) {
            return refuse(tree, Because.of("command-other-start"));
        }
        return new Verdict.Take(command);
    }

    /** A stop with whatever is missing filled in; one for a unit nobody knows stops the line. */
    private CommandMessage stop(JsonNode tree) {
        String unit = text(tree, "unit");
        String client = text(tree, "client");
        String by = shortened(text(tree, "by"));
        String id = shortened(text(tree, "id"));
        return new CommandMessage(
                id.isEmpty() ? "stop-without-id" : id,
                client.matches(LEVEL) ? client : "",
                by.isEmpty() ? "unknown" : by,
                start,
                tree.path("seenCycle").asLong(0),
                tree.path("seenState").asLong(0),
                units.contains(unit) ? unit : LINE,
                STOP,
                CommandMessage.Args.NONE);
    }

    private static Verdict refuse(JsonNode tree, Because because) {
        return new Verdict.Refuse(text(tree, "client"), shortened(text(tree, "id")), because);
    }

    private static String text(JsonNode tree, String field) {
        return tree.path(field).isTextual() ? tree.path(field).textValue() : "";
    }

    private static boolean isShort(String text) {
        return !text.isBlank() && text.length() <= LONGEST_TEXT;
    }

    private static String shortened(String text) {
        return text.length() <= LONGEST_TEXT ? text : text.substring(0, LONGEST_TEXT);
    }
}
