package steamleaf.sim.plant;

/**
 * What works with the program dead: the watchdog relay, the contactor's circuit, the emergency
 * stop.
 *
 * <p>Contactor coil = supply · driven · watchdog relay · emergency stop. The watchdog relay is
 * edge-triggered and latching: it drops when no edge has come for its time, and its resting contact
 * sounds the horn; it picks up when edges have come steadily for long enough and the reset button
 * is then pressed. At power-up it has dropped.
 */
final class HardWiring {
    private static final double TINY_S = 1e-9;

    private final PlantSettings.Electric numbers;
    boolean relayHolds;
    boolean contactorClosed;
    boolean feedback;
    boolean emergencyStopPressed;
    boolean hornSounds;
    private double sinceEdgeS = 1e9;
    private double steadyS;
    private boolean resetWasPressed;
    private double coilForS;

    HardWiring(PlantSettings.Electric numbers) {
        this.numbers = numbers;
    }

    HardWiring(HardWiring other) {
        numbers = other.numbers;
        relayHolds = other.relayHolds;
        contactorClosed = other.contactorClosed;
        feedback = other.feedback;
        emergencyStopPressed = other.emergencyStopPressed;
        hornSounds = other.hornSounds;
        sinceEdgeS = other.sinceEdgeS;
        steadyS = other.steadyS;
        resetWasPressed = other.resetWasPressed;
        coilForS = other.coilForS;
    }

    boolean stopHealthy(LineFaults faults) {
        return !emergencyStopPressed
                && !faults.emergencyStopPressed
                && !faults.emergencyStopWireBroken;
    }

    void step(
            double elapsedS,
            Actuation in,
            boolean resetPressed,
            boolean powered,
            LineFaults faults) {
        stepRelay(elapsedS, in.watchdogEdges, resetPressed, powered, faults);
        boolean coil =
                powered
                        && in.contactorCoil
                        && relayHolds
                        && stopHealthy(faults)
                        && !faults.contactorDead;
        stepContactor(elapsedS, coil, faults);
        if (!faults.contactorFeedbackFrozen) {
            feedback = contactorClosed;
        }
        hornSounds = powered && (in.horn || !relayHolds);
    }

    private void stepRelay(
            double elapsedS, int edges, boolean resetPressed, boolean powered, LineFaults faults) {
        sinceEdgeS = edges > 0 ? 0 : sinceEdgeS + elapsedS;
        boolean alive = sinceEdgeS < numbers.watchdogTimeoutS() - TINY_S;
        steadyS = powered && alive ? steadyS + elapsedS : 0;
        boolean pressedNow = resetPressed && !resetWasPressed;
        resetWasPressed = resetPressed;
        if (faults.watchdogRelayStuck) {
            return;
        }
        if (!powered || !alive) {
            relayHolds = false;
        } else if (pressedNow && steadyS >= numbers.watchdogSteadyS() - TINY_S) {
            relayHolds = true;
        }
    }

    private void stepContactor(double elapsedS, boolean coil, LineFaults faults) {
        if (faults.contactorWelded && contactorClosed) {
            return;
        }
        coilForS = coil == contactorClosed ? 0 : coilForS + elapsedS;
        double needed = coil ? numbers.contactorPullInS() : numbers.contactorDropOutS();
        if (coil != contactorClosed && coilForS >= needed - TINY_S) {
            contactorClosed = coil;
            coilForS = 0;
        }
    }
}
