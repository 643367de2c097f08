package steamleaf.app.config;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import steamleaf.app.io.Wiring;
import steamleaf.core.interlock.GuardSettings;

final class ConfigFileTest {
    private static final Path HERE = Path.of("somewhere");

    private static Config parse(String yaml) throws Misconfigured {
        return ConfigFile.parse("line.yaml", yaml, HERE);
    }

    private static List<String> problems(String yaml) {
        return assertThrows(Misconfigured.class, () -> parse(yaml)).problems();
    }

    /** The stock file with one line replaced, and the number of that line. */
    private record Changed(String yaml, int line) {
        static Changed of(String from, String to) {
            List<String> lines = new ArrayList<>(ConfigFile.stock().lines().toList());
            for (int i = 0; i < lines.size(); i++) {
                if (lines.get(i).strip().startsWith(from)) {
                    String indent = lines.get(i).replaceFirst("\\S.*", "");
                    lines.set(i, indent + to);
                    return new Changed(String.join("\n", lines) + "\n", i + 1);
                }
            }
            throw new AssertionError("no line begins with " + from);
        }
    }

    @Test
    void theStockFileIsRight() throws Misconfigured {
        Config config = parse(ConfigFile.stock());
        assertEquals("ridge-house", config.site());
        assertEquals("Ridge House", config.title());
        assertEquals(3, config.line().ovens());
        assertEquals(3, config.guard().ovens().size());
        assertEquals(6000, config.line().batch().ovens().getLast().heaterW());
        assertEquals(HERE.resolve("journal"), config.journal().folder());
        assertEquals(new Config.Metrics("127.0.0.1", 9464), config.metrics());
        assertTrue(config.buttons().fitted());
        assertEquals(Wiring.stock(), config.wiring());
        assertEquals(GuardSettings.stock(3), config.guard());
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "site: | site: ridge/house | site = ridge/house, allowed: 1 to 64 letters",
                "limitH: | limitH: 12 | freshness.limitH = 12, allowed: more than freshness.warningH = 12",
                "maxAirC: | maxAirC: 240 | ovens.oven-1.maxAirC = 240, allowed: 30 to 130",
                "maxAirC: | maxAirC: .nan | ovens.oven-1.maxAirC = .nan, allowed: 30 to 130",
                "maxAirC: | maxAirC: | ovens.oven-1.maxAirC = nothing, allowed: 30 to 130",
                "maxAirC: | maxAirC: [1] | ovens.oven-1.maxAirC = a list, allowed: 30 to 130",
                "tripAirC: | tripAirC: 90 | ovens.oven-1.tripAirC = 90, allowed: not less than maxAirC = 100",
                "scale: | scale: yes | ovens.oven-1.scale = yes, allowed: true or false",
                "scale: | scales: true | ovens.oven-1.scales is not known here, allowed: scale,",
                "oven-2: | oven-4: *oven | ovens.oven-4 stands where oven-2 is expected",
                "atMachine: | atMachine: false | buttons.panel is missing",
                "host: | host: | mqtt.host = nothing, allowed: a host name",
                "port: 9464 | port: 70000 | metrics.port = 70000, allowed: 0 to 65535",
                "# user: | passwordFile: nowhere | mqtt.passwordFile = nowhere, allowed: path of a readable file",
                "heatStaleS: | heatStaleS: 60 | people.heatStaleS = 60, allowed: 1 to 10",
                "permitKey: | permitKey: 0x20 GPC1 | wiring.line.permitKey = 0x20 GPC1, allowed: address and pin",
                "permitKey: | permitKey: 0x20 GPA0 | wiring.line.permitKey = 0x20 GPA0, which line.emergencyStop has already",
                "watchdog: | watchdog: 12 | wiring.line.watchdog = GPIO 12, which line.contactor has already",
                "muxes: | muxes: [0x70] | wiring.muxes = 0x70, allowed: a list of 0x71 to 0x77",
                "chestB: | chestB: CE0 Y9 | wiring.steamer.chestB = CE0 Y9, allowed: chip select",
                "scale: { | tray: {} | wiring.ovens.oven-1.scale is missing, but ovens.oven-1.scale = true",
                "title: | title: | title = nothing, allowed: 1 to 80",
            })
    void aWrongValueIsNamedWithItsPlaceAndWhatIsAllowed(String from, String to, String message) {
        Changed changed = Changed.of(from, to);
        List<String> problems = problems(changed.yaml());
        String place = "line.yaml:" + changed.line() + ": ";
        assertTrue(
                problems.stream().anyMatch(problem -> problem.contains(message)),
                () -> String.join("\n", problems));
        boolean missing = message.endsWith("is missing");
        assertTrue(
                missing || problems.stream().anyMatch(problem -> problem.startsWith(place)),
                () -> place + "\n" + String.join("\n", problems));
    }

    @Test
    void aPanelInPlaceOfTheButtonsNeedsTheBrokerOnTheSameComputer() {
        String panel =
                ConfigFile.stock()
                        .replaceFirst("atMachine: true", "atMachine: false\n  panel: wall");
        assertDoesNotThrow(() -> parse(panel));

        List<String> problems = problems(panel.replaceFirst("host: 127.0.0.1", "host: broker"));
        assertEquals(1, problems.size(), () -> String.join("\n", problems));
        assertTrue(
                problems.getFirst()
                        .contains("buttons.atMachine = false, allowed: true, or mqtt.host one of"),
                problems.getFirst());
    }

    @Test
    void metersAreNotServedToTheWorld() {
        String yaml =
                ConfigFile.stock().replaceFirst("(?s)(metrics:.*host: )127.0.0.1", "$10.0.0.0");
        List<String> problems = problems(yaml);
        assertEquals(1, problems.size());
        assertTrue(
                problems.getFirst()
                        .contains("metrics.host = 0.0.0.0, allowed: 127.0.0.1, ::1, localhost"),
                problems.getFirst());
    }

    @Test
    void allMistakesAreListedAtOnceInTheOrderOfTheFile() {
        String yaml =
                ConfigFile.stock()
                        .replace("limitH: 20", "limitH: never")
                        .replace("deep: true", "dark: true")
                        .replace("beltLengthMm: 800", "beltLengthMm: -1")
                        .replace("heaterW: 6000", "heaterW: 6000\n    heaterW: 7000");
        List<String> problems = problems(yaml);
        assertTrue(problems.size() >= 4, () -> String.join("\n", problems));
        List<String> parts =
                List.of(
                        "freshness.limitH = never",
                        "recipes.dark is not known here, allowed: deep",
                        "steamer.beltLengthMm = -1",
                        "ovens.oven-1.heaterW stands twice");
        List<Integer> at = new ArrayList<>();
        for (String part : parts) {
            for (int i = 0; i < problems.size(); i++) {
                if (problems.get(i).contains(part)) {
                    at.add(i);
                    break;
                }
            }
        }
        assertEquals(at.stream().sorted().toList(), at);
        assertEquals(parts.size(), at.size(), () -> String.join("\n", problems));
    }

    @Test
    void everySingleKeyIsNeededOrHasAStatedDefaultAndEveryUnknownOneIsRefused() {
        List<String> lines = ConfigFile.stock().lines().toList();
        for (int i = 0; i < lines.size(); i++) {
            if (lines.get(i).matches(" {2,4}\\w+: [^{&*].*")) {
                List<String> changed = new ArrayList<>(lines);
                changed.set(i, lines.get(i).replaceFirst("(\\w+):", "$1x:"));
                List<String> problems = problems(String.join("\n", changed));
                String key = lines.get(i).strip().replaceFirst(":.*", "") + "x";
                assertTrue(
                        problems.stream().anyMatch(p -> p.contains(key + " is not known here")),
                        () -> key + "\n" + String.join("\n", problems));
            }
        }
    }

    @Test
    void whatIsNoYamlOrNothingAtAllIsSaidWithItsLine() {
        assertTrue(problems("site: [").getFirst().startsWith("line.yaml:1: not YAML"));
        assertTrue(problems("").getFirst().contains("the file is empty"));
        assertTrue(problems("- a\n").getFirst().contains("file = a list, allowed: a mapping"));
    }

    @Test
    void aFileThatSaysSomethingElseHasAnotherHash() throws Misconfigured {
        String other = ConfigFile.stock().replace("limitH: 20", "limitH: 21");
        assertNotEquals(parse(ConfigFile.stock()).hash(), parse(other).hash());
        assertFalse(parse(other).hash().isEmpty());
    }

    @Test
    void theNearestNameIsTheOneWithFewestChangedLetters() {
        assertEquals(
                "heaterW",
                Nearest.first("heatW", List.of("maxAirC", "heaterW", "scale")).getFirst());
        assertEquals(3, Nearest.distance("kitten", "sitting"));
    }
}
