package steamleaf.sim.plant;

import java.lang.reflect.RecordComponent;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.api.lowlevel.Compose;
import org.snakeyaml.engine.v2.exceptions.MarkedYamlEngineException;
import org.snakeyaml.engine.v2.exceptions.YamlEngineException;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;

/**
 * Reads a YAML file that overrides single numbers of a plant. Mappings follow the records of {@link
 * PlantSettings}; what the file does not name keeps its value. All mistakes are found before any is
 * reported.
 */
public final class PlantYaml {
    /** What came of a file. */
    public sealed interface Outcome {}

    public record Read(PlantSettings settings) implements Outcome {}

    /** Every mistake, each with file, line, what was found and what is allowed. */
    public record Refused(List<String> mistakes) implements Outcome {}

    private static final Pattern NUMBER =
            Pattern.compile("[-+]?(\\.\\d+|\\d[\\d_]*(\\.\\d*)?)([eE][-+]?\\d+)?");

    private final String file;
    private final List<String> mistakes = new ArrayList<>();
    private final List<String> paths;
    private final Map<String, Node> given = new HashMap<>();

    private PlantYaml(String file, PlantSettings base) {
        this.file = file;
        paths = SettingsTree.entries(base).stream().map(SettingsTree.Entry::path).toList();
    }

    /**
     * Reads a file's content.
     *
     * @param text the file's content
     * @param file its name, for messages
     * @param base what the file overrides
     */
    public static Outcome read(String text, String file, PlantSettings base) {
        return new PlantYaml(file, base).read(text, base);
    }

    private Outcome read(String text, PlantSettings base) {
        Optional<Node> root;
        try {
            LoadSettings settings =
                    LoadSettings.builder().setLabel(file).setAllowDuplicateKeys(true).build();
            root = new Compose(settings).composeString(text);
        } catch (MarkedYamlEngineException e) {
            int line = e.getProblemMark().map(mark -> mark.getLine() + 1).orElse(1);
            return new Refused(List.of(file + ":" + line + ": not YAML: " + e.getProblem()));
        } catch (YamlEngineException e) {
            return new Refused(List.of(file + ":1: not YAML: " + e.getMessage()));
        }
        if (root.isEmpty()) {
            return new Read(base);
        }
        collect(root.get(), base.getClass(), "");
        PlantSettings settings =
                SettingsTree.rebuild(base, "", (path, entry) -> override(path, entry));
        if (mistakes.isEmpty()) {
            agree(settings);
        }
        return mistakes.isEmpty() ? new Read(settings) : new Refused(sorted());
    }

    private List<String> sorted() {
        return mistakes.stream().sorted(Comparator.comparingInt(PlantYaml::lineOf)).toList();
    }

    private static int lineOf(String mistake) {
        int space = mistake.indexOf(": ");
        return Integer.parseInt(mistake.substring(mistake.lastIndexOf(':', space - 1) + 1, space));
    }

    private void collect(Node node, Class<?> type, String prefix) {
        if (!(node instanceof MappingNode mapping)) {
            String where = prefix.isEmpty() ? "the file" : prefix.substring(0, prefix.length() - 1);
            mistake(
                    node,
                    where
                            + " = "
                            + shown(node)
                            + ", allowed: a mapping with keys "
                            + String.join(", ", SettingsTree.childrenOf(type)));
            return;
        }
        Set<String> seen = new HashSet<>();
        for (NodeTuple tuple : mapping.getValue()) {
            Node keyNode = tuple.getKeyNode();
            String name = keyNode instanceof ScalarNode scalar ? scalar.getValue() : shown(keyNode);
            String path = prefix + name;
            RecordComponent component = componentOf(type, name);
            if (component == null) {
                List<String> nearest = nearest(name, SettingsTree.childrenOf(type), prefix);
                mistake(
                        keyNode,
                        path
                                + " is not a key of the plant; nearest: "
                                + String.join(", ", nearest));
            } else if (!seen.add(name)) {
                mistake(keyNode, path + " is given twice");
            } else if (component.getType().isRecord()) {
                collect(tuple.getValueNode(), component.getType(), path + ".");
            } else {
                given.put(path, tuple.getValueNode());
            }
        }
    }

    private static @Nullable RecordComponent componentOf(Class<?> type, String name) {
        for (RecordComponent component : type.getRecordComponents()) {
            if (component.getName().equals(name)) {
                return component;
            }
        }
        return null;
    }

    private Object override(String path, SettingsTree.Entry entry) {
        Node node = given.get(path);
        if (node == null) {
            return entry.value();
        }
        if (entry.type() == List.class) {
            return list(node, entry);
        }
        if (node instanceof ScalarNode scalar && NUMBER.matcher(scalar.getValue()).matches()) {
            double value = Double.parseDouble(scalar.getValue().replace("_", ""));
            if (entry.type() == int.class) {
                return whole(scalar, value, entry);
            }
            if (value >= entry.key().min() && value <= entry.key().max()) {
                return value;
            }
        }
        wrong(node, entry, "a number, ");
        return entry.value();
    }

    private Object whole(ScalarNode node, double value, SettingsTree.Entry entry) {
        if (value == Math.rint(value) && value >= entry.key().min() && value <= entry.key().max()) {
            return (int) value;
        }
        wrong(node, entry, "a whole number, ");
        return entry.value();
    }

    private Object list(Node node, SettingsTree.Entry entry) {
        if (!(node instanceof SequenceNode sequence)) {
            wrong(node, entry, "a list of numbers, each ");
            return entry.value();
        }
        List<Double> values = new ArrayList<>();
        for (Node item : sequence.getValue()) {
            boolean good = false;
            if (item instanceof ScalarNode scalar && NUMBER.matcher(scalar.getValue()).matches()) {
                double value = Double.parseDouble(scalar.getValue().replace("_", ""));
                good = value >= entry.key().min() && value <= entry.key().max();
                values.add(value);
            }
            if (!good) {
                wrong(item, entry, "a list of numbers, each ");
            }
        }
        return List.copyOf(values);
    }

    /** What must hold between numbers; looked at only when each number by itself is allowed. */
    private void agree(PlantSettings settings) {
        PlantSettings.Oven oven = settings.oven();
        if (oven.airDistribution().size() != oven.trays()) {
            Node node = given.getOrDefault("oven.airDistribution", given.get("oven.trays"));
            mistake(
                    node,
                    "oven.airDistribution has "
                            + oven.airDistribution().size()
                            + " numbers, allowed: one for each of the "
                            + oven.trays()
                            + " trays (oven.trays)");
        }
        if (oven.freshClosedM3PerH() > oven.freshOpenM3PerH()) {
            Node node =
                    given.getOrDefault("oven.freshClosedM3PerH", given.get("oven.freshOpenM3PerH"));
            mistake(
                    node,
                    "oven.freshClosedM3PerH = "
                            + SettingsTree.number(oven.freshClosedM3PerH())
                            + ", allowed: at most oven.freshOpenM3PerH = "
                            + SettingsTree.number(oven.freshOpenM3PerH()));
        }
        if (oven.freshOpenM3PerH() > 0.9 * oven.fanFlowM3PerH()) {
            Node node = given.getOrDefault("oven.freshOpenM3PerH", given.get("oven.fanFlowM3PerH"));
            mistake(
                    node,
                    "oven.freshOpenM3PerH = "
                            + SettingsTree.number(oven.freshOpenM3PerH())
                            + ", allowed: at most nine tenths of oven.fanFlowM3PerH = "
                            + SettingsTree.number(oven.fanFlowM3PerH()));
        }
        if (settings.steamer().reliefKPa() <= settings.steamer().overPressureKPa()) {
            Node node =
                    given.getOrDefault("steamer.reliefKPa", given.get("steamer.overPressureKPa"));
            mistake(
                    node,
                    "steamer.reliefKPa = "
                            + SettingsTree.number(settings.steamer().reliefKPa())
                            + ", allowed: above steamer.overPressureKPa = "
                            + SettingsTree.number(settings.steamer().overPressureKPa()));
        }
    }

    private void wrong(Node node, SettingsTree.Entry entry, String kind) {
        mistake(
                node,
                entry.path()
                        + " = "
                        + shown(node)
                        + ", allowed: "
                        + kind
                        + entry.range()
                        + " ("
                        + entry.key().what()
                        + ")");
    }

    private void mistake(@Nullable Node node, String what) {
        int line = node == null ? 1 : node.getStartMark().map(mark -> mark.getLine() + 1).orElse(1);
        mistakes.add(file + ":" + line + ": " + what);
    }

    private static String shown(Node node) {
        return switch (node) {
            case ScalarNode scalar -> scalar.getValue().isEmpty() ? "(nothing)" : scalar.getValue();
            case SequenceNode _ -> "(a list)";
            case MappingNode _ -> "(a mapping)";
            default -> "(" + node.getNodeType() + ")";
        };
    }

    /**
     * Siblings that are spelled nearly so, then keys of the very name elsewhere; if there are none,
     * all siblings.
     */
    private List<String> nearest(String name, List<String> allowed, String prefix) {
        List<String> found =
                new ArrayList<>(
                        allowed.stream()
                                .filter(
                                        candidate ->
                                                distance(name, candidate)
                                                        <= Math.max(2, name.length() / 2))
                                .sorted(
                                        Comparator.comparingInt(
                                                        (String candidate) ->
                                                                distance(name, candidate))
                                                .thenComparing(candidate -> candidate))
                                .limit(3)
                                .map(candidate -> prefix + candidate)
                                .toList());
        for (String path : paths) {
            if (path.endsWith("." + name)) {
                found.add(path);
            }
        }
        return found.isEmpty()
                ? allowed.stream().map(candidate -> prefix + candidate).toList()
                : found;
    }

    /** Levenshtein distance, without regard to case. */
    private static int distance(String one, String other) {
        int[] row = new int[other.length() + 1];
        for (int j = 0; j < row.length; j++) {
            row[j] = j;
        }
        for (int i = 1; i <= one.length(); i++) {
            int diagonal = row[0];
            row[0] = i;
            for (int j = 1; j < row.length; j++) {
                boolean same =
                        Character.toLowerCase(one.charAt(i - 1))
                                == Character.toLowerCase(other.charAt(j - 1));
                int cost = Math.min(Math.min(row[j], row[j - 1]) + 1, diagonal + (same ? 0 : 1));
                diagonal = row[j];
                row[j] = cost;
            }
        }
        return row[other.length()];
    }
}
