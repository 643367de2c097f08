package steamleaf.monitor;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import org.eclipse.paho.mqttv5.common.MqttException;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.AnswerMessage;
import steamleaf.contract.Because;
import steamleaf.contract.Language;
import steamleaf.contract.LearnedLive;
import steamleaf.monitor.intake.LineOnMqtt;
import steamleaf.monitor.intake.Mosquitto;
import steamleaf.monitor.notice.NoticeSettings;

/**
 * The monitor on the invented line: broker, line and pages in one process, to look at and to test.
 * Two finished batches, one at 12 % in oven 2, oven 1 waits for a person, oven 3 is empty, one
 * alarm stands. {@code main} keeps it open until its input ends.
 */
public final class Showroom implements AutoCloseable {
    public final Mosquitto broker;
    public final LineOnMqtt line;
    public final Monitor monitor;
    private final ScheduledExecutorService teller = Executors.newSingleThreadScheduledExecutor();
    private final Instant at;
    private long cycle = 100_000;

    public Showroom(Path folder) throws IOException, MqttException {
        broker = new Mosquitto(folder);
        line = new LineOnMqtt(broker.port());
        Ridge ridge = history();
        at = ridge.at();
        line.holding(ridge.records());
        line.offerStandIn();
        line.answering(
                command ->
                        command.kind().equals("plan-batch")
                                ? new AnswerMessage(
                                        command.id(),
                                        "refused",
                                        Because.of("door-open", command.unit()),
                                        null,
                                        cycle,
                                        at)
                                : new AnswerMessage(command.id(), "moved", null, null, cycle, at));
        line.up();
        line.tell(Ridge.description());
        for (String recipe : List.of("light", "standard", "deep")) {
            line.tell(Ridge.recipe(recipe));
        }
        line.tell(Ridge.alarm("oven-2", at.minusSeconds(600)));
        line.tell(Ridge.learned("oven-1", at));
        line.tell(new LearnedLive("oven-2", at, List.of()));
        tell();
        monitor =
                Monitor.start(
                        MonitorSettings.of(Ridge.SITE, folder.resolve("records.db"), broker.port())
                                .withZone(ZoneOffset.UTC)
                                .withPeople(List.of("Ines", "Teo"))
                                .withNotices(notices(folder)));
        var _ = teller.scheduleAtFixedRate(this::tellQuietly, 300, 500, TimeUnit.MILLISECONDS);
    }

    /** A webhook that nobody answers, and phones. */
    private static NoticeSettings notices(Path folder) {
        return new NoticeSettings(
                "http://127.0.0.1:8080/",
                "medium",
                20,
                List.of(
                        new NoticeSettings.Person("Ines", null, true, Language.ENGLISH),
                        new NoticeSettings.Person("Teo", null, false, Language.JAPANESE)),
                List.of(
                        new NoticeSettings.Step(0, List.of(NoticeSettings.ON_WATCH)),
                        new NoticeSettings.Step(300, List.of(NoticeSettings.EVERYONE))),
                null,
                List.of(
                        new NoticeSettings.Hook(
                                "board",
                                URI.create("http://127.0.0.1:1/in"),
                                "secret-of-the-board")),
                new NoticeSettings.PushSender(
                        "mailto:office@ridge.example", folder.resolve("push.key")),
                null);
    }

    /** Two finished batches and one that is nearly there, one second in six. */
    static Ridge history() {
        return history(Ridge.empty());
    }

    /** The same after what {@code ridge} holds already. */
    public static Ridge history(Ridge ridge) {
        ridge.finished("b-1", "oven-1", "38", 10);
        ridge.finished("b-2", "oven-2", "39", 10);
        ridge.lot("lot-42", "42", 6.5);
        ridge.lot("lot-b-3", "40", 4.0);
        ridge.changed("oven-2", "b-3", "planned", "planned", null, 1);
        ridge.changed("steamer", "b-3", "started", "running", "steam", 1);
        ridge.changed("oven-2", "b-3", "operation", "running", "dry", 3);
        ridge.seconds("oven-2", "b-3", 900, 0.79, 0.5, 80);
        ridge.changed("oven-2", "b-3", "operation", "running", "roll", 4);
        ridge.seconds("oven-2", "b-3", 150, 0.5, 0.49, 30);
        ridge.changed("oven-2", "b-3", "operation", "running", "dry", 5);
        ridge.seconds("oven-2", "b-3", 500, 0.49, 0.25, 70);
        ridge.changed("oven-2", "b-3", "operation", "running", "dry", 9);
        ridge.seconds("oven-2", "b-3", 900, 0.25, 0.081, 75);
        return ridge;
    }

    private void tellQuietly() {
        try {
            tell();
        } catch (MqttException _) {
            teller.shutdown();
        }
    }

    public void tell() throws MqttException {
        cycle += 10;
        line.tell(Ridge.line(cycle, at));
        line.tell(Ridge.steamer(cycle, at));
        line.tell(Ridge.prompting("oven-1", "b-4", cycle, at));
        line.tell(Ridge.drying("oven-2", "b-3", cycle, at));
        line.tell(Ridge.idleOven("oven-3", cycle, at));
    }

    public Instant at() {
        return at;
    }

    /** Power is back: fifty alarms at once; three more are not told. */
    public List<AlarmLive> storm() throws MqttException {
        line.tell(Ridge.as(Ridge.alarm("oven-2", at), "normal", null));
        List<AlarmLive> storm = Ridge.storm(at);
        for (AlarmLive alarm : storm) {
            line.tell(alarm);
        }
        line.tell(
                Ridge.inState(
                        "shelved",
                        "oven-1",
                        "exhaust-humidity-bad",
                        "low",
                        90_000,
                        60,
                        at.minusSeconds(1_200),
                        "Ines",
                        "the probe is being cleaned",
                        at.plusSeconds(2_400)));
        line.tell(
                Ridge.inState(
                        "out-of-service",
                        "oven-3",
                        "exhaust-humidity-bad",
                        "low",
                        80_000,
                        60,
                        at.minusSeconds(90_000),
                        "Teo",
                        "no probe is fitted until June",
                        null));
        line.tell(
                Ridge.inState(
                        "suppressed",
                        "steamer",
                        "hood-not-locked",
                        "medium",
                        80_000,
                        61,
                        at.minusSeconds(90),
                        null,
                        null,
                        null));
        return storm;
    }

    /** Ends the telling, so that a test can tell something else. */
    public void quiet() throws InterruptedException {
        teller.shutdown();
        if (!teller.awaitTermination(5, TimeUnit.SECONDS)) {
            throw new IllegalStateException("the teller goes on");
        }
    }

    @Override
    public void close() {
        teller.shutdownNow();
        monitor.close();
        try {
            line.close();
        } catch (MqttException e) {
            throw new IllegalStateException(e);
        }
        broker.close();
    }

    public static void main(String[] arguments) throws Exception {
        Path folder = Files.createTempDirectory("showroom");
        try (Showroom room = new Showroom(folder)) {
            if (List.of(arguments).contains("storm")) {
                room.storm();
            }
            Runtime.getRuntime().addShutdownHook(new Thread(room.broker::close));
            System.out.println(room.monitor.address());
            while (System.in.read() >= 0) {
                // open until the input ends
            }
        }
    }
}
