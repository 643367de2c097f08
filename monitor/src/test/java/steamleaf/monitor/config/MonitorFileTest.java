package steamleaf.monitor.config;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.ZoneId;
import java.util.List;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.monitor.MonitorSettings;
import steamleaf.monitor.notice.NoticeSettings;

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
                        "monitor.yaml:14: speed is not known, allowed: site, store, http, mqtt, zone, language, people, notices"));
        assertTrue(problems.contains("monitor.yaml:7: http.port = 99999, allowed: 0 to 65535"));
        assertTrue(problems.contains("monitor.yaml:12: language = \"fr\", allowed: en or ja"));
        assertTrue(
                problems.stream()
                        .anyMatch(
                                p ->
                                        p.startsWith("monitor.yaml:6: http.bind = 0.0.0.0")
                                                && p.contains("no accounts yet")));
    }

    private static final String NOTICES =
            """
            site: s
            store: {file: r.db}
            notices:
              page: https://tea.example/
              people:
                - {name: Ines, mail: ines@ridge.example, push: true}
                - {name: Teo, language: ja}
              steps:
                - {afterS: 0, tell: [on-watch]}
                - {afterS: 300, tell: [Ines, Teo]}
              mail: {host: mail.ridge.example, user: m, passwordFile: mail.password, from: line@ridge.example}
              webhooks:
                - {name: board, url: "https://board.example/in", secretFile: board.secret}
              push: {contact: "mailto:office@ridge.example"}
            """;

    @Test
    void whoIsToldWhenAndHowIsReadAndSecretsStandInFilesOfTheirOwn() throws IOException {
        Files.writeString(folder.resolve("mail.password"), "hush-hush");
        Files.writeString(folder.resolve("board.secret"), "sixteen-letters-or-more");
        MonitorSettings settings = good(NOTICES);
        NoticeSettings notices = Objects.requireNonNull(settings.notices());
        assertEquals(List.of("Ines", "Teo"), notices.people().stream().map(p -> p.name()).toList());
        assertEquals(300, notices.steps().getLast().afterS());
        assertEquals("hush-hush", Objects.requireNonNull(notices.mail()).password());
        assertEquals("sixteen-letters-or-more", notices.webhooks().getFirst().secret());
        assertEquals(20, notices.perHour());
        String shown = settings.toString();
        assertTrue(!shown.contains("hush-hush") && !shown.contains("sixteen"), shown);
    }

    @Test
    void everyMistakeInTheNoticesIsNamedWithItsLineAndNoSecretIsSaid() throws IOException {
        Files.writeString(folder.resolve("board.secret"), "short-one");
        Files.writeString(folder.resolve("push.key"), "x");
        Files.setPosixFilePermissions(
                folder.resolve("push.key"), PosixFilePermissions.fromString("rw-r--r--"));
        List<String> problems =
                problems(
                        NOTICES.replace("afterS: 0", "afterS: 5")
                                .replace("[Ines, Teo]", "[Ines, Bob]")
                                .replace("push: true", "phone: true")
                                .replace("host:", "security: none, host:"));
        List<String> expected =
                List.of(
                        "monitor.yaml:6: notices.people[0].phone is not known, allowed under notices.people[0]: name, mail, push, language",
                        "monitor.yaml:9: notices.steps[0].afterS = 5, allowed: 0, the first step is told at once",
                        "monitor.yaml:10: notices.steps[1].tell = \"Bob\", allowed: Ines, Teo, on-watch, everyone",
                        "monitor.yaml:11: notices.mail.security = \"none\", allowed: tls or starttls; mail is never sent in the clear",
                        "monitor.yaml:11: notices.mail.passwordFile = mail.password can't be read, allowed: a file that holds the password alone",
                        "monitor.yaml:13: notices.webhooks[0].secretFile = board.secret is too short, allowed: a file that holds the secret, 16 letters or more alone",
                        "monitor.yaml:14: notices.push.keyFile = push.key may be used by others (rw-r--r--), allowed: rw------- (chmod 600)");
        assertEquals(
                expected.stream().sorted().toList(),
                problems.stream().sorted().toList(),
                () -> String.join("\n", problems));
        assertTrue(problems.stream().noneMatch(p -> p.contains("short-one")));
    }

    @Test
    void aWayThatSomebodyWantsAndThatIsNotSetUpIsNamed() {
        List<String> problems =
                problems(
                        """
                        site: s
                        store: {file: r.db}
                        notices:
                          page: https://tea.example/
                          people:
                            - {name: Ines, mail: ines@ridge.example, push: true}
                          steps: [{afterS: 0, tell: [everyone]}]
                        """);
        assertEquals(2, problems.size(), () -> String.join("\n", problems));
        assertTrue(problems.getFirst().contains("notices.mail is missing"));
        assertTrue(problems.getLast().contains("notices.push is missing"));
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
