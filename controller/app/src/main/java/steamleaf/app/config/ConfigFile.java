package steamleaf.app.config;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.api.lowlevel.Compose;
import org.snakeyaml.engine.v2.exceptions.MarkedYamlEngineException;
import org.snakeyaml.engine.v2.exceptions.YamlEngineException;
import org.snakeyaml.engine.v2.nodes.Node;
import steamleaf.app.io.Wiring;
import steamleaf.core.batch.BatchSettings;
import steamleaf.core.batch.OvenSettings;
import steamleaf.core.batch.Recipe;
import steamleaf.core.batch.SteamerSettings;
import steamleaf.core.batch.StockRecipes;
import steamleaf.core.cycle.LineSettings;
import steamleaf.core.cycle.LoopSettings;
import steamleaf.core.interlock.GuardSettings;
import steamleaf.core.reading.UnitId;

/** Reads one file; either it is right as a whole, or everything wrong with it is said. */
public final class ConfigFile {
    /** The control cycle of this program. */
    public static final double CYCLE_S = 0.1;

    private static final String NAME = "[A-Za-z0-9._-]{1,64}";
    private static final String NAME_IS = "1 to 64 letters, digits, dots, hyphens, underscores";

    private final Path folder;

    private ConfigFile(Path folder) {
        this.folder = folder;
    }

    /**
     * @throws Misconfigured with every mistake in it
     * @throws IOException when it can't be read at all
     */
    public static Config read(Path file) throws Misconfigured, IOException {
        Path folder = file.toAbsolutePath().getParent();
        return parse(
                String.valueOf(file.getFileName()),
                Files.readString(file, StandardCharsets.UTF_8),
                folder == null ? Path.of("") : folder);
    }

    /** The stock configuration of the invented site Ridge House, as it stands in the jar. */
    public static String stock() {
        try (var in = ConfigFile.class.getResourceAsStream("/steamleaf/app/steamleaf.yaml")) {
            if (in == null) {
                throw new IllegalStateException("steamleaf.yaml is not in the jar");
            }
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new IllegalStateException("steamleaf.yaml can't be read from the jar", e);
        }
    }

    /**
     * @param name of the file, for messages
     * @param folder that relative paths start from
     */
    public static Config parse(String name, String yaml, Path folder) throws Misconfigured {
        Problems problems = new Problems(name);
        Optional<Node> root;
        try {
            root = new Compose(LoadSettings.builder().setLabel(name).build()).composeString(yaml);
        } catch (MarkedYamlEngineException e) {
            int line = e.getProblemMark().map(mark -> mark.getLine() + 1).orElse(1);
            problems.say(line, "not YAML: " + e.getProblem());
            throw new Misconfigured(problems.all());
        } catch (YamlEngineException e) {
            problems.say(1, "not YAML: " + e.getMessage());
            throw new Misconfigured(problems.all());
        }
        if (root.isEmpty()) {
            problems.say(1, "the file is empty. Begin with a copy of the stock steamleaf.yaml");
            throw new Misconfigured(problems.all());
        }
        Config config = new ConfigFile(folder).whole(Block.of(problems, "", root.get()), yaml);
        if (!problems.none()) {
            throw new Misconfigured(problems.all());
        }
        return config;
    }

    private Config whole(Block root, String yaml) {
        String site = root.text("site", NAME, NAME_IS, "It is one level of every MQTT topic");
        String title = root.text("title", ".{1,80}", "1 to 80 characters", "");
        Block freshness = root.block("freshness", "");
        double warningH = freshness.number("warningH", 0.5, 72, "Hours since plucking");
        double limitH = freshness.number("limitH", 0.5, 96, "Hours since plucking");
        if (limitH <= warningH) {
            freshness.wrong(
                    "limitH",
                    Block.plain(limitH),
                    "more than freshness.warningH = " + Block.plain(warningH),
                    "A warning after the limit would warn nobody");
        }
        freshness.end();
        Block buttonBlock = root.block("buttons", "");
        Config.Buttons buttons = buttons(buttonBlock);
        Block steamer = root.block("steamer", "");
        SteamerSettings steamerSettings = steamer(steamer);
        LoopSettings chestLoop = loop(steamer.block("loop", ""));
        steamer.end();
        Ovens ovens = ovens(root.block("ovens", "One to eight: oven-1, oven-2 …"));
        List<Recipe> recipes = recipes(root.block("recipes", ""));
        Block guard = root.block("guard", "");
        GuardSettings guardSettings =
                new GuardSettings(
                        guard.number("heatStopK", 0.5, 10, "Above the recipe's air temperature"),
                        guard.number("recipeTripK", 2, 30, "Above the recipe's air temperature"),
                        guard.number(
                                "longestCycleS",
                                0.15,
                                0.7,
                                "The watchdog relay drops after 0.8 s without an edge"),
                        guard.number(
                                "watchdogDropS", 0.2, 10, "The relay has surely dropped by then"),
                        guard.number("watchdogSteadyS", 0.5, 60, "Then the relay can be reset"),
                        ovens.guards);
        guard.end();
        Wiring wiring = WiringReader.read(root.block("wiring", ""), ovens.ovens);
        LineSettings line =
                new LineSettings(
                        batch(root, ovens, steamerSettings, recipes, warningH, limitH),
                        ovens.loops,
                        chestLoop);
        Config.Mqtt mqtt = mqtt(root.block("mqtt", ""));
        panelIsNear(buttonBlock, buttons, mqtt);
        Config config =
                new Config(
                        site,
                        title,
                        hash(yaml),
                        line,
                        guardSettings,
                        wiring,
                        buttons,
                        journal(root.block("journal", "")),
                        mqtt,
                        metrics(root.block("metrics", "")));
        root.end();
        return config;
    }

    /** First 12 hexadecimal digits of SHA-256. */
    static String hash(String yaml) {
        try {
            byte[] sum =
                    MessageDigest.getInstance("SHA-256")
                            .digest(yaml.getBytes(StandardCharsets.UTF_8));
            return HexFormat.of().formatHex(sum, 0, 6);
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every JDK has SHA-256", e);
        }
    }

    private static Config.Buttons buttons(Block block) {
        boolean fitted =
                block.flag(
                        "atMachine",
                        true,
                        "false lets one wall panel stand for the buttons, see docs/limits.md");
        String panel =
                block.optionalText(
                        "panel", NAME, NAME_IS, "The client that counts as at the machine");
        if (!fitted && panel == null) {
            block.problems()
                    .say(
                            block.line("panel"),
                            block.at("panel")
                                    + " is missing, allowed: "
                                    + NAME_IS
                                    + ". Without buttons nobody could start anything");
        }
        if (fitted && panel != null) {
            block.wrong(
                    "panel",
                    panel,
                    "only with buttons.atMachine = false",
                    "Where there are buttons, only they start heat");
        }
        block.end();
        return new Config.Buttons(fitted, fitted ? null : panel);
    }

    /** The panel is known by its name alone until there are accounts. */
    private static void panelIsNear(Block block, Config.Buttons buttons, Config.Mqtt mqtt) {
        boolean named = !mqtt.host().isEmpty();
        if (!buttons.fitted() && named && !Config.LOOPBACK.contains(mqtt.host())) {
            block.wrong(
                    "atMachine",
                    "false",
                    "true, or mqtt.host one of " + String.join(", ", Config.LOOPBACK),
                    "Whoever reaches the broker can write the panel's name, and there are no"
                            + " accounts yet");
        }
    }

    private static SteamerSettings steamer(Block block) {
        return new SteamerSettings(
                block.number("beltLengthMm", 100, 10_000, "Belt under steam"),
                block.number("fullSpeedMmPerS", 1, 1_000, "At belt speed 1"),
                block.number("marginS", 0, 120, "Waited after the dwell for the last leaf"));
    }

    private static LoopSettings loop(Block block) {
        double windowS = block.number("windowS", 1, 120, "One time-proportioning window");
        double leastOnS =
                block.number("leastOnS", CYCLE_S, 30, "Shortest pulse and shortest pause");
        if (leastOnS > windowS / 2) {
            block.wrong(
                    "leastOnS",
                    Block.plain(leastOnS),
                    "at most half of windowS = " + Block.plain(windowS),
                    "Otherwise nothing but full and off is left");
        }
        LoopSettings settings =
                new LoopSettings(
                        block.number("gainDutyPerK", 0.0001, 10, ""),
                        block.number("integralS", 1, 10_000, ""),
                        block.number("derivativeS", 0, 1_000, "0 for none"),
                        windowS,
                        leastOnS,
                        block.number("rampKPerMin", 0.1, 200, "How fast the set-point may move"));
        block.end();
        return settings;
    }

    private record Ovens(
            List<OvenSettings> ovens, List<LoopSettings> loops, List<GuardSettings.Oven> guards) {}

    private static Ovens ovens(Block block) {
        Ovens ovens = new Ovens(new ArrayList<>(), new ArrayList<>(), new ArrayList<>());
        int number = 1;
        for (String key : block.keys()) {
            String expected = number <= UnitId.MOST_OVENS ? UnitId.oven(number).label() : "no more";
            if (!key.equals(expected)) {
                block.problems()
                        .say(
                                block.line(key),
                                block.at(key)
                                        + " stands where "
                                        + expected
                                        + " is expected, allowed: oven-1 to oven-"
                                        + UnitId.MOST_OVENS
                                        + ", in order and without gaps");
            }
            Block oven = block.block(key, "");
            ovens.ovens.add(oven(oven));
            ovens.loops.add(loop(oven.block("loop", "")));
            ovens.guards.add(guard(oven, ovens.ovens.getLast().maxAirC()));
            oven.end();
            number++;
        }
        if (number == 1) {
            block.problems()
                    .say(
                            block.line(""),
                            block.at("oven-1") + " is missing, allowed: one to eight ovens");
        }
        return ovens;
    }

    private static OvenSettings oven(Block oven) {
        return new OvenSettings(
                oven.number("maxAirC", 30, 130, "What its heater and casing are rated for"),
                oven.number("heaterW", 200, 30_000, "Rated power"),
                oven.number("flowM3PerH", 10, 5_000, "Fresh air with the damper fully open"),
                oven.number("trayTareKg", 0, 100, "All trays together, empty"),
                oven.number("mostLeafKg", 0.2, 200, "Fresh leaf its trays take"),
                oven.flag("scale", false, "Whether there is a tray scale"));
    }

    private static GuardSettings.Oven guard(Block oven, double maxAirC) {
        GuardSettings.Oven guard =
                new GuardSettings.Oven(
                        oven.number("tripAirC", 35, 140, "Air above it is a trip"),
                        oven.number("tripExhaustC", 35, 140, "Exhaust above it is a trip"),
                        oven.number("tripRiseKPerS", 0.1, 10, "Faster than heater and fan can do"));
        if (guard.airLimitC() < maxAirC) {
            oven.wrong(
                    "tripAirC",
                    Block.plain(guard.airLimitC()),
                    "not less than maxAirC = " + Block.plain(maxAirC),
                    "Otherwise the oven trips while it does what it is allowed");
        }
        return guard;
    }

    private static List<Recipe> recipes(Block block) {
        List<Recipe> recipes = new ArrayList<>();
        for (Recipe stock : StockRecipes.all()) {
            if (block.flag(stock.name(), false, "Whether this stock recipe is on offer")) {
                recipes.add(stock);
            }
        }
        if (recipes.isEmpty()) {
            block.problems()
                    .say(
                            block.line(""),
                            "recipes has none switched on, allowed: at least one of light,"
                                    + " standard, deep");
        }
        block.end();
        return recipes;
    }

    private static BatchSettings batch(
            Block root,
            Ovens ovens,
            SteamerSettings steamer,
            List<Recipe> recipes,
            double warningH,
            double limitH) {
        Block people = root.block("people", "How long the line waits for them");
        BatchSettings settings =
                new BatchSettings(
                        CYCLE_S,
                        ovens.ovens,
                        steamer,
                        recipes,
                        warningH,
                        limitH,
                        people.number("armedS", 2, 30, "An armed button stays armed"),
                        people.number("heatStaleS", 1, 10, "Age of a page that starts heat"),
                        people.number("staleS", 5, 600, "Age of a page for anything else"),
                        people.number("warmWithinK", 0.5, 20, "Warm this close to set-point"),
                        people.number("spreadAfterS", 60, 1_800, "Held with wet leaf: take it out"),
                        people.number("doorPatienceS", 30, 3_600, "Door open while drying"));
        people.end();
        return settings;
    }

    private Config.JournalPlace journal(Block block) {
        Config.JournalPlace place =
                new Config.JournalPlace(
                        folder.resolve(block.text("folder", ".{1,400}", "a path", "")),
                        block.whole("keepFreeMB", 64, 1, 100_000, "Seconds go first below it")
                                * 1_000_000L);
        block.end();
        return place;
    }

    private Config.Mqtt mqtt(Block block) {
        String host = block.text("host", "[A-Za-z0-9.:-]{1,253}", "a host name or address", "");
        int port = block.whole("port", 1, 65_535, "1883 is usual, 8883 with TLS");
        String user = block.optionalText("user", ".{1,100}", "1 to 100 characters", "");
        Path password = file(block, "passwordFile");
        if (password != null && user == null) {
            block.wrong("passwordFile", password.toString(), "only together with mqtt.user", "");
        }
        Block tls = block.optionalBlock("tls");
        Config.Tls tlsSettings = null;
        if (tls != null) {
            tlsSettings = new Config.Tls(file(tls, "authorityFile"));
            tls.end();
        }
        block.end();
        return new Config.Mqtt(host, port, user, password, tlsSettings);
    }

    private @Nullable Path file(Block block, String key) {
        String text = block.optionalText(key, ".{1,400}", "path of a readable file", "");
        if (text == null || text.isEmpty()) {
            return null;
        }
        Path path = folder.resolve(text);
        if (!Files.isReadable(path)) {
            block.wrong(key, text, "path of a readable file", "There is none at " + path);
        }
        return path;
    }

    private static Config.Metrics metrics(Block block) {
        Config.Metrics metrics =
                new Config.Metrics(
                        block.word(
                                "host",
                                Config.LOOPBACK,
                                "Meters are served on loopback only, until there are accounts"),
                        block.whole("port", 0, 65_535, "0 takes a free one"));
        block.end();
        return metrics;
    }
}
