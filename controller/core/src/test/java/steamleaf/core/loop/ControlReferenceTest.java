package steamleaf.core.loop;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.util.Map;
import java.util.function.DoubleFunction;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.Stream;
import org.hipparchus.complex.Complex;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import steamleaf.core.science.ReferenceRow;

/**
 * Every row of {@code reference/control.csv} but the Kalman ones, which the moisture filter answers
 * for.
 */
class ControlReferenceTest {

    @TestFactory
    Stream<DynamicTest> everyRowHoldsAtItsTolerance() {
        Map<String, String> cannotServe = ReferenceRow.cannotServe();
        return ReferenceRow.table("control").stream()
                .filter(row -> !cannotServe.containsKey(row.id()))
                .filter(row -> !row.text("topic").startsWith("kalman"))
                .map(row -> DynamicTest.dynamicTest(row.toString(), () -> check(row)));
    }

    private static void check(ReferenceRow row) {
        switch (row.text("topic")) {
            case "SIMC_PI" -> {
                TuningRules.Settings pi = TuningRules.simcPi(model(row), row.in("tauc"));
                row.check("Kc", pi.gain());
                row.check("tauI", pi.integralS());
            }
            case "half_rule", "SIMC_example" -> example(row);
            case "SIMC_robustness" -> robustness(row);
            case "loop_simulation" -> loop(row);
            case "SIMC_rule" -> simcInWords(row);
            case "ZN_closed_loop" -> {
                if (row.text("inputs").equals("formula")) {
                    zieglerNicholsInWords(row);
                    return;
                }
                TuningRules.UltimateCycle cycle =
                        new TuningRules.UltimateCycle(row.in("Ku"), row.in("Pu"));
                settings(row, zieglerNichols(row, cycle), "Kp");
            }
            case "ZN_open_loop" -> {
                String form = row.text("rule").split(":", 2)[0];
                ProcessModel.FirstOrder model = model(row);
                TuningRules.Settings s =
                        switch (form) {
                            case "P" -> TuningRules.zieglerNicholsP(model);
                            case "PI" -> TuningRules.zieglerNicholsPi(model);
                            case "PID" -> TuningRules.zieglerNicholsPid(model);
                            default -> fail(row + ": nobody checks " + form);
                        };
                settings(row, s, "Kp");
            }
            case "Tyreus-Luyben" -> {
                TuningRules.UltimateCycle cycle =
                        new TuningRules.UltimateCycle(row.in("Ku"), row.in("Pu"));
                boolean pid = row.text("rule").startsWith("PID");
                TuningRules.Settings s =
                        pid
                                ? TuningRules.tyreusLuybenPid(cycle)
                                : TuningRules.tyreusLuybenPi(cycle);
                settings(row, s, "Kp");
            }
            case "relay" -> {
                if (row.text("inputs").equals("formula")) {
                    relayInWords(row);
                    return;
                }
                double hysteresis = row.text("inputs").contains("eps") ? row.in("eps") : 0.0;
                row.check(TuningRules.ultimateGainOfRelay(row.in("d"), row.in("a"), hysteresis));
            }
            case "relay_FOPDT" -> {
                RelayExperiment.Finished swing = relay(row);
                row.check(
                        row.text("rule").startsWith("Ku")
                                ? swing.cycle().gain()
                                : row.text("rule").contains("period")
                                        ? swing.cycle().periodS()
                                        : swing.amplitude());
            }
            case "ultimate_FOPDT" -> {
                TuningRules.UltimateCycle cycle = TuningRules.ultimateOf(model(row));
                row.check("Ku", cycle.gain());
                row.check("Pu", cycle.periodS());
            }
            case "FOPDT_step" -> {
                DelayedLag lag = new DelayedLag(row.in("k"), row.in("tau"), row.in("theta"), 0.01);
                for (long i = Math.round(row.in("t") / 0.01); i > 0; i--) {
                    lag.step(1.0);
                }
                row.check(lag.output);
            }
            case "first_order" -> {
                double filtered = 0.0;
                for (int i = 0; i < 100; i++) {
                    filtered = FirstOrderFilter.step(filtered, 1.0, 10.0, row.in("n") * 10.0 / 100);
                }
                row.check(filtered);
            }
            case "second_order" -> secondOrder(row);
            default -> fail(row + ": nobody checks " + row.text("topic"));
        }
    }

    private static ProcessModel.FirstOrder model(ReferenceRow row) {
        return new ProcessModel.FirstOrder(row.in("k"), row.in("tau"), row.in("theta"));
    }

    /** What the row names is checked; a P controller has no times. */
    private static void settings(ReferenceRow row, TuningRules.Settings s, String gain) {
        row.check(gain, s.gain());
        if (row.text("expected").contains("Ti=")) {
            row.check("Ti", s.integralS());
        } else {
            assertTrue(Double.isInfinite(s.integralS()), row::toString);
        }
        if (row.text("expected").contains("Td=")) {
            row.check("Td", s.derivativeS());
        } else {
            assertEquals(0.0, s.derivativeS(), row::toString);
        }
    }

    private static TuningRules.Settings zieglerNichols(
            ReferenceRow row, TuningRules.UltimateCycle cycle) {
        return switch (row.text("rule")) {
            case "P" -> TuningRules.zieglerNicholsP(cycle);
            case "PI" -> TuningRules.zieglerNicholsPi(cycle);
            case "PID" -> TuningRules.zieglerNicholsPid(cycle);
            default -> fail(row + ": nobody checks " + row.text("rule"));
        };
    }

    /** The rule as the row prints it, over models whose integral time is of either kind. */
    private static void simcInWords(ReferenceRow row) {
        assertEquals(
                "Kc=(1/k) tau1/(tauc+theta); tauI=min(tau1,4(tauc+theta)); tight tauc=theta",
                row.text("rule"),
                row::toString);
        for (double k : new double[] {0.2, 1, 40}) {
            for (double tau1 : new double[] {3, 30, 900}) {
                for (double theta : new double[] {0.5, 10}) {
                    for (double tauc : new double[] {theta, 3 * theta}) {
                        TuningRules.Settings s =
                                TuningRules.simcPi(
                                        new ProcessModel.FirstOrder(k, tau1, theta), tauc);
                        assertEquals(
                                (1 / k) * tau1 / (tauc + theta), s.gain(), 1e-9, row::toString);
                        double integralS = Math.min(tau1, 4 * (tauc + theta));
                        assertEquals(integralS, s.integralS(), 1e-9, row::toString);
                    }
                }
            }
        }
    }

    /** Factors as the row prints them: 0.6Ku, Pu/2, Pu/8. */
    private static void zieglerNicholsInWords(ReferenceRow row) {
        TuningRules.UltimateCycle cycle = new TuningRules.UltimateCycle(3.7, 41.0);
        TuningRules.Settings s = zieglerNichols(row, cycle);
        int terms = 0;
        for (String term : row.text("expected").split(";", -1)) {
            String[] pair = term.split("=", 2);
            double value =
                    pair[1].endsWith("Ku")
                            ? Double.parseDouble(pair[1].replace("Ku", "")) * cycle.gain()
                            : cycle.periodS() / Double.parseDouble(pair[1].replace("Pu/", ""));
            double ours =
                    switch (pair[0]) {
                        case "Kp" -> s.gain();
                        case "Ti" -> s.integralS();
                        case "Td" -> s.derivativeS();
                        default -> fail(row + ": nobody checks " + term);
                    };
            assertEquals(value, ours, 1e-9 * value, () -> row + ": " + term);
            terms++;
        }
        int expected = 1 + (row.text("rule").length() - 1);
        assertEquals(expected, terms, row::toString);
    }

    private static void relayInWords(ReferenceRow row) {
        boolean ideal = row.text("rule").equals("Ku=4d/(pi a)");
        assertTrue(ideal || row.text("rule").endsWith("Ku=4d/(pi sqrt(a^2-eps^2))"), row::toString);
        double eps = ideal ? 0.0 : 0.2;
        for (double d : new double[] {0.1, 0.5, 10}) {
            for (double a : new double[] {0.3, 2}) {
                assertEquals(
                        4 * d / (Math.PI * Math.sqrt(a * a - eps * eps)),
                        TuningRules.ultimateGainOfRelay(d, a, eps),
                        1e-12,
                        row::toString);
            }
        }
    }

    /** The paper's worked examples. */
    private static void example(ReferenceRow row) {
        String inputs = row.text("inputs");
        if (inputs.startsWith("kprime")) {
            TuningRules.Settings s =
                    TuningRules.simcPi(
                            new ProcessModel.Integrating(row.in("kprime"), row.in("theta")),
                            row.in("tauc"));
            row.check("Kc", s.gain());
            row.check("tauI", s.integralS());
            return;
        }
        boolean e1 = inputs.equals("g=1/((s+1)(0.2s+1))");
        String other = "g=(-0.3s+1)(0.08s+1)/((2s+1)(s+1)(0.4s+1)(0.2s+1)(0.05s+1)^3)";
        assertTrue(e1 || inputs.equals(other), () -> row + ": another plant");
        double[] lags =
                e1 ? new double[] {0.2, 1} : new double[] {0.05, 1, 2, 0.4, 0.05, 0.2, 0.05};
        double[] inverse = e1 ? new double[0] : new double[] {0.3};
        double[] numerator = e1 ? new double[0] : new double[] {0.08};
        ProcessModel.FirstOrder first = HalfRule.firstOrder(1.0, lags, inverse, numerator, 0.0);
        ProcessModel.SecondOrder second = HalfRule.secondOrder(1.0, lags, inverse, numerator, 0.0);
        switch (row.text("rule")) {
            case "theta1", "theta" -> row.check(first.delayS());
            case "theta2" -> row.check(second.delayS());
            case "tau1" -> row.check(first.timeConstantS());
            case "tau1_second" -> row.check(second.largerS());
            case "tau2_second", "PID series tauD" -> row.check(second.smallerS());
            case "PI Kc (tauc=theta)" ->
                    row.check(TuningRules.simcPi(first, first.delayS()).gain());
            case "PI tauI" -> row.check(TuningRules.simcPi(first, first.delayS()).integralS());
            case "PID series Kc" ->
                    row.check(TuningRules.simcSeriesPid(second, second.delayS()).gain());
            case "PID series tauI" ->
                    row.check(TuningRules.simcSeriesPid(second, second.delayS()).integralS());
            default -> fail(row + ": nobody checks " + row.text("rule"));
        }
    }

    /** Margins of the open loop that our own rule gives, θ = 1. */
    private static void robustness(ReferenceRow row) {
        boolean integrating = row.text("rule").startsWith("integrating");
        TuningRules.Settings s =
                integrating
                        ? TuningRules.simcPi(new ProcessModel.Integrating(1.0, 1.0), 1.0)
                        // a short lag, so that τI = τ
                        : TuningRules.simcPi(new ProcessModel.FirstOrder(1.0, 5.0, 1.0), 1.0);
        DoubleFunction<Complex> open =
                omega -> {
                    Complex jw = new Complex(0.0, omega);
                    Complex pi = jw.reciprocal().divide(s.integralS()).add(1.0).multiply(s.gain());
                    Complex process =
                            integrating ? jw.reciprocal() : jw.multiply(5.0).add(1.0).reciprocal();
                    return pi.multiply(process).multiply(jw.negate().exp());
                };
        double sensitivity = 0.0;
        double complementary = 0.0;
        for (double lg = -4; lg <= 2; lg += 1e-4) {
            Complex l = open.apply(Math.pow(10.0, lg));
            sensitivity = Math.max(sensitivity, l.add(1.0).reciprocal().norm());
            complementary = Math.max(complementary, l.divide(l.add(1.0)).norm());
        }
        String what = integrating ? row.text("inputs") : row.text("inputs").split(": ", 2)[1];
        switch (what) {
            case "GM" -> {
                double phaseCrossing = crossing(w -> unwrapped(open.apply(w)) + Math.PI, 0.5, 3.0);
                row.check(1.0 / open.apply(phaseCrossing).norm());
            }
            case "PM", "PM deg" -> {
                double gainCrossing = crossing(w -> open.apply(w).norm() - 1.0, 0.05, 1.5);
                row.check(Math.toDegrees(Math.PI + unwrapped(open.apply(gainCrossing))));
            }
            case "Ms" -> row.check(sensitivity);
            case "Mt" -> row.check(complementary);
            default -> fail(row + ": nobody checks " + what);
        }
    }

    /** Argument between −2π and 0. */
    private static double unwrapped(Complex l) {
        double argument = l.getArgument();
        return argument > 0 ? argument - 2 * Math.PI : argument;
    }

    private static double crossing(DoubleUnaryOperator falling, double low, double high) {
        for (int i = 0; i < 100; i++) {
            double middle = 0.5 * (low + high);
            if (falling.applyAsDouble(middle) > 0) {
                low = middle;
            } else {
                high = middle;
            }
        }
        return low;
    }

    /** Our own controller around the checked process, Δt = 0.02 s. */
    private static void loop(ReferenceRow row) {
        double stepS = 0.02;
        boolean load = row.text("rule").startsWith("load step");
        DelayedLag process = new DelayedLag(row.in("k"), row.in("tau"), row.in("theta"), stepS);
        PidTuning tuning = PidTuning.isa(2.5, 10.0, 0.0, 1.0);
        OutputLimits none = new OutputLimits(-100, 100, Double.POSITIVE_INFINITY);
        PidState state = PidState.at(0.0);
        double peak = 0.0;
        double peakS = 0.0;
        double absoluteError = 0.0;
        for (double t = stepS; t < 100; t += stepS) {
            state = Pid.step(tuning, none, state, load ? 0.0 : 1.0, process.output, 0.0, stepS);
            double y = process.step(state.output() + (load ? 1.0 : 0.0));
            absoluteError += Math.abs((load ? 0.0 : 1.0) - y) * stepS;
            if (y > peak) {
                peak = y;
                peakS = t;
            }
        }
        switch (row.text("rule")) {
            case "setpoint overshoot" -> row.check(peak - 1.0);
            case "setpoint time of peak" -> row.check(peakS);
            case "load step at plant input: peak" -> row.check(peak);
            case "setpoint IAE", "load step at plant input: IAE" -> row.check(absoluteError);
            default -> fail(row + ": nobody checks " + row.text("rule"));
        }
    }

    private static RelayExperiment.Finished relay(ReferenceRow row) {
        double stepS = row.in("theta") / 400.0;
        DelayedLag process = new DelayedLag(row.in("k"), row.in("tau"), row.in("theta"), stepS);
        RelayExperiment experiment = new RelayExperiment(0.0, 0.0, row.in("d"), 0.0, -10, 10, 1e5);
        RelayExperiment.State state = experiment.start();
        while (state instanceof RelayExperiment.Swinging) {
            process.step(experiment.output(state));
            state = experiment.step(state, process.output, stepS);
        }
        return state instanceof RelayExperiment.Finished finished
                ? finished
                : fail(row + ": " + state);
    }

    /**
     * Proportional control of 1/(s(s + 2ζωn)) closes to a second-order loop with exactly ζ and ωn.
     */
    private static void secondOrder(ReferenceRow row) {
        boolean time = row.text("rule").startsWith("peak time");
        double zeta = row.in("zeta");
        double omega = time ? row.in("wn") : 1.0;
        double stepS = 4e-5 / omega;
        PidTuning proportional =
                new PidTuning(omega * omega, Double.POSITIVE_INFINITY, 0.0, 10.0, 1.0, 0.0, 1.0);
        OutputLimits none = new OutputLimits(-1e6, 1e6, Double.POSITIVE_INFINITY);
        PidState state = PidState.at(0.0);
        double position = 0.0;
        double speed = 0.0;
        double peak = 0.0;
        double peakS = 0.0;
        double decay = Math.exp(-2 * zeta * omega * stepS);
        for (long i = 1; i * stepS * omega < 20; i++) {
            state = Pid.step(proportional, none, state, 1.0, position, 0.0, stepS);
            double settled = state.output() / (2 * zeta * omega);
            position += settled * stepS + (speed - settled) * (1 - decay) / (2 * zeta * omega);
            speed = settled + (speed - settled) * decay;
            if (position > peak) {
                peak = position;
                peakS = i * stepS;
            }
        }
        row.check(time ? peakS - stepS / 2 : peak - 1.0); // the held output acts half a step late
    }
}
