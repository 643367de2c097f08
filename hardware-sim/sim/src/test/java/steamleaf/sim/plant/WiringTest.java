package steamleaf.sim.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** The layer that works with the program dead. */
class WiringTest {
    private final Plant plant = new Plant(PlantSettings.stock(), 1);
    private final Actuation in = new Actuation(3);

    private void run(double seconds, boolean edges) {
        for (long i = 0; i < Math.round(10 * seconds); i++) {
            in.watchdogEdges = edges ? 1 : 0;
            plant.step(0.1, in);
        }
    }

    private void press(Button button) {
        plant.hold(button, true);
        run(0.2, true);
        plant.hold(button, false);
        run(0.1, true);
    }

    private void powerUp() {
        run(2.5, true);
        press(Button.RESET);
        in.contactorCoil = true;
        run(0.5, true);
    }

    @Test
    void atPowerUpTheRelayHasDroppedAndTheHornSounds() {
        run(5, true);
        assertFalse(plant.sensing().watchdogRelayHolds);
        assertTrue(plant.hornSounds());
        in.contactorCoil = true;
        run(1, true);
        assertFalse(plant.contactorClosed());
    }

    @Test
    void theRelayWantsTwoSecondsOfEdgesBeforeAResetCounts() {
        run(1.5, true);
        press(Button.RESET);
        assertFalse(plant.sensing().watchdogRelayHolds);
        run(1, true);
        assertFalse(plant.sensing().watchdogRelayHolds, "a press too early is not remembered");
        press(Button.RESET);
        assertTrue(plant.sensing().watchdogRelayHolds);
        assertFalse(plant.hornSounds());
    }

    @Test
    void aResetButtonThatIsHeldDownDoesNotCount() {
        plant.hold(Button.RESET, true);
        run(10, true);
        assertFalse(plant.sensing().watchdogRelayHolds);
    }

    @Test
    void withoutEdgesTheContactorDropsAndTheHornSoundsWithinASecondAndStaysDropped() {
        powerUp();
        assertTrue(plant.contactorClosed());
        run(0.7, false);
        assertTrue(plant.sensing().watchdogRelayHolds);
        run(0.1, false);
        assertFalse(plant.sensing().watchdogRelayHolds);
        assertFalse(plant.contactorClosed());
        assertTrue(plant.hornSounds());
        run(10, true);
        assertFalse(plant.sensing().watchdogRelayHolds, "it latches");
        press(Button.RESET);
        run(0.2, true);
        assertTrue(plant.contactorClosed());
    }

    @Test
    void theEmergencyStopOpensTheContactorWithTheProgramStillDriving() {
        powerUp();
        in.heater[0] = true;
        in.fan[0] = true;
        run(1, true);
        assertTrue(plant.truth(1).heaterW > 5_000);
        plant.pressEmergencyStop();
        run(0.1, true);
        assertFalse(plant.contactorClosed());
        assertEquals(0, plant.truth(1).heaterW);
        assertFalse(plant.sensing().emergencyStopHealthy);
        assertFalse(plant.sensing().heaterCurrent[0]);
        assertTrue(plant.truth(1).fanOn, "fans are not on the contactor");
    }

    @Test
    void aWeldedContactorStaysClosedAndSaysSo() {
        powerUp();
        plant.lineFaults().contactorWelded = true;
        in.contactorCoil = false;
        run(1, true);
        assertTrue(plant.contactorClosed());
        assertTrue(plant.sensing().contactorClosed);
        plant.lineFaults().contactorWelded = false;
        run(0.2, true);
        assertFalse(plant.contactorClosed());
    }

    @Test
    void aHeaterRelayThatSticksHeatsUntilTheContactorOpens() {
        powerUp();
        in.fan[0] = true;
        plant.ovenFaults(1).heaterRelayStuckOn = true;
        run(1, true);
        assertTrue(plant.sensing().heaterCurrent[0]);
        in.contactorCoil = false;
        run(0.2, true);
        assertFalse(plant.sensing().heaterCurrent[0]);
    }

    @Test
    void theHighLimitBreaksTheHeaterByItselfAndWantsAHandToReset() {
        powerUp();
        in.fan[0] = true;
        plant.ovenFaults(1).heaterRelayStuckOn = true;
        double hottest = 0;
        for (int i = 0; i < 2_400 && plant.sensing().highLimitHealthy[0]; i++) {
            run(1, true);
            hottest = Math.max(hottest, plant.truth(1).airC);
        }
        assertFalse(plant.sensing().highLimitHealthy[0]);
        assertEquals(0, plant.truth(1).heaterW);
        assertTrue(hottest < 140, "hottest " + hottest);
        assertInstanceOf(Act.Refused.class, plant.resetHighLimit(1));
        run(1_200, true);
        assertFalse(plant.sensing().highLimitHealthy[0], "it does not come back by itself");
        assertTrue(plant.resetHighLimit(1).done());
    }

    @Test
    void aHeaterWithoutAFanTripsTheHighLimit() {
        powerUp();
        in.heater[0] = true;
        run(600, true);
        assertFalse(plant.sensing().airflowProven[0]);
        assertFalse(plant.sensing().highLimitHealthy[0]);
    }

    @Test
    void lossOfSupplyTakesEverythingAndLeavesTheRelayDropped() {
        powerUp();
        in.fan[0] = true;
        run(30, true);
        assertTrue(plant.sensing().airflowProven[0]);
        plant.lineFaults().supplyLost = true;
        run(5, true);
        assertFalse(plant.sensing().supplyHealthy);
        assertFalse(plant.contactorClosed());
        assertFalse(plant.sensing().watchdogRelayHolds);
        assertFalse(plant.sensing().airflowProven[0]);
        plant.lineFaults().supplyLost = false;
        run(5, true);
        assertFalse(plant.sensing().watchdogRelayHolds, "power back is not a reset");
        assertFalse(plant.contactorClosed());
    }

    @Test
    void aBlockedFilterIsNoLongerProvenAndADoorSwitchCanLie() {
        powerUp();
        in.fan[0] = true;
        run(30, true);
        plant.ovenFaults(1).filterBlocked = 0.7;
        run(10, true);
        assertFalse(plant.sensing().airflowProven[0]);
        plant.openDoor(2);
        run(0.1, true);
        assertFalse(plant.sensing().doorClosed[1]);
        plant.ovenFaults(2).doorSwitchStuckClosed = true;
        run(0.1, true);
        assertTrue(plant.sensing().doorClosed[1]);
        assertTrue(plant.truth("oven-2").doorOpen);
    }

    @Test
    void theDamperFollowsItsMotorTheSpringAndItsFault() {
        powerUp();
        in.damper[0] = 1;
        run(20, true);
        assertEquals(20.0 / 45, plant.truth(1).damper, 0.01);
        run(30, true);
        assertEquals(1, plant.truth(1).damper, 1e-9);
        in.damper[0] = 0;
        run(15.1, true);
        assertEquals(0, plant.truth(1).damper, 1e-9);
        plant.ovenFaults(1).damperStuckAt = 0.3;
        in.damper[0] = 1;
        run(60, true);
        assertEquals(0.3, plant.truth(1).damper, 1e-9);
    }
}
