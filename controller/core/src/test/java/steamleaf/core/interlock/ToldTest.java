package steamleaf.core.interlock;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.UnitId;

/** What the guard tells, once and only when it happened; and limits that must not act early. */
class ToldTest {
    private static final UnitId OVEN_1 = UnitId.oven(1);
    private static final UnitId OVEN_2 = UnitId.oven(2);

    @Test
    void aResetStopOrStartThatChangesNothingTellsNothing() {
        Rig rig = new Rig(2);
        rig.wantContactor = false;
        rig.run(5);
        rig.askReset(UnitId.LINE);
        rig.askStop(UnitId.LINE);
        rig.cycle();
        assertEquals(List.of(), rig.events);
        rig.askStart(OVEN_1);
        rig.cycle();
        assertEquals(List.of(new GuardEvent.Started(OVEN_1)), rig.lastEvents);
        rig.askStart(UnitId.LINE);
        rig.cycle();
        assertEquals(List.of(), rig.lastEvents, "the line itself is not started");
        rig.askStop(OVEN_2);
        rig.cycle();
        assertEquals(List.of(), rig.lastEvents);
        rig.askStop(OVEN_1);
        rig.cycle();
        assertEquals(List.of(new GuardEvent.Stopped(OVEN_1)), rig.lastEvents);
    }

    @Test
    void aTripIsToldFromItsEffectToItsReset() {
        Rig rig = new Rig(1).running();
        rig.force(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY, 0);
        rig.cycle();
        assertEquals(
                List.of(new GuardEvent.TookEffect(Rule.HIGH_LIMIT_OPEN, OVEN_1, true)),
                rig.lastEvents);
        rig.askStart(OVEN_1);
        rig.cycle();
        assertEquals(
                List.of(new GuardEvent.StartRefused(OVEN_1, Reason.HIGH_LIMIT_OPEN)),
                rig.lastEvents);
        rig.heal(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY);
        rig.cycle();
        assertEquals(
                List.of(new GuardEvent.Returned(Rule.HIGH_LIMIT_OPEN, OVEN_1)), rig.lastEvents);
        rig.askReset(OVEN_1);
        rig.cycle();
        assertEquals(List.of(new GuardEvent.LetGo(Rule.HIGH_LIMIT_OPEN, OVEN_1)), rig.lastEvents);
        rig.askReset(OVEN_1);
        rig.cycle();
        assertEquals(List.of(), rig.lastEvents);
    }

    @Test
    void theContactorsWayIsTold() {
        Rig rig = new Rig(1).running();
        List<GuardEvent> moves =
                rig.events.stream().filter(e -> e instanceof GuardEvent.ContactorMoved).toList();
        assertEquals(6, moves.size(), rig::story);
        assertEquals(
                new GuardEvent.ContactorMoved(ContactorPhase.CLOSING, ContactorPhase.CLOSED),
                moves.getLast());
    }

    @Test
    void aStartLiftsOnlyItsOwnUnitsInterlocks() {
        Rig rig = new Rig(2).running();
        for (UnitId oven : List.of(OVEN_1, OVEN_2)) {
            rig.force(oven, Quantity.DOOR_CLOSED, 0);
        }
        rig.cycle();
        for (UnitId oven : List.of(OVEN_1, OVEN_2)) {
            rig.heal(oven, Quantity.DOOR_CLOSED);
        }
        rig.run(3);
        rig.askStart(OVEN_1);
        rig.cycle();
        assertEquals(
                List.of(
                        new GuardEvent.LetGo(Rule.DOOR_OPEN, OVEN_1),
                        new GuardEvent.Started(OVEN_1)),
                rig.lastEvents);
        assertTrue(rig.heater(1) && !rig.heater(2), rig::story);
    }

    @Test
    void causesOfAUnitAreItsOwnAndThoseThatOpenTheContactor() {
        Rig rig = new Rig(2).running();
        rig.force(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY, 0);
        rig.cycle();
        assertEquals(1, rig.state.causes(OVEN_1).size());
        assertEquals(List.of(), rig.state.causes(OVEN_2));
        assertTrue(rig.state.permissives(OVEN_2).stream().allMatch(Permissive::good));
        rig.force(OVEN_1, Quantity.HEATER_CURRENT, 1);
        rig.run(1);
        assertEquals(2, rig.state.causes(OVEN_1).size());
        assertEquals(
                List.of(Rule.CURRENT_WITH_HEAT_OFF),
                rig.state.causes(OVEN_2).stream().map(Cause::rule).toList());
        assertTrue(
                rig.state.permissives(OVEN_2).stream()
                        .anyMatch(
                                p ->
                                        p.reason() == Reason.CURRENT_WITH_HEAT_OFF
                                                && p.unit().equals(OVEN_1)
                                                && !p.good()));
        assertFalse(rig.state.readyToStart(OVEN_2));
    }

    @Test
    void aLatchedInterlockThatAStartWouldLiftDoesNotHinderTheStart() {
        Rig rig = new Rig(1).running();
        rig.force(OVEN_1, Quantity.DOOR_CLOSED, 0);
        rig.cycle();
        assertFalse(rig.state.readyToStart(OVEN_1));
        rig.heal(OVEN_1, Quantity.DOOR_CLOSED);
        rig.cycle();
        assertTrue(rig.state.readyToStart(OVEN_1), rig::story);
        Cause cause = rig.cause(Rule.DOOR_OPEN, OVEN_1);
        assertTrue(cause.latched() && !cause.isStanding(), cause::toString);
    }

    @Test
    void fanAndAirflowAreNamedAsMissing() {
        Rig rig = new Rig(1).running();
        rig.force(OVEN_1, Quantity.AIRFLOW_PROVEN, 0);
        rig.cycle();
        assertTrue(missing(rig).contains(Reason.AIRFLOW_NOT_PROVEN), rig::story);
        rig.heal(OVEN_1, Quantity.AIRFLOW_PROVEN);
        rig.wantHeat[0] = false;
        rig.wantFan[0] = false;
        rig.run(70);
        assertEquals(List.of(Reason.FAN_OFF), missing(rig));
        assertFalse(rig.state.heatAllowed(OVEN_1), "no heat without the fan");
    }

    private static List<Reason> missing(Rig rig) {
        return rig.state.permissives(OVEN_1).stream()
                .filter(p -> !p.good())
                .map(Permissive::reason)
                .toList();
    }

    @Test
    void anOpenDoorsMissingAirflowIsNoTrip() {
        Rig rig = new Rig(1).running();
        rig.force(OVEN_1, Quantity.DOOR_CLOSED, 0);
        rig.force(OVEN_1, Quantity.AIRFLOW_PROVEN, 0);
        rig.run(60);
        rig.heal(OVEN_1, Quantity.DOOR_CLOSED);
        rig.run(12.8);
        assertFalse(rig.state.tripped(OVEN_1), rig::story);
        rig.run(0.4);
        assertTrue(rig.latched(Rule.AIRFLOW_NOT_PROVEN, OVEN_1), rig::story);
    }

    @Test
    void aFanThatRunsUpSlowlyIsNoTrip() {
        Rig rig = new Rig(1);
        rig.wantFan[0] = false;
        rig.run(5);
        rig.wantFan[0] = true;
        rig.force(OVEN_1, Quantity.AIRFLOW_PROVEN, 0);
        rig.run(12.9);
        assertFalse(rig.state.tripped(OVEN_1), rig::story);
        rig.run(0.5);
        assertTrue(rig.latched(Rule.AIRFLOW_NOT_PROVEN, OVEN_1), rig::story);
    }

    private static Rig steamed(double chestC) {
        Rig rig = new Rig(1).running();
        rig.chestAC = chestC;
        rig.chestBC = chestC;
        rig.run(30);
        rig.wantSteam = false;
        rig.wantBelt = false;
        rig.cycle();
        return rig;
    }

    @Test
    void aChestThatCoolsSlowlyEnoughOrIsCoolAlreadyIsNoTrip() {
        Rig cooling = steamed(98);
        for (int n = 0; n < 1600; n++) {
            double fallK = 3.05 * Rig.CYCLE_S / SteamerWatch.COOLING_S;
            cooling.chestAC -= fallK * 5;
            cooling.chestBC -= fallK * 5;
            cooling.run(0.5);
        }
        assertFalse(cooling.state.tripped(UnitId.STEAMER), cooling::story);

        Rig cool = steamed(70);
        cool.run(800);
        assertFalse(cool.state.tripped(UnitId.STEAMER), cool::story);
    }

    @Test
    void aChestThatStaysHotTripsOneWindowAfterItDrained() {
        Rig rig = steamed(95);
        rig.run(209.5);
        assertFalse(rig.state.tripped(UnitId.STEAMER), rig::story);
        rig.run(1.0);
        assertTrue(rig.latched(Rule.CHEST_NOT_COOLING, UnitId.STEAMER), rig::story);
        assertFalse(rig.out.contactor(), rig::story);
    }

    @Test
    void steamInShortPulsesIsNeverTakenForACoolingChest() {
        Rig rig = new Rig(1).running();
        rig.chestAC = 98;
        rig.chestBC = 98;
        for (int n = 0; n < 60; n++) {
            rig.wantSteam = n % 2 == 0;
            rig.run(10);
        }
        assertFalse(rig.state.tripped(UnitId.STEAMER), rig::story);
    }

    @Test
    void steamEndsTheVenting() {
        Rig rig = new Rig(1).running();
        rig.wantSteam = false;
        rig.wantBelt = false;
        rig.run(15);
        assertTrue(rig.state.hoodMayUnlock(), rig::story);
        rig.wantSteam = true;
        rig.wantBelt = true;
        rig.run(0.3);
        assertFalse(rig.state.hoodMayUnlock(), rig::story);
        rig.wantSteam = false;
        rig.wantBelt = false;
        rig.run(9.5);
        assertFalse(rig.state.hoodMayUnlock(), "it must vent again");
        rig.run(1.5);
        assertTrue(rig.state.hoodMayUnlock(), rig::story);
    }

    @Test
    void theBeltMayStopTogetherWithTheSteam() {
        Rig rig = new Rig(1).running();
        rig.wantSteam = false;
        rig.wantBelt = false;
        rig.run(120);
        assertFalse(rig.state.tripped(UnitId.STEAMER), rig::story);
    }

    @Test
    void aBeltThatJamsWithHotLeafBehindTheSteamTrips() {
        Rig rig = new Rig(1).running();
        rig.wantSteam = false;
        rig.run(5);
        rig.force(UnitId.STEAMER, Quantity.BELT_MM_PER_S, 0);
        rig.run(15.2);
        assertTrue(rig.latched(Rule.BELT_STOPPED, UnitId.STEAMER), rig::story);
    }

    @Test
    void theFirstTripOfTheLineIsFirstOutAndAnOvensAfterItIsNot() {
        Rig rig = new Rig(1).running();
        rig.force(UnitId.LINE, Quantity.SUPPLY_HEALTHY, 0);
        rig.run(0.5);
        rig.force(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY, 0);
        rig.force(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY, 0);
        rig.run(0.5);
        assertTrue(rig.cause(Rule.UNDERVOLTAGE, UnitId.LINE).firstOut(), rig::story);
        assertFalse(rig.cause(Rule.EMERGENCY_STOP, UnitId.LINE).firstOut(), rig::story);
        assertFalse(rig.cause(Rule.HIGH_LIMIT_OPEN, OVEN_1).firstOut(), rig::story);
        assertEquals(
                List.of(true, false, false),
                rig.state.kept().trips().stream()
                        .map(t -> t.firstOut())
                        .sorted((a, b) -> Boolean.compare(b, a))
                        .toList());
    }

    // times and memory

    @ParameterizedTest
    @ValueSource(doubles = {0.0, 0.5})
    void aCycleOfNoTimeOrOfTheLongestIsNotLate(double elapsedS) {
        Rig rig = new Rig(1).running();
        rig.elapsedS = elapsedS;
        rig.cycle();
        assertFalse(rig.latched(Rule.CYCLE_LATE, UnitId.LINE), rig::story);
        assertTrue(rig.out.pulse(), rig::story);
    }

    @ParameterizedTest
    @ValueSource(doubles = {-0.1, 0.51, 3600.0, Double.NaN})
    void anyOtherTimeIsLate(double elapsedS) {
        Rig rig = new Rig(1).running();
        rig.elapsedS = elapsedS;
        rig.cycle();
        assertTrue(rig.latched(Rule.CYCLE_LATE, UnitId.LINE), rig::story);
        assertFalse(rig.out.pulse(), rig::story);
    }

    @Test
    void aCauseThatComesAndGoesBeginsItsDelayAgain() {
        Rig rig = new Rig(1).running();
        for (int n = 0; n < 10; n++) {
            rig.force(UnitId.LINE, Quantity.SUPPLY_HEALTHY, 0);
            rig.run(0.2);
            rig.heal(UnitId.LINE, Quantity.SUPPLY_HEALTHY);
            rig.cycle();
        }
        assertEquals(List.of(), rig.state.causes(), rig::story);
    }

    @Test
    void aDelayDoesNotBeginBeforeTheFirstLook() {
        Rig rig = new Rig(1);
        rig.force(UnitId.LINE, Quantity.SUPPLY_HEALTHY, 0);
        rig.run(Guard.SETTLE_S + 0.1);
        assertFalse(rig.present(Rule.UNDERVOLTAGE, UnitId.LINE), rig::story);
        rig.run(0.3);
        assertTrue(rig.present(Rule.UNDERVOLTAGE, UnitId.LINE), rig::story);
    }

    @Test
    void whatWasFirstStaysFirstWhenItComesAgain() {
        Rig rig = new Rig(1).running();
        rig.force(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY, 0);
        rig.cycle();
        rig.force(OVEN_1, Quantity.AIR_C, Double.NaN);
        rig.cycle();
        for (int n = 0; n < 2; n++) {
            assertTrue(rig.cause(Rule.HIGH_LIMIT_OPEN, OVEN_1).firstOut(), rig::story);
            assertFalse(rig.cause(Rule.AIR_SENSOR_BAD, OVEN_1).firstOut(), rig::story);
            rig.heal(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY);
            rig.heal(OVEN_1, Quantity.AIR_C);
            rig.cycle();
            rig.force(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY, 0);
            rig.force(OVEN_1, Quantity.AIR_C, Double.NaN);
            rig.cycle();
        }
    }

    @Test
    void aStepLeavesTheStateItWasGivenAsItWas() {
        Rig rig = new Rig(2).running();
        rig.airC[1] = 55;
        rig.force(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY, 0);
        rig.force(OVEN_2, Quantity.DOOR_CLOSED, 0);
        GuardState before = rig.state;
        double[] bad = before.badSinceS.clone();
        byte[] flags = before.flags.clone();
        long[] since = before.sinceCycle.clone();
        OvenWatch[] ovens = before.ovens.clone();
        rig.cycle();
        assertArrayEquals(bad, before.badSinceS);
        assertArrayEquals(flags, before.flags);
        assertArrayEquals(since, before.sinceCycle);
        assertArrayEquals(ovens, before.ovens);
        assertTrue(rig.latched(Rule.HIGH_LIMIT_OPEN, OVEN_1), rig::story);
        assertTrue(rig.latched(Rule.DOOR_OPEN, OVEN_2), rig::story);
        assertEquals(rig.cycle, rig.cause(Rule.HIGH_LIMIT_OPEN, OVEN_1).sinceCycle());
        assertEquals(rig.cycle, rig.cause(Rule.DOOR_OPEN, OVEN_2).sinceCycle());
    }

    @Test
    void anOvenThatWasNotKeptIsNew() {
        GuardState.Kept kept =
                new GuardState.Kept(
                        List.of(), List.of(new GuardState.KeptOven(4, 55, true, true, 60, 4L)));
        Rig rig = new Rig(2, kept, 0);
        assertEquals(55, rig.state.heatOnS(OVEN_1));
        assertEquals(0, rig.state.heatOnS(OVEN_2));
    }

    @Test
    void aFanThatNeverSawHeatDoesNotRunOn() {
        Rig rig = new Rig(1);
        rig.run(10);
        assertTrue(rig.out.ovens().get(0).fan(), rig::story);
        rig.wantFan[0] = false;
        rig.cycle();
        assertFalse(rig.out.ovens().get(0).fan(), rig::story);
    }

    @Test
    void aFanWhoseContactIsStuckGoesOnOnceItRuns() {
        Rig rig = new Rig(1);
        rig.force(OVEN_1, Quantity.AIRFLOW_PROVEN, 1);
        rig.run(70);
        assertTrue(rig.out.ovens().get(0).fan(), rig::story);
        rig.run(1);
        assertTrue(rig.out.ovens().get(0).fan(), rig::story);
    }

    @Test
    void heatIsAllowedOnlyWithThatOvensOwnAir() {
        Rig rig = new Rig(2).running();
        rig.force(OVEN_2, Quantity.AIRFLOW_PROVEN, 0);
        rig.cycle();
        assertTrue(rig.state.heatAllowed(OVEN_1), rig::story);
        assertFalse(rig.state.heatAllowed(OVEN_2), rig::story);
    }

    @Test
    void aFanThatAnOpenDoorStoppedDoesNotStartByItselfWhenTheDoorIsShut() {
        Rig rig = new Rig(1).running();
        rig.wantFan[0] = false;
        rig.force(OVEN_1, Quantity.DOOR_CLOSED, 0);
        rig.cycle();
        rig.heal(OVEN_1, Quantity.DOOR_CLOSED);
        for (int n = 0; n < 10; n++) {
            rig.cycle();
            assertFalse(rig.out.ovens().get(0).fan(), rig::story);
        }
    }

    @Test
    void aFanRunsOnWithoutAGap() {
        Rig rig = new Rig(1).running();
        rig.wantHeat[0] = false;
        rig.wantFan[0] = false;
        for (int n = 0; n < 590; n++) {
            rig.cycle();
            assertTrue(rig.out.ovens().get(0).fan(), rig::story);
        }
    }

    @ParameterizedTest
    @EnumSource(
            value = Rule.class,
            names = {"EMERGENCY_STOP", "OVER_PRESSURE", "HIGH_LIMIT_OPEN"})
    void aKeptTripIsLatchedAgain(Rule rule) {
        UnitId unit =
                switch (rule.scope()) {
                    case LINE -> UnitId.LINE;
                    case STEAMER -> UnitId.STEAMER;
                    case OVEN -> OVEN_2;
                };
        GuardState.Kept kept =
                new GuardState.Kept(
                        List.of(new GuardState.KeptTrip(rule.id(), unit, true, 17)), List.of());
        Rig rig = new Rig(2, kept, 0);
        rig.cycle();
        assertEquals(List.of(new Cause(rule, unit, false, true, true, 17)), rig.state.causes());
    }

    @Test
    void aResetIsRefusedWhileTheCausesDelayRunsAgain() {
        Rig rig = new Rig(1).running();
        rig.force(UnitId.LINE, Quantity.SUPPLY_HEALTHY, 0);
        rig.run(1.0);
        rig.heal(UnitId.LINE, Quantity.SUPPLY_HEALTHY);
        rig.cycle();
        rig.force(UnitId.LINE, Quantity.SUPPLY_HEALTHY, 0);
        rig.askReset(UnitId.LINE);
        rig.cycle();
        assertFalse(rig.present(Rule.UNDERVOLTAGE, UnitId.LINE), rig::story);
        assertEquals(
                List.of(new GuardEvent.ResetRefused(Rule.UNDERVOLTAGE, UnitId.LINE)),
                rig.lastEvents);
        assertTrue(rig.latched(Rule.UNDERVOLTAGE, UnitId.LINE), rig::story);
    }

    @Test
    void aTripThatWasKeptIsNotResetBeforeItsCauseWasLookedAt() {
        Rig before = new Rig(1).running();
        before.force(OVEN_1, Quantity.HIGH_LIMIT_HEALTHY, 0);
        before.cycle();
        Rig rig = new Rig(1, before.state.kept(), 0);
        rig.run(Guard.SETTLE_S - 0.2);
        rig.askReset(UnitId.LINE);
        rig.cycle();
        assertEquals(
                List.of(new GuardEvent.ResetRefused(Rule.HIGH_LIMIT_OPEN, OVEN_1)), rig.lastEvents);
        assertTrue(rig.latched(Rule.HIGH_LIMIT_OPEN, OVEN_1), rig::story);
        rig.run(0.5);
        rig.askReset(UnitId.LINE);
        rig.cycle();
        assertFalse(rig.latched(Rule.HIGH_LIMIT_OPEN, OVEN_1), rig::story);
    }
}
