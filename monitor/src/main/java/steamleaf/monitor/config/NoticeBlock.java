package steamleaf.monitor.config;

import java.io.IOException;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;
import steamleaf.contract.Language;
import steamleaf.monitor.notice.NoticeSettings;
import steamleaf.monitor.notice.PushKeys;
import steamleaf.monitor.notice.Trust;

/** Reads the block {@code notices}; mistakes are collected like those of the rest of the file. */
final class NoticeBlock {
    static final List<String> KEYS =
            List.of(
                    "page",
                    "leastPriority",
                    "perHour",
                    "people",
                    "steps",
                    "mail",
                    "webhooks",
                    "push",
                    "trustFile");
    static final List<String> PERSON = List.of("name", "mail", "push", "language");
    static final List<String> STEP = List.of("afterS", "tell");
    static final List<String> MAIL =
            List.of("host", "port", "security", "user", "passwordFile", "from");
    static final List<String> HOOK = List.of("name", "url", "secretFile");
    static final List<String> PUSH = List.of("contact", "keyFile");

    private static final String ADDRESS = "[^@\\s<>]+@[^@\\s<>]+";
    private static final int MOST_S = 86_400;
    private static final int SUBMISSION_TLS = 465;
    private static final int SHORTEST_SECRET = 16;

    private final String file;
    private final Path folder;
    private final List<String> problems;

    NoticeBlock(String file, Path folder, List<String> problems) {
        this.file = file;
        this.folder = folder;
        this.problems = problems;
    }

    /** A block and the path that leads to it. */
    private record Block(String path, Node node, Map<String, Node> values) {
        String of(String key) {
            return path + "." + key;
        }
    }

    private String at(Node node) {
        return file + ":" + node.getStartMark().map(mark -> mark.getLine() + 1).orElse(1) + ": ";
    }

    private void wrong(Node node, String path, String found, String allowed) {
        problems.add(at(node) + path + " = " + found + ", allowed: " + allowed);
    }

    private Block block(String path, Node node, List<String> allowed) {
        Map<String, Node> values = new LinkedHashMap<>();
        if (node instanceof MappingNode mapping) {
            for (NodeTuple tuple : mapping.getValue()) {
                String key =
                        tuple.getKeyNode() instanceof ScalarNode scalar ? scalar.getValue() : "?";
                if (!allowed.contains(key)) {
                    problems.add(
                            at(tuple.getKeyNode())
                                    + path
                                    + "."
                                    + key
                                    + " is not known, allowed under "
                                    + path
                                    + ": "
                                    + String.join(", ", allowed));
                } else if (values.put(key, tuple.getValueNode()) != null) {
                    problems.add(at(tuple.getKeyNode()) + path + "." + key + " stands twice");
                }
            }
        } else {
            wrong(node, path, shown(node), "a block with " + String.join(", ", allowed));
        }
        return new Block(path, node, values);
    }

    private static String shown(Node node) {
        return node instanceof ScalarNode scalar
                ? "\"" + scalar.getValue() + "\""
                : node instanceof SequenceNode ? "a list" : "a block";
    }

    /** Empty when it is missing or wrong, which has then been said. */
    private String text(
            Block in, String key, @Nullable String usual, String pattern, String allowed) {
        Node node = in.values().get(key);
        if (node == null) {
            if (usual == null) {
                problems.add(at(in.node()) + in.of(key) + " is missing, allowed: " + allowed);
                return "";
            }
            return usual;
        }
        if (node instanceof ScalarNode scalar && scalar.getValue().matches(pattern)) {
            return scalar.getValue();
        }
        wrong(node, in.of(key), shown(node), allowed);
        return "";
    }

    private int whole(Block in, String key, @Nullable Integer usual, int from, int to) {
        String allowed = from + " to " + to;
        String text = text(in, key, usual == null ? null : usual.toString(), "\\d{1,6}", allowed);
        if (text.isEmpty()) {
            return from;
        }
        int number = Integer.parseInt(text);
        Node node = in.values().get(key);
        if (node != null && (number < from || number > to)) {
            wrong(node, in.of(key), text, allowed);
        }
        return number;
    }

    private List<Node> list(Block in, String key) {
        Node node = in.values().get(key);
        if (node == null) {
            return List.of();
        }
        if (node instanceof SequenceNode sequence) {
            return sequence.getValue();
        }
        wrong(node, in.of(key), shown(node), "a list");
        return List.of();
    }

    NoticeSettings read(Node node) {
        Block in = block("notices", node, KEYS);
        String page = text(in, "page", null, "https?://\\S+/", "the pages' address, https://…/");
        List<NoticeSettings.Person> people = new ArrayList<>();
        list(in, "people").forEach(p -> people.add(person(p, people.size())));
        Set<String> names = new LinkedHashSet<>();
        for (NoticeSettings.Person person : people) {
            if (!names.add(person.name()) && !person.name().isEmpty()) {
                problems.add(
                        at(node)
                                + "notices.people: "
                                + person.name()
                                + " stands twice, allowed: once");
            }
        }
        if (people.isEmpty()) {
            problems.add(
                    at(node)
                            + "notices.people is missing, allowed: a list of people with their ways");
        }
        List<NoticeSettings.Step> steps = new ArrayList<>();
        list(in, "steps").forEach(s -> steps.add(step(s, steps, names)));
        if (steps.isEmpty()) {
            problems.add(
                    at(node)
                            + "notices.steps is missing, allowed: a list of steps, the first with afterS: 0");
        }
        NoticeSettings settings =
                new NoticeSettings(
                        page,
                        text(
                                in,
                                "leastPriority",
                                "medium",
                                "high|medium|low",
                                "high, medium or low"),
                        whole(in, "perHour", 20, 1, 1_000),
                        people,
                        steps,
                        mail(in),
                        hooks(in),
                        push(in),
                        trust(in));
        unreachable(settings, node);
        return settings;
    }

    /** A way that a person wants and that is not set up would fail silently. */
    private void unreachable(NoticeSettings settings, Node node) {
        for (NoticeSettings.Person person : settings.people()) {
            if (person.mail() != null && settings.mail() == null) {
                problems.add(
                        at(node)
                                + "notices.mail is missing, allowed: the server that takes mail for "
                                + person.name());
            }
            if (person.push() && settings.push() == null) {
                problems.add(
                        at(node)
                                + "notices.push is missing, allowed: contact and keyFile, for the phones of "
                                + person.name());
            }
        }
    }

    private NoticeSettings.Person person(Node node, int index) {
        Block in = block("notices.people[" + index + "]", node, PERSON);
        return new NoticeSettings.Person(
                text(in, "name", null, "\\S.{0,39}", "a name of at most 40 letters"),
                in.values().containsKey("mail")
                        ? text(in, "mail", null, ADDRESS, "a mail address")
                        : null,
                text(in, "push", "false", "true|false", "true or false").equals("true"),
                text(in, "language", "en", "en|ja", "en or ja").equals("ja")
                        ? Language.JAPANESE
                        : Language.ENGLISH);
    }

    private NoticeSettings.Step step(
            Node node, List<NoticeSettings.Step> before, Set<String> names) {
        Block in = block("notices.steps[" + before.size() + "]", node, STEP);
        int afterS = whole(in, "afterS", null, 0, MOST_S);
        Node after = in.values().getOrDefault("afterS", node);
        if (before.isEmpty() && afterS != 0) {
            wrong(
                    after,
                    in.of("afterS"),
                    String.valueOf(afterS),
                    "0, the first step is told at once");
        } else if (!before.isEmpty() && afterS <= before.getLast().afterS()) {
            wrong(
                    after,
                    in.of("afterS"),
                    String.valueOf(afterS),
                    "more than the step before, " + (int) before.getLast().afterS());
        }
        List<String> tell = new ArrayList<>();
        Set<String> allowed = new LinkedHashSet<>(names);
        allowed.add(NoticeSettings.ON_WATCH);
        allowed.add(NoticeSettings.EVERYONE);
        for (Node who : list(in, "tell")) {
            if (who instanceof ScalarNode scalar && allowed.contains(scalar.getValue())) {
                tell.add(scalar.getValue());
            } else {
                wrong(who, in.of("tell"), shown(who), String.join(", ", allowed));
            }
        }
        if (tell.isEmpty()) {
            problems.add(
                    at(node)
                            + in.of("tell")
                            + " is missing, allowed: "
                            + String.join(", ", allowed));
        }
        return new NoticeSettings.Step(afterS, tell);
    }

    private NoticeSettings.@Nullable MailServer mail(Block notices) {
        Node node = notices.values().get("mail");
        if (node == null) {
            return null;
        }
        Block in = block("notices.mail", node, MAIL);
        String user =
                in.values().containsKey("user") ? text(in, "user", null, ".+", "a name") : null;
        return new NoticeSettings.MailServer(
                text(in, "host", null, "\\S+", "a host name"),
                whole(in, "port", SUBMISSION_TLS, 1, 65_535),
                text(
                                in,
                                "security",
                                "tls",
                                "tls|starttls",
                                "tls or starttls; mail is never sent in the clear")
                        .equals("tls"),
                user,
                user == null ? null : secret(in, "passwordFile", "the password", 1),
                text(in, "from", null, ADDRESS, "a mail address"));
    }

    private List<NoticeSettings.Hook> hooks(Block notices) {
        List<NoticeSettings.Hook> hooks = new ArrayList<>();
        for (Node node : list(notices, "webhooks")) {
            Block in = block("notices.webhooks[" + hooks.size() + "]", node, HOOK);
            String url =
                    text(
                            in,
                            "url",
                            null,
                            "https://[^\\s/@]+(/\\S*)?|http://(127\\.0\\.0\\.1|localhost)(:\\d+)?(/\\S*)?",
                            "an https address; http only on this machine");
            hooks.add(
                    new NoticeSettings.Hook(
                            text(in, "name", null, "[A-Za-z0-9._ -]{1,40}", "a name"),
                            uri(in, url),
                            secret(
                                    in,
                                    "secretFile",
                                    "the secret, 16 letters or more",
                                    SHORTEST_SECRET)));
        }
        return hooks;
    }

    private URI uri(Block in, String url) {
        try {
            return URI.create(url);
        } catch (IllegalArgumentException _) {
            wrong(
                    in.values().getOrDefault("url", in.node()),
                    in.of("url"),
                    "no address",
                    "an https address");
            return URI.create("");
        }
    }

    private NoticeSettings.@Nullable PushSender push(Block notices) {
        Node node = notices.values().get("push");
        if (node == null) {
            return null;
        }
        Block in = block("notices.push", node, PUSH);
        Path keys = folder.resolve(text(in, "keyFile", "push.key", ".+", "a file"));
        String refusal = PushKeys.refusal(keys);
        if (refusal != null) {
            problems.add(at(node) + in.of("keyFile") + " = " + refusal);
        }
        return new NoticeSettings.PushSender(
                text(
                        in,
                        "contact",
                        null,
                        "mailto:" + ADDRESS + "|https://\\S+",
                        "mailto:… or https://…, where the push service's operator finds you"),
                keys);
    }

    private @Nullable Path trust(Block notices) {
        Node node = notices.values().get("trustFile");
        if (node == null) {
            return null;
        }
        Path path = folder.resolve(text(notices, "trustFile", null, ".+", "a file"));
        try {
            Trust.certificates(path);
            return path;
        } catch (IOException | GeneralSecurityException _) {
            wrong(
                    node,
                    "notices.trustFile",
                    path.getFileName() + " can't be read",
                    "certificates in PEM");
            return null;
        }
    }

    /** What a file holds alone; the file's contents are never said. */
    private String secret(Block in, String key, String what, int least) {
        String name = text(in, key, null, ".+", "a file that holds " + what + " alone");
        Node node = in.values().get(key);
        if (name.isEmpty() || node == null) {
            return "";
        }
        try {
            String secret = Files.readString(folder.resolve(name), StandardCharsets.UTF_8).strip();
            if (secret.length() < least) {
                wrong(
                        node,
                        in.of(key),
                        name + " is too short",
                        "a file that holds " + what + " alone");
            }
            return secret;
        } catch (IOException _) {
            wrong(
                    node,
                    in.of(key),
                    name + " can't be read",
                    "a file that holds " + what + " alone");
            return "";
        }
    }
}
