package steamleaf.core.interlock;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.UnitId;

class GuardTest {
    private static final UnitId OVEN_1 = UnitId.oven(1);
    private static final UnitId OVEN_2 = UnitId.oven(2);

    private static void assertAllOff(Rig rig) {
        assertFalse(rig.out.contactor(), rig::story);
        assertFalse(rig.steam(), rig::story);
        assertFalse(rig.out.beltRun(), rig::story);
        for (int n = 1; n <= rig.ovens; n++) {
            assertFalse(rig.heater(n), rig::story);
        }
    }

    @Test
    void aHealthyLineHeatsAndSteamsAfterContactorTestResetAndStart() {
        Rig rig = new Rig(3).running();
        assertEquals(List.of(), rig.state.causes(), rig::story);
        assertEquals(ContactorPhase.CLOSED, rig.state.contactor(), rig::story);
        for (int n = 1; n <= 3; n++) {
            assertTrue(rig.heater(n), rig::story);
            assertTrue(rig.state.heatAllowed(UnitId.oven(n)), rig::story);
        }
        assertTrue(rig.out.steamValve() && rig.out.secondSteamValve() && rig.out.beltRun());
        assertTrue(rig.state.steamAllowed());
        assertFalse(rig.state.evacuate());
    }

    @Test
    void beforeTheFirstConversionsEverythingIsOffAndNothingTrips() {
        Rig rig = new Rig(2);
        rig.spoil(OVEN_1, Quantity.AIR_C, Quality.NOT_YET_READ);
        rig.spoil(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY, Quality.NOT_YET_READ);
        rig.askStart(OVEN_1);
        for (int n = 0; n < 29; n++) {
            rig.cycle();
            assertAllOff(rig);
            assertFalse(rig.out.pulse() || rig.out.extractor() || rig.out.ovens().get(0).fan());
            assertEquals(0.0, rig.out.ovens().get(0).damper());
        }
        assertEquals(List.of(), rig.state.causes());
        assertFalse(rig.state.isStarted(OVEN_1));
        assertFalse(rig.state.readyToStart(OVEN_1));
        rig.run(0.2);
        assertTrue(rig.latched(Rule.AIR_SENSOR_BAD, OVEN_1), "still unread after that is a fault");
    }

    @ParameterizedTest
    @EnumSource(value = Quality.class, mode = EnumSource.Mode.EXCLUDE, names = "GOOD")
    void everyReadingBadTakesEverythingInTheSameCycle(Quality quality) {
        Rig rig = new Rig(8).running();
        for (Quantity quantity : Quantity.values()) {
            for (UnitId unit : units(quantity, 8)) {
                rig.spoil(unit, quantity, quality);
            }
        }
        rig.cycle();
        assertAllOff(rig);
        assertFalse(rig.out.hoodUnlock());
    }

    @Test
    void notANumberWithGoodQualityIsBad() {
        Rig rig = new Rig(2).running();
        for (Quantity quantity : Quantity.values()) {
            for (UnitId unit : units(quantity, 2)) {
                rig.force(unit, quantity, Double.NaN);
            }
        }
        rig.cycle();
        assertAllOff(rig);
    }

    private static List<UnitId> units(Quantity quantity, int ovens) {
        return switch (quantity.of()) {
            case LINE -> List.of(UnitId.LINE);
            case STEAMER -> List.of(UnitId.STEAMER);
            case OVEN ->
                    java.util.stream.IntStream.rangeClosed(1, ovens)
                            .mapToObj(UnitId::oven)
                            .toList();
        };
    }

    /** What one bad reading must take, at once or within the seconds named; said for each. */
    @ParameterizedTest
    @EnumSource(Quantity.class)
    void oneBadReadingTakesWhatHangsOnIt(Quantity quantity) {
        Rig rig = new Rig(2).running();
        UnitId unit = units(quantity, 2).getLast();
        rig.spoil(unit, quantity, Quality.NO_ANSWER);
        rig.cycle();
        switch (quantity) {
            case EMERGENCY_STOP_HEALTHY, PERMIT_KEY_ON, SMOKE_HEALTHY -> assertAllOff(rig);
            case CONTACTOR_CLOSED -> {
                assertFalse(rig.heater(1) || rig.heater(2) || rig.steam(), rig::story);
                rig.run(0.5);
                assertAllOff(rig);
            }
            case SUPPLY_HEALTHY -> {
                rig.run(0.3);
                assertAllOff(rig);
            }
            case HOOD_CLOSED, HOOD_LOCKED, OVER_PRESSURE_HEALTHY, CHEST_A_C, CHEST_B_C ->
                    assertFalse(rig.steam() || rig.out.beltRun(), rig::story);
            case STEAM_AVAILABLE -> {
                rig.run(2.0);
                assertFalse(rig.steam(), rig::story);
            }
            case BELT_MM_PER_S -> {
                rig.run(15.0);
                assertFalse(rig.steam() || rig.out.beltRun(), rig::story);
            }
            case AIR_C, DOOR_CLOSED, AIRFLOW_PROVEN, HIGH_LIMIT_HEALTHY -> {
                assertFalse(rig.heater(2), rig::story);
                assertTrue(rig.heater(1), rig::story);
            }
            case EXHAUST_C -> {
                rig.run(599);
                assertTrue(rig.heater(2), rig::story);
                rig.run(2);
                assertFalse(rig.heater(2), rig::story);
            }
            case HEATER_CURRENT -> {
                rig.wantHeat[1] = false;
                rig.run(0.7);
                assertAllOff(rig);
            }
            case START_BUTTON, RESET_BUTTON, CONFIRM_BUTTON, SILENCE_BUTTON -> healthy(rig);
            case ROOM_C, ROOM_RH, ROOM_PRESSURE_KPA, EXHAUST_RH, SCALE_KG -> healthy(rig);
            case EXTRACTOR_PROVEN -> {
                healthy(rig);
                rig.wantUnlock = true;
                rig.run(30);
                assertFalse(rig.out.hoodUnlock(), rig::story);
            }
        }
    }

    private static void healthy(Rig rig) {
        rig.run(5);
        assertTrue(rig.heater(1) && rig.heater(2) && rig.steam(), rig::story);
    }

    @Test
    void limitsThatAreNotNumbersTakeTheHeat() {
        Rig rig = new Rig(2).running();
        rig.airLimitC[0] = Double.NaN;
        rig.longestHeatOnS[1] = Double.NaN;
        rig.cycle();
        assertFalse(rig.heater(1) || rig.heater(2), rig::story);
    }

    @Test
    void aSmokeDetectorThatIsNotFittedIsNoSmoke() {
        Rig rig = new Rig(1);
        rig.spoil(UnitId.LINE, Quantity.SMOKE_HEALTHY, Quality.NOT_FITTED);
        rig.running();
        assertTrue(rig.heater(1), rig::story);
    }

    @Test
    void stopTakesHeatSteamAndBeltInTheSameCycleAndOnlyAStartBringsThemBack() {
        Rig rig = new Rig(2).running();
        rig.askStop(OVEN_1);
        rig.askStart(OVEN_1); // in the same cycle: the stop wins
        rig.cycle();
        assertFalse(rig.heater(1), rig::story);
        assertTrue(rig.heater(2) && rig.steam(), rig::story);
        rig.run(30);
        assertFalse(rig.heater(1), rig::story);

        rig.askStop(UnitId.STEAMER);
        rig.cycle();
        assertFalse(rig.steam() || rig.out.beltRun(), rig::story);

        rig.askStart(OVEN_1);
        rig.cycle();
        assertTrue(rig.heater(1), rig::story);

        rig.askStop(UnitId.LINE);
        rig.askStart(OVEN_2);
        rig.cycle();
        assertAllOff(rig);
    }

    @Test
    void stopWorksInEveryStateOfTheGuard() {
        for (Rule rule : Rule.values()) {
            Rig rig = new Rig(3).running();
            Story story = Story.of(rule);
            story.prepare().accept(rig);
            story.cause().accept(rig);
            rig.run(1);
            rig.askStop(UnitId.LINE);
            rig.cycle();
            assertAllOff(rig);
        }
    }

    @Test
    void wantingNothingGetsNothing() {
        Rig rig = new Rig(2).running();
        rig.wantContactor = false;
        rig.wantSteam = false;
        rig.wantBelt = false;
        java.util.Arrays.fill(rig.wantHeat, false);
        rig.cycle();
        assertAllOff(rig);
        assertFalse(rig.state.evacuate());
    }

    // the contactor

    @Test
    void theContactorClosesOnlyAfterItStayedOpenWithThePulseWithheldAndAReset() {
        Rig rig = new Rig(1);
        boolean drivenWithoutPulse = false;
        double withheldS = 0;
        for (int n = 0; n < 200; n++) {
            rig.cycle();
            if (rig.state.contactor() == ContactorPhase.RELAY_DROPPING) {
                withheldS += Rig.CYCLE_S;
                assertFalse(rig.out.pulse() || rig.out.contactor(), rig::story);
            }
            if (rig.state.contactor() == ContactorPhase.PROVING_OPEN) {
                drivenWithoutPulse = true;
                assertTrue(withheldS > 1.0, "relay has dropped before the coil is driven");
                assertTrue(rig.out.contactor() && !rig.out.pulse(), rig::story);
                assertFalse(rig.contactorClosed(), rig::story);
            }
        }
        assertTrue(drivenWithoutPulse, rig::story);
        assertEquals(ContactorPhase.AWAITING_RESET, rig.state.contactor());
        assertTrue(rig.out.pulse() && !rig.out.contactor(), rig::story);
        rig.run(60);
        assertEquals(ContactorPhase.AWAITING_RESET, rig.state.contactor(), "waits for a person");
        rig.pressReset();
        rig.run(0.3);
        assertEquals(ContactorPhase.CLOSED, rig.state.contactor(), rig::story);
    }

    @Test
    void aResetButtonStuckOnIsNoPress() {
        Rig rig = new Rig(1);
        rig.resetButton = true;
        rig.run(60);
        assertEquals(ContactorPhase.AWAITING_RESET, rig.state.contactor(), rig::story);
    }

    @Test
    void aRelayThatDoesNotDropIsFoundBeforeAnyHeat() {
        Rig rig = new Rig(1);
        rig.run(3.5);
        // a shorted relay: the contactor follows its coil whatever the pulse does
        for (int n = 0; n < 60 && !rig.latched(Rule.CONTACTOR_WELDED, UnitId.LINE); n++) {
            rig.force(UnitId.LINE, Quantity.CONTACTOR_CLOSED, rig.out.contactor() ? 1 : 0);
            rig.cycle();
            assertFalse(rig.heater(1));
        }
        assertTrue(rig.latched(Rule.CONTACTOR_WELDED, UnitId.LINE), rig::story);
        assertFalse(rig.out.contactor() || rig.out.pulse(), rig::story);
    }

    @Test
    void aWeldedContactorLosesThePulseToo() {
        Rig rig = new Rig(1).running();
        rig.wantContactor = false;
        rig.force(UnitId.LINE, Quantity.CONTACTOR_CLOSED, 1);
        rig.run(0.8);
        assertFalse(rig.out.pulse(), rig::story);
        rig.run(1.2);
        assertFalse(rig.relayHolds, rig::story);
    }

    @Test
    void eachClosingIsTestedAgain() {
        Rig rig = new Rig(1).running();
        rig.wantContactor = false;
        rig.run(1);
        assertEquals(ContactorPhase.OPEN, rig.state.contactor());
        rig.wantContactor = true;
        rig.run(1);
        assertEquals(ContactorPhase.RELAY_DROPPING, rig.state.contactor());
        assertFalse(rig.heater(1), rig::story);
    }

    @Test
    void aLostContactorTakesTheHeatInTheSameCycleAndTripsAfterHalfASecond() {
        Rig rig = new Rig(1).running();
        rig.force(UnitId.LINE, Quantity.CONTACTOR_CLOSED, 0);
        rig.cycle();
        assertFalse(rig.heater(1) || rig.steam(), rig::story);
        rig.run(0.5);
        assertTrue(rig.latched(Rule.CONTACTOR_NOT_CLOSING, UnitId.LINE), rig::story);
    }

    @Test
    void aHungProgramLosesTheRelayAndTheLineTripsWhenItComesBack() {
        Rig rig = new Rig(1).running();
        rig.elapsedS = 1.5; // 1.5 s without a cycle, so without an edge
        rig.relayHolds = false;
        rig.cycle();
        assertAllOff(rig);
        assertFalse(rig.out.pulse(), rig::story);
        assertTrue(rig.latched(Rule.CYCLE_LATE, UnitId.LINE), rig::story);
    }

    @ParameterizedTest
    @ValueSource(doubles = {Double.NaN, -0.1, 0.51, Double.POSITIVE_INFINITY})
    void timeThatDoesNotPassAsItShouldIsLate(double elapsedS) {
        Rig rig = new Rig(1).running();
        rig.elapsedS = elapsedS;
        rig.cycle();
        assertAllOff(rig);
        rig.elapsedS = Rig.CYCLE_S;
        rig.run(2);
        assertTrue(rig.latched(Rule.CYCLE_LATE, UnitId.LINE), rig::story);
    }

    // latches

    @Test
    void closingTheDoorStartsNothingAndAPressDoes() {
        Rig rig = new Rig(2).running();
        rig.force(OVEN_1, Quantity.DOOR_CLOSED, 0);
        rig.cycle();
        assertFalse(rig.heater(1), rig::story);
        rig.askStart(OVEN_1);
        rig.cycle();
        assertFalse(rig.heater(1), "no start with the door open");
        assertTrue(
                rig.lastEvents.contains(new GuardEvent.StartRefused(OVEN_1, Reason.DOOR_OPEN)),
                rig::story);
        rig.heal(OVEN_1, Quantity.DOOR_CLOSED);
        rig.run(600);
        assertFalse(rig.heater(1), rig::story);
        rig.askStart(OVEN_1);
        rig.cycle();
        assertTrue(rig.heater(1), rig::story);
        assertEquals(List.of(), rig.state.causes());
    }

    @Test
    void theDoorOfAnIdleOvenLeavesNothingBehind() {
        Rig rig = new Rig(1);
        rig.run(5);
        rig.force(OVEN_1, Quantity.DOOR_CLOSED, 0);
        rig.run(1);
        assertTrue(rig.present(Rule.DOOR_OPEN, OVEN_1));
        assertFalse(rig.events.stream().anyMatch(e -> e instanceof GuardEvent.TookEffect));
        rig.heal(OVEN_1, Quantity.DOOR_CLOSED);
        rig.run(1);
        assertEquals(List.of(), rig.state.causes(), rig::story);
    }

    @Test
    void whatCameFirstIsKeptAndTheRestFollows() {
        Rig rig = new Rig(2).running();
        rig.airLimitC[0] = 130;
        rig.warm(1, 108);
        rig.airC[0] = 111;
        rig.cycle();
        rig.force(OVEN_1, Quantity.HEATER_CURRENT, 1); // its relay is stuck
        rig.run(1);
        rig.force(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY, 0);
        rig.cycle();
        rig.force(OVEN_2, Quantity.HIGH_LIMIT_HEALTHY, 0);
        rig.cycle();
        assertTrue(rig.cause(Rule.AIR_ABOVE_OVEN_LIMIT, OVEN_1).firstOut(), rig::story);
        assertFalse(rig.cause(Rule.CURRENT_WITH_HEAT_OFF, OVEN_1).firstOut(), rig::story);
        assertFalse(rig.cause(Rule.HIGH_LIMIT_OPEN, OVEN_1).firstOut(), rig::story);
        assertFalse(rig.cause(Rule.HIGH_LIMIT_OPEN, OVEN_2).firstOut(), rig::story);
        assertEquals(Rule.AIR_ABOVE_OVEN_LIMIT, rig.state.causes().getFirst().rule());
        rig.heal(OVEN_2, Quantity.HIGH_LIMIT_HEALTHY);
        rig.run(1);
        rig.force(OVEN_2, Quantity.HIGH_LIMIT_HEALTHY, 0);
        rig.cycle();
        assertTrue(rig.cause(Rule.AIR_ABOVE_OVEN_LIMIT, OVEN_1).firstOut(), "kept to the reset");
    }

    @Test
    void tripsOfDifferentOvensEachHaveTheirFirst() {
        Rig rig = new Rig(2).running();
        rig.force(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY, 0);
        rig.run(1);
        rig.force(OVEN_2, Quantity.HIGH_LIMIT_HEALTHY, 0);
        rig.run(1);
        assertTrue(rig.cause(Rule.HIGH_LIMIT_OPEN, OVEN_1).firstOut());
        assertTrue(rig.cause(Rule.HIGH_LIMIT_OPEN, OVEN_2).firstOut());
        assertTrue(rig.state.tripped(OVEN_1) && rig.state.tripped(OVEN_2));
        rig.heal(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY);
        rig.heal(OVEN_2, Quantity.HIGH_LIMIT_HEALTHY);
        rig.run(1);
        rig.askReset(OVEN_1);
        rig.cycle();
        assertFalse(rig.state.tripped(OVEN_1));
        assertTrue(rig.state.tripped(OVEN_2), "a reset names its unit");
        rig.askReset(UnitId.LINE);
        rig.cycle();
        assertFalse(rig.state.tripped(OVEN_2), "the line's reset is everybody's");
    }

    @Test
    void tripsSurviveARestartAndNothingElseIsTrusted() {
        Rig rig = new Rig(2).running();
        rig.charge[1] = 4;
        rig.batch[1] = 4;
        rig.force(OVEN_2, Quantity.DOOR_CLOSED, 0);
        rig.cycle();
        rig.heal(OVEN_2, Quantity.DOOR_CLOSED);
        rig.askStart(OVEN_2);
        rig.run(100);
        rig.force(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY, 0);
        rig.cycle();
        GuardState.Kept kept = rig.state.kept();
        assertEquals(
                List.of(new GuardState.KeptTrip("O-4", OVEN_1, true, rig.cycle)), kept.trips());

        Rig again = new Rig(2, kept, 1);
        again.charge[1] = 4;
        again.batch[1] = 4;
        again.run(Guard.SETTLE_S + 0.1);
        assertTrue(again.latched(Rule.HIGH_LIMIT_OPEN, OVEN_1), again::story);
        assertTrue(again.cause(Rule.HIGH_LIMIT_OPEN, OVEN_1).firstOut());
        assertFalse(again.state.isStarted(OVEN_2));
        assertFalse(again.state.hoodMayUnlock(), "unvented is assumed");
        assertTrue(again.state.readyToStart(OVEN_2), "its door was seen open before the restart");
        assertEquals(rig.state.heatOnS(OVEN_2), again.state.heatOnS(OVEN_2), 1e-9);
        assertEquals(98.0, again.state.heatOnS(OVEN_2), 3.0);
        assertEquals(ContactorPhase.RELAY_DROPPING, again.state.contactor());
    }

    @Test
    void aKeptTripOfAnUnknownRuleIsRefused() {
        GuardState.Kept kept =
                new GuardState.Kept(
                        List.of(new GuardState.KeptTrip("X-9", OVEN_1, true, 1)), List.of());
        String said =
                assertThrows(IllegalArgumentException.class, () -> new Rig(1, kept, 0))
                        .getMessage();
        assertTrue(said.contains("X-9"), said);
        GuardState.Kept gone =
                new GuardState.Kept(
                        List.of(new GuardState.KeptTrip("O-4", UnitId.oven(3), true, 1)),
                        List.of());
        assertEquals(List.of(), new Rig(1, gone, 0).state.causes(), "an oven that is gone");
    }

    @ParameterizedTest
    @ValueSource(ints = {0, 1, 2, 3, 4})
    void theThirdRestartWithinAnHourTripsAndAResetLetsGo(int restarts) {
        Rig rig = new Rig(1, GuardState.Kept.NOTHING, restarts);
        rig.run(4);
        assertEquals(restarts >= 3, rig.state.tripped(OVEN_1), rig::story);
        rig.askReset(UnitId.LINE);
        rig.run(2);
        assertFalse(rig.state.tripped(OVEN_1), rig::story);
    }

    @Test
    void aResetOfAnOvenLetsGoOfWhatOpenedItsContactorButNotOfAnotherOvensTrip() {
        Rig rig = new Rig(2).running();
        rig.force(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY, 0);
        rig.force(UnitId.oven(2), Quantity.HIGH_LIMIT_HEALTHY, 0);
        rig.run(2);
        rig.heal(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY);
        rig.heal(UnitId.oven(2), Quantity.HIGH_LIMIT_HEALTHY);
        rig.run(2);
        assertTrue(rig.state.tripped(OVEN_1), rig::story);
        rig.askReset(OVEN_1);
        rig.run(1);
        assertFalse(rig.state.tripped(OVEN_1), rig::story);
        assertTrue(rig.state.tripped(UnitId.oven(2)), rig::story);
    }

    // fans, extractor, hood

    @Test
    void theFanRunsOnAfterHeatUntilTheElementsAreCool() {
        Rig rig = new Rig(1).running();
        rig.wantHeat[0] = false;
        rig.wantFan[0] = false;
        rig.run(59);
        assertTrue(rig.out.ovens().get(0).fan(), rig::story);
        rig.run(2);
        assertFalse(rig.out.ovens().get(0).fan(), rig::story);
    }

    @Test
    void theFanRunsOnThroughATripButNotThroughAFire() {
        Rig rig = new Rig(1).running();
        rig.wantFan[0] = false;
        rig.force(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY, 0);
        rig.run(5);
        assertTrue(rig.out.ovens().get(0).fan(), rig::story);
        rig.force(UnitId.LINE, Quantity.SMOKE_HEALTHY, 0);
        rig.cycle();
        assertFalse(rig.out.ovens().get(0).fan() || rig.out.extractor(), rig::story);
        assertTrue(rig.state.evacuate());
        rig.heal(UnitId.LINE, Quantity.SMOKE_HEALTHY);
        rig.wantFan[0] = true;
        rig.run(900);
        assertFalse(rig.out.ovens().get(0).fan(), "no fan restart by itself");
        rig.heal(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY);
        rig.run(1);
        rig.askReset(UnitId.LINE);
        rig.run(1);
        assertTrue(rig.out.ovens().get(0).fan(), rig::story);
    }

    @Test
    void anOpenDoorEndsTheFansRunningOn() {
        Rig rig = new Rig(1).running();
        rig.wantFan[0] = false;
        rig.force(OVEN_1, Quantity.DOOR_CLOSED, 0);
        rig.cycle();
        assertFalse(rig.out.ovens().get(0).fan(), rig::story);
    }

    @Test
    void noFanStartsBeforeItsAirflowContactWasSeenOpen() {
        Rig rig = new Rig(1);
        rig.force(
                OVEN_1, Quantity.AIRFLOW_PROVEN, 1); // a fan that still coasts, or a stuck contact
        rig.run(10);
        assertFalse(rig.out.ovens().get(0).fan(), rig::story);
        rig.force(OVEN_1, Quantity.AIRFLOW_PROVEN, 0);
        rig.run(0.2);
        assertTrue(rig.out.ovens().get(0).fan(), rig::story);
    }

    @Test
    void aStuckAirflowContactTripsAndTheFanMayCoolTheOven() {
        Rig rig = new Rig(1);
        rig.force(OVEN_1, Quantity.AIRFLOW_PROVEN, 1);
        rig.run(61);
        assertTrue(rig.latched(Rule.AIRFLOW_STUCK_PROVEN, OVEN_1), rig::story);
        assertTrue(rig.out.ovens().get(0).fan(), rig::story);
    }

    @Test
    void heatNeedsTheFanCommandedAndItsAirflowProvenInTheSameCycle() {
        Rig rig = new Rig(1).running();
        rig.force(OVEN_1, Quantity.AIRFLOW_PROVEN, 0);
        rig.cycle();
        assertFalse(rig.heater(1), rig::story);
        rig.heal(OVEN_1, Quantity.AIRFLOW_PROVEN);
        rig.run(1);
        assertTrue(rig.heater(1), "a flutter shorter than the delay is no trip");
    }

    @Test
    void theHoodUnlocksOnlyWhenVentedCoolAndTheExtractorIsProven() {
        Rig rig = new Rig(1).running();
        rig.chestAC = 98;
        rig.chestBC = 98;
        rig.run(30);
        rig.wantSteam = false;
        rig.wantBelt = false;
        rig.wantUnlock = true;
        rig.run(60);
        assertFalse(rig.out.hoodUnlock(), "hot");
        rig.chestAC = 60;
        rig.chestBC = 50;
        rig.run(60);
        assertFalse(rig.out.hoodUnlock(), "60 °C is not below 60 °C");
        rig.chestAC = 59.9;
        rig.force(UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN, 0);
        rig.run(60);
        assertFalse(rig.out.hoodUnlock(), "extractor not proven");
        rig.heal(UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN);
        rig.run(9.8);
        assertFalse(rig.out.hoodUnlock(), "not vented yet");
        rig.run(0.4);
        assertTrue(rig.out.hoodUnlock(), rig::story);
        rig.spoil(UnitId.STEAMER, Quantity.CHEST_B_C, Quality.STALE);
        rig.cycle();
        assertFalse(rig.out.hoodUnlock(), "not provably cool");
    }

    @Test
    void theHoodStaysLockedWhileSteamIsWanted() {
        Rig rig = new Rig(1).running(); // the chest is still cold
        rig.wantUnlock = true;
        rig.run(60);
        assertTrue(rig.steam());
        assertFalse(rig.out.hoodUnlock(), rig::story);
    }

    @Test
    void theExtractorRunsOnAfterSteam() {
        Rig rig = new Rig(1).running();
        rig.wantSteam = false;
        rig.wantExtractor = false;
        rig.run(59);
        assertTrue(rig.out.extractor(), rig::story);
        rig.run(2);
        assertFalse(rig.out.extractor(), rig::story);
    }

    @Test
    void theExtractorStartsOnlyAfterItsContactWasSeenOpenAndAStuckOneNeverUnlocks() {
        Rig rig = new Rig(1);
        rig.wantUnlock = true;
        rig.wantBelt = false;
        rig.force(UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN, 1);
        rig.run(59);
        assertFalse(rig.out.extractor(), rig::story);
        rig.run(60);
        assertTrue(rig.out.extractor(), "it may vent all the same");
        assertFalse(rig.out.hoodUnlock(), rig::story);
        rig.wantExtractor = false;
        rig.heal(UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN);
        rig.run(1);
        rig.wantExtractor = true;
        rig.run(13);
        assertTrue(rig.out.hoodUnlock(), rig::story);
    }

    @Test
    void damperAndBeltSpeedStayBetweenZeroAndOne() {
        GuardSettings settings = GuardSettings.stock(1);
        Rig rig = new Rig(1).running();
        for (double odd : new double[] {Double.NaN, -1, 7, Double.NEGATIVE_INFINITY}) {
            WantedOutputs wanted =
                    new WantedOutputs(
                            true,
                            true,
                            true,
                            true,
                            odd,
                            true,
                            false,
                            List.of(new OvenOutputs(true, true, odd)));
            Rig probe = rig;
            AllowedOutputs out =
                    new Guard(settings).step(probe.state, probe.input(wanted)).outputs();
            assertEquals(odd == 7 ? 1.0 : 0.0, out.beltSpeed());
            assertEquals(odd == 7 ? 1.0 : 0.0, out.ovens().get(0).damper());
        }
    }

    // limits that move

    @Test
    void aHoldUnderHotAirWaitsInsteadOfTripping() {
        Rig rig = new Rig(1).running();
        rig.airC[0] = 80;
        rig.run(1);
        rig.airLimitC[0] = 35;
        rig.cycle();
        assertFalse(rig.heater(1), rig::story);
        rig.run(300);
        assertFalse(rig.state.tripped(OVEN_1), rig::story);
        rig.airC[0] = 34;
        rig.run(20);
        assertTrue(rig.heater(1), rig::story);
        rig.airC[0] = 50.1;
        rig.run(0.2);
        assertTrue(rig.latched(Rule.AIR_ABOVE_RECIPE_LIMIT, OVEN_1), rig::story);
    }

    @Test
    void airThatIsCoolOnlyThroughAnOpenDoorHasKeptNoLimit() {
        Rig rig = new Rig(1).running();
        rig.warm(1, 80);
        rig.force(OVEN_1, Quantity.DOOR_CLOSED, 0);
        rig.airLimitC[0] = 35;
        rig.warm(1, 34);
        rig.run(300);
        rig.heal(OVEN_1, Quantity.DOOR_CLOSED);
        rig.run(60);
        rig.warm(1, 60); // from walls and trays
        assertFalse(rig.state.tripped(OVEN_1), rig::story);
    }

    @Test
    void heatPausedByWarmAirComesBackOneDegreeLowerAndDoesNotChatter() {
        Rig rig = new Rig(1).running();
        rig.warm(1, 84);
        int told = rig.events.size();
        for (int n = 0; n < 100; n++) {
            rig.airC[0] = n % 2 == 0 ? 87.1 : 86.1;
            rig.cycle();
        }
        assertEquals(told + 1, rig.events.size(), rig::story);
        rig.airC[0] = 86.0;
        rig.cycle();
        assertTrue(rig.heater(1), rig::story);
        assertEquals(told + 3, rig.events.size(), rig::story);
    }

    @Test
    void aLatchedTripIsToldOnceHoweverItsCauseFlutters() {
        Rig rig = new Rig(1).running();
        int told = rig.events.size();
        for (int n = 0; n < 100; n++) {
            rig.force(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY, n % 2);
            rig.cycle();
        }
        assertEquals(
                List.of(
                        new GuardEvent.TookEffect(Rule.HIGH_LIMIT_OPEN, OVEN_1, true),
                        new GuardEvent.Returned(Rule.HIGH_LIMIT_OPEN, OVEN_1)),
                rig.events.subList(told, rig.events.size()));
        assertTrue(rig.latched(Rule.HIGH_LIMIT_OPEN, OVEN_1));
    }

    @Test
    void aNewChargeNeedsAnOpenDoorFirst() {
        Rig rig = new Rig(1).running();
        rig.charge[0] = 1;
        rig.cycle();
        assertFalse(rig.heater(1), rig::story);
        rig.force(OVEN_1, Quantity.DOOR_CLOSED, 0);
        rig.run(5);
        rig.heal(OVEN_1, Quantity.DOOR_CLOSED);
        rig.cycle();
        rig.askStart(OVEN_1);
        rig.run(1);
        assertTrue(rig.heater(1), rig::story);
        rig.charge[0] = 0; // taken out while the guard never saw the door
        rig.run(1);
        rig.charge[0] = 2;
        rig.run(1);
        assertFalse(rig.heater(1), rig::story);
    }

    @Test
    void heatIsCountedForTheBatchThoughItsLeafWasOutToBeRolled() {
        Rig rig = new Rig(1).running();
        rig.batch[0] = 1;
        rig.run(20);
        double before = rig.state.heatOnS(OVEN_1);
        assertTrue(before > 19, rig::story);
        rig.charge[0] = 0;
        rig.wantHeat[0] = false;
        rig.run(5);
        assertEquals(before, rig.state.heatOnS(OVEN_1), 0.25); // two cycles until it is off
        rig.longestHeatOnS[0] = before + 0.5;
        assertFalse(rig.latched(Rule.HEATED_TOO_LONG, OVEN_1), rig::story);
        rig.wantHeat[0] = true;
        rig.run(2);
        assertTrue(rig.latched(Rule.HEATED_TOO_LONG, OVEN_1), rig::story);
        rig.batch[0] = 0;
        rig.run(0.2);
        assertEquals(0, rig.state.heatOnS(OVEN_1));
        assertFalse(rig.present(Rule.HEATED_TOO_LONG, OVEN_1), rig::story);
    }

    // what people are shown

    // ovens warm up one by one

    private static String heaters(Rig rig) {
        StringBuilder on = new StringBuilder();
        for (int n = 1; n <= rig.ovens; n++) {
            on.append(rig.heater(n) ? n : "");
            boolean allowed = rig.state.heatAllowed(UnitId.oven(n));
            assertEquals(rig.heater(n), allowed && rig.wantHeat[n - 1], rig::story);
        }
        return on.toString();
    }

    private static Rig allWantHeat() {
        Rig rig = new Rig(3).closed();
        java.util.Arrays.fill(rig.wantHeat, true);
        for (int n = 1; n <= 3; n++) {
            rig.askStart(UnitId.oven(n));
        }
        rig.cycle();
        return rig;
    }

    @Test
    void ovensAreWarmedForTheFirstTimeOneByOne() {
        Rig rig = allWantHeat();
        assertEquals("1", heaters(rig), "also in the cycle in which all are started");
        assertEquals(List.of(), rig.state.causes());
        rig.cycle();
        assertFalse(rig.present(Rule.ANOTHER_OVEN_WARMS_FIRST, OVEN_1), rig::story);
        assertTrue(rig.present(Rule.ANOTHER_OVEN_WARMS_FIRST, OVEN_2), rig::story);
        rig.run(3);
        assertEquals("1", heaters(rig));
        rig.wantHeat[0] = false; // time-proportioned: off for a while, its turn all the same
        rig.run(3);
        assertEquals("", heaters(rig).replace("1", ""), "nobody else");
        rig.wantHeat[0] = true;
        rig.airC[0] += 6;
        rig.run(0.2);
        assertEquals("12", heaters(rig), "who has answered goes on while the next one begins");
        rig.airC[1] += 6;
        rig.run(0.2);
        assertEquals("123", heaters(rig));
        rig.airC[2] += 6;
        rig.run(0.2);
        assertEquals(List.of(), rig.state.causes(), rig::story);
        assertEquals("123", heaters(rig));
    }

    @Test
    void anOvenThatDoesNotAnswerHoldsNobodyLongerThanItsTime() {
        Rig rig = allWantHeat();
        rig.run(249.8);
        assertEquals("1", heaters(rig));
        rig.run(0.4);
        assertEquals("12", heaters(rig), "warm air may have nothing to answer");
    }

    @Test
    void anOvenThatIsStoppedGivesItsTurnAwayAndIsWarmedAnew() {
        Rig rig = allWantHeat();
        rig.askStop(OVEN_1);
        rig.run(0.2);
        assertEquals("2", heaters(rig).replace("1", ""), rig::story);
        rig.askStart(OVEN_1);
        rig.run(0.3);
        assertEquals("2", heaters(rig), "now it waits itself");
        rig.airC[1] += 6;
        rig.run(0.2);
        assertEquals("12", heaters(rig));
    }

    @Test
    void swappedProbesOfTwoOvensThatAreStartedTogetherTripWithinTheFirstWarming() {
        Rig rig = new Rig(2).closed();
        java.util.Arrays.fill(rig.airC, 22);
        java.util.Arrays.fill(rig.wantHeat, true);
        rig.askStart(OVEN_1);
        rig.askStart(OVEN_2);
        double inOven1C = 22;
        double inOven2C = 22;
        int n = 0;
        while (rig.state.causes().stream().noneMatch(c -> c.rule().latch() == Latch.TRIP)) {
            inOven1C += rig.heater(1) ? 0.05 : (22 - inOven1C) * 0.001;
            inOven2C += rig.heater(2) ? 0.05 : (22 - inOven2C) * 0.001;
            rig.airC[0] = inOven2C;
            rig.airC[1] = inOven1C;
            rig.cycle();
            n++;
            assertTrue(n < 2500, rig::story);
        }
        assertTrue(rig.latched(Rule.RISING_WITH_HEAT_OFF, OVEN_2), rig::story);
        assertAllOff(rig);
    }

    @Test
    void permissivesNameEverythingAndSayWhatIsMissing() {
        Rig rig = new Rig(1);
        rig.run(4);
        List<Permissive> before = rig.state.permissives(OVEN_1);
        assertTrue(rig.state.readyToStart(OVEN_1), rig::story);
        for (Permissive permissive : before) {
            assertTrue(permissive.good() || !permissive.beforeStart(), permissive::toString);
        }
        for (Rule rule : Rule.values()) {
            boolean concerns =
                    rule.effect() != Effect.ALARM_ONLY
                            && rule.scope() != steamleaf.core.reading.UnitKind.STEAMER;
            assertEquals(
                    concerns ? 1 : 0,
                    before.stream()
                                    .filter(
                                            p ->
                                                    p.reason() == rule.reason()
                                                            && !p.reason()
                                                                    .equals(
                                                                            Reason
                                                                                    .AIRFLOW_NOT_PROVEN))
                                    .count()
                            + (rule == Rule.AIRFLOW_NOT_PROVEN ? 1 : 0),
                    rule::name);
        }
        rig.force(UnitId.LINE, Quantity.PERMIT_KEY_ON, 0);
        rig.cycle();
        assertFalse(rig.state.readyToStart(OVEN_1));
        assertEquals(
                List.of(Reason.PERMIT_KEY_OFF),
                rig.state.permissives(OVEN_1).stream()
                        .filter(p -> !p.good() && p.beforeStart())
                        .map(Permissive::reason)
                        .toList());
        rig.heal(UnitId.LINE, Quantity.PERMIT_KEY_ON);
        rig.running();
        assertTrue(rig.state.permissives(OVEN_1).stream().allMatch(Permissive::good), rig::story);
        assertTrue(
                rig.state.permissives(UnitId.STEAMER).stream().allMatch(Permissive::good),
                rig::story);
    }

    @Test
    void theContactorsPermissiveSaysWhoseTurnItIs() {
        Rig rig = new Rig(1);
        java.util.Set<Reason> said = new java.util.LinkedHashSet<>();
        for (int n = 0; n < 120; n++) {
            rig.cycle();
            rig.state.permissives(OVEN_1).stream()
                    .filter(p -> p.unit().equals(UnitId.LINE) && !p.good() && !p.beforeStart())
                    .forEach(p -> said.add(p.reason()));
        }
        assertEquals(
                List.of(
                        Reason.CONTACTOR_OPEN,
                        Reason.CONTACTOR_BEING_TESTED,
                        Reason.PRESS_RESET_AT_MACHINE),
                List.copyOf(said));
    }

    @Test
    void aQuietCycleAllocatesNoNewWatches() {
        Rig rig = new Rig(3).running();
        rig.run(0.2);
        GuardState before = rig.state;
        rig.cycle();
        GuardState after = rig.state;
        assertNotEquals(before.nowS, after.nowS);
        assertSame(before.flags, after.flags);
        assertSame(before.badSinceS, after.badSinceS);
        assertSame(before.ovens, after.ovens);
        assertSame(before.steamer, after.steamer);
        assertSame(before.contactor, after.contactor);
    }
}
