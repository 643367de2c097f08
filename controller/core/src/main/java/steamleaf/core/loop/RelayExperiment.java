package steamleaf.core.loop;

/**
 * Relay-feedback experiment: a relay in place of the controller makes the process swing, and the
 * swing tells its ultimate gain and period.
 *
 * <p>Source: Åström and Hägglund 1984, Automatica 20:645–651 (its formula as lecture notes print
 * it). Done when three swings in a row agree within a tenth in period and amplitude (engineering
 * choice). Ends by itself; after the end the output is the lowest that the plan allows.
 *
 * @param setpoint around which the process swings
 * @param centre of the output
 * @param half d: the output is centre ± half
 * @param hysteresis ε in units of the measurement; above the noise
 * @param lowest measurement that ends the experiment
 * @param highest measurement that ends the experiment
 * @param longestS time that ends the experiment
 */
public record RelayExperiment(
        double setpoint,
        double centre,
        double half,
        double hysteresis,
        double lowest,
        double highest,
        double longestS) {

    private static final int SWINGS = 3;
    private static final double AGREEMENT = 0.1;
    private static final double LARGEST_ASYMMETRY = 3.0;

    /** Why an experiment gave nothing. */
    public enum Reason {
        INPUT_NOT_GOOD,
        OUT_OF_LIMITS,
        TOOK_TOO_LONG,
        LOPSIDED,
        STOPPED
    }

    /** Where the experiment stands. */
    public sealed interface State {}

    /**
     * @param sinceSwitchUpS time since the output last went high; NaN before
     * @param highS time the output was high in this swing
     * @param peak highest measurement of this swing
     * @param trough lowest measurement of this swing
     * @param agreeing swings in a row that agree with the one before
     * @param amplitude of the last whole swing; NaN before
     */
    public record Swinging(
            boolean high,
            double elapsedS,
            double sinceSwitchUpS,
            double highS,
            double peak,
            double trough,
            int agreeing,
            double amplitude,
            double periodS)
            implements State {}

    /**
     * @param amplitude half of peak to peak
     */
    public record Finished(TuningRules.UltimateCycle cycle, double amplitude, double elapsedS)
            implements State {}

    public record Abandoned(Reason reason, double elapsedS) implements State {}

    public RelayExperiment {
        boolean good =
                half > 0.0
                        && hysteresis >= 0.0
                        && lowest < setpoint
                        && setpoint < highest
                        && longestS > 0.0;
        if (!good) {
            throw new IllegalArgumentException(
                    "a relay experiment needs a step, limits around the setpoint and an end");
        }
    }

    public State start() {
        return new Swinging(
                true,
                0.0,
                Double.NaN,
                0.0,
                Double.NEGATIVE_INFINITY,
                Double.POSITIVE_INFINITY,
                0,
                Double.NaN,
                Double.NaN);
    }

    /** The output that belongs to a state. */
    public double output(State state) {
        return switch (state) {
            case Swinging s -> s.high() ? centre + half : centre - half;
            case Finished _, Abandoned _ -> centre - half;
        };
    }

    public State stop(State state) {
        return state instanceof Swinging s ? new Abandoned(Reason.STOPPED, s.elapsedS()) : state;
    }

    public State step(State state, double measurement, double elapsedS) {
        if (!(state instanceof Swinging s)) {
            return state;
        }
        double total = s.elapsedS() + elapsedS;
        if (!Double.isFinite(measurement)) {
            return new Abandoned(Reason.INPUT_NOT_GOOD, total);
        }
        if (!(measurement >= lowest && measurement <= highest)) {
            return new Abandoned(Reason.OUT_OF_LIMITS, total);
        }
        if (total > longestS) {
            return new Abandoned(Reason.TOOK_TOO_LONG, total);
        }
        double since = s.sinceSwitchUpS() + elapsedS;
        double highS = s.highS() + (s.high() ? elapsedS : 0.0);
        double peak = Math.max(s.peak(), measurement);
        double trough = Math.min(s.trough(), measurement);
        boolean goesLow = s.high() && measurement > setpoint + hysteresis;
        boolean goesHigh = !s.high() && measurement < setpoint - hysteresis;
        if (goesHigh) {
            return swung(s, total, since, highS, peak, trough, measurement);
        }
        boolean high = s.high() && !goesLow;
        return new Swinging(
                high, total, since, highS, peak, trough, s.agreeing(), s.amplitude(), s.periodS());
    }

    /** The output goes high again: one swing is whole. */
    private State swung(
            Swinging s,
            double total,
            double periodS,
            double highS,
            double peak,
            double trough,
            double measurement) {
        double amplitude = (peak - trough) / 2.0;
        boolean whole = !Double.isNaN(periodS);
        boolean agrees = whole && close(periodS, s.periodS()) && close(amplitude, s.amplitude());
        int agreeing = agrees ? s.agreeing() + 1 : 0;
        if (agreeing >= SWINGS - 1) {
            double shareHigh = highS / (periodS - highS);
            boolean even = shareHigh <= LARGEST_ASYMMETRY && shareHigh >= 1.0 / LARGEST_ASYMMETRY;
            double gain = TuningRules.ultimateGainOfRelay(half, amplitude, hysteresis);
            return even && Double.isFinite(gain)
                    ? new Finished(new TuningRules.UltimateCycle(gain, periodS), amplitude, total)
                    : new Abandoned(Reason.LOPSIDED, total);
        }
        double known = whole ? amplitude : Double.NaN; // the first swing starts from anywhere
        return new Swinging(
                true, total, 0.0, 0.0, measurement, measurement, agreeing, known, periodS);
    }

    private static boolean close(double a, double b) {
        return Math.abs(a - b) <= AGREEMENT * Math.abs(b);
    }
}
