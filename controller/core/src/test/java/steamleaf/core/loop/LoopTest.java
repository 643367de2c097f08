package steamleaf.core.loop;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayDeque;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class LoopTest {
    private static final PidTuning PID = PidTuning.isa(0.05, 200.0, 20.0, 0.5);
    private static final double CYCLE_S = 0.1;

    private static PidState auto(PidState state, double setpoint, double measurement) {
        return Pid.step(PID, OutputLimits.SHARE, state, setpoint, measurement, 0.0, CYCLE_S);
    }

    @Test
    void aReadingThatIsNotANumberTurnsTheOutputToItsSafeEnd() {
        PidState warm = auto(PidState.at(0.5), 80, 79);
        PidState bad = auto(warm, 80, Double.NaN);
        assertEquals(0.0, bad.output());
        assertEquals(warm.integral(), bad.integral());
        assertEquals(0.0, auto(warm, Double.NaN, 79).output());
        assertEquals(
                0.0, Pid.step(PID, OutputLimits.SHARE, warm, 80, 79, Double.NaN, CYCLE_S).output());
        assertTrue(Double.isFinite(auto(bad, 80, 79).output()), "and it recovers");
    }

    @Test
    void aStepThatTakesNoTimeIsAMistakeInTheProgram() {
        assertThrows(
                IllegalArgumentException.class,
                () -> Pid.step(PID, OutputLimits.SHARE, PidState.at(0), 80, 79, 0, 0.0));
    }

    @Test
    void theDerivativeActsOnTheMeasurementSoASetpointStepDoesNotKick() {
        PidState settled =
                Pid.hand(PID, OutputLimits.SHARE, PidState.at(0.4), 80, 80, 0, 0.4, CYCLE_S);
        PidState after = auto(settled, 81, 80);
        double proportional = PID.gain() * 0.5 * 1.0;
        double integral = PID.gain() * 1.0 * CYCLE_S / PID.integralS();
        assertEquals(0.4 + proportional + integral, after.output(), 1e-12);
        assertEquals(0.0, after.derivative());
    }

    @Test
    void theDerivativeBrakesARisingMeasurementAndItsFilterForgets() {
        PidState state = auto(PidState.at(0.4), 80, 70);
        state = auto(state, 80, 71);
        assertTrue(state.derivative() < 0);
        double first = state.derivative();
        // first step: −K·Td·N/(Td + N·Δt)·Δy
        assertEquals(-0.05 * 20 * 10 / (20 + 10 * 0.1) * 1.0, first, 1e-12);
        state = auto(state, 80, 71);
        assertEquals(first * 20 / (20 + 10 * 0.1), state.derivative(), 1e-12);
    }

    @Test
    void handToAutomaticIsBumpless() {
        PidState state = PidState.at(0.0);
        for (int i = 0; i < 50; i++) {
            state = Pid.hand(PID, OutputLimits.SHARE, state, 80, 60, 0.1, 0.37, CYCLE_S);
        }
        assertEquals(0.37, state.output());
        PidState next = Pid.step(PID, OutputLimits.SHARE, state, 80, 60, 0.1, CYCLE_S);
        assertEquals(
                0.37,
                next.output(),
                PID.gain() * 20 * CYCLE_S / PID.integralS() + 1e-12); // one step of integral
    }

    @Test
    void newSettingsTakeOverBumpless() {
        PidState state =
                Pid.hand(PID, OutputLimits.SHARE, PidState.at(0.0), 80, 75, 0, 0.6, CYCLE_S);
        PidTuning other = PidTuning.isa(0.2, 50, 0, 1.0);
        PidState retuned = Pid.retuned(other, state, 80, 75, 0);
        double output = Pid.step(other, OutputLimits.SHARE, retuned, 80, 75, 0, CYCLE_S).output();
        assertEquals(0.6, output, 0.2 * 5 * CYCLE_S / 50 + 1e-12);
    }

    @Test
    void theIntegralDoesNotWindUpWhileTheOutputIsAtItsLimit() {
        PidState state = PidState.at(0.0);
        for (int i = 0; i < 36_000; i++) { // an hour far below the setpoint
            state = auto(state, 80, 20);
        }
        assertEquals(1.0, state.output());
        int cycles = 0;
        while (state.output() >= 1.0 && cycles < 6_000) {
            state = auto(state, 80, 82);
            cycles++;
        }
        assertTrue(
                cycles < 100, "the heater stayed on for " + cycles + " cycles above the setpoint");
    }

    @Test
    void theOutputKeepsItsRateInBothDirections() {
        OutputLimits slow = new OutputLimits(0, 1, 0.05);
        PidState state = PidState.at(0.5);
        double before = 0.5;
        for (int i = 0; i < 200; i++) {
            state = Pid.step(PID, slow, state, 80, i < 100 ? 20 : 140, 0, CYCLE_S);
            assertTrue(Math.abs(state.output() - before) <= 0.05 * CYCLE_S + 1e-12, "cycle " + i);
            before = state.output();
        }
        assertEquals(
                0.0,
                slow.apply(Double.NaN, 1.0, CYCLE_S),
                "bad is safe at once, whatever the rate");
    }

    @Test
    void aLoopWithLagAndDelaySettlesOnItsSetpoint() {
        ProcessModel.FirstOrder model = new ProcessModel.FirstOrder(90.0, 400.0, 20.0);
        TuningRules.Settings simc = TuningRules.simcPi(model, 40.0);
        PidTuning tuning = PidTuning.isa(simc.gain(), simc.integralS(), 0.0, 0.5);
        DelayedLag oven = new DelayedLag(90.0, 400.0, 20.0, CYCLE_S);
        PidState state = PidState.at(0.0);
        double highest = 0.0;
        for (int i = 0; i < 36_000; i++) {
            state = Pid.step(tuning, OutputLimits.SHARE, state, 60, oven.output, 0.0, CYCLE_S);
            highest = Math.max(highest, oven.step(state.output()));
        }
        assertEquals(60.0, oven.output, 0.01);
        assertTrue(highest < 62.0, "overshoot to " + highest);
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 20_260_501})
    void minimumTimesHoldAndTheMeanDutyIsGiven(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        TimeProportioning relay = new TimeProportioning(5_000, 700, 500);
        TimeProportioning.State state = relay.start();
        boolean before = false;
        long held = 10_000;
        double wanted = 0;
        double given = 0;
        double duty = random.nextDouble();
        for (int i = 0; i < 200_000; i++) {
            if (random.nextInt(300) == 0) {
                duty = random.nextInt(5) == 0 ? random.nextInt(2) : random.nextDouble();
            }
            state = relay.step(state, duty, 100);
            wanted += duty * 100;
            given += state.on() ? 100 : 0;
            if (state.on() != before) {
                long least = before ? 700 : 500;
                assertTrue(
                        held >= least, "seed " + seed + " cycle " + i + ": held " + held + " ms");
                held = 0;
                before = state.on();
            }
            held += 100;
        }
        assertEquals(wanted, given, 2 * 5_000, "seed " + seed);
    }

    @ParameterizedTest
    @ValueSource(doubles = {0.0, 0.01, 0.05, 0.3, 0.5, 0.93, 0.99, 1.0})
    void aSteadyDutyIsMetToTheCycleHoweverSmall(double duty) {
        TimeProportioning relay = new TimeProportioning(2_000, 300, 300);
        TimeProportioning.State state = relay.start();
        int on = 0;
        for (int i = 0; i < 20_000; i++) {
            state = relay.step(state, duty, 100);
            on += state.on() ? 1 : 0;
        }
        assertEquals(duty, on / 20_000.0, 20.0 / 20_000);
    }

    @Test
    void offIsGivenAtOnceAndNotANumberIsOff() {
        TimeProportioning relay = new TimeProportioning(5_000, 2_000, 1_000);
        TimeProportioning.State on = relay.step(relay.start(), 0.5, 100);
        assertTrue(on.on());
        assertTrue(!relay.off(on, 100).on());
        assertTrue(!relay.step(on, Double.NaN, 100).on());
        TimeProportioning.State again = relay.step(relay.off(on, 100), 1.0, 100);
        assertTrue(!again.on(), "the minimum off time holds after it");
        assertThrows(IllegalArgumentException.class, () -> new TimeProportioning(1_000, 700, 500));
    }

    @Test
    void theFilterPassesNotANumberAndStartsAgain() {
        assertEquals(5.0, FirstOrderFilter.step(Double.NaN, 5.0, 10, 1));
        assertTrue(Double.isNaN(FirstOrderFilter.step(5.0, Double.NaN, 10, 1)));
        double once = FirstOrderFilter.step(0, 1, 10, 2);
        double twice = FirstOrderFilter.step(FirstOrderFilter.step(0, 1, 10, 1), 1, 10, 1);
        assertEquals(once, twice, 1e-15); // exact, so the step length does not matter
    }

    @Test
    void aRelayExperimentOnAnIntegratingProcessFindsItsSlopeAndDelay() {
        RelayExperiment experiment = new RelayExperiment(50, 0.5, 0.2, 0.0, 0, 100, 1e5);
        RelayExperiment.State state = experiment.start();
        ArrayDeque<Double> pipe = new ArrayDeque<>();
        for (int i = 0; i < 100; i++) {
            pipe.add(0.5);
        }
        double y = 49;
        while (state instanceof RelayExperiment.Swinging) {
            pipe.add(experiment.output(state));
            y += 0.02 * (pipe.remove() - 0.5) * CYCLE_S;
            state = experiment.step(state, y, CYCLE_S);
        }
        RelayExperiment.Finished swing = assertInstanceOf(RelayExperiment.Finished.class, state);
        ProcessModel.Integrating model =
                TuningRules.integratingOfRelay(
                        0.2, swing.amplitude(), 0.0, swing.cycle().periodS());
        assertEquals(10.0, model.delayS(), 0.2);
        assertEquals(0.02, model.slopePerS(), 0.0004);
    }

    @Test
    void aRelayExperimentEndsItselfAndSaysWhy() {
        RelayExperiment experiment = new RelayExperiment(50, 0.5, 0.2, 0.1, 40, 60, 100);
        RelayExperiment.State start = experiment.start();
        assertEquals(0.7, experiment.output(start), 1e-15);
        assertAbandoned(
                experiment,
                experiment.step(start, Double.NaN, 1),
                RelayExperiment.Reason.INPUT_NOT_GOOD);
        assertAbandoned(
                experiment, experiment.step(start, 61, 1), RelayExperiment.Reason.OUT_OF_LIMITS);
        assertAbandoned(
                experiment, experiment.step(start, 50, 101), RelayExperiment.Reason.TOOK_TOO_LONG);
        assertAbandoned(experiment, experiment.stop(start), RelayExperiment.Reason.STOPPED);
    }

    @Test
    void aLopsidedSwingIsNotTakenForATuning() {
        RelayExperiment experiment = new RelayExperiment(50, 0.5, 0.2, 0.1, 40, 60, 1e5);
        RelayExperiment.State state = experiment.start();
        double y = 49;
        while (state instanceof RelayExperiment.Swinging s) {
            y += s.high() ? 0.2 : -0.01; // heats twenty times faster than it cools
            state = experiment.step(state, y, CYCLE_S);
        }
        assertAbandoned(experiment, state, RelayExperiment.Reason.LOPSIDED);
    }

    private static void assertAbandoned(
            RelayExperiment experiment,
            RelayExperiment.State state,
            RelayExperiment.Reason reason) {
        assertEquals(reason, assertInstanceOf(RelayExperiment.Abandoned.class, state).reason());
        assertEquals(
                0.3, experiment.output(state), 1e-15, "after the end the output is the low one");
        assertEquals(state, experiment.step(state, 50, 1), "and it stays ended");
    }

    @Test
    void seriesSettingsBecomeTheSameControllerInIsaForm() {
        TuningRules.Settings series = new TuningRules.Settings(2.0, 10.0, 2.5);
        TuningRules.Settings isa = series.seriesToIsa();
        // Kc(1 + 1/(τI s))(1 + τD s) = K(1 + 1/(Ti s) + Td s), compared at s = 1
        assertEquals(
                2.0 * (1 + 1 / 10.0) * (1 + 2.5),
                isa.gain() * (1 + 1 / isa.integralS() + isa.derivativeS()),
                1e-12);
    }

    /** A rule asked outside its range proposes nothing, rather than a gain that looks like one. */
    @Test
    void noRuleMakesAProposalOfAModelThatIsNone() {
        for (ProcessModel.FirstOrder model :
                List.of(
                        new ProcessModel.FirstOrder(0, 300, 30),
                        new ProcessModel.FirstOrder(Double.NaN, 300, 30),
                        new ProcessModel.FirstOrder(2, 0, 30),
                        new ProcessModel.FirstOrder(2, Double.POSITIVE_INFINITY, 30),
                        new ProcessModel.FirstOrder(2, 300, -1))) {
            assertEquals(TuningRules.Settings.NONE, TuningRules.simcPi(model, 30), model::toString);
            assertEquals(TuningRules.Settings.NONE, TuningRules.zieglerNicholsPid(model));
            assertTrue(Double.isNaN(TuningRules.ultimateOf(model).gain()), model::toString);
        }
        ProcessModel.FirstOrder prompt = new ProcessModel.FirstOrder(2, 300, 0);
        assertEquals(TuningRules.Settings.NONE, TuningRules.zieglerNicholsP(prompt), "θ = 0");
        assertEquals(TuningRules.Settings.NONE, TuningRules.zieglerNicholsPi(prompt));
        assertEquals(TuningRules.Settings.NONE, TuningRules.simcPi(prompt, 0), "τc + θ = 0");
        assertEquals(15.0, TuningRules.simcPi(prompt, 10).gain(), 1e-12);
        assertEquals(
                TuningRules.Settings.NONE,
                TuningRules.simcPi(new ProcessModel.Integrating(0.01, 10), -10));
        assertEquals(
                TuningRules.Settings.NONE,
                TuningRules.simcSeriesPid(new ProcessModel.SecondOrder(1, 2, 3, 1), 1));
        for (TuningRules.UltimateCycle cycle :
                List.of(
                        new TuningRules.UltimateCycle(Double.NaN, 20),
                        new TuningRules.UltimateCycle(8, 0),
                        new TuningRules.UltimateCycle(0, 20))) {
            assertEquals(TuningRules.Settings.NONE, TuningRules.zieglerNicholsP(cycle));
            assertEquals(TuningRules.Settings.NONE, TuningRules.zieglerNicholsPi(cycle));
            assertEquals(TuningRules.Settings.NONE, TuningRules.zieglerNicholsPid(cycle));
            assertEquals(TuningRules.Settings.NONE, TuningRules.tyreusLuybenPi(cycle));
            assertEquals(TuningRules.Settings.NONE, TuningRules.tyreusLuybenPid(cycle));
        }
        assertFalse(TuningRules.integratingOfRelay(0.2, 0.3, 0.4, 100).isKnown(), "a below ε");
        assertFalse(TuningRules.integratingOfRelay(-0.2, 0.3, 0.0, 100).isKnown());
        // a numerator time beyond the delay needs rules that are not here
        ProcessModel.FirstOrder fast =
                HalfRule.firstOrder(
                        1, new double[] {10, 2}, new double[0], new double[] {0.8}, 0.5);
        assertFalse(fast.isKnown(), fast::toString);
        assertTrue(
                HalfRule.firstOrder(1, new double[] {10, 2}, new double[0], new double[] {0.8}, 1.0)
                        .isKnown());
    }

    @Test
    void settingsThatMakeNoSenseAreRefused() {
        assertThrows(IllegalArgumentException.class, () -> PidTuning.isa(Double.NaN, 10, 0, 1));
        assertThrows(IllegalArgumentException.class, () -> PidTuning.isa(1, 0, 0, 1));
        assertThrows(IllegalArgumentException.class, () -> PidTuning.isa(1, 10, -1, 1));
        assertThrows(IllegalArgumentException.class, () -> PidTuning.isa(1, 10, 1, 1.5));
        assertThrows(IllegalArgumentException.class, () -> new OutputLimits(1, 0, 1));
        assertThrows(IllegalArgumentException.class, () -> new OutputLimits(0, 1, 0));
        assertThrows(
                IllegalArgumentException.class,
                () -> new RelayExperiment(50, 0.5, 0.2, 0, 60, 40, 10));
    }
}
