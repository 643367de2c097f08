package steamleaf.monitor.config;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.api.lowlevel.Compose;
import org.snakeyaml.engine.v2.exceptions.YamlEngineException;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;
import steamleaf.contract.Language;
import steamleaf.monitor.MonitorSettings;
import steamleaf.monitor.access.Access;

/**
 * Reads the monitor's configuration. Every mistake is collected with its line, what stands there
 * and what is allowed; a file with mistakes gives no settings.
 */
public final class MonitorFile {
    private static final int MOST_PORT = 65_535;
    private static final int USUAL_MQTT = 1_883;
    private static final int USUAL_HTTP = 8_080;
    private static final String NAME = "[A-Za-z0-9._-]{1,64}";
    private static final Map<String, List<String>> KEYS =
            Map.of(
                    "",
                            List.of(
                                    "site",
                                    "store",
                                    "http",
                                    "mqtt",
                                    "zone",
                                    "language",
                                    "people",
                                    "notices"),
                    "store", List.of("name", "file"),
                    "http", List.of("bind", "port"),
                    "mqtt", List.of("host", "port", "user", "passwordFile"));

    private final String file;
    private final Path folder;
    private final List<String> problems = new ArrayList<>();
    private final Map<String, Node> values = new LinkedHashMap<>();

    private MonitorFile(String file, Path folder) {
        this.file = file;
        this.folder = folder;
    }

    /** What came of reading a file. */
    public sealed interface Read {
        record Good(MonitorSettings settings) implements Read {}

        /** Each problem is one line. */
        record Wrong(List<String> problems) implements Read {}
    }

    public static Read read(Path path) {
        try {
            Path parent = path.toAbsolutePath().getParent();
            return read(
                    path.getFileName().toString(),
                    Files.readString(path, StandardCharsets.UTF_8),
                    parent == null ? path.toAbsolutePath() : parent);
        } catch (IOException e) {
            return new Read.Wrong(List.of(path + ": can't be read (" + e.getMessage() + ")"));
        }
    }

    static Read read(String file, String text, Path folder) {
        MonitorFile reading = new MonitorFile(file, folder);
        reading.parse(text);
        MonitorSettings settings = reading.settings();
        return reading.problems.isEmpty()
                ? new Read.Good(settings)
                : new Read.Wrong(List.copyOf(reading.problems));
    }

    private void parse(String text) {
        try {
            LoadSettings settings = LoadSettings.builder().setLabel(file).build();
            Node root = new Compose(settings).composeString(text).orElse(null);
            if (root instanceof MappingNode mapping) {
                mapping("", mapping);
            } else {
                problems.add(
                        file
                                + ":1: the file is no list of keys, allowed: site, store, http, mqtt …");
            }
        } catch (YamlEngineException e) {
            problems.add(
                    file
                            + ": not YAML: "
                            + String.valueOf(e.getMessage()).lines().findFirst().orElse(""));
        }
    }

    private void mapping(String under, MappingNode mapping) {
        List<String> allowed = KEYS.getOrDefault(under, List.of());
        for (NodeTuple tuple : mapping.getValue()) {
            String key = tuple.getKeyNode() instanceof ScalarNode scalar ? scalar.getValue() : "?";
            String path = under.isEmpty() ? key : under + "." + key;
            if (!allowed.contains(key)) {
                problems.add(
                        at(tuple.getKeyNode())
                                + path
                                + " is not known, allowed"
                                + (under.isEmpty() ? "" : " under " + under)
                                + ": "
                                + String.join(", ", allowed));
            } else if (tuple.getValueNode() instanceof MappingNode inner
                    && KEYS.containsKey(path)) {
                mapping(path, inner);
            } else if (values.put(path, tuple.getValueNode()) != null) {
                problems.add(at(tuple.getKeyNode()) + path + " stands twice");
            }
        }
    }

    private String at(Node node) {
        return file + ":" + node.getStartMark().map(mark -> mark.getLine() + 1).orElse(1) + ": ";
    }

    private MonitorSettings settings() {
        String site =
                text(
                        "site",
                        null,
                        NAME,
                        "1 to 64 letters, digits, dots, hyphens and underscores, as in the controller's configuration");
        String store =
                text(
                        "store.name",
                        "monitor",
                        NAME,
                        "1 to 64 letters, digits, dots, hyphens and underscores");
        String storeFile = text("store.file", null, ".+", "a file, relative to this one");
        String bind = text("http.bind", "127.0.0.1", ".+", "127.0.0.1");
        String refusal = Access.refusal(bind);
        if (refusal != null) {
            problems.add(where("http.bind") + refusal);
        }
        int httpPort = port("http.port", USUAL_HTTP, 0);
        String host = text("mqtt.host", "127.0.0.1", "\\S+", "a host name or address");
        int mqttPort = port("mqtt.port", USUAL_MQTT, 1);
        String user =
                values.containsKey("mqtt.user") ? text("mqtt.user", null, ".+", "a name") : null;
        String password = password();
        ZoneId zone = zone();
        Language language =
                text("language", "en", "en|ja", "en or ja").equals("ja")
                        ? Language.JAPANESE
                        : Language.ENGLISH;
        return new MonitorSettings(
                site,
                store,
                folder.resolve(storeFile),
                bind,
                httpPort,
                host,
                mqttPort,
                user,
                password,
                zone,
                language,
                people(),
                values.containsKey("notices")
                        ? new NoticeBlock(file, folder, problems).read(values.get("notices"))
                        : null);
    }

    private String where(String path) {
        Node node = values.get(path);
        return node == null ? file + ": " : at(node);
    }

    private String text(String path, @Nullable String usual, String pattern, String allowed) {
        Node node = values.get(path);
        if (node == null) {
            if (usual == null) {
                problems.add(file + ": " + path + " is missing, allowed: " + allowed);
                return "missing";
            }
            return usual;
        }
        if (node instanceof ScalarNode scalar && scalar.getValue().matches(pattern)) {
            return scalar.getValue();
        }
        problems.add(at(node) + path + " = " + shown(node) + ", allowed: " + allowed);
        return "wrong";
    }

    private static String shown(Node node) {
        return node instanceof ScalarNode scalar
                ? "\"" + scalar.getValue() + "\""
                : node instanceof SequenceNode ? "a list" : "a block";
    }

    private int port(String path, int usual, int least) {
        String text = text(path, String.valueOf(usual), "\\d{1,5}", least + " to " + MOST_PORT);
        if (!text.matches("\\d+")) {
            return usual;
        }
        int port = Integer.parseInt(text);
        if (port < least || port > MOST_PORT) {
            problems.add(
                    where(path) + path + " = " + port + ", allowed: " + least + " to " + MOST_PORT);
        }
        return port;
    }

    private ZoneId zone() {
        String zone =
                text(
                        "zone",
                        ZoneId.systemDefault().getId(),
                        "\\S+",
                        "a time zone such as Asia/Tokyo");
        return parsed("zone", zone, ZoneId::of, ZoneId.systemDefault());
    }

    private <T> T parsed(String path, String text, Function<String, T> parser, T otherwise) {
        try {
            return text.equals("wrong") ? otherwise : parser.apply(text);
        } catch (DateTimeException _) {
            problems.add(
                    where(path)
                            + path
                            + " = \""
                            + text
                            + "\", allowed: a time zone such as Asia/Tokyo");
            return otherwise;
        }
    }

    /** A password has a file of its own, so that the configuration can be shown around. */
    private @Nullable String password() {
        if (!values.containsKey("mqtt.passwordFile")) {
            return null;
        }
        Path path =
                folder.resolve(
                        text(
                                "mqtt.passwordFile",
                                null,
                                ".+",
                                "a file that holds the password alone"));
        try {
            return Files.readString(path, StandardCharsets.UTF_8).strip();
        } catch (IOException _) {
            problems.add(
                    where("mqtt.passwordFile")
                            + "mqtt.passwordFile = "
                            + path.getFileName()
                            + " can't be read, allowed: a file that holds the password alone");
            return null;
        }
    }

    private List<String> people() {
        Node node = values.get("people");
        if (node == null) {
            return List.of();
        }
        List<String> people = new ArrayList<>();
        if (node instanceof SequenceNode sequence) {
            for (Node item : sequence.getValue()) {
                if (item instanceof ScalarNode scalar && !scalar.getValue().isBlank()) {
                    people.add(scalar.getValue().strip());
                } else {
                    problems.add(at(item) + "people: " + shown(item) + ", allowed: a name");
                }
            }
        } else {
            problems.add(at(node) + "people = " + shown(node) + ", allowed: a list of names");
        }
        return people;
    }

    /** The keys by block, for the documentation's test. */
    static Map<String, List<String>> keys() {
        return new TreeMap<>(KEYS);
    }
}
