package steamleaf.core.alarm;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.core.alarm.AlarmEvent.Refusal;
import steamleaf.core.interlock.Rule;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;
import steamleaf.core.reading.UnitKind;

class AlarmsTest {
    private static final int OVENS = 2;
    private static final UnitId OVEN_1 = UnitId.oven(1);
    private static final UnitId OVEN_2 = UnitId.oven(2);

    /** One line's alarms, stepped at 10 Hz. */
    private static final class Desk {
        final Alarms alarms = new Alarms();
        AlarmStates states = AlarmStates.none(OVENS);
        final Set<AlarmCondition> conditions = new HashSet<>();
        final Readings.Collector readings = new Readings.Collector(OVENS);
        final Set<UnitId> inUse = new HashSet<>(List.of(OVEN_1, OVEN_2, UnitId.STEAMER));
        final List<AlarmRequest> requests = new ArrayList<>();
        List<AlarmEvent> events = List.of();
        Signals signals = Signals.DARK;
        long cycle = 0;
        double elapsedS = 0.1;
        boolean running = true;
        boolean personWanted = false;

        Desk() {
            for (Quantity quantity : Quantity.values()) {
                for (UnitId unit : units(quantity.of())) {
                    readings.set(unit, quantity, 0.0, Quality.GOOD);
                }
            }
        }

        void set(UnitId unit, AlarmKind kind) {
            conditions.add(new AlarmCondition(unit, kind));
        }

        void clear(UnitId unit, AlarmKind kind) {
            conditions.remove(new AlarmCondition(unit, kind));
        }

        void ask(AlarmRequest request) {
            requests.add(request);
        }

        void cycle() {
            cycle++;
            AlarmStep step =
                    alarms.step(
                            states,
                            new AlarmInput(
                                    cycle,
                                    elapsedS,
                                    readings.build(),
                                    List.copyOf(conditions),
                                    List.copyOf(requests),
                                    Set.copyOf(inUse),
                                    running,
                                    personWanted));
            requests.clear();
            states = step.states();
            events = step.events();
            signals = step.signals();
        }

        void run(double s) {
            for (long n = Math.round(s / 0.1); n > 0; n--) {
                cycle();
            }
        }

        AlarmStage stage(UnitId unit, AlarmKind kind) {
            return states.stage(unit, kind);
        }

        Refusal refusal() {
            return events.stream()
                    .filter(e -> e instanceof AlarmEvent.Refused)
                    .map(e -> ((AlarmEvent.Refused) e).why())
                    .findFirst()
                    .orElse(null);
        }
    }

    private static List<UnitId> units(UnitKind kind) {
        return switch (kind) {
            case LINE -> List.of(UnitId.LINE);
            case STEAMER -> List.of(UnitId.STEAMER);
            case OVEN -> List.of(OVEN_1, OVEN_2);
        };
    }

    private static UnitId unit(AlarmKind kind) {
        return units(kind.scope().iterator().next()).getLast();
    }

    /** Brings about the condition of any row. */
    private static void cause(Desk desk, AlarmKind kind) {
        UnitId unit = unit(kind);
        switch (kind.source()) {
            case GUARD, BATCH, SHELL -> desk.set(unit, kind);
            case READING -> {
                kind.quantities().forEach(q -> desk.readings.set(unit, q, 1, Quality.FAULT));
                kind.contacts().forEach(q -> desk.readings.set(unit, q, true));
                Quantity value = kind.value();
                if (value != null) {
                    desk.readings.set(unit, value, kind.limit() + 0.01, Quality.GOOD);
                }
            }
        }
    }

    private static void heal(Desk desk, AlarmKind kind) {
        UnitId unit = unit(kind);
        desk.clear(unit, kind);
        kind.quantities().forEach(q -> desk.readings.set(unit, q, 1, Quality.GOOD));
        kind.contacts().forEach(q -> desk.readings.set(unit, q, false));
        Quantity value = kind.value();
        if (value != null) {
            desk.readings.set(unit, value, kind.limit() - kind.deadBand(), Quality.GOOD);
        }
    }

    @ParameterizedTest
    @EnumSource(AlarmKind.class)
    void eachRowGoesFromNormalThroughItsDelaysAndBack(AlarmKind kind) {
        Desk desk = new Desk();
        UnitId unit = unit(kind);
        desk.run(1);
        assertEquals(List.of(), desk.states.standing());
        cause(desk, kind);
        desk.run(kind.onDelayS());
        if (kind.onDelayS() > 0) {
            assertEquals(AlarmStage.NORMAL, desk.stage(unit, kind), "still within the delay");
        }
        desk.cycle();
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(unit, kind));
        assertEquals(kind.priority() != Priority.LOW, desk.states.isSounding());
        assertEquals(kind.priority() == Priority.HIGH, desk.signals.lampRed());
        assertEquals(kind.priority() != Priority.HIGH, desk.signals.lampYellow());
        assertTrue(desk.signals.lampBlue());

        desk.ask(new AlarmRequest.Acknowledge(new AlarmKey(unit, kind), "Mio"));
        desk.cycle();
        assertEquals(AlarmStage.ACKNOWLEDGED, desk.stage(unit, kind));
        assertEquals("Mio", desk.states.standing().getFirst().by());
        assertFalse(desk.signals.lampBlue());

        heal(desk, kind);
        desk.run(kind.offDelayS());
        if (kind.offDelayS() > 0) {
            assertEquals(AlarmStage.ACKNOWLEDGED, desk.stage(unit, kind));
        }
        desk.cycle();
        assertEquals(AlarmStage.NORMAL, desk.stage(unit, kind));
        assertEquals(List.of(), desk.states.standing());

        cause(desk, kind);
        desk.run(kind.onDelayS() + 0.1);
        heal(desk, kind);
        desk.run(kind.offDelayS() + 0.1);
        assertEquals(AlarmStage.RETURNED_UNACKNOWLEDGED, desk.stage(unit, kind));
        desk.ask(new AlarmRequest.Acknowledge(new AlarmKey(unit, kind), "Mio"));
        desk.cycle();
        assertEquals(AlarmStage.NORMAL, desk.stage(unit, kind));
    }

    @ParameterizedTest
    @EnumSource(AlarmKind.class)
    void eachRowSaysEverythingAndOnlyTripsCannotBeHidden(AlarmKind kind) {
        assertFalse(kind.consequence().isBlank());
        assertTrue(kind.respondS() >= 60);
        assertFalse(kind.scope().isEmpty());
        Desk desk = new Desk();
        AlarmKey key = new AlarmKey(unit(kind), kind);
        desk.ask(new AlarmRequest.Shelve(key, 60, "Mio", "known"));
        desk.cycle();
        assertEquals(
                kind.isTrip() ? AlarmStage.NORMAL : AlarmStage.SHELVED,
                desk.stage(key.unit(), kind));
        assertEquals(kind.isTrip() ? Refusal.TRIPS_ARE_NEVER_HIDDEN : null, desk.refusal());
        desk.ask(new AlarmRequest.TakeOutOfService(key, "Mio", "known"));
        desk.cycle();
        assertEquals(
                kind.isTrip() ? AlarmStage.NORMAL : AlarmStage.OUT_OF_SERVICE,
                desk.stage(key.unit(), kind));
        if (kind.isTrip()) {
            assertFalse(kind.isOnlyInUse());
            assertEquals(null, kind.hiddenBy(), "a trip is never suppressed");
            assertFalse(kind.priority() == Priority.LOW);
        }
        assertEquals(kind, AlarmKind.of(kind.key()));
    }

    @ParameterizedTest
    @EnumSource(Rule.class)
    void everyRuleRingsItsAlarmOrIsNamedHere(Rule rule) {
        AlarmKind kind = AlarmKind.of(rule.reason().key());
        boolean silent =
                switch (rule) {
                    // wanted by people, or the recipe at work
                    case PERMIT_KEY_OFF, HEAT_PAUSED_AIR_WARM, ANOTHER_OVEN_WARMS_FIRST -> true;
                    default -> false;
                };
        assertEquals(silent, kind == null);
        if (kind != null) {
            assertTrue(kind.scope().contains(rule.scope()));
            assertEquals(rule.latch() == steamleaf.core.interlock.Latch.TRIP, kind.isTrip());
            boolean fire = rule.effect() == steamleaf.core.interlock.Effect.FIRE;
            assertEquals(fire, kind.isEvacuation());
        }
    }

    @Test
    void everyGuardAlarmHasARule() {
        Set<String> reasons =
                new HashSet<>(Arrays.stream(Rule.values()).map(r -> r.reason().key()).toList());
        for (AlarmKind kind : AlarmKind.values()) {
            if (kind.source() == Source.GUARD) {
                assertTrue(reasons.contains(kind.key()), kind.key());
            }
        }
    }

    @Test
    void onlyTheMachinesButtonSilencesTheHornAndANewAlarmSoundsAgain() {
        Desk desk = new Desk();
        desk.set(OVEN_1, AlarmKind.HIGH_LIMIT_OPEN);
        desk.cycle();
        assertTrue(desk.signals.horn());
        desk.ask(
                new AlarmRequest.Acknowledge(
                        new AlarmKey(OVEN_1, AlarmKind.HIGH_LIMIT_OPEN), "phone"));
        desk.run(60);
        assertTrue(desk.signals.horn(), "an acknowledgement elsewhere silences nothing");
        desk.clear(OVEN_1, AlarmKind.HIGH_LIMIT_OPEN);
        desk.run(60);
        assertTrue(desk.signals.horn());
        desk.ask(new AlarmRequest.Silence());
        desk.cycle();
        assertFalse(desk.signals.horn());
        assertEquals(List.of(new AlarmEvent.Silenced()), desk.events);
        desk.ask(new AlarmRequest.Silence());
        desk.cycle();
        assertEquals(List.of(), desk.events);
        desk.set(OVEN_1, AlarmKind.HIGH_LIMIT_OPEN);
        desk.cycle();
        assertTrue(desk.signals.horn(), "it came again");
        desk.ask(new AlarmRequest.Silence());
        desk.set(OVEN_2, AlarmKind.AIR_FROZEN);
        desk.cycle();
        assertTrue(desk.signals.horn(), "a press meant for the old alarm spares not the new one");
    }

    @Test
    void theSignalToEvacuateSoundsInBeats() {
        Desk desk = new Desk();
        desk.set(UnitId.LINE, AlarmKind.SMOKE);
        int sounded = 0;
        int changes = 0;
        boolean before = false;
        for (int n = 0; n < 100; n++) {
            desk.cycle();
            sounded += desk.signals.horn() ? 1 : 0;
            changes += desk.signals.horn() != before ? 1 : 0;
            before = desk.signals.horn();
        }
        assertEquals(50, sounded, 5);
        assertEquals(20, changes, 2);
    }

    @Test
    void lampsSayDangerAbnormalRunningAndSomebodyWanted() {
        Desk desk = new Desk();
        desk.cycle();
        assertEquals(new Signals(false, false, false, true, false), desk.signals);
        desk.personWanted = true;
        desk.cycle();
        assertEquals(new Signals(false, false, false, true, true), desk.signals);
        desk.personWanted = false;
        desk.running = false;
        desk.cycle();
        assertEquals(Signals.DARK, desk.signals);
        desk.running = true;
        desk.set(UnitId.LINE, AlarmKind.CLOCK_DOUBTFUL);
        desk.cycle();
        assertEquals(new Signals(false, false, true, true, true), desk.signals);
        desk.set(UnitId.LINE, AlarmKind.EMERGENCY_STOP);
        desk.cycle();
        assertEquals(new Signals(true, true, true, false, true), desk.signals);
    }

    @Test
    void aShelvedAlarmComesBackInTimeAndSounds() {
        Desk desk = new Desk();
        AlarmKey key = new AlarmKey(OVEN_1, AlarmKind.EXHAUST_SENSOR_BAD);
        desk.readings.set(OVEN_1, Quantity.EXHAUST_C, 0, Quality.NO_ANSWER);
        desk.run(6);
        desk.ask(new AlarmRequest.Silence());
        desk.ask(new AlarmRequest.Shelve(key, 30, "Mio", "probe ordered"));
        desk.cycle();
        assertEquals(AlarmStage.SHELVED, desk.stage(OVEN_1, key.kind()));
        AlarmStatus shelved = desk.states.standing().getFirst();
        assertEquals("probe ordered", shelved.reason());
        assertEquals(desk.states.nowS() + 30, shelved.untilS(), 0.11);
        desk.run(29);
        assertFalse(desk.signals.horn() || desk.signals.lampYellow());
        desk.run(1.1);
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(OVEN_1, key.kind()));
        assertTrue(desk.signals.horn());

        desk.ask(new AlarmRequest.Shelve(key, 30, "Mio", "probe ordered"));
        desk.run(1);
        desk.ask(new AlarmRequest.Unshelve(key, "Ren"));
        desk.cycle();
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(OVEN_1, key.kind()));
        desk.ask(new AlarmRequest.Shelve(key, 35, "Mio", "probe ordered"));
        desk.readings.set(OVEN_1, Quantity.EXHAUST_C, 40, Quality.GOOD);
        desk.run(40);
        assertEquals(AlarmStage.NORMAL, desk.stage(OVEN_1, key.kind()), "gone while shelved");
    }

    @ParameterizedTest
    @ValueSource(doubles = {0, -1, Double.NaN, Alarms.LONGEST_SHELVING_S + 1})
    void shelvingNeedsATimeThatEnds(double forS) {
        Desk desk = new Desk();
        AlarmKey key = new AlarmKey(UnitId.LINE, AlarmKind.CLOCK_DOUBTFUL);
        desk.ask(new AlarmRequest.Shelve(key, forS, "Mio", "known"));
        desk.cycle();
        assertEquals(Refusal.SHELVING_TIME_OUT_OF_RANGE, desk.refusal());
        assertEquals(AlarmStage.NORMAL, desk.stage(key.unit(), key.kind()));
    }

    @Test
    void requestsThatMakeNoSenseAreRefusedWithTheirReason() {
        Desk desk = new Desk();
        AlarmKey quiet = new AlarmKey(UnitId.LINE, AlarmKind.CLOCK_DOUBTFUL);
        AlarmKey none = new AlarmKey(UnitId.STEAMER, AlarmKind.CLOCK_DOUBTFUL);
        AlarmKey far = new AlarmKey(UnitId.oven(7), AlarmKind.DOOR_OPEN);
        assertRefused(
                desk, new AlarmRequest.Acknowledge(quiet, "Mio"), Refusal.NOTHING_TO_ACKNOWLEDGE);
        assertRefused(desk, new AlarmRequest.Acknowledge(none, "Mio"), Refusal.NO_SUCH_ALARM);
        assertRefused(desk, new AlarmRequest.Acknowledge(far, "Mio"), Refusal.NO_SUCH_ALARM);
        assertRefused(desk, new AlarmRequest.Shelve(quiet, 60, "Mio", " "), Refusal.REASON_MISSING);
        assertRefused(desk, new AlarmRequest.Shelve(none, 60, "Mio", "x"), Refusal.NO_SUCH_ALARM);
        assertRefused(desk, new AlarmRequest.Unshelve(quiet, "Mio"), Refusal.NOT_SHELVED);
        assertRefused(desk, new AlarmRequest.Unshelve(none, "Mio"), Refusal.NO_SUCH_ALARM);
        assertRefused(
                desk, new AlarmRequest.TakeOutOfService(quiet, "Mio", ""), Refusal.REASON_MISSING);
        assertRefused(
                desk, new AlarmRequest.PutInService(quiet, "Mio"), Refusal.NOT_OUT_OF_SERVICE);
        assertRefused(desk, new AlarmRequest.PutInService(far, "Mio"), Refusal.NO_SUCH_ALARM);
        assertEquals(List.of(), desk.states.standing());
    }

    private static void assertRefused(Desk desk, AlarmRequest request, Refusal why) {
        desk.ask(request);
        desk.cycle();
        assertEquals(why, desk.refusal(), request::toString);
    }

    @Test
    void outOfServiceStaysUntilItIsPutBack() {
        Desk desk = new Desk();
        AlarmKey key = new AlarmKey(OVEN_2, AlarmKind.SCALE_BAD);
        desk.ask(new AlarmRequest.TakeOutOfService(key, "Aki", "scale at repair"));
        desk.readings.set(OVEN_2, Quantity.SCALE_KG, 0, Quality.NO_ANSWER);
        desk.run(3600);
        assertEquals(AlarmStage.OUT_OF_SERVICE, desk.stage(OVEN_2, key.kind()));
        desk.ask(new AlarmRequest.PutInService(key, "Aki"));
        desk.cycle();
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(OVEN_2, key.kind()));
    }

    @Test
    void eachChangeIsToldWithWhoAndWhy() {
        Desk desk = new Desk();
        AlarmKey key = new AlarmKey(UnitId.LINE, AlarmKind.CLOCK_DOUBTFUL);
        desk.set(key.unit(), key.kind());
        desk.cycle();
        assertEquals(
                List.of(
                        new AlarmEvent.Changed(
                                key, AlarmStage.NORMAL, AlarmStage.UNACKNOWLEDGED, "", "")),
                desk.events);
        long raised = desk.cycle;
        desk.cycle();
        assertEquals(List.of(), desk.events);
        desk.ask(
                new AlarmRequest.Shelve(key, Alarms.LONGEST_SHELVING_S, "Mio", "no network today"));
        desk.cycle();
        assertEquals(
                List.of(
                        new AlarmEvent.Changed(
                                key,
                                AlarmStage.UNACKNOWLEDGED,
                                AlarmStage.SHELVED,
                                "Mio",
                                "no network today")),
                desk.events);
        assertEquals(raised, desk.states.standing().getFirst().raisedCycle());
        assertEquals(raised + 2, desk.states.standing().getFirst().sinceCycle());
        desk.ask(new AlarmRequest.Unshelve(key, "Ren"));
        desk.cycle();
        assertEquals(null, desk.refusal());
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(key.unit(), key.kind()));
        assertEquals(desk.cycle, desk.states.standing().getFirst().raisedCycle());
    }

    @Test
    void whatComesBackOnAnIdleUnitComesBackSuppressed() {
        Desk desk = new Desk();
        desk.inUse.clear();
        AlarmKey key = new AlarmKey(OVEN_1, AlarmKind.DOOR_OPEN);
        desk.ask(new AlarmRequest.TakeOutOfService(key, "Aki", "contact at repair"));
        desk.set(OVEN_1, AlarmKind.DOOR_OPEN);
        desk.run(301);
        desk.ask(new AlarmRequest.PutInService(key, "Aki"));
        desk.cycle();
        assertEquals(AlarmStage.SUPPRESSED_BY_DESIGN, desk.stage(OVEN_1, AlarmKind.DOOR_OPEN));
        assertFalse(desk.signals.horn());
    }

    @Test
    void lampsOfReturnedAndHiddenAlarmsAreDark() {
        Desk desk = new Desk();
        desk.running = false;
        desk.set(OVEN_1, AlarmKind.HIGH_LIMIT_OPEN);
        desk.cycle();
        desk.clear(OVEN_1, AlarmKind.HIGH_LIMIT_OPEN);
        desk.ask(new AlarmRequest.Silence());
        desk.cycle();
        assertEquals(
                new Signals(false, false, false, false, true), desk.signals, "blue: look here");
        desk.ask(
                new AlarmRequest.Acknowledge(
                        new AlarmKey(OVEN_1, AlarmKind.HIGH_LIMIT_OPEN), "Mio"));
        desk.cycle();
        assertEquals(Signals.DARK, desk.signals);
    }

    @Test
    void aSensorThatIsNotFittedRingsNothing() {
        Desk desk = new Desk();
        desk.readings.set(OVEN_1, Quantity.SCALE_KG, 0, Quality.NOT_FITTED);
        desk.run(100);
        assertEquals(List.of(), desk.states.standing());
    }

    @Test
    void theHoodOfAnIdleSteamerIsSuppressedByDesign() {
        Desk desk = new Desk();
        desk.inUse.remove(UnitId.STEAMER);
        desk.set(UnitId.STEAMER, AlarmKind.HOOD_OPEN);
        desk.run(1);
        assertEquals(
                AlarmStage.SUPPRESSED_BY_DESIGN, desk.stage(UnitId.STEAMER, AlarmKind.HOOD_OPEN));
        assertFalse(desk.signals.horn() || desk.signals.lampYellow());
        desk.inUse.add(UnitId.STEAMER);
        desk.cycle();
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(UnitId.STEAMER, AlarmKind.HOOD_OPEN));
        assertTrue(desk.signals.horn());
        desk.inUse.remove(UnitId.STEAMER);
        desk.clear(UnitId.STEAMER, AlarmKind.HOOD_OPEN);
        desk.cycle();
        assertEquals(
                AlarmStage.RETURNED_UNACKNOWLEDGED,
                desk.stage(UnitId.STEAMER, AlarmKind.HOOD_OPEN));
    }

    @Test
    void whatAnotherAlarmSaysAlreadyIsSuppressed() {
        Desk desk = new Desk();
        desk.set(UnitId.LINE, AlarmKind.FRESHNESS_WARNING);
        desk.cycle();
        desk.ask(
                new AlarmRequest.Acknowledge(
                        new AlarmKey(UnitId.LINE, AlarmKind.FRESHNESS_WARNING), "Mio"));
        desk.set(UnitId.LINE, AlarmKind.FRESHNESS_LIMIT);
        desk.cycle();
        assertEquals(
                AlarmStage.SUPPRESSED_BY_DESIGN,
                desk.stage(UnitId.LINE, AlarmKind.FRESHNESS_WARNING));
        desk.clear(UnitId.LINE, AlarmKind.FRESHNESS_LIMIT);
        desk.clear(UnitId.LINE, AlarmKind.FRESHNESS_WARNING);
        desk.cycle();
        assertEquals(AlarmStage.NORMAL, desk.stage(UnitId.LINE, AlarmKind.FRESHNESS_WARNING));
    }

    @Test
    void aValueReturnsOnlyBelowItsDeadBand() {
        Desk desk = new Desk();
        desk.readings.set(UnitId.LINE, Quantity.ROOM_C, 30.1, Quality.GOOD);
        desk.run(61);
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(UnitId.LINE, AlarmKind.ROOM_WARM));
        desk.readings.set(UnitId.LINE, Quantity.ROOM_C, 29.1, Quality.GOOD);
        desk.run(300);
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(UnitId.LINE, AlarmKind.ROOM_WARM));
        desk.readings.set(UnitId.LINE, Quantity.ROOM_C, 29.0, Quality.GOOD);
        desk.run(61);
        assertEquals(
                AlarmStage.RETURNED_UNACKNOWLEDGED, desk.stage(UnitId.LINE, AlarmKind.ROOM_WARM));
    }

    @Test
    void aConditionThatFluttersInsideItsDelaysChangesNothing() {
        Desk desk = new Desk();
        for (int n = 0; n < 50; n++) {
            desk.readings.set(OVEN_1, Quantity.EXHAUST_C, 0, Quality.NO_ANSWER);
            desk.run(4);
            desk.readings.set(OVEN_1, Quantity.EXHAUST_C, 0, Quality.GOOD);
            desk.run(1);
        }
        assertEquals(List.of(), desk.states.standing());
    }

    @Test
    void aStormStaysInOrderFirstCauseFirst() {
        Desk desk = new Desk();
        desk.set(OVEN_2, AlarmKind.AIR_SENSOR_BAD);
        desk.cycle();
        for (AlarmKind kind : AlarmKind.values()) {
            for (UnitKind scope : kind.scope()) {
                for (UnitId unit : units(scope)) {
                    if (kind.source() != Source.READING) {
                        desk.set(unit, kind);
                    }
                }
            }
        }
        desk.cycle();
        List<AlarmStatus> standing = desk.states.standing();
        assertTrue(standing.size() > 50, standing.size() + " at once");
        assertEquals(new AlarmKey(OVEN_2, AlarmKind.AIR_SENSOR_BAD), standing.get(0).alarm());
        assertEquals(new AlarmKey(UnitId.LINE, AlarmKind.SMOKE), standing.get(1).alarm());
        assertEquals(AlarmKind.EMERGENCY_STOP, standing.get(4).alarm().kind());
    }

    @Test
    void alarmsComeBackAfterARestartAsTheyWere() {
        Desk desk = new Desk();
        desk.set(OVEN_1, AlarmKind.HIGH_LIMIT_OPEN);
        desk.set(OVEN_2, AlarmKind.AIR_FROZEN);
        desk.cycle();
        desk.ask(new AlarmRequest.Acknowledge(new AlarmKey(OVEN_2, AlarmKind.AIR_FROZEN), "Mio"));
        desk.ask(
                new AlarmRequest.Shelve(
                        new AlarmKey(UnitId.LINE, AlarmKind.CLOCK_DOUBTFUL), 600, "Mio", "known"));
        desk.run(100);
        desk.ask(new AlarmRequest.Silence());
        desk.cycle();

        AlarmStates again = AlarmStates.recalled(OVENS, desk.states.standing(), desk.states.nowS());
        assertEquals(desk.states.standing(), again.standing());
        assertEquals(desk.states.nowS(), again.nowS());
        assertTrue(again.isSounding(), "nobody has acknowledged the high limit");
        desk.states = again;
        desk.run(1);
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(OVEN_1, AlarmKind.HIGH_LIMIT_OPEN));
        assertEquals(AlarmStage.ACKNOWLEDGED, desk.stage(OVEN_2, AlarmKind.AIR_FROZEN));
        desk.run(500);
        assertEquals(AlarmStage.NORMAL, desk.stage(UnitId.LINE, AlarmKind.CLOCK_DOUBTFUL));
        assertFalse(
                AlarmStates.recalled(1, desk.states.standing(), 0).standing().stream()
                        .anyMatch(s -> s.alarm().unit().equals(OVEN_2)),
                "an oven that is gone");
    }

    @Test
    void aConditionOfAUnitThatCannotHaveItIsAMistakeInTheProgram() {
        Desk desk = new Desk();
        desk.set(UnitId.LINE, AlarmKind.DOOR_OPEN);
        String said = assertThrows(IllegalArgumentException.class, desk::cycle).getMessage();
        assertTrue(said.contains("line") && said.contains("DOOR_OPEN"), said);
        assertNotNull(said);
    }

    @Test
    void aQuietCycleKeepsEveryArray() {
        Desk desk = new Desk();
        desk.run(1);
        AlarmStates before = desk.states;
        desk.cycle();
        assertEquals(List.of(), desk.events);
        assertTrue(before.statuses == desk.states.statuses);
        assertTrue(before.active == desk.states.active);
        assertTrue(before.turningSinceS == desk.states.turningSinceS);
    }

    @ParameterizedTest
    @ValueSource(doubles = {Double.NaN, -5.0, 0.0, 7.0})
    void timeNeverRunsBackwards(double elapsedS) {
        Desk desk = new Desk();
        desk.run(1);
        double before = desk.states.nowS();
        desk.elapsedS = elapsedS;
        desk.cycle();
        assertEquals(before + (elapsedS > 0 ? elapsedS : 0), desk.states.nowS());
    }

    @Test
    void aDelayIsOverAtItsLastMoment() {
        double onS = AlarmKind.NO_STEAM_AVAILABLE.onDelayS();
        Desk desk = new Desk();
        desk.elapsedS = 0.0; // from zero, so that sums are exact
        desk.set(UnitId.STEAMER, AlarmKind.NO_STEAM_AVAILABLE);
        desk.cycle();
        assertEquals(AlarmStage.NORMAL, desk.stage(UnitId.STEAMER, AlarmKind.NO_STEAM_AVAILABLE));
        desk.elapsedS = onS - Alarms.TINY_S;
        desk.cycle();
        assertEquals(
                AlarmStage.UNACKNOWLEDGED,
                desk.stage(UnitId.STEAMER, AlarmKind.NO_STEAM_AVAILABLE));
    }

    @Test
    void shelvingIsOverAtItsLastMoment() {
        AlarmKey key = new AlarmKey(UnitId.LINE, AlarmKind.CLOCK_DOUBTFUL);
        Desk desk = new Desk();
        desk.elapsedS = 0.0;
        desk.set(key.unit(), key.kind());
        desk.ask(new AlarmRequest.Shelve(key, 10.0, "Mio", "known"));
        desk.cycle();
        assertEquals(AlarmStage.SHELVED, desk.stage(key.unit(), key.kind()));
        assertEquals(10.0, desk.states.standing().getFirst().untilS());
        desk.elapsedS = 10.0;
        desk.cycle();
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(key.unit(), key.kind()));
    }

    @Test
    void whatIsBroughtBackGoesInOneChangeToWhereItBelongs() {
        AlarmKey hood = new AlarmKey(UnitId.STEAMER, AlarmKind.HOOD_NOT_LOCKED);
        Desk desk = new Desk();
        desk.set(hood.unit(), AlarmKind.HOOD_OPEN);
        desk.set(hood.unit(), hood.kind());
        desk.ask(new AlarmRequest.Shelve(hood, 600, "Mio", "the bolt is being mended"));
        desk.run(1);
        desk.ask(new AlarmRequest.Unshelve(hood, "Mio"));
        desk.cycle();
        assertEquals(
                List.of(
                        new AlarmEvent.Changed(
                                hood,
                                AlarmStage.SHELVED,
                                AlarmStage.SUPPRESSED_BY_DESIGN,
                                "Mio",
                                "")),
                desk.events);
        desk.clear(hood.unit(), AlarmKind.HOOD_OPEN);
        desk.ask(new AlarmRequest.TakeOutOfService(hood, "Mio", "the bolt is being mended"));
        desk.run(1);
        desk.ask(new AlarmRequest.PutInService(hood, "Mio"));
        desk.cycle();
        assertEquals(
                List.of(
                        new AlarmEvent.Changed(
                                hood,
                                AlarmStage.OUT_OF_SERVICE,
                                AlarmStage.UNACKNOWLEDGED,
                                "Mio",
                                "")),
                desk.events);
    }

    @Test
    void theTablesFirstRowIsAnAlarmLikeAnyOther() {
        AlarmKey smoke = new AlarmKey(UnitId.LINE, AlarmKind.SMOKE);
        Desk desk = new Desk();
        desk.ask(new AlarmRequest.Unshelve(smoke, "Mio"));
        desk.cycle();
        assertEquals(Refusal.NOT_SHELVED, desk.refusal());
        desk.set(UnitId.LINE, AlarmKind.SMOKE);
        desk.cycle();
        AlarmStates again = AlarmStates.recalled(OVENS, desk.states.standing(), 5.0);
        assertEquals(AlarmStage.UNACKNOWLEDGED, again.stage(UnitId.LINE, AlarmKind.SMOKE));
    }

    @Test
    void aStepLeavesTheStatesItWasGivenAsTheyWere() {
        Desk desk = new Desk();
        desk.run(1);
        AlarmStates before = desk.states;
        boolean[] active = before.active.clone();
        double[] turningSinceS = before.turningSinceS.clone();
        AlarmStatus[] statuses = before.statuses.clone();
        desk.set(OVEN_1, AlarmKind.HIGH_LIMIT_OPEN);
        desk.set(UnitId.STEAMER, AlarmKind.NO_STEAM_AVAILABLE); // only begins to turn
        desk.cycle();
        assertTrue(Arrays.equals(active, before.active));
        assertTrue(Arrays.equals(turningSinceS, before.turningSinceS));
        assertTrue(Arrays.equals(statuses, before.statuses));
        assertFalse(Arrays.equals(turningSinceS, desk.states.turningSinceS));
    }

    @Test
    void aValueRaisesAtItsLimitAndReturnsAtTheLimitLessTheDeadBand() {
        Desk desk = new Desk();
        desk.readings.set(UnitId.LINE, Quantity.ROOM_C, 29.5, Quality.GOOD);
        desk.run(200);
        assertEquals(AlarmStage.NORMAL, desk.stage(UnitId.LINE, AlarmKind.ROOM_WARM));
        desk.readings.set(UnitId.LINE, Quantity.ROOM_C, 30.0, Quality.GOOD);
        desk.run(200);
        assertEquals(AlarmStage.NORMAL, desk.stage(UnitId.LINE, AlarmKind.ROOM_WARM));
        desk.readings.set(UnitId.LINE, Quantity.ROOM_C, 30.1, Quality.GOOD);
        desk.run(61);
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(UnitId.LINE, AlarmKind.ROOM_WARM));
        desk.readings.set(UnitId.LINE, Quantity.ROOM_C, 29.5, Quality.GOOD);
        desk.run(200);
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(UnitId.LINE, AlarmKind.ROOM_WARM));
        desk.readings.set(UnitId.LINE, Quantity.ROOM_C, 29.0, Quality.GOOD);
        desk.run(59);
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(UnitId.LINE, AlarmKind.ROOM_WARM));
        desk.run(2);
        assertEquals(
                AlarmStage.RETURNED_UNACKNOWLEDGED, desk.stage(UnitId.LINE, AlarmKind.ROOM_WARM));
    }

    @Test
    void theBeatsOfTheSignalToEvacuateHangOnTheCyclesNumber() {
        Desk desk = new Desk();
        desk.set(UnitId.LINE, AlarmKind.SMOKE);
        for (int n = 0; n < 40; n++) {
            desk.cycle();
            assertEquals(desk.cycle / 5 % 2 == 0, desk.signals.horn(), "cycle " + desk.cycle);
        }
    }

    @Test
    void everyAlarmOfEveryUnitHasItsOwnPlaceAndOnlySomeAreFoundInTheReadings() {
        AlarmSlots slots = new AlarmSlots(OVENS);
        Set<Integer> fromReadings = new HashSet<>();
        for (int slot : slots.fromReadings()) {
            fromReadings.add(slot);
        }
        for (int i = 0; i < slots.count(); i++) {
            assertEquals(i, slots.find(slots.key(i)), slots.key(i).label());
            assertEquals(
                    slots.key(i).kind().source() == Source.READING,
                    fromReadings.contains(i),
                    slots.key(i).label());
        }
        assertEquals("oven-2.door-open", new AlarmKey(OVEN_2, AlarmKind.DOOR_OPEN).label());
    }

    @Test
    void afterARestartTheHornSoundsForWhatNobodyAcknowledgedOfHighAndMediumPriority() {
        AlarmKey high = new AlarmKey(OVEN_1, AlarmKind.HIGH_LIMIT_OPEN);
        AlarmKey low = new AlarmKey(UnitId.LINE, AlarmKind.CLOCK_DOUBTFUL);
        assertTrue(recalled(high, AlarmStage.UNACKNOWLEDGED).isSounding());
        assertFalse(recalled(high, AlarmStage.ACKNOWLEDGED).isSounding());
        assertFalse(recalled(high, AlarmStage.RETURNED_UNACKNOWLEDGED).isSounding());
        assertFalse(recalled(low, AlarmStage.UNACKNOWLEDGED).isSounding());
    }

    private static AlarmStates recalled(AlarmKey key, AlarmStage stage) {
        return AlarmStates.recalled(
                OVENS, List.of(new AlarmStatus(key, stage, 1, 1, 0, "", "", Double.NaN)), 100);
    }

    @Test
    void delaysBeginAnewAfterARestart() {
        Desk desk = new Desk();
        desk.states = AlarmStates.recalled(OVENS, List.of(), 1_000.0);
        desk.set(OVEN_1, AlarmKind.LEAF_TOO_WARM);
        desk.run(59);
        assertEquals(AlarmStage.NORMAL, desk.stage(OVEN_1, AlarmKind.LEAF_TOO_WARM));
        desk.run(2);
        assertEquals(AlarmStage.UNACKNOWLEDGED, desk.stage(OVEN_1, AlarmKind.LEAF_TOO_WARM));
    }
}
