package steamleaf.app.assemble;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Set;
import java.util.function.Predicate;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.app.config.Config;
import steamleaf.app.config.ConfigFile;
import steamleaf.app.config.Misconfigured;
import steamleaf.app.journal.Durability;
import steamleaf.app.journal.Journal;
import steamleaf.app.link.Broker;
import steamleaf.app.link.Inbox;
import steamleaf.app.link.Link;
import steamleaf.app.link.LinkSettings;
import steamleaf.app.link.Outsider;
import steamleaf.contract.AnswerMessage;
import steamleaf.contract.Because;
import steamleaf.contract.Codec;
import steamleaf.contract.CommandMessage;
import steamleaf.contract.CommandMessage.Args;
import steamleaf.contract.Topics;
import steamleaf.contract.UnitLive;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Stock;
import steamleaf.core.cycle.CycleResult;

/**
 * A client that is not the monitor, over a real broker, against the whole controller: what it sends
 * amiss is answered as docs/mqtt.md says and changes nothing.
 */
@Timeout(120)
final class OutsideClientTest {
    private static final Topics TOPICS = new Topics("ridge-house");
    private static final long PERIOD_NS = 100_000_000L;
    private static final long PACE_MS = 4;

    @TempDir Path folder;
    private Broker broker;
    private Link link;
    private Controller controller;
    private Outsider outsider;
    private long nowNs;
    private Instant lineTime = Instant.parse("2026-05-01T06:00:00Z");
    private int sent;

    @BeforeEach
    void connect() throws IOException, Misconfigured, MqttException, InterruptedException {
        broker = new Broker(folder);
        Config config = ConfigFile.parse("steamleaf.yaml", ConfigFile.stock(), folder);
        Journal journal =
                Journals.open(
                        folder.resolve("journal"),
                        () -> "j-1",
                        Durability.WRITTEN,
                        config.journal());
        Inbox inbox = new Inbox();
        link =
                new Link(
                        new LinkSettings(
                                "ridge-house",
                                "s-1",
                                "127.0.0.1",
                                broker.port,
                                null,
                                null,
                                null,
                                false),
                        Set.of("line", "steamer", "oven-1", "oven-2", "oven-3"),
                        journal,
                        inbox);
        controller =
                Controller.open(
                        new ControllerParts(
                                config,
                                "s-1",
                                "test",
                                new PretendLine(3),
                                journal,
                                true,
                                null,
                                inbox,
                                link,
                                () -> nowNs,
                                () -> false));
        outsider = new Outsider(broker.port, "notebook");
        outsider.subscribe("steamleaf/1/ridge-house/#");
        await(heard -> heard.topic().equals(TOPICS.unit("oven-1")));
    }

    @AfterEach
    void close() throws MqttException {
        link.close();
        controller.close();
        outsider.close();
        broker.close();
    }

    /** Cycles and turns the link until such a message comes. */
    private Outsider.Heard await(Predicate<Outsider.Heard> wanted) throws InterruptedException {
        while (true) {
            cycle();
            Outsider.Heard heard = outsider.poll(PACE_MS);
            if (heard != null && wanted.test(heard)) {
                return heard;
            }
        }
    }

    private void cycle() {
        nowNs += PERIOD_NS;
        lineTime = lineTime.plusNanos(PERIOD_NS);
        controller.cycle(nowNs, lineTime);
        link.turn(System.nanoTime());
        assertEquals(0, controller.failures());
    }

    private AnswerMessage answer(String id) throws InterruptedException {
        Outsider.Heard heard =
                await(
                        one ->
                                one.topic().equals(TOPICS.answer("notebook"))
                                        && one.text().contains("\"" + id + "\""));
        return read(heard, AnswerMessage.class);
    }

    private static <T> T read(Outsider.Heard heard, Class<T> type) {
        try {
            return Codec.read(heard.text().getBytes(StandardCharsets.UTF_8), type);
        } catch (Codec.Malformed e) {
            throw new AssertionError(heard.text(), e);
        }
    }

    /** A command as a page would send it that has just seen the unit. */
    private CommandMessage command(String unit, String kind, Args args)
            throws InterruptedException {
        UnitLive seen =
                read(await(heard -> heard.topic().equals(TOPICS.unit(unit))), UnitLive.class);
        return new CommandMessage(
                "n-" + ++sent,
                "notebook",
                "Mo",
                seen.start(),
                seen.cycle(),
                seen.stateNumber(),
                unit,
                kind,
                args);
    }

    private AnswerMessage send(CommandMessage command) throws MqttException, InterruptedException {
        return send(command.id(), json(command), false);
    }

    private AnswerMessage send(String id, String json, boolean retained)
            throws MqttException, InterruptedException {
        outsider.say(TOPICS.command(), json, retained);
        return answer(id);
    }

    private static String json(CommandMessage command) {
        return Codec.text(Codec.write(command));
    }

    private static Args lot() {
        return Args.lot(
                new CommandMessage.LotDraft(
                        "Upper field 7",
                        "upper field",
                        "early",
                        0,
                        "medium",
                        false,
                        1.5,
                        5.0,
                        null));
    }

    private record Leaf(Stock stock, java.util.List<OvenSlot> slots) {}

    private Leaf leaf() {
        CycleResult result = controller.lastResult();
        assertNotNull(result);
        return new Leaf(result.state().floor().stock(), result.state().floor().slots());
    }

    private static void assertRefused(String reason, AnswerMessage answer) {
        assertFalse(answer.moved());
        Because because = answer.because();
        assertNotNull(because);
        assertEquals(reason, because.key());
    }

    @Test
    void whatIsAmissIsAnsweredAndChangesNothing() throws MqttException, InterruptedException {
        Leaf before = leaf();
        CommandMessage good = command("line", "take-in-lot", lot());

        assertRefused(
                "refused.stale",
                send(
                        new CommandMessage(
                                "stale",
                                "notebook",
                                "Mo",
                                "s-1",
                                good.seenCycle() - 601,
                                good.seenState(),
                                "line",
                                "take-in-lot",
                                lot())));
        assertRefused(
                "refused.stale",
                send(
                        new CommandMessage(
                                "tomorrow",
                                "notebook",
                                "Mo",
                                "s-1",
                                good.seenCycle() + 1_000_000,
                                good.seenState(),
                                "line",
                                "take-in-lot",
                                lot())));
        assertRefused(
                "command-other-start",
                send("old", json(good).replace("s-1", "s-0").replace(good.id(), "old"), false));
        assertRefused(
                "command-retained", send("kept", json(good).replace(good.id(), "kept"), true));
        assertRefused(
                "command-malformed",
                send("half", "{\"id\":\"half\",\"client\":\"notebook\",\"kind\":\"arm\"}", false));
        assertRefused(
                "command-unknown-kind",
                send(
                        "press",
                        json(good)
                                .replace(good.id(), "press")
                                .replace("take-in-lot", "press-start"),
                        false));
        assertRefused(
                "command-too-large",
                send(
                        "large",
                        json(good)
                                .replace(good.id(), "large")
                                .replace("\"Mo\"", "\"" + "M".repeat(17_000) + "\""),
                        false));
        assertRefused("refused.no-batch", send(command("oven-1", "abort", Args.NONE)));
        assertFalse(send(command("oven-1", "arm", Args.action("start"))).moved());
        assertFalse(send(command("oven-9", "weigh-in", Args.mass(1.0), "oven-1")).moved());

        assertEquals(before, leaf());
    }

    private CommandMessage command(String unit, String kind, Args args, String seen)
            throws InterruptedException {
        CommandMessage like = command(seen, kind, args);
        return new CommandMessage(
                like.id(),
                like.client(),
                like.by(),
                like.start(),
                like.seenCycle(),
                like.seenState(),
                unit,
                kind,
                args);
    }

    @Test
    void aRepeatedCommandGetsItsFirstAnswerAndIsDoneOnce()
            throws MqttException, InterruptedException {
        CommandMessage good = command("line", "take-in-lot", lot());
        AnswerMessage first = send(good);
        assertTrue(first.moved());
        Leaf once = leaf();
        AnswerMessage again = send(good);
        assertTrue(again.moved());
        assertEquals(first.made(), again.made());
        assertEquals(once, leaf());
    }

    @Test
    void aStopIsTakenFromAnyStartHoweverOld() throws MqttException, InterruptedException {
        AnswerMessage answer =
                send(
                        "off",
                        "{\"id\":\"off\",\"client\":\"notebook\",\"start\":\"s-0\",\"kind\":\"stop\",\"unit\":\"line\"}",
                        false);
        assertTrue(answer.moved());
    }
}
