package steamleaf.monitor.intake;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import io.micrometer.core.instrument.simple.SimpleMeterRegistry;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Collections;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.contract.AnswerMessage;
import steamleaf.contract.Because;
import steamleaf.contract.CommandMessage;
import steamleaf.contract.Have;
import steamleaf.contract.JournalRecord;
import steamleaf.contract.Kinds;
import steamleaf.contract.StandIn;
import steamleaf.contract.Topics;
import steamleaf.monitor.Ridge;
import steamleaf.monitor.live.Asking.Reply;
import steamleaf.monitor.live.Live;
import steamleaf.monitor.store.Rows;
import steamleaf.monitor.store.Store;

/** Against Debian's mosquitto. */
@Timeout(60)
final class IntakeTest {
    @TempDir Path folder;
    private Mosquitto broker;
    private LineOnMqtt line;
    private Store store;
    private Live live;
    private Intake intake;
    private Thread runner;

    @BeforeEach
    void start() throws Exception {
        broker = new Mosquitto(folder);
        line = new LineOnMqtt(broker.port());
        store = Store.open(folder.resolve("records.db"));
        startIntake();
    }

    private void startIntake() {
        live = new Live(System::nanoTime);
        intake =
                new Intake(
                        Ridge.SITE,
                        "monitor",
                        new Intake.Broker("127.0.0.1", broker.port(), null, null),
                        store,
                        live,
                        new SimpleMeterRegistry());
        runner = Thread.ofPlatform().start(intake::run);
    }

    private void stopIntake() throws InterruptedException {
        intake.close();
        runner.join();
    }

    @AfterEach
    void stop() throws Exception {
        stopIntake();
        line.close();
        store.close();
        broker.close();
    }

    private void assertComplete(List<JournalRecord> records) {
        List<Rows.EventRow> kept =
                store.questions(Ridge.SITE).latest(List.of(Kinds.CHANGED), 10_000);
        assertEquals(
                records.stream().filter(r -> r.kind().equals(Kinds.CHANGED)).toList().reversed(),
                kept.stream().map(Rows.EventRow::record).toList());
        assertEquals(records.size(), store.have(Ridge.SITE, Ridge.JOURNAL).n());
    }

    private Live.Now waitFor(java.util.function.Predicate<Live.Now> seen)
            throws InterruptedException {
        Live.Now now = live.now();
        while (!seen.test(now)) {
            now = live.awaitAfter(now.revision(), 10_000);
        }
        return now;
    }

    @Test
    void aJournalIsAskedForAndAcknowledgedToItsEnd() throws Exception {
        List<JournalRecord> records = Ridge.empty().finished("b-1", "oven-1", "40", 2).records();
        line.holding(records).up();
        assertTrue(line.toldToHave(Ridge.JOURNAL, records.size()));
        assertComplete(records);
    }

    @Test
    void recordsLostRepeatedAndSwappedOnTheWayEndUpOnceEach() throws Exception {
        List<JournalRecord> records = Ridge.empty().finished("b-1", "oven-1", "40", 1).records();
        Set<Long> lostOnce = ConcurrentHashMap.newKeySet();
        Set<Long> swappedOnce = ConcurrentHashMap.newKeySet();
        line.way(
                sent -> {
                    sent.removeIf(r -> r.n() % 97 == 0 && lostOnce.add(r.n()));
                    if (!sent.isEmpty() && swappedOnce.add(sent.getFirst().n() / 150)) {
                        sent.add(sent.getFirst());
                        Collections.swap(sent, 0, sent.size() / 2);
                    }
                    return sent;
                });
        line.holding(records).up();
        boolean complete = false;
        while (!complete) {
            Have have = line.nextAsked();
            assertNotNull(have, "the store stopped asking");
            complete = have.n() == records.size();
        }
        assertComplete(records);
        assertTrue(lostOnce.size() > 1);
    }

    @Test
    void anotherJournalIsAskedForFromItsBeginning() throws Exception {
        List<JournalRecord> records = Ridge.empty().lot("lot-1", "40", 4).records();
        line.holding(records).up();
        assertTrue(line.toldToHave(Ridge.JOURNAL, 1));
        line.holding(new Ridge("j-2").lot("lot-1", "40", 4).lot("lot-2", "41", 4).records()).up();
        assertTrue(line.toldToHave("j-2", 2));
        assertEquals(1, store.have(Ridge.SITE, Ridge.JOURNAL).n());
    }

    @Test
    void aBrokerThatGoesAndComesBackCostsNothing() throws Exception {
        Ridge ridge = Ridge.empty().finished("b-1", "oven-1", "40", 1);
        line.holding(ridge.records()).up();
        assertTrue(line.toldToHave(Ridge.JOURNAL, ridge.records().size()));
        line.close();
        broker.stop();
        waitFor(now -> !now.brokerUp());
        ridge.finished("b-2", "oven-2", "41", 1);
        broker.startAgain();
        line = new LineOnMqtt(broker.port());
        line.holding(ridge.records()).up();
        assertTrue(line.toldToHave(Ridge.JOURNAL, ridge.records().size()));
        assertComplete(ridge.records());
        assertTrue(waitFor(Live.Now::brokerUp).brokerUp());
    }

    @Test
    void aMonitorThatWasAwayHasTheWholeRecordAfterwards() throws Exception {
        Ridge ridge = Ridge.empty().finished("b-1", "oven-1", "40", 1);
        line.holding(ridge.records()).up();
        assertTrue(line.toldToHave(Ridge.JOURNAL, ridge.records().size()));
        stopIntake();
        ridge.finished("b-2", "oven-2", "41", 1);
        line.holding(ridge.records()).up();
        startIntake();
        assertTrue(line.toldToHave(Ridge.JOURNAL, ridge.records().size()));
        assertComplete(ridge.records());
    }

    @Test
    void aSilentControllerThatHasMoreIsAskedAgain() throws Exception {
        List<JournalRecord> records = Ridge.empty().lot("lot-1", "40", 4).records();
        line.way(_ -> List.of());
        line.holding(records).up();
        assertTrue(line.toldToHave(Ridge.JOURNAL, 0));
        line.way(sent -> sent);
        assertTrue(line.toldToHave(Ridge.JOURNAL, 1));
    }

    @Test
    void liveMessagesAreSeenAndRubbishIsLeftOut() throws Exception {
        line.holding(Ridge.empty().lot("lot-1", "40", 4).records()).up();
        line.raw(
                new Topics(Ridge.SITE).unit("oven-1"), "{rubbish".getBytes(StandardCharsets.UTF_8));
        line.raw(new Topics(Ridge.SITE).record("monitor"), new byte[] {0, 1});
        line.tell(Ridge.description());
        line.tell(Ridge.recipe("standard"));
        line.tell(Ridge.alarm("oven-1", Ridge.NOON));
        line.tell(Ridge.idleOven("oven-1", 7, Ridge.NOON));
        Live.Now now =
                waitFor(
                        n ->
                                n.unit("oven-1") != null
                                        && n.controllerUp()
                                        && n.line() != null
                                        && n.recipes().size() == 1
                                        && n.alarms().size() == 1);
        assertEquals(7, Objects.requireNonNull(now.unit("oven-1")).cycle());
        assertEquals("Ridge House", Objects.requireNonNull(now.line()).title());
        line.raw(new Topics(Ridge.SITE).alarm("oven-1.airflow"), new byte[0]);
        waitFor(n -> n.alarms().isEmpty());
    }

    private static CommandMessage stop(String id) {
        return new CommandMessage(
                id,
                "monitor",
                "Ines",
                Ridge.START,
                7,
                4,
                "oven-1",
                "stop",
                CommandMessage.Args.NONE);
    }

    @Test
    void aCommandGetsItsOwnAnswer() throws Exception {
        line.answering(
                command ->
                        new AnswerMessage(
                                command.id(),
                                command.id().equals("c-1") ? "refused" : "moved",
                                Because.of("stale"),
                                null,
                                9,
                                Ridge.NOON));
        waitFor(Live.Now::brokerUp);
        Reply refused = intake.ask(stop("c-1"));
        Reply moved = intake.ask(stop("c-2"));
        assertEquals(false, assertInstanceOf(Reply.Answered.class, refused).answer().moved());
        assertEquals(true, assertInstanceOf(Reply.Answered.class, moved).answer().moved());
        assertEquals("c-1", Objects.requireNonNull(line.nextCommand()).id());
    }

    @Test
    void aCommandWithoutAnAnswerSaysSoAndOneWithoutABrokerIsNotSent() throws Exception {
        waitFor(Live.Now::brokerUp);
        assertInstanceOf(Reply.NoAnswer.class, intake.ask(stop("c-1")));
        broker.stop();
        waitFor(now -> !now.brokerUp());
        assertInstanceOf(Reply.NotSent.class, intake.ask(stop("c-2")));
    }

    @Test
    void aPressOfTheStandInGoesToTheSimulator() throws Exception {
        waitFor(Live.Now::brokerUp);
        assertTrue(intake.press(new StandIn("start")));
        assertEquals(new StandIn("start"), line.nextPress());
        assertNull(live.now().status());
    }
}
