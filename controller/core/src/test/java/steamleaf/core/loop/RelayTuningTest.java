package steamleaf.core.loop;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class RelayTuningTest {
    private static final PidTuning FIRST = PidTuning.isa(0.02, 300, 0, 0.6);

    private static RelayTuning tuned(DelayedLag oven, int interruptedAtS) {
        RelayTuning tuning = RelayTuning.start(70);
        PidState pid = PidState.at(0.0);
        for (int s = 0; s < 20_000 && isUnderWay(tuning); s++) {
            double airC = 20 + oven.output;
            pid = Pid.step(FIRST, OutputLimits.SHARE, pid, 70, airC, 0.0, 1.0);
            tuning = tuning.step(airC, pid.output(), s != interruptedAtS, 1.0);
            oven.step(tuning.duty(pid.output()));
        }
        return tuning;
    }

    private static boolean isUnderWay(RelayTuning tuning) {
        return switch (tuning.stage()) {
            case RelayTuning.Approach _, RelayTuning.Swing _ -> true;
            case RelayTuning.Found _, RelayTuning.Failed _ -> false;
        };
    }

    /** Whatever the oven, the loop with the proposed settings settles within two kelvin. */
    @ParameterizedTest
    @CsvSource({"150, 400, 10", "90, 400, 20", "150, 250, 15", "200, 900, 8"})
    void theProposalSettlesTheOvenItWasFoundOn(double gain, double lagS, double delayS) {
        RelayTuning.Found found =
                assertInstanceOf(
                        RelayTuning.Found.class,
                        tuned(new DelayedLag(gain, lagS, delayS, 1.0), -1).stage());
        TuningRules.Settings settings = found.settings();
        PidTuning pi = PidTuning.isa(settings.gain(), settings.integralS(), 0, 0.6);
        DelayedLag oven = new DelayedLag(gain, lagS, delayS, 1.0);
        PidState pid = PidState.at(0.0);
        double highest = 0;
        double target = 0;
        for (int s = 0; s < 6_000; s++) {
            target = Math.min(50, target + 10.0 / 60);
            pid = Pid.step(pi, OutputLimits.SHARE, pid, target, oven.output, 0.0, 1.0);
            highest = Math.max(highest, oven.step(pid.output()));
        }
        assertEquals(50, oven.output, 0.1, settings::toString);
        assertTrue(highest < 52, () -> settings + " overshoots");
    }

    @Test
    void theHysteresisIsTakenOutOfTheDelay() {
        // k' = 0.05 K/s per duty, θ = 10 s, d = 0.2, ε = 0.05 K: a = k'dθ + ε, P = 4(θ + ε/(k'd))
        ProcessModel.Integrating model =
                TuningRules.integratingOfRelay(0.2, 0.15, 0.05, 4 * (10 + 0.05 / 0.01));
        assertEquals(10.0, model.delayS(), 1e-9);
        assertEquals(0.05, model.slopePerS(), 1e-9);
    }

    @Test
    void heatTakenAwayEndsItAndNothingIsGivenAfterwards() {
        DelayedLag oven = new DelayedLag(150, 400, 10, 1.0);
        RelayTuning tuning = RelayTuning.start(70);
        PidState pid = PidState.at(0.0);
        while (tuning.stage() instanceof RelayTuning.Approach) {
            double airC = 20 + oven.output;
            pid = Pid.step(FIRST, OutputLimits.SHARE, pid, 70, airC, 0.0, 1.0);
            tuning = tuning.step(airC, pid.output(), true, 1.0);
            oven.step(tuning.duty(pid.output()));
        }
        RelayTuning cut = tuning.step(70, 0.5, false, 1.0);
        assertEquals(new RelayTuning.Failed(RelayTuning.Failure.INTERRUPTED), cut.stage());
        assertEquals(0.0, cut.duty(0.7));
        RelayTuning blind = tuning.step(Double.NaN, 0.5, true, 1.0);
        assertEquals(new RelayTuning.Failed(RelayTuning.Failure.INPUT_NOT_GOOD), blind.stage());
        RelayTuning far = tuning.step(85, 0.5, true, 1.0);
        assertEquals(new RelayTuning.Failed(RelayTuning.Failure.SWING_TOO_WIDE), far.stage());
    }

    @Test
    void anOvenThatNeverGetsThereIsGivenUp() {
        RelayTuning tuning = tuned(new DelayedLag(30, 400, 10, 1.0), -1); // at most 50 °C
        assertEquals(new RelayTuning.Failed(RelayTuning.Failure.NEVER_STEADY), tuning.stage());
    }
}
