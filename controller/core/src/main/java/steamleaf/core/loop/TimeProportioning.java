package steamleaf.core.loop;

/**
 * Turns a duty (0 to 1) into on and off for a solid-state relay or a valve: one pulse per period,
 * minimum on and off times kept, and what a pulse could not give is owed to the next one.
 *
 * <p>Common practice of switched heaters; what is carried over from pulse to pulse: engineering
 * choice. Times are whole milliseconds, so a cycle of 100 ms adds up exactly. All three times are
 * rounded up to whole cycles by being looked at once per cycle.
 */
public record TimeProportioning(long periodMs, long minimumOnMs, long minimumOffMs) {

    public TimeProportioning {
        boolean good =
                minimumOnMs >= 0
                        && minimumOffMs >= 0
                        && periodMs >= minimumOnMs + minimumOffMs
                        && periodMs > 0;
        if (!good) {
            throw new IllegalArgumentException(
                    "time-proportioning: the period must hold both minimum times, got period "
                            + periodMs
                            + " ms, on "
                            + minimumOnMs
                            + " ms, off "
                            + minimumOffMs
                            + " ms");
        }
    }

    /**
     * @param on the level from now to the next step
     * @param heldMs how long it has had this level
     * @param intoPeriodMs time since the period began
     * @param pulseMs on-time planned for this period
     * @param owedMs on-time wanted and not yet given; negative: given too much
     */
    public record State(boolean on, long heldMs, long intoPeriodMs, long pulseMs, double owedMs) {}

    /** Off, free to switch on, at the end of a period. */
    public State start() {
        return new State(false, minimumOffMs, periodMs, 0, 0.0);
    }

    /** One cycle later. A duty that is not a number is off, at once. */
    public State step(State state, double duty, long elapsedMs) {
        if (Double.isNaN(duty)) {
            return off(state, elapsedMs);
        }
        double share = Math.clamp(duty, 0.0, 1.0);
        double given = state.on() ? elapsedMs : 0.0;
        double owedMs =
                Math.clamp(
                        state.owedMs() + share * elapsedMs - given,
                        (double) -periodMs,
                        (double) periodMs);

        long intoPeriodMs = state.intoPeriodMs() + elapsedMs;
        long pulseMs = state.pulseMs();
        if (intoPeriodMs >= periodMs) {
            intoPeriodMs = 0;
            pulseMs = pulse(share * periodMs + owedMs);
        }
        boolean wantsOn = intoPeriodMs < pulseMs;
        long heldMs = state.heldMs() + elapsedMs;
        boolean mayChange = heldMs >= (state.on() ? minimumOnMs : minimumOffMs);
        return wantsOn != state.on() && mayChange
                ? new State(wantsOn, 0, intoPeriodMs, pulseMs, owedMs)
                : new State(state.on(), heldMs, intoPeriodMs, pulseMs, owedMs);
    }

    /** Off at once, minimum on time or not, and nothing owed: off is never refused. */
    public State off(State state, long elapsedMs) {
        long heldMs = state.on() ? 0 : state.heldMs() + elapsedMs;
        return new State(false, heldMs, periodMs, 0, 0.0);
    }

    private long pulse(double wantedMs) {
        if (wantedMs < minimumOnMs || wantedMs <= 0.0) {
            return 0;
        }
        return wantedMs > periodMs - minimumOffMs ? periodMs : Math.round(wantedMs);
    }
}
