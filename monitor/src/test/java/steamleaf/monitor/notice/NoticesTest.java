package steamleaf.monitor.notice;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.contract.Status;
import steamleaf.monitor.Ridge;
import steamleaf.monitor.live.Live;
import steamleaf.monitor.notice.Channel.Outcome;
import steamleaf.monitor.page.NoticeWords;
import steamleaf.monitor.store.Outbox;
import steamleaf.monitor.store.Store;

/** The way from an alarm to a person, the clock in the test's hand. */
@Timeout(60)
final class NoticesTest {
    private final AtomicLong nowNs = new AtomicLong();
    private final AtomicLong wallMs = new AtomicLong(1_778_587_200_000L);
    private final Script mail = new Script("mail");
    private Live live;
    private Store store;
    private Notices notices;

    @TempDir Path folder;

    /** A way whose outcomes are told beforehand; after those everything arrives. */
    private static class Script implements Channel {
        private final String name;
        final Deque<Outcome> next = new ArrayDeque<>();
        final List<Outbox.Waiting> sent = new ArrayList<>();

        Script(String name) {
            this.name = name;
        }

        @Override
        public String name() {
            return name;
        }

        @Override
        public Outcome send(Outbox.Waiting notice) throws InterruptedException {
            sent.add(notice);
            Outcome outcome = next.poll();
            return outcome == null ? new Outcome.Delivered() : outcome;
        }
    }

    @BeforeEach
    void open() {
        live = new Live(nowNs::get);
        live.broker(true);
        live.status(new Status(true, "j-1", 1, 9, "s-1", Ridge.NOON, false));
        begin(20);
    }

    private void begin(int perHour) {
        store = Store.open(folder.resolve("records.db"));
        NoticeSettings base = WatchTest.settings("medium", perHour);
        notices =
                Notices.with(
                        new NoticeSettings(
                                base.page(),
                                base.leastPriority(),
                                perHour,
                                base.people(),
                                base.steps(),
                                new NoticeSettings.MailServer(
                                        "mail.example", 465, true, "m", "secret", "a@b.example"),
                                List.of(),
                                null,
                                null),
                        live,
                        store.outbox(Ridge.SITE),
                        new NoticeWords(ZoneOffset.UTC),
                        wallMs::get,
                        List.of(mail));
    }

    @AfterEach
    void close() {
        notices.close();
        store.close();
    }

    private void pass(double seconds) {
        nowNs.addAndGet(Math.round(seconds * 1e9));
        wallMs.addAndGet(Math.round(seconds * 1e3));
        notices.tick();
    }

    private void sendAll() throws InterruptedException {
        while (notices.sendNext(mail)) {
            // until nothing is due
        }
    }

    private void raise() {
        live.alarm("a", WatchTest.alarm("a", "unacknowledged", "high", 10, null));
        notices.tick();
        pass(2);
    }

    private List<String> states() {
        return notices.told(20).stream().map(t -> t.person() + " " + t.state()).toList();
    }

    @Test
    void aNoticeSaysWhatHappenedWhatItLeadsToWhatToDoAndThatTheHornIsWhatCounts()
            throws InterruptedException {
        notices.watch("Ines");
        raise();
        sendAll();
        Outbox.Waiting sent = mail.sent.getFirst();
        assertEquals("ines@ridge.example", sent.target());
        assertEquals(List.of("Ines"), notices.reached(notices.view().find("a")));
        assertEquals("Urgent: Oven 2 has no proven airflow: its heat is off.", sent.title());
        for (String words :
                List.of(
                        "What it leads to: no heat; wet leaf stews in still warmth.",
                        "Look at fan and filter, then reset at the machine.",
                        "Respond within 5",
                        "http://127.0.0.1:8080/phone",
                        "The horn at the machine is what counts.")) {
            assertTrue(sent.text().contains(words), words + " in " + sent.text());
        }
    }

    @Test
    void eachPersonReadsTheirOwnLanguage() throws InterruptedException {
        notices.watch("Teo");
        raise();
        sendAll();
        assertTrue(mail.sent.getFirst().title().startsWith("緊急: 乾燥炉2"), mail.sent.toString());
    }

    @Test
    void whatFailsIsTriedAgainLaterAndLaterAndThenGivenUpAndAllOfItIsShown()
            throws InterruptedException {
        for (int i = 0; i < 100; i++) {
            mail.next.add(new Outcome.Failed("answered 451", false));
        }
        notices.watch("Ines");
        raise();
        sendAll();
        assertEquals(1, mail.sent.size());
        pass(4.9);
        sendAll();
        assertEquals(1, mail.sent.size(), "five seconds must pass");
        pass(0.2);
        sendAll();
        assertEquals(2, mail.sent.size());
        pass(14);
        sendAll();
        assertEquals(2, mail.sent.size(), "the second pause is fifteen");
        live.alarm("a", WatchTest.alarm("a", "unacknowledged", "high", 10, null));
        assertEquals("answered 451", notices.told(1).getFirst().why());
        assertEquals(List.of("Ines waiting"), states());
        assertEquals(List.of(), notices.reached(notices.view().find("a")), "called is not reached");
        for (int i = 0; i < 20; i++) {
            pass(300);
            sendAll();
        }
        assertTrue(states().contains("Ines given-up"), states().toString());
    }

    @Test
    void anAcknowledgementWithdrawsWhatWasStillOnItsWay() throws InterruptedException {
        mail.next.add(new Outcome.Failed("no answer", false));
        notices.watch("Ines");
        raise();
        sendAll();
        live.alarm("a", WatchTest.alarm("a", "acknowledged", "high", 20, "Mo"));
        pass(1);
        assertEquals(List.of("Ines waiting", "Ines withdrawn"), states(), "who has it goes out");
        pass(10);
        sendAll();
        assertEquals(2, mail.sent.size());
        assertEquals(
                "Mo has it: Oven 2 has no proven airflow: its heat is off.",
                mail.sent.getLast().title());
    }

    @Test
    void aRestartGoesOnWhereItWasTheTimeBetweenIncluded() throws InterruptedException {
        notices.watch("Teo");
        raise();
        notices.close();
        store.close();
        wallMs.addAndGet(200_000);
        begin(20);
        assertEquals("Teo", notices.view().onWatch());
        assertNotNull(notices.view().find("a"));
        notices.tick();
        sendAll();
        assertEquals(
                List.of("teo@ridge.example", "ines@ridge.example", "teo@ridge.example"),
                mail.sent.stream().map(Outbox.Waiting::target).toList(),
                "the first one had not gone yet, the second step is due");
    }

    @Test
    void aWallClockThatWentBackDoesNotTurnTheWatchBack() {
        notices.watch("Teo");
        raise();
        double before = notices.nowS();
        notices.close();
        store.close();
        wallMs.addAndGet(-7_200_000);
        begin(20);
        assertEquals(before, notices.nowS(), 1e-6);
    }

    @Test
    void aStormIsOneNoticeWithTheFirstCauseInItsTitle() throws InterruptedException {
        for (int i = 0; i < 50; i++) {
            live.alarm("a" + i, WatchTest.alarm("a" + i, "unacknowledged", "high", 90 - i, null));
        }
        notices.watch("Ines");
        notices.tick();
        pass(2);
        sendAll();
        assertEquals(1, mail.sent.size());
        assertEquals(50, mail.sent.getFirst().alarms().size());
        assertEquals("a49", mail.sent.getFirst().alarms().getFirst(), "the lowest cycle");
        assertTrue(mail.sent.getFirst().title().endsWith("(and 49 more)"));
        assertTrue(mail.sent.getFirst().text().contains("And 45 more"));
    }

    @Test
    void beyondTheHourlyLimitAllThatComesIsOneNoticeThatForgetsNothing()
            throws InterruptedException {
        notices.close();
        store.close();
        begin(3);
        notices.watch("Ines");
        for (int i = 0; i < 12; i++) {
            live.alarm("m" + i, WatchTest.alarm("m" + i, "unacknowledged", "medium", i, null));
            notices.tick();
            pass(3);
        }
        sendAll();
        assertEquals(3, mail.sent.size());
        assertEquals(1, states().stream().filter("Ines waiting"::equals).count());
        assertEquals(8, states().stream().filter("Ines merged"::equals).count());
        live.alarm("m3", WatchTest.alarm("m3", "acknowledged", "medium", 20, "Mo"));
        notices.tick();
        live.alarm("m12", WatchTest.alarm("m12", "unacknowledged", "medium", 2_000, null));
        notices.tick();
        pass(3);
        assertEquals(
                List.of("m4", "m5", "m6", "m7", "m8", "m9", "m10", "m11", "m12"),
                store.outbox(Ridge.SITE)
                        .putOff("mail", "ines@ridge.example", notices.nowS())
                        .orElseThrow()
                        .alarms(),
                "what somebody has by now is left out");
        assertTrue(notices.told(1).getFirst().title().endsWith("(and 8 more)"));
        for (int i = 0; i < 13; i++) {
            live.alarm("m" + i, WatchTest.alarm("m" + i, "acknowledged", "medium", 3_000, "Mo"));
        }
        notices.tick();
        assertEquals(
                0,
                notices.told(40).stream()
                        .filter(t -> t.kind().equals("raised") && t.state().equals("waiting"))
                        .count(),
                "nobody needs it any more");
    }

    @Test
    void whenNothingIsHeardWhileLeafIsInTheLineThatIsToldAndOverWhenItIsHeardAgain()
            throws InterruptedException {
        live.unit("oven-2", Ridge.drying("oven-2", "b-3", 10, Ridge.NOON), false);
        notices.watch("Ines");
        live.broker(false);
        notices.tick();
        pass(59);
        assertNull(notices.view().find(Notices.NOT_HEARD));
        pass(2);
        pass(2);
        sendAll();
        assertEquals(
                "Urgent: The line is not heard from, and leaf is in it.",
                mail.sent.getFirst().title());
        notices.taken(Notices.NOT_HEARD, "Mo");
        live.broker(true);
        pass(1);
        pass(6);
        sendAll();
        assertEquals(
                List.of("Mo has it: ", "Over: "),
                mail.sent.subList(1, 3).stream()
                        .map(s -> s.title().replaceAll("The line.*", ""))
                        .toList());
    }

    @Test
    void anEmptyLineThatIsSwitchedOffAlarmsNobody() {
        live.unit("oven-3", Ridge.idleOven("oven-3", 10, Ridge.NOON), false);
        live.broker(false);
        notices.tick();
        pass(4_000);
        assertNull(notices.view().find(Notices.NOT_HEARD));
    }

    @Test
    void aWayThatHangsHoldsUpNeitherTheOtherWaysNorTheLook() throws Exception {
        CountDownLatch never = new CountDownLatch(1);
        CountDownLatch hanging = new CountDownLatch(1);
        BlockingQueue<String> arrived = new LinkedBlockingQueue<>();
        Channel hangs =
                new Script("mail") {
                    @Override
                    public Outcome send(Outbox.Waiting notice) throws InterruptedException {
                        hanging.countDown();
                        never.await();
                        return new Outcome.Delivered();
                    }
                };
        Channel goes =
                new Script("webhook") {
                    @Override
                    public Outcome send(Outbox.Waiting notice) {
                        arrived.add(notice.title());
                        return new Outcome.Delivered();
                    }
                };
        NoticeSettings base = notices.settings();
        notices.close();
        NoticeSettings both =
                new NoticeSettings(
                        base.page(),
                        base.leastPriority(),
                        20,
                        base.people(),
                        base.steps(),
                        base.mail(),
                        List.of(
                                new NoticeSettings.Hook(
                                        "board", java.net.URI.create("https://h.example"), "s")),
                        null,
                        null);
        notices =
                Notices.with(
                        both,
                        live,
                        store.outbox(Ridge.SITE),
                        new NoticeWords(ZoneOffset.UTC),
                        wallMs::get,
                        List.of(hangs, goes));
        notices.beginSending();
        raise();
        assertTrue(hanging.await(20, TimeUnit.SECONDS));
        assertNotNull(arrived.poll(20, TimeUnit.SECONDS));
        live.alarm("b", WatchTest.alarm("b", "unacknowledged", "high", 30, null));
        notices.tick();
        pass(3);
        assertNotNull(arrived.poll(20, TimeUnit.SECONDS));
        never.countDown();
    }

    @Test
    void settingsInALogShowNoSecret() {
        String shown = notices.settings().toString();
        assertFalse(shown.contains("secret"), shown);
    }
}
