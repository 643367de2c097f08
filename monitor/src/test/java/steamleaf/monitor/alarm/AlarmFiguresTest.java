package steamleaf.monitor.alarm;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import steamleaf.contract.Because;
import steamleaf.monitor.alarm.AlarmFigures.Change;
import steamleaf.monitor.alarm.AlarmFigures.Flood;

/** Expected numbers are counted by hand. */
final class AlarmFiguresTest {
    private static final Instant NOON = Instant.parse("2026-05-12T12:00:00Z");
    private final List<Change> changes = new ArrayList<>();

    private static Instant at(double minutes) {
        return NOON.plusMillis(Math.round(minutes * 60_000));
    }

    private AlarmFiguresTest change(double minutes, String id, String to, String priority) {
        changes.add(
                new Change(
                        at(minutes), false, id, "oven-1", to, priority, Because.of(id, "oven-1")));
        return this;
    }

    private AlarmFiguresTest raised(double minutes, String id) {
        return change(minutes, id, "unacknowledged", "medium");
    }

    private AlarmFigures figures(double hours) {
        return AlarmFigures.of(changes, NOON, at(hours * 60), 3);
    }

    @Test
    void anAlarmCountsWhenItComesAndNotWhenItIsAcknowledgedOrGoes() {
        raised(1, "a").change(2, "a", "acknowledged", "medium").change(3, "a", "normal", "medium");
        raised(30, "b");
        AlarmFigures figures = figures(2);
        assertEquals(2, figures.alarms());
        assertEquals(2 / 12.0, figures.perTenMinutes(), 1e-12, "two hours have twelve ten minutes");
        assertEquals(2.0, figures.perDay(), 1e-12, "less than a day is not blown up to one");
    }

    @Test
    void moreThanADayIsReckonedPerDay() {
        for (int i = 0; i < 30; i++) {
            raised(i * 100, "a" + i);
        }
        assertEquals(30 / 3.0, figures(72).perDay(), 1e-12);
    }

    @Test
    void tenMinutesSlideOverTheStretchAndEndBeforeTheyAreFull() {
        raised(8, "a").raised(9, "b").raised(12, "c").raised(18, "d");
        AlarmFigures figures = figures(1);
        assertEquals(3, figures.mostInTenMinutes(), "8, 9, 12; at 18 the one of 8 has dropped out");
        assertEquals(at(8), figures.mostFrom());
    }

    @Test
    void tenWithinTenMinutesAreNoFloodAndElevenAre() {
        for (int i = 0; i < 10; i++) {
            raised(20 + i * 0.1, "a" + i);
        }
        assertEquals(List.of(), figures(2).floods());
        raised(21, "k");
        assertEquals(
                List.of(new Flood(at(20), at(30.6), 11, 11)),
                figures(2).floods(),
                "seven of the eleven have dropped out at 30.6, fewer than five are left");
        assertEquals(10.6 / 120, figures(2).floodShare(), 1e-9);
    }

    @Test
    void aFloodThatGoesOnIsOneFloodAndEndsWithTheStretchAtTheLatest() {
        for (int i = 0; i < 24; i++) {
            raised(40 + i * 0.5, "a" + i);
        }
        List<Flood> floods = figures(0.9).floods();
        assertEquals(1, floods.size());
        assertEquals(at(40), floods.getFirst().from());
        assertEquals(at(54), floods.getFirst().until());
        assertEquals(24, floods.getFirst().alarms());
        assertEquals(20, floods.getFirst().most());
    }

    @Test
    void threeTimesWithinAMinuteChattersAndThreeTimesInMoreDoesNot() {
        raised(5, "slow").raised(5.5, "slow").raised(6, "slow");
        raised(7, "quick").raised(7.4, "quick").raised(7.9, "quick").raised(8.2, "quick");
        List<AlarmFigures.Chattering> chattering = figures(1).chattering();
        assertEquals(1, chattering.size());
        assertEquals("quick", chattering.getFirst().which().id());
        assertEquals(3, chattering.getFirst().most());
        assertEquals(at(7), chattering.getFirst().from());
    }

    @Test
    void anAlarmStandsUntilItsConditionGoesWhetherAcknowledgedOrNot() {
        raised(10, "a").change(12, "a", "acknowledged", "medium").change(40, "a", "normal", "low");
        raised(20, "b").change(25, "b", "returned-unacknowledged", "medium");
        raised(50, "c");
        List<AlarmFigures.Stood> longest = figures(1).longest();
        assertEquals(List.of("a", "c", "b"), longest.stream().map(s -> s.which().id()).toList());
        assertEquals(Duration.ofMinutes(30), longest.getFirst().length());
        assertNull(longest.get(1).until(), "it still stands");
        assertEquals(Duration.ofMinutes(10), longest.get(1).length());
    }

    @Test
    void whatWasRaisedBeforeTheStretchOnlyTellsSinceWhenItStands() {
        raised(-25 * 60, "old");
        AlarmFigures figures = figures(1);
        assertEquals(0, figures.alarms());
        assertEquals(Duration.ofHours(26), figures.longest().getFirst().length());
        assertEquals(1, figures.stale());
    }

    @Test
    void theMostFrequentComeFirstAndPrioritiesAreCounted() {
        raised(1, "a").raised(2, "b").raised(20, "b");
        change(30, "c", "unacknowledged", "high");
        AlarmFigures figures = figures(1);
        assertEquals("b", figures.mostFrequent().getFirst().which().id());
        assertEquals(2, figures.mostFrequent().getFirst().times());
        assertEquals(Map.of("medium", 3, "high", 1), figures.byPriority());
    }

    @Test
    void nothingIsFineToo() {
        AlarmFigures figures = figures(1);
        assertEquals(0, figures.perTenMinutes(), 0);
        assertEquals(0, figures.mostInTenMinutes());
        assertTrue(figures.floods().isEmpty() && figures.longest().isEmpty());
    }

    /** The clock of the line may be set back between two records. */
    @Test
    void aStepOfTheClockGivesNoNegativeStanding() {
        raised(30, "a").change(10, "a", "normal", "medium");
        assertEquals(Duration.ZERO, figures(1).longest().getFirst().length());
    }
}
