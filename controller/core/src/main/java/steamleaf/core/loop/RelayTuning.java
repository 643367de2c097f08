package steamleaf.core.loop;

/**
 * Tuning of one oven's air loop while it runs empty: the loop itself brings the air to its
 * set-point and shows what duty holds it there, then a relay around that duty makes it swing, and
 * the swing gives settings.
 *
 * <p>Model of the swing: integrating with delay; rule: SIMC for it, closed loop three times as slow
 * as the delay, at least 20 s (engineering choice: the output comes in pulses, and the stock plants
 * 40 % off shall still settle). Sources at {@link RelayExperiment} and {@link TuningRules}. No
 * derivative is proposed.
 */
public record RelayTuning(double setpointC, Stage stage) {
    /** Heat has not come after this, or the air not to its set-point. Engineering choice. */
    static final double LONGEST_APPROACH_S = 3_600.0;

    /** The air stands at its set-point for so long before the relay begins. Engineering choice. */
    static final double STEADY_S = 300.0;

    private static final double STEADY_WITHIN_K = 1.0;
    private static final double DUTY_AVERAGED_S = 120.0;
    private static final double HYSTERESIS_K = 0.4;
    private static final double MOST_SWING_K = 10.0;
    private static final double LONGEST_SWING_S = 1_800.0;

    /** The relay moves the duty by at most this. */
    private static final double MOST_HALF = 0.2;

    /** Of the way to the nearer end of the duty's range. */
    private static final double SHARE_OF_ROOM = 0.8;

    private static final double SLOWNESS = 3.0;
    private static final double LEAST_CLOSED_LOOP_S = 20.0;

    /** Why a tuning gave nothing. */
    public enum Failure {
        /** Heat did not come, or the air did not get to its set-point. */
        NEVER_STEADY,
        /** Heat was taken away while the relay ran. */
        INTERRUPTED,
        INPUT_NOT_GOOD,
        SWING_TOO_WIDE,
        NO_STEADY_SWING,
        LOPSIDED
    }

    public sealed interface Stage {}

    /** The loop holds the air; its duty is watched. */
    public record Approach(double elapsedS, double steadyS, double meanDuty) implements Stage {}

    public record Swing(RelayExperiment plan, RelayExperiment.State state) implements Stage {}

    /**
     * @param settings what is proposed
     * @param amplitudeK half of peak to peak
     */
    public record Found(TuningRules.Settings settings, double amplitudeK, double periodS)
            implements Stage {}

    public record Failed(Failure why) implements Stage {}

    public static RelayTuning start(double setpointC) {
        return new RelayTuning(setpointC, new Approach(0.0, 0.0, Double.NaN));
    }

    /** The duty to give: the loop's own until the relay takes over, none after the end. */
    public double duty(double loopDuty) {
        return switch (stage) {
            case Approach _ -> loopDuty;
            case Swing(var plan, var state) -> plan.output(state);
            case Found _, Failed _ -> 0.0;
        };
    }

    /**
     * A while later.
     *
     * @param loopDuty what the loop asks for
     * @param mayHeat the guard allows it and air flows
     */
    public RelayTuning step(double airC, double loopDuty, boolean mayHeat, double elapsedS) {
        return switch (stage) {
            case Approach approach -> approach(approach, airC, loopDuty, mayHeat, elapsedS);
            case Swing swing -> swing(swing, airC, mayHeat, elapsedS);
            case Found _, Failed _ -> this;
        };
    }

    private RelayTuning at(Stage next) {
        return new RelayTuning(setpointC, next);
    }

    private RelayTuning approach(
            Approach was, double airC, double loopDuty, boolean mayHeat, double elapsedS) {
        double totalS = was.elapsedS() + elapsedS;
        if (totalS > LONGEST_APPROACH_S) {
            return at(new Failed(Failure.NEVER_STEADY));
        }
        boolean steady = mayHeat && Math.abs(airC - setpointC) <= STEADY_WITHIN_K;
        double steadyS = steady ? was.steadyS() + elapsedS : 0.0;
        double duty =
                steady
                        ? FirstOrderFilter.step(was.meanDuty(), loopDuty, DUTY_AVERAGED_S, elapsedS)
                        : Double.NaN;
        if (steadyS < STEADY_S) {
            return at(new Approach(totalS, steadyS, duty));
        }
        double room = Math.min(duty, 1.0 - duty);
        double half = Math.min(MOST_HALF, SHARE_OF_ROOM * room);
        if (!(half > 0.02)) {
            return at(new Failed(Failure.LOPSIDED)); // no duty to move around
        }
        RelayExperiment plan =
                new RelayExperiment(
                        setpointC,
                        duty,
                        half,
                        HYSTERESIS_K,
                        setpointC - MOST_SWING_K,
                        setpointC + MOST_SWING_K,
                        LONGEST_SWING_S);
        return at(new Swing(plan, plan.start()));
    }

    private RelayTuning swing(Swing was, double airC, boolean mayHeat, double elapsedS) {
        if (!mayHeat) {
            return at(new Failed(Failure.INTERRUPTED));
        }
        RelayExperiment.State next = was.plan().step(was.state(), airC, elapsedS);
        return switch (next) {
            case RelayExperiment.Swinging _ -> at(new Swing(was.plan(), next));
            case RelayExperiment.Finished finished -> at(found(was.plan(), finished));
            case RelayExperiment.Abandoned(var why, _) -> at(new Failed(failure(why)));
        };
    }

    private static Found found(RelayExperiment plan, RelayExperiment.Finished finished) {
        double periodS = finished.cycle().periodS();
        ProcessModel.Integrating model =
                TuningRules.integratingOfRelay(
                        plan.half(), finished.amplitude(), plan.hysteresis(), periodS);
        double closedLoopS = Math.max(LEAST_CLOSED_LOOP_S, SLOWNESS * model.delayS());
        return new Found(TuningRules.simcPi(model, closedLoopS), finished.amplitude(), periodS);
    }

    private static Failure failure(RelayExperiment.Reason why) {
        return switch (why) {
            case INPUT_NOT_GOOD -> Failure.INPUT_NOT_GOOD;
            case OUT_OF_LIMITS -> Failure.SWING_TOO_WIDE;
            case TOOK_TOO_LONG -> Failure.NO_STEADY_SWING;
            case LOPSIDED -> Failure.LOPSIDED;
            case STOPPED -> Failure.INTERRUPTED;
        };
    }
}
