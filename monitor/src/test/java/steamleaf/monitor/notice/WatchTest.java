package steamleaf.monitor.notice;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.Because;
import steamleaf.contract.Language;
import steamleaf.monitor.notice.NoticeSettings.Person;
import steamleaf.monitor.notice.NoticeSettings.Step;

final class WatchTest {
    private static final Instant AT = Instant.parse("2026-05-12T12:00:00Z");
    private static final double RESPOND_S = 300;

    static NoticeSettings settings(String least, int perHour) {
        return new NoticeSettings(
                "http://127.0.0.1:8080/",
                least,
                perHour,
                List.of(
                        new Person("Ines", "ines@ridge.example", true, Language.ENGLISH),
                        new Person("Teo", "teo@ridge.example", false, Language.JAPANESE),
                        new Person("Owner", null, false, Language.ENGLISH)),
                List.of(
                        new Step(0, List.of("on-watch")),
                        new Step(120, List.of("Ines", "Teo")),
                        new Step(600, List.of("everyone"))),
                null,
                List.of(),
                null,
                null);
    }

    private final Watch watch = new Watch(settings("medium", 20));
    private final Map<String, AlarmLive> alarms = new TreeMap<>();
    private Watch.State state = Watch.State.NOTHING;
    private @Nullable String onWatch = "Teo";
    private boolean settled = true;

    static AlarmLive alarm(
            String id, String state, String priority, long cycle, @Nullable String by) {
        return new AlarmLive(
                id,
                "oven-2",
                id,
                state,
                priority,
                RESPOND_S,
                cycle,
                AT,
                by,
                Because.of("airflow-not-proven", "oven-2"));
    }

    private void is(String id, String alarmState, long cycle, @Nullable String by) {
        alarms.put(id, alarm(id, alarmState, "high", cycle, by));
    }

    /** What is told at that second, as short words. */
    private List<String> at(double nowS) {
        Watch.Step step = watch.step(state, alarms, settled, nowS, onWatch);
        state = step.state();
        return words(step);
    }

    private static List<String> words(Watch.Step step) {
        List<String> told = new ArrayList<>();
        step.due().forEach(d -> told.add(d.kind() + " " + d.about().id() + " " + d.people()));
        return told;
    }

    @Test
    void anAlarmGoesUpTheStepsUntilSomebodyHasIt() {
        is("a", "unacknowledged", 10, null);
        assertEquals(List.of(), at(100), "what comes with it is gathered first");
        assertEquals(List.of("RAISED a [Teo]"), at(102));
        assertEquals(List.of(), at(219.9));
        assertEquals(List.of("RAISED a [Ines, Teo]"), at(220));
        assertEquals(List.of("RAISED a [Ines, Teo, Owner]"), at(700));
        assertEquals(List.of(), at(10_000), "there is nobody else");
    }

    @Test
    void anAcknowledgementPausesItAndThoseWhoWereToldHearWhoHasIt() {
        is("a", "unacknowledged", 10, null);
        at(100);
        at(102);
        is("a", "acknowledged", 20, "Mo");
        assertEquals(List.of("TAKEN a [Teo]"), at(110));
        assertEquals(
                List.of(), at(110 + RESPOND_S - 1), "not even the steps that were due meanwhile");
        assertEquals("Mo", assertNotNullCase("a").by());
    }

    private Watch.Case assertNotNullCase(String id) {
        Watch.Case found = state.find(id);
        assertNotNull(found, id);
        return found;
    }

    @Test
    void whenTheTimeToRespondHasPassedAndItStillStandsTheStepsBeginAgain() {
        is("a", "unacknowledged", 10, null);
        at(100);
        at(102);
        is("a", "acknowledged", 20, "Mo");
        at(110);
        assertEquals(List.of(), at(110 + RESPOND_S));
        assertTrue(assertNotNullCase("a").overdue());
        assertEquals(List.of("STILL a [Teo]"), at(112 + RESPOND_S));
        assertEquals(List.of("STILL a [Ines, Teo]"), at(110 + RESPOND_S + 120));

        Watch.Step taken = watch.taken(state, "a", "Kei", 600);
        state = taken.state();
        assertEquals(List.of("TAKEN a [Teo, Ines]"), words(taken));
        assertEquals(List.of(), at(600 + RESPOND_S - 1));
        at(600 + RESPOND_S);
        assertEquals(List.of("STILL a [Teo]"), at(602 + RESPOND_S));
    }

    @Test
    void whoeverWasToldHearsThatItIsOver() {
        is("a", "unacknowledged", 10, null);
        at(100);
        at(102);
        is("a", "normal", 30, null);
        assertEquals(List.of(), at(130), "whether it stays away is to be seen");
        assertEquals(List.of(), at(189.9), "nor does it go up the steps meanwhile");
        assertEquals(List.of("OVER a [Teo]"), at(190));
        assertEquals(Watch.State.NOTHING, state);
    }

    @Test
    void whatGoesBeforeAnybodyWasToldIsNotToldAtAll() {
        is("a", "unacknowledged", 10, null);
        at(100);
        is("a", "returned-unacknowledged", 11, null);
        assertEquals(List.of(), at(101));
        assertEquals(List.of(), at(1_000));
        assertEquals(Watch.State.NOTHING, state);
    }

    @Test
    void anAlarmThatComesAndGoesIsOneCallAndIsOverWhenItHasStayedAwayForAMinute() {
        List<String> told = new ArrayList<>();
        for (int i = 0; i < 30; i++) {
            is("a", i % 2 == 0 ? "unacknowledged" : "returned-unacknowledged", 10 + i, null);
            told.addAll(at(100 + i));
        }
        assertEquals(List.of("RAISED a [Teo]"), told, "even one that never stands for two seconds");
        assertEquals(List.of(), at(188.9));
        assertEquals(List.of("OVER a [Teo]"), at(189));
    }

    @Test
    void oneThatChattersStaysWithWhoeverHasItUntilTheTimeToRespondHasPassed() {
        List<String> told = new ArrayList<>();
        for (int i = 0; i < 3; i++) {
            is("a", "unacknowledged", 10 + 2 * i, null);
            told.addAll(at(100 + 10 * i));
            is("a", "returned-unacknowledged", 11 + 2 * i, null);
            told.addAll(at(105 + 10 * i));
        }
        is("a", "unacknowledged", 20, null);
        told.addAll(at(130));
        is("a", "acknowledged", 21, "Mo");
        told.addAll(at(131));
        assertEquals(List.of("RAISED a [Teo]", "TAKEN a [Teo]"), told);
        for (int i = 0; i < 29; i++) {
            is("a", "normal", 30 + 2 * i, null);
            assertEquals(List.of(), at(136 + 10 * i));
            is("a", "unacknowledged", 31 + 2 * i, null);
            assertEquals(List.of(), at(141 + 10 * i));
        }
        at(131 + RESPOND_S);
        assertEquals(List.of("STILL a [Teo]"), at(133 + RESPOND_S));
    }

    @Test
    void whatSomebodyPutsAsideIsNotOverAndThoseWhoWereToldHearWhoDidIt() {
        for (String aside : List.of("shelved", "out-of-service")) {
            state = Watch.State.NOTHING;
            is("a", "unacknowledged", 10, null);
            at(100);
            at(102);
            is("a", aside, 20, "Mo");
            assertEquals(List.of("ASIDE a [Teo]"), at(110));
            assertEquals(Watch.State.NOTHING, state);
            assertEquals(List.of(), at(10_000));
        }
    }

    @Test
    void anAlarmThatComesAgainAfterAnAcknowledgementIsANewCall() {
        is("a", "unacknowledged", 10, null);
        at(100);
        at(102);
        is("a", "acknowledged", 20, "Mo");
        at(110);
        is("a", "unacknowledged", 40, null);
        at(120);
        assertEquals(List.of("RAISED a [Teo]"), at(122));
    }

    @Test
    void whileNobodyIsOnWatchEveryoneIs() {
        onWatch = null;
        is("a", "unacknowledged", 10, null);
        at(100);
        assertEquals(List.of("RAISED a [Ines, Teo, Owner]"), at(102));
    }

    @Test
    void inAStormTheFirstCauseLeadsThenTheMostUrgentAndOfThoseTheOldest() {
        alarms.put("d", alarm("d", "unacknowledged", "medium", 6, null));
        alarms.put("c", alarm("c", "unacknowledged", "medium", 5, null));
        alarms.put("a", alarm("a", "unacknowledged", "high", 8, null));
        alarms.put("b", alarm("b", "unacknowledged", "high", 7, null));
        at(0);
        assertEquals(
                List.of("RAISED c [Teo]", "RAISED b [Teo]", "RAISED a [Teo]", "RAISED d [Teo]"),
                at(2),
                "the cause of all of them leads, however low its own priority");
    }

    @Test
    void whatIsLessThanTheLeastPriorityIsNotTold() {
        alarms.put("a", alarm("a", "unacknowledged", "low", 5, null));
        at(0);
        assertEquals(List.of(), at(1_000));
    }

    @Test
    void anAlarmThatTheLineDoesNotTellOfIsGoneOnlyOnceTheLineHasBeenHeard() {
        is("a", "unacknowledged", 10, null);
        at(0);
        at(2);
        alarms.clear();
        settled = false;
        assertEquals(List.of("RAISED a [Ines, Teo]"), at(120), "nobody said that it is over");
        settled = true;
        assertEquals(List.of(), at(130));
        assertEquals(List.of("OVER a [Teo, Ines]"), at(190));
    }

    @Test
    void whoeverAcknowledgedBeforeTheMonitorWasThereHasIt() {
        is("a", "acknowledged", 20, "Mo");
        assertEquals(List.of(), at(0));
        at(RESPOND_S);
        assertEquals(List.of("STILL a [Teo]"), at(RESPOND_S + 2));
    }

    @Test
    void theHourlyLimitPutsOffWhatIsNotUrgentAndSpacesWhatIs() {
        List<Double> sent = List.of(990.0, 500.0, 100.0);
        assertEquals(1_000, Notices.sendAt(List.of(), 1_000, 3, false));
        assertEquals(1_000, Notices.sendAt(sent, 1_000, 4, false));
        assertEquals(
                3_700, Notices.sendAt(sent, 1_000, 3, false), "when that of 100 is an hour old");
        assertEquals(1_050, Notices.sendAt(sent, 1_000, 3, true), "a minute after the last");
        List<Double> withPutOff = List.of(3_700.0, 990.0, 500.0, 100.0);
        assertEquals(
                4_100, Notices.sendAt(withPutOff, 1_000, 3, false), "behind what waits already");
    }
}
