package steamleaf.monitor.alarm;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.Because;

final class AlarmOrderTest {
    private static final Instant AT = Instant.parse("2026-05-12T12:00:00Z");
    private final List<AlarmLive> alarms = new ArrayList<>();

    private AlarmOrderTest is(String id, String state, String priority, long raised, int rank) {
        alarms.add(
                new AlarmLive(
                        id,
                        "oven-1",
                        id,
                        state,
                        priority,
                        300,
                        raised + 7,
                        AT,
                        null,
                        Because.of(id),
                        raised,
                        rank,
                        false,
                        null,
                        null));
        return this;
    }

    private AlarmOrderTest open(String id, String priority, long raised, int rank) {
        return is(id, "unacknowledged", priority, raised, rank);
    }

    private String order() {
        Collections.shuffle(alarms, new Random(7)); // however the messages came
        StringBuilder text = new StringBuilder();
        for (AlarmOrder.Placed placed : AlarmOrder.of(alarms)) {
            text.append(placed.alarm().id());
            text.append(placed.causeOf() > 0 ? "(" + placed.causeOf() + ") " : " ");
        }
        return text.toString().strip();
    }

    @Test
    void theMoreUrgentStandsFirstAndAmongEqualsTheOldest() {
        open("m1", "medium", 1_000, 5).open("l", "low", 2_000, 5).open("h2", "high", 4_000, 5);
        open("h1", "high", 3_000, 5).open("m2", "medium", 5_000, 5);
        assertEquals("h1 h2 m1 m2 l", order());
    }

    @Test
    void theFirstCauseOfWhatCameTogetherStandsBeforeItsConsequences() {
        open("cause", "low", 1_000, 40).open("h", "high", 1_030, 3).open("m", "medium", 1_090, 9);
        open("earlier", "high", 500, 20);
        assertEquals("earlier cause(3) h m", order());
    }

    @Test
    void alarmsOfTheSameCycleStandInTheOrderOfTheTable() {
        open("c", "high", 1_000, 12).open("a", "high", 1_000, 2).open("b", "high", 1_000, 7);
        assertEquals("a(3) b c", order());
    }

    @Test
    void whatComesTenSecondsAfterTheLastCameTogetherAndWhatComesLaterDidNot() {
        open("a", "low", 1_000, 1).open("b", "medium", 1_100, 2).open("c", "high", 1_201, 3);
        assertEquals("c a(2) b", order());
    }

    @Test
    void whatSomebodyHasStandsBehindWhatNobodyHasAndACauseThatHasGoneStaysTheCause() {
        is("had", "acknowledged", "high", 100, 1);
        is("cause", "returned-unacknowledged", "medium", 1_000, 1).open("h", "high", 1_001, 1);
        is("aside", "shelved", "medium", 1_000, 1).is("off", "out-of-service", "low", 1_000, 1);
        is("hidden", "suppressed", "low", 1_000, 1).is("gone", "normal", "low", 1_000, 1);
        assertEquals("cause(2) h had", order());
    }

    @Test
    void aCauseThatSomebodyHasIsStillTheCauseButNotInTheWay() {
        is("cause", "acknowledged", "high", 1_000, 1).open("h", "medium", 1_001, 1);
        assertEquals("h cause(2)", order());
    }

    @Test
    void anOlderControllerThatSaysNeitherIsPutInTheOrderOfItsLastChanges() {
        for (String id : List.of("b", "a")) {
            alarms.add(
                    new AlarmLive(
                            id,
                            "oven-1",
                            id,
                            "unacknowledged",
                            "high",
                            300,
                            id.equals("b") ? 1_000 : 5_000,
                            AT,
                            null,
                            Because.of(id)));
        }
        assertEquals("b a", order());
    }
}
