package steamleaf.core.loop;

/**
 * PID controller in ISA form.
 *
 * <pre>
 *   v = P + I + D + feed-forward
 *   P = K·(b·r − y)
 *   I ← I + K·(r − y)·Δt/Ti + (u − v)·Δt/Tt        back-calculation: u the limited, v the wanted output
 *   D + (Td/N)·dD/dt = K·Td·d(c·r − y)/dt           backward difference
 *   u = v inside the output and rate limits
 * </pre>
 *
 * r setpoint and y measurement in one unit, u and v in that of the output, K in output per
 * measurement, times in s. Holds for steps far shorter than Ti and Td; a step may be as long as Tt,
 * beyond which the integral is set to follow at once. Source (not checked): Åström and Hägglund,
 * Advanced PID Control (2006), ch. 3 (form, set-point weights, back-calculation) and ch. 13
 * (backward difference of the derivative). Loops around it are held by reference rows.
 */
public final class Pid {
    private Pid() {}

    /**
     * One automatic step. A setpoint, measurement or feed-forward that is not a number gives the
     * lowest output, freezes the integral and forgets the derivative.
     */
    public static PidState step(
            PidTuning tuning,
            OutputLimits limits,
            PidState state,
            double setpoint,
            double measurement,
            double feedForward,
            double elapsedS) {
        requirePositive(elapsedS);
        if (!Double.isFinite(setpoint)
                || !Double.isFinite(measurement)
                || !Double.isFinite(feedForward)) {
            return new PidState(limits.lowest(), state.integral(), 0.0, Double.NaN);
        }
        double proportional = tuning.gain() * (tuning.setpointWeight() * setpoint - measurement);
        double differentiated = tuning.derivativeWeight() * setpoint - measurement;
        double derivative = derivative(tuning, state, differentiated, elapsedS);
        double integral =
                state.integral()
                        + tuning.gain() * (setpoint - measurement) * elapsedS / tuning.integralS();

        double wanted = proportional + integral + derivative + feedForward;
        double output = limits.apply(wanted, state.output(), elapsedS);
        double followed = Math.min(1.0, elapsedS / tuning.trackingS()) * (output - wanted);
        return new PidState(output, integral + followed, derivative, differentiated);
    }

    /**
     * One step in hand: the output is given (limited here), the integral follows so that automatic
     * takes over without a bump. Also used while something else holds the output, such as the
     * guard.
     */
    public static PidState hand(
            PidTuning tuning,
            OutputLimits limits,
            PidState state,
            double setpoint,
            double measurement,
            double feedForward,
            double handOutput,
            double elapsedS) {
        requirePositive(elapsedS);
        double output = limits.apply(handOutput, state.output(), elapsedS);
        double others =
                tuning.gain() * (tuning.setpointWeight() * setpoint - measurement) + feedForward;
        double integral = output - others;
        if (!Double.isFinite(integral)) {
            return new PidState(output, state.integral(), 0.0, Double.NaN);
        }
        return new PidState(
                output, integral, 0.0, tuning.derivativeWeight() * setpoint - measurement);
    }

    /** The same output under new settings: no bump when a tuning is accepted. */
    public static PidState retuned(
            PidTuning tuning,
            PidState state,
            double setpoint,
            double measurement,
            double feedForward) {
        double others =
                tuning.gain() * (tuning.setpointWeight() * setpoint - measurement) + feedForward;
        double integral = state.output() - others;
        return Double.isFinite(integral)
                ? new PidState(
                        state.output(),
                        integral,
                        0.0,
                        tuning.derivativeWeight() * setpoint - measurement)
                : state;
    }

    private static double derivative(
            PidTuning tuning, PidState state, double differentiated, double elapsedS) {
        if (tuning.derivativeS() == 0.0 || Double.isNaN(state.differentiated())) {
            return 0.0;
        }
        double denominator = tuning.derivativeS() + tuning.derivativeFilter() * elapsedS;
        double change = differentiated - state.differentiated();
        return tuning.derivativeS() / denominator * state.derivative()
                + tuning.gain()
                        * tuning.derivativeS()
                        * tuning.derivativeFilter()
                        / denominator
                        * change;
    }

    private static void requirePositive(double elapsedS) {
        if (!(elapsedS > 0.0)) {
            throw new IllegalArgumentException("a step takes time; elapsedS = " + elapsedS);
        }
    }
}
