package steamleaf.monitor.config;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.List;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.monitor.MonitorSettings;

final class MonitorFileTest {
    @TempDir Path folder;

    private List<String> problems(String text) {
        return assertInstanceOf(
                        MonitorFile.Read.Wrong.class,
                        MonitorFile.read("monitor.yaml", text, folder))
                .problems();
    }

    private MonitorSettings good(String text) {
        return assertInstanceOf(
                        MonitorFile.Read.Good.class, MonitorFile.read("monitor.yaml", text, folder))
                .settings();
    }

    @Test
    void theShippedFileIsGoodAndShowsEveryKey() throws IOException {
        String text;
        try (InputStream in =
                Objects.requireNonNull(MonitorFile.class.getResourceAsStream("monitor.yaml"))) {
            text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
        }
        MonitorSettings settings = good(text);
        assertEquals("ridge-house", settings.site());
        assertEquals(ZoneId.of("Asia/Tokyo"), settings.zone());
        MonitorFile.keys()
                .values()
                .forEach(keys -> keys.forEach(key -> assertTrue(text.contains(key + ":"), key)));
    }

    @Test
    void theFewKeysThatMustBeThereAreEnough() {
        MonitorSettings settings = good("site: ridge-house\nstore:\n  file: records.db\n");
        assertEquals(folder.resolve("records.db"), settings.storeFile());
        assertEquals("127.0.0.1", settings.httpBind());
        assertEquals(1_883, settings.mqttPort());
    }

    @Test
    void everyMistakeIsNamedAtOnceWithItsLineAndWhatIsAllowed() {
        List<String> problems =
                problems(
                        """
                        site: ridge house
                        store:
                          file: records.db
                          colour: green
                        http:
                          bind: 0.0.0.0
                          port: 99999
                        mqtt:
                          port: none
                          passwordFile: nowhere
                        zone: Middle/Earth
                        language: fr
                        people: Ines
                        speed: 60
                        """);
        assertEquals(10, problems.size(), () -> String.join("\n", problems));
        assertTrue(
                problems.contains(
                        "monitor.yaml:4: store.colour is not known, allowed under store: name, file"));
        assertTrue(
                problems.contains(
                        "monitor.yaml:14: speed is not known, allowed: site, store, http, mqtt, zone, language, people"));
        assertTrue(problems.contains("monitor.yaml:7: http.port = 99999, allowed: 0 to 65535"));
        assertTrue(problems.contains("monitor.yaml:12: language = \"fr\", allowed: en or ja"));
        assertTrue(
                problems.stream()
                        .anyMatch(
                                p ->
                                        p.startsWith("monitor.yaml:6: http.bind = 0.0.0.0")
                                                && p.contains("no accounts yet")));
    }

    @Test
    void aMissingKeyIsNamed() {
        assertEquals(2, problems("language: en\n").size());
        assertTrue(
                problems("language: en\n").getFirst().startsWith("monitor.yaml: site is missing"));
    }

    @Test
    void whatIsNotYamlSaysSo() {
        assertTrue(problems("site: [").getFirst().startsWith("monitor.yaml: not YAML"));
        assertTrue(problems("").getFirst().startsWith("monitor.yaml:1:"));
    }

    @Test
    void thePasswordStandsInAFileOfItsOwn() throws IOException {
        Files.writeString(folder.resolve("broker.password"), "secret\n");
        MonitorSettings settings =
                good(
                        "site: s\nstore: {file: r.db}\nmqtt: {user: m, passwordFile: broker.password}\n");
        assertEquals("m", settings.mqttUser());
        assertEquals("secret", settings.mqttPassword());
    }
}
