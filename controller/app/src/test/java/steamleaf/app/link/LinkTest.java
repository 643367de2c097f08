package steamleaf.app.link;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.app.journal.Journal;
import steamleaf.app.journal.Weight;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.AnswerMessage;
import steamleaf.contract.Because;
import steamleaf.contract.Codec;
import steamleaf.contract.CommandMessage;
import steamleaf.contract.Have;
import steamleaf.contract.LineDescription;
import steamleaf.contract.RecipeDescription;
import steamleaf.contract.Status;
import steamleaf.contract.Topics;

/** Against a real broker, in real time. */
@Timeout(120)
final class LinkTest {
    private static final Topics TOPICS = new Topics("ridge-house");
    private static final Instant AT = Instant.parse("2026-05-01T06:00:00Z");

    @TempDir Path folder;
    private Broker broker;
    private Journal journal;
    private final Inbox inbox = new Inbox();
    private Link link;
    private Thread turning;
    private volatile boolean ending;

    @BeforeEach
    void connect() throws IOException {
        broker = new Broker(folder);
        journal = StorePumpTest.journal(folder.resolve("journal"), "j-1");
        link = link();
        link.moment(7, AT);
        turning = turning(link);
    }

    private Link link() {
        return new Link(
                new LinkSettings(
                        "ridge-house", "s-1", "127.0.0.1", broker.port, null, null, null, false),
                Set.of("line", "steamer", "oven-1"),
                journal,
                inbox);
    }

    private Thread turning(Link of) {
        ending = false;
        return Thread.ofPlatform()
                .start(
                        () -> {
                            try {
                                while (!ending) {
                                    of.turn(System.nanoTime());
                                    of.await(20);
                                }
                                of.close();
                            } catch (InterruptedException e) {
                                Thread.currentThread().interrupt();
                            }
                        });
    }

    @AfterEach
    void end() throws InterruptedException {
        endLink();
        journal.close();
        broker.close();
    }

    private void endLink() throws InterruptedException {
        ending = true;
        link.wake();
        turning.join();
    }

    private void write(int count) {
        for (int i = 0; i < count; i++) {
            journal.append(Weight.EVENT, 0, "{\"kind\":\"x\"}".getBytes(StandardCharsets.UTF_8));
        }
        journal.writeOut();
        link.wake();
    }

    private static <T> T read(Outsider.Heard heard, Class<T> type) {
        try {
            return Codec.read(heard.text().getBytes(StandardCharsets.UTF_8), type);
        } catch (Codec.Malformed e) {
            throw new AssertionError(heard.text(), e);
        }
    }

    private static String json(Object message) {
        return Codec.text(Codec.write(message));
    }

    private static CommandMessage command(String id, String start, String kind) {
        return new CommandMessage(
                id, "panel", "Mo", start, 7, 1, "line", kind, CommandMessage.Args.NONE);
    }

    @Test
    void statusSaysUpThenDownAndIsRetained() throws MqttException, InterruptedException {
        write(3);
        try (Outsider outsider = new Outsider(broker.port, "outsider")) {
            outsider.subscribe(TOPICS.status());
            Outsider.Heard up =
                    outsider.await(
                            heard -> {
                                Status status = read(heard, Status.class);
                                return status.up() && status.last() == 3;
                            });
            assertEquals(new Status(true, "j-1", 1, 3, "s-1", AT, false), read(up, Status.class));
            endLink();
            outsider.await(heard -> !read(heard, Status.class).up());
        }
        try (Outsider later = new Outsider(broker.port, "later")) {
            later.subscribe(TOPICS.status());
            Outsider.Heard kept = later.awaitOn(TOPICS.status());
            assertTrue(kept.retained());
            assertFalse(read(kept, Status.class).up());
        }
    }

    @Test
    void lineRecipesAlarmsAndUnitsAreRetainedAndComeAgainAfterTheBrokerWasAway()
            throws MqttException, InterruptedException, IOException {
        LineDescription line =
                new LineDescription(
                        "ridge-house",
                        "Ridge House",
                        "s-1",
                        AT,
                        "0.1.0",
                        "abc",
                        List.of(),
                        List.of("light"),
                        true,
                        12,
                        20);
        RecipeDescription recipe = new RecipeDescription("light", 1, 0.05, List.of());
        AlarmLive alarm =
                new AlarmLive(
                        "oven-1.door",
                        "oven-1",
                        "door",
                        "unacknowledged",
                        "low",
                        60,
                        7,
                        AT,
                        null,
                        Because.of("door-open"));
        link.describe(line, List.of(recipe));
        link.alarm(alarm);
        for (int round = 0; round < 2; round++) {
            try (Outsider outsider = new Outsider(broker.port, "outsider")) {
                outsider.subscribe("steamleaf/1/ridge-house/#");
                Map<String, String> byTopic = new TreeMap<>();
                Map<String, String> expected =
                        Map.of(
                                TOPICS.line(), json(line),
                                TOPICS.recipe("light"), json(recipe),
                                TOPICS.alarm("oven-1.door"), json(alarm));
                while (!byTopic.keySet().containsAll(expected.keySet())) {
                    Outsider.Heard heard = outsider.await(_ -> true);
                    byTopic.put(heard.topic(), heard.text());
                }
                byTopic.keySet().retainAll(expected.keySet());
                assertEquals(expected, byTopic);
            }
            if (round == 0) {
                broker.kill();
                broker.startAgain();
            }
        }
    }

    @Test
    void anAlarmForgottenOverARestartIsTakenOffTheBroker()
            throws MqttException, InterruptedException {
        endLink();
        String topic = TOPICS.alarm("oven-1.old");
        try (Outsider outsider = new Outsider(broker.port, "outsider")) {
            outsider.say(topic, "{\"id\":\"oven-1.old\"}", true);
            outsider.subscribe(topic);
            link = link();
            turning = turning(link);
            outsider.await(heard -> heard.topic().equals(topic) && heard.text().isEmpty());
        }
    }

    /** A store in memory: takes records in order, drops repeats, says what it has. */
    private static long storeAll(Outsider store, String name, long has, long until)
            throws MqttException, InterruptedException {
        store.say(TOPICS.have(name), json(new Have("j-1", has)), true);
        long n = has;
        while (n < until) {
            Outsider.Heard heard = store.awaitOn(TOPICS.record(name));
            long came = Long.parseLong(heard.text().replaceFirst(".*?\"n\":(\\d+),.*", "$1"));
            assertTrue(came <= n + 1, () -> "gap before " + came);
            if (came == n + 1) {
                n = came;
                if (n % 50 == 0 || n == until) {
                    store.say(TOPICS.have(name), json(new Have("j-1", n)), true);
                }
            }
        }
        return n;
    }

    @Test
    void twoStoresEachGetEveryRecordFromWhatTheyHave() throws MqttException, InterruptedException {
        write(500);
        try (Outsider a = new Outsider(broker.port, "a");
                Outsider b = new Outsider(broker.port, "b")) {
            a.subscribe(TOPICS.record("a"));
            b.subscribe(TOPICS.record("b"));
            assertEquals(500, storeAll(a, "a", 0, 500));
            assertEquals(500, storeAll(b, "b", 450, 500));
            assertTrue(b.all.stream().allMatch(heard -> heard.topic().equals(TOPICS.record("b"))));
            assertEquals(50, b.all.size());
        }
    }

    @Test
    void recordsWrittenWhileTheBrokerWasAwayComeAfterwardsWithoutAGap()
            throws MqttException, InterruptedException, IOException {
        write(100);
        try (Outsider store = new Outsider(broker.port, "store")) {
            store.subscribe(TOPICS.record("m"));
            storeAll(store, "m", 0, 60);
        }
        broker.kill();
        write(900);
        broker.startAgain();
        try (Outsider store = new Outsider(broker.port, "store")) {
            store.subscribe(TOPICS.record("m"));
            assertEquals(1_000, storeAll(store, "m", 60, 1_000));
        }
        assertTrue(link.counts().connects() >= 2);
    }

    @Test
    void badCommandsAreAnsweredAndChangeNothing() throws MqttException, InterruptedException {
        try (Outsider panel = new Outsider(broker.port, "panel")) {
            panel.subscribe(TOPICS.answer("panel"));
            panel.subscribe(TOPICS.status());
            panel.awaitOn(TOPICS.status());
            Map<String, String> expected = new TreeMap<>();
            panel.say(TOPICS.command(), json(command("c-1", "s-0", "arm")), false);
            expected.put("c-1", "command-other-start");
            panel.say(TOPICS.command(), json(command("c-2", "s-1", "press")), false);
            expected.put("c-2", "command-unknown-kind");
            panel.say(TOPICS.command(), json(command("c-3", "s-1", "arm")), true);
            expected.put("c-3", "command-retained");
            panel.say(TOPICS.command(), "{\"id\":\"c-4\",\"client\":\"panel\"}", false);
            expected.put("c-4", "command-malformed");
            panel.say(TOPICS.command(), "rubbish", false);
            String large =
                    json(command("c-5", "s-1", "arm"))
                            .replace("\"Mo\"", "\"" + "M".repeat(20_000) + "\"");
            panel.say(TOPICS.command(), large, false);
            expected.put("c-5", "command-too-large");
            Map<String, String> came = new TreeMap<>();
            while (came.size() < expected.size()) {
                AnswerMessage answer =
                        read(panel.awaitOn(TOPICS.answer("panel")), AnswerMessage.class);
                assertFalse(answer.moved());
                assertEquals(7, answer.cycle());
                Because because = answer.because();
                came.put(answer.id(), because == null ? "nothing" : because.key());
            }
            assertEquals(expected, came);
            assertTrue(inbox.take().isEmpty());
            assertEquals(1, link.counts().ignored());
        }
    }

    @Test
    void aGoodCommandReachesTheInboxAndItsAnswerComesBack()
            throws MqttException, InterruptedException {
        try (Outsider panel = new Outsider(broker.port, "panel")) {
            panel.subscribe(TOPICS.answer("panel"));
            panel.subscribe(TOPICS.status());
            panel.awaitOn(TOPICS.status());
            CommandMessage command = command("c-1", "s-1", "hold");
            panel.say(TOPICS.command(), json(command), false);
            AnswerMessage answer = new AnswerMessage("c-1", AnswerMessage.MOVED, null, null, 8, AT);
            List<CommandMessage> taken = List.of();
            while (taken.isEmpty()) {
                taken = inbox.take();
                Thread.onSpinWait();
            }
            assertEquals(List.of(command), taken);
            link.answer("panel", answer);
            assertEquals(answer, read(panel.awaitOn(TOPICS.answer("panel")), AnswerMessage.class));
        }
    }

    @Test
    void aRetainedStopIsTakenOnceAndThenRemovedFromTheBroker()
            throws MqttException, InterruptedException {
        endLink();
        try (Outsider panel = new Outsider(broker.port, "panel")) {
            panel.say(TOPICS.command(), "{\"kind\":\"stop\"}", true);
            link = link();
            turning = turning(link);
            panel.subscribe(TOPICS.command());
            panel.await(heard -> heard.text().isEmpty());
        }
        List<CommandMessage> taken = inbox.take();
        assertEquals(1, taken.size());
        assertEquals("stop", taken.getFirst().kind());
        try (Outsider later = new Outsider(broker.port, "later")) {
            later.subscribe(TOPICS.command());
            later.say(TOPICS.command(), "marker", false);
            assertEquals("marker", later.awaitOn(TOPICS.command()).text());
        }
    }

    @Test
    void withoutABrokerOffersCostNothingAndNothingBlocks()
            throws InterruptedException, MqttException, IOException {
        broker.kill();
        for (int i = 0; i < 10_000; i++) {
            link.answer("panel", new AnswerMessage("c" + i, "moved", null, null, i, AT));
            link.moment(i, AT);
        }
        assertTrue(link.counts().answersDropped() > 9_000);
        write(10);
        assertEquals(10, journal.last());
        broker.startAgain();
        try (Outsider outsider = new Outsider(broker.port, "outsider")) {
            outsider.subscribe(TOPICS.status());
            outsider.await(heard -> read(heard, Status.class).last() == 10);
        }
    }

    @Test
    void aUnitsLiveStateIsAskedForAtMostFourTimesASecond() throws InterruptedException {
        long begunNs = 0;
        int wanted = 0;
        while (wanted < 5) {
            if (link.wantsLive()) {
                begunNs = wanted == 0 ? System.nanoTime() : begunNs;
                wanted++;
                link.live(List.of());
            }
            Thread.onSpinWait();
        }
        long tookMs = (System.nanoTime() - begunNs) / 1_000_000;
        assertTrue(tookMs >= 900, () -> "four periods in " + tookMs + " ms");
    }

    @Test
    void aBrokerThatWantsAPasswordGetsIt() throws IOException, InterruptedException, MqttException {
        Path passwords = folder.resolve("passwords");
        Process hashing =
                new ProcessBuilder(
                                "mosquitto_passwd",
                                "-b",
                                "-c",
                                passwords.toString(),
                                "line",
                                "leaf")
                        .start();
        assertEquals(0, hashing.waitFor());
        endLink();
        try (Broker closed =
                new Broker(folder, "allow_anonymous false\npassword_file " + passwords + "\n")) {
            link =
                    new Link(
                            new LinkSettings(
                                    "ridge-house",
                                    "s-1",
                                    "127.0.0.1",
                                    closed.port,
                                    "line",
                                    "leaf",
                                    null,
                                    false),
                            Set.of("line"),
                            journal,
                            inbox);
            turning = turning(link);
            while (!link.counts().connected()) {
                Thread.onSpinWait();
            }
            endLink();
        }
    }
}
