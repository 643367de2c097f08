package steamleaf.sim.text;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.api.lowlevel.Compose;
import org.snakeyaml.engine.v2.exceptions.Mark;
import org.snakeyaml.engine.v2.exceptions.MarkedYamlEngineException;
import org.snakeyaml.engine.v2.exceptions.YamlEngineException;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;

/**
 * A value of a YAML file with its place. Asking it for something that it is not is a mistake of the
 * file: it is written down, and the answer is a stand-in that lets the check go on.
 */
public final class Entry {
    /** So many names are told as what is allowed; of more, the nearest. */
    private static final int FEW = 12;

    private static final Pattern NUMBER =
            Pattern.compile("[-+]?(\\.\\d+|\\d+(\\.\\d*)?)([eE][-+]?\\d+)?");

    private final Mistakes mistakes;
    private final String path;
    private final int line;
    private final @Nullable Node node;

    private Entry(Mistakes mistakes, String path, int line, @Nullable Node node) {
        this.mistakes = mistakes;
        this.path = path;
        this.line = line;
        this.node = node;
    }

    /** The whole of {@code text}; a syntax error or an empty file is the first mistake. */
    public static Entry read(String text, Mistakes mistakes) {
        Optional<Node> root = Optional.empty();
        try {
            root = new Compose(LoadSettings.builder().build()).composeString(text);
            if (root.isEmpty()) {
                mistakes.add(1, "the file is empty");
            }
        } catch (MarkedYamlEngineException e) {
            int line = e.getProblemMark().map(Mark::getLine).orElse(0) + 1;
            mistakes.add(line, "not readable as YAML: " + e.getProblem());
        } catch (StackOverflowError e) { // the library reads one level within the other
            mistakes.add(1, "not readable as YAML: nested too deep");
        } catch (YamlEngineException e) {
            mistakes.add(1, "not readable as YAML: " + e.getMessage());
        }
        return new Entry(mistakes, "", 1, root.orElse(null));
    }

    public int line() {
        return line;
    }

    public String path() {
        return path;
    }

    /** Notes {@code allowed} against this value. */
    public void refuse(String allowed) {
        mistakes.add(line, path.isEmpty() ? "the file" : path, shown(), allowed);
    }

    public void refuseName(String word, Collection<String> names) {
        refuse(
                "a known name. Nearest to \""
                        + word
                        + "\": "
                        + String.join(", ", Nearest.to(word, names, 3)));
    }

    private String shown() {
        return switch (node) {
            case null -> "nothing";
            case ScalarNode scalar -> scalar.getValue().isEmpty() ? "nothing" : scalar.getValue();
            case MappingNode _ -> "a mapping";
            case SequenceNode _ -> "a list";
            default -> "something else";
        };
    }

    public boolean isMapping() {
        return node instanceof MappingNode;
    }

    /** The members of a mapping in the order of the file; a key given twice is a mistake. */
    public Map<String, Entry> members() {
        Map<String, Entry> members = new LinkedHashMap<>();
        if (!(node instanceof MappingNode mapping)) {
            if (node != null) {
                refuse("a mapping (key: value)");
            }
            return members;
        }
        for (NodeTuple tuple : mapping.getValue()) {
            String key = tuple.getKeyNode() instanceof ScalarNode scalar ? scalar.getValue() : "?";
            String memberPath = path.isEmpty() ? key : path + "." + key;
            int memberLine = lineOf(tuple.getKeyNode());
            Entry member = new Entry(mistakes, memberPath, memberLine, tuple.getValueNode());
            if (members.putIfAbsent(key, member) != null) {
                mistakes.add(memberLine, memberPath + " is given twice");
            }
        }
        return members;
    }

    /** The members, with a mistake for each key that is not one of {@code allowed}. */
    public Map<String, Entry> members(List<String> allowed) {
        Map<String, Entry> members = members();
        Set<String> known = new HashSet<>(allowed);
        members.forEach(
                (key, member) -> {
                    if (!known.contains(key)) {
                        mistakes.add(
                                member.line,
                                member.path
                                        + " is not known here, allowed: "
                                        + String.join(", ", allowed));
                    }
                });
        return members;
    }

    /** Member {@code key} of {@code members}, or a stand-in and a mistake at this entry's line. */
    public Entry need(Map<String, Entry> members, String key) {
        Entry member = members.get(key);
        if (member == null) {
            mistakes.add(line, (path.isEmpty() ? "the file" : path) + " lacks " + key);
            return new Entry(mistakes, path.isEmpty() ? key : path + "." + key, line, null);
        }
        return member;
    }

    /** Whether there is anything to look at; what is missing has been noted already. */
    public boolean isPresent() {
        return node != null;
    }

    public List<Entry> items() {
        List<Entry> items = new ArrayList<>();
        if (node instanceof SequenceNode sequence) {
            int n = 1;
            for (Node item : sequence.getValue()) {
                items.add(new Entry(mistakes, path + "[" + n++ + "]", lineOf(item), item));
            }
        } else if (node != null) {
            refuse("a list (- …)");
        }
        return items;
    }

    /** Text of a scalar; empty when it is none or says nothing. */
    public String text() {
        String text = scalar();
        return text == null ? "" : text;
    }

    public boolean says(String word) {
        return node instanceof ScalarNode scalar && scalar.getValue().equals(word);
    }

    /** Null when it is none: that is noted then, here or where it was found to be missing. */
    private @Nullable String scalar() {
        if (node instanceof ScalarNode scalar) {
            return scalar.getValue();
        }
        if (node != null) {
            refuse("a single value");
        }
        return null;
    }

    /**
     * A whole number, hexadecimal as 0x…, within the bounds; the lower bound stands in for a
     * mistake.
     */
    public int integer(int from, int to) {
        String text = scalar();
        if (text == null) {
            return from;
        }
        try {
            int value = Integer.decode(text);
            if (value >= from && value <= to) {
                return value;
            }
        } catch (NumberFormatException e) {
            // told below, together with what is allowed
        }
        refuse("a whole number from " + from + " to " + to);
        return from;
    }

    public double number(double from, double to) {
        String text = scalar();
        return text == null ? from : number(text, from, to, "");
    }

    /** A number followed by its unit, which must be there. */
    public double quantity(String unit, double from, double to) {
        String text = scalar();
        if (text == null) {
            return from;
        }
        String suffix = " " + unit;
        if (!text.endsWith(suffix)) {
            refuse(plain(from) + " to " + plain(to) + suffix + ", with the unit");
            return from;
        }
        return number(text.substring(0, text.length() - suffix.length()).strip(), from, to, suffix);
    }

    /** A time as a number and {@code s}, {@code min} or {@code h}; in seconds. */
    public double timeS(double fromS, double toS) {
        String text = scalar();
        if (text == null) {
            return fromS;
        }
        int space = text.indexOf(' ');
        double unitS =
                switch (space < 0 ? "" : text.substring(space + 1)) {
                    case "s" -> 1;
                    case "min" -> 60;
                    case "h" -> 3600;
                    default -> Double.NaN;
                };
        double value = decimal(space < 0 ? text : text.substring(0, space)) * unitS;
        if (value >= fromS && value <= toS) { // said positively, so NaN is refused
            return value;
        }
        refuse(
                "a time from "
                        + plain(fromS)
                        + " s to "
                        + plain(toS)
                        + " s, with its unit: s, min or h");
        return fromS;
    }

    /** As people write numbers; not all that the language reads as one. */
    private static double decimal(String text) {
        return NUMBER.matcher(text).matches() ? Double.parseDouble(text) : Double.NaN;
    }

    private double number(String text, double from, double to, String suffix) {
        double value = decimal(text);
        if (value >= from && value <= to) { // said positively, so NaN is refused
            return value;
        }
        refuse(plain(from) + " to " + plain(to) + suffix);
        return from;
    }

    public static String plain(double value) {
        return value == Math.rint(value) && Math.abs(value) < 1e9
                ? Long.toString((long) value)
                : Double.toString(value);
    }

    /** One of {@code names}; null, with a mistake, when it is none. */
    public @Nullable String oneOf(Collection<String> names) {
        String text = scalar();
        if (text == null) {
            return null;
        }
        if (names.contains(text)) {
            return text;
        }
        if (text.isEmpty() && names.size() > FEW) {
            refuse("a known name, for example " + names.iterator().next());
        } else if (names.size() <= FEW) {
            refuse(String.join(", ", names));
        } else {
            refuseName(text, names);
        }
        return null;
    }

    private static int lineOf(Node node) {
        return node.getStartMark().map(Mark::getLine).orElse(0) + 1;
    }
}
