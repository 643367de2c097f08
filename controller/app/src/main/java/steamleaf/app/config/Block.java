package steamleaf.app.config;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;

/**
 * One mapping of the file while it is being read: hands out checked values, remembers which keys
 * were asked for, and names all others in {@link #end()}. A value that is missing or wrong is
 * reported and replaced by something harmless, so that reading goes on and finds the rest.
 */
final class Block {
    private static final Pattern NUMBER =
            Pattern.compile("[-+]?(\\d+(\\.\\d*)?|\\.\\d+)([eE][-+]?\\d+)?");
    private static final Pattern WHOLE = Pattern.compile("[-+]?\\d{1,9}|0x[0-9A-Fa-f]{1,6}");

    private final Problems problems;
    private final String path;
    private final int line;
    private final Map<String, Node> values = new LinkedHashMap<>();
    private final Map<String, Integer> lines = new LinkedHashMap<>();
    private final Set<String> asked = new LinkedHashSet<>();

    private Block(Problems problems, String path, int line) {
        this.problems = problems;
        this.path = path;
        this.line = line;
    }

    /** The mapping {@code node}, or an empty block with a problem when it is something else. */
    static Block of(Problems problems, String path, Node node) {
        Block block = new Block(problems, path, lineOf(node));
        if (node instanceof MappingNode mapping) {
            for (NodeTuple tuple : mapping.getValue()) {
                block.take(tuple);
            }
        } else {
            problems.value(
                    lineOf(node), path.isEmpty() ? "file" : path, shown(node), "a mapping", "");
        }
        return block;
    }

    private void take(NodeTuple tuple) {
        int at = lineOf(tuple.getKeyNode());
        String key = tuple.getKeyNode() instanceof ScalarNode scalar ? scalar.getValue() : "?";
        if (values.putIfAbsent(key, tuple.getValueNode()) != null) {
            problems.say(
                    at,
                    at(key) + " stands twice, first in line " + lines.get(key) + ". Remove one");
        }
        lines.putIfAbsent(key, at);
        problems.place(at(key), at);
    }

    private static int lineOf(Node node) {
        return node.getStartMark().map(mark -> mark.getLine() + 1).orElse(0);
    }

    private static String shown(Node node) {
        return switch (node) {
            case ScalarNode scalar -> scalar.getValue().isEmpty() ? "nothing" : scalar.getValue();
            case SequenceNode _ -> "a list";
            case MappingNode _ -> "a mapping";
            default -> "something else";
        };
    }

    /** Path of {@code key} in this block. */
    String at(String key) {
        return path.isEmpty() ? key : path + "." + key;
    }

    Problems problems() {
        return problems;
    }

    /** The line where {@code key} stands, or the block's own. */
    int line(String key) {
        return lines.getOrDefault(key, line);
    }

    boolean has(String key) {
        asked.add(key);
        return values.containsKey(key);
    }

    /** Keys in the order of the file; each counts as asked for. */
    Set<String> keys() {
        asked.addAll(values.keySet());
        return values.keySet();
    }

    private @Nullable Node node(String key, String allowed, String why) {
        asked.add(key);
        Node node = values.get(key);
        if (node == null) {
            problems.say(
                    line,
                    at(key)
                            + " is missing, allowed: "
                            + allowed
                            + (why.isEmpty() ? "" : ". " + why));
        }
        return node;
    }

    private @Nullable String scalar(String key, String allowed, String why) {
        Node node = node(key, allowed, why);
        if (node == null) {
            return null;
        }
        if (node instanceof ScalarNode scalar && !scalar.getValue().isEmpty()) {
            return scalar.getValue();
        }
        wrong(key, shown(node), allowed, why);
        return null;
    }

    void wrong(String key, String value, String allowed, String why) {
        problems.value(line(key), at(key), value, allowed, why);
    }

    // ---- values ----

    double number(String key, double least, double most, String why) {
        String allowed = plain(least) + " to " + plain(most);
        String text = scalar(key, allowed, why);
        if (text == null) {
            return least;
        }
        double value = NUMBER.matcher(text).matches() ? Double.parseDouble(text) : Double.NaN;
        if (value >= least && value <= most) {
            return value;
        }
        wrong(key, text, allowed, why);
        return least;
    }

    double number(String key, double otherwise, double least, double most, String why) {
        return has(key) ? number(key, least, most, why) : otherwise;
    }

    int whole(String key, int least, int most, String why) {
        return whole(key, least, most, least + " to " + most, why);
    }

    /** An address or pin number: shown in the notation people use for it. */
    int address(String key, int least, int most, String why) {
        String allowed = String.format("0x%02X to 0x%02X", least, most);
        return whole(key, least, most, allowed, why);
    }

    private int whole(String key, int least, int most, String allowed, String why) {
        String text = scalar(key, allowed, why);
        if (text == null) {
            return least;
        }
        if (WHOLE.matcher(text).matches()) {
            int value =
                    text.startsWith("0x")
                            ? Integer.parseInt(text.substring(2), 16)
                            : Integer.parseInt(text);
            if (value >= least && value <= most) {
                return value;
            }
        }
        wrong(key, text, allowed, why);
        return least;
    }

    int whole(String key, int otherwise, int least, int most, String why) {
        return has(key) ? whole(key, least, most, why) : otherwise;
    }

    boolean flag(String key, boolean otherwise, String why) {
        if (!has(key)) {
            return otherwise;
        }
        String text = scalar(key, "true or false", why);
        if (text == null || text.equals("true") || text.equals("false")) {
            return text == null ? otherwise : text.equals("true");
        }
        wrong(key, text, "true or false", why);
        return otherwise;
    }

    /** A text that matches {@code pattern}, which {@code allowed} describes. */
    String text(String key, String pattern, String allowed, String why) {
        String text = scalar(key, allowed, why);
        if (text == null || text.matches(pattern)) {
            return text == null ? "" : text;
        }
        wrong(key, text, allowed, why);
        return "";
    }

    @Nullable String optionalText(String key, String pattern, String allowed, String why) {
        return has(key) ? text(key, pattern, allowed, why) : null;
    }

    /** One of {@code words}; the first when it is wrong. */
    String word(String key, List<String> words, String why) {
        String allowed = String.join(", ", words);
        String text = scalar(key, allowed, why);
        if (text == null || words.contains(text)) {
            return text == null ? words.getFirst() : text;
        }
        wrong(key, text, allowed, why);
        return words.getFirst();
    }

    /** A list of texts that each match {@code pattern}. */
    List<String> texts(String key, String pattern, String allowed, String why) {
        Node node = node(key, "a list of " + allowed, why);
        List<String> texts = new ArrayList<>();
        if (node instanceof SequenceNode sequence) {
            for (Node item : sequence.getValue()) {
                if (item instanceof ScalarNode scalar && scalar.getValue().matches(pattern)) {
                    texts.add(scalar.getValue());
                } else {
                    wrong(key, shown(item), "a list of " + allowed, why);
                }
            }
        } else if (node != null) {
            wrong(key, shown(node), "a list of " + allowed, why);
        }
        return texts;
    }

    Block block(String key, String why) {
        Node node = node(key, "a mapping", why);
        // A missing block is one mistake, not one for each of its keys.
        return node == null
                ? new Block(new Problems(""), at(key), line)
                : of(problems, at(key), node);
    }

    @Nullable Block optionalBlock(String key) {
        asked.add(key);
        Node node = values.get(key);
        return node == null ? null : of(problems, at(key), node);
    }

    List<Block> blocks(String key, String why) {
        Node node = node(key, "a list of mappings", why);
        List<Block> blocks = new ArrayList<>();
        if (node instanceof SequenceNode sequence) {
            for (Node item : sequence.getValue()) {
                blocks.add(of(problems, at(key) + "[" + blocks.size() + "]", item));
            }
        } else if (node != null) {
            wrong(key, shown(node), "a list of mappings", why);
        }
        return blocks;
    }

    /** Names every key nobody asked for, with the nearest one that would have been. */
    void end() {
        for (String key : values.keySet()) {
            if (!asked.contains(key)) {
                problems.say(
                        line(key),
                        at(key)
                                + " is not known here, allowed: "
                                + String.join(", ", Nearest.first(key, asked)));
            }
        }
    }

    static String plain(double value) {
        return value == Math.rint(value) && Math.abs(value) < 1e15
                ? Long.toString((long) value)
                : Double.toString(value);
    }
}
