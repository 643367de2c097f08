package steamleaf.core.loop;

/**
 * Published tuning rules. Each gives a proposal; a person accepts it. A model or a cycle that a
 * rule cannot start from is answered with settings that are not numbers ({@link Settings#NONE}).
 *
 * <p>Gains are output per unit of measurement, a process' gain k the inverse of it; times in s.
 * Sources: Skogestad 2003, Simple analytic rules for model reduction and PID controller tuning, J.
 * Process Control 13:291–309; Ziegler and Nichols 1942, Optimum settings for automatic controllers,
 * Trans. ASME 64:759–768 (not checked; reference rows); Tyreus and Luyben 1992, Ind. Eng. Chem.
 * Res. 31:2625–2628 (not checked; reference rows); Åström and Hägglund 1984, Automatica 20:645–651.
 */
public final class TuningRules {
    private TuningRules() {}

    /**
     * A proposal in the form its rule is printed in.
     *
     * @param gain Kc
     * @param integralS τI; infinite for none
     * @param derivativeS τD
     */
    public record Settings(double gain, double integralS, double derivativeS) {

        /** No proposal. */
        public static final Settings NONE = new Settings(Double.NaN, Double.NaN, Double.NaN);

        /**
         * From series (interacting) to ISA form: K = Kc·f, Ti = τI·f, Td = τD/f, f = 1 + τD/τI.
         * Source: Skogestad 2003, eq. 36.
         */
        public Settings seriesToIsa() {
            double f = 1.0 + derivativeS / integralS;
            return new Settings(gain * f, integralS * f, derivativeS / f);
        }
    }

    /**
     * The edge of stability under proportional control.
     *
     * @param gain Ku
     * @param periodS Pu
     */
    public record UltimateCycle(double gain, double periodS) {
        boolean isKnown() {
            boolean swings = periodS > 0.0 && periodS < Double.POSITIVE_INFINITY;
            return Double.isFinite(gain) && gain != 0.0 && swings;
        }
    }

    /** The open-loop rules of Ziegler and Nichols divide by the delay. */
    private static boolean delayed(ProcessModel.FirstOrder model) {
        return model.isKnown() && model.delayS() > 0.0;
    }

    /**
     * SIMC for a first-order process: Kc = (1/k)·τ1/(τc + θ), τI = min(τ1, 4(τc + θ)).
     *
     * <p>Source: Skogestad 2003, eqs 23 to 25. Tight: τc = θ; any with τc + θ above 0.
     *
     * @param closedLoopS τc, time constant wanted of the closed loop
     */
    public static Settings simcPi(ProcessModel.FirstOrder model, double closedLoopS) {
        double speed = closedLoopS + model.delayS();
        if (!(model.isKnown() && speed > 0.0)) {
            return Settings.NONE;
        }
        double gain = model.timeConstantS() / (model.gain() * speed);
        return new Settings(gain, Math.min(model.timeConstantS(), 4.0 * speed), 0.0);
    }

    /**
     * SIMC in series form for a second-order process: as PI, and τD = τ2. Source: Skogestad 2003,
     * eqs 23 to 25.
     */
    public static Settings simcSeriesPid(ProcessModel.SecondOrder model, double closedLoopS) {
        double speed = closedLoopS + model.delayS();
        if (!(model.isKnown() && speed > 0.0)) {
            return Settings.NONE;
        }
        double gain = model.largerS() / (model.gain() * speed);
        return new Settings(gain, Math.min(model.largerS(), 4.0 * speed), model.smallerS());
    }

    /**
     * SIMC for an integrating process: Kc = 1/(k′(τc + θ)), τI = 4(τc + θ). Source: Skogestad 2003,
     * table 1.
     */
    public static Settings simcPi(ProcessModel.Integrating model, double closedLoopS) {
        double speed = closedLoopS + model.delayS();
        if (!(model.isKnown() && speed > 0.0)) {
            return Settings.NONE;
        }
        return new Settings(1.0 / (model.slopePerS() * speed), 4.0 * speed, 0.0);
    }

    /** P: Kp = 0.5·Ku. Source: Ziegler and Nichols 1942. */
    public static Settings zieglerNicholsP(UltimateCycle cycle) {
        return cycle.isKnown()
                ? new Settings(0.5 * cycle.gain(), Double.POSITIVE_INFINITY, 0.0)
                : Settings.NONE;
    }

    /** PI: Kp = 0.45·Ku, Ti = Pu/1.2. Source: Ziegler and Nichols 1942. */
    public static Settings zieglerNicholsPi(UltimateCycle cycle) {
        return cycle.isKnown()
                ? new Settings(0.45 * cycle.gain(), cycle.periodS() / 1.2, 0.0)
                : Settings.NONE;
    }

    /** PID: Kp = 0.6·Ku, Ti = Pu/2, Td = Pu/8. Source: Ziegler and Nichols 1942. */
    public static Settings zieglerNicholsPid(UltimateCycle cycle) {
        return cycle.isKnown()
                ? new Settings(0.6 * cycle.gain(), cycle.periodS() / 2.0, cycle.periodS() / 8.0)
                : Settings.NONE;
    }

    /** P from the open loop: Kp = τ/(k·θ), θ above 0. Source: Ziegler and Nichols 1942. */
    public static Settings zieglerNicholsP(ProcessModel.FirstOrder model) {
        if (!delayed(model)) {
            return Settings.NONE;
        }
        double gain = model.timeConstantS() / (model.gain() * model.delayS());
        return new Settings(gain, Double.POSITIVE_INFINITY, 0.0);
    }

    /** PI from the open loop: Kp = 0.9·τ/(k·θ), Ti = θ/0.3. Source: Ziegler and Nichols 1942. */
    public static Settings zieglerNicholsPi(ProcessModel.FirstOrder model) {
        if (!delayed(model)) {
            return Settings.NONE;
        }
        double gain = 0.9 * model.timeConstantS() / (model.gain() * model.delayS());
        return new Settings(gain, model.delayS() / 0.3, 0.0);
    }

    /**
     * PID from the open loop: Kp = 1.2·τ/(k·θ), Ti = 2θ, Td = θ/2. Source: Ziegler and Nichols
     * 1942.
     */
    public static Settings zieglerNicholsPid(ProcessModel.FirstOrder model) {
        if (!delayed(model)) {
            return Settings.NONE;
        }
        double gain = 1.2 * model.timeConstantS() / (model.gain() * model.delayS());
        return new Settings(gain, 2.0 * model.delayS(), 0.5 * model.delayS());
    }

    /** PI: Ku/3.2, 2.2·Pu. Source: Tyreus and Luyben 1992. */
    public static Settings tyreusLuybenPi(UltimateCycle cycle) {
        return cycle.isKnown()
                ? new Settings(cycle.gain() / 3.2, 2.2 * cycle.periodS(), 0.0)
                : Settings.NONE;
    }

    /** PID: Ku/2.2, 2.2·Pu, Pu/6.3. Source: Tyreus and Luyben 1992. */
    public static Settings tyreusLuybenPid(UltimateCycle cycle) {
        return cycle.isKnown()
                ? new Settings(cycle.gain() / 2.2, 2.2 * cycle.periodS(), cycle.periodS() / 6.3)
                : Settings.NONE;
    }

    /**
     * Ku = 4d/(π·√(a² − ε²)) from a limit cycle under a relay.
     *
     * <p>Source: Åström and Hägglund 1984 (describing function); a above ε. On a lag with a short
     * delay it is low by up to a fifth: good for a proposal, not for a margin.
     *
     * @param relayHalf d, half the step of the relay, in units of the output
     * @param amplitude a, half of peak to peak, in units of the measurement
     * @param hysteresis ε, in units of the measurement
     */
    public static double ultimateGainOfRelay(
            double relayHalf, double amplitude, double hysteresis) {
        boolean known = relayHalf > 0.0 && hysteresis >= 0.0 && amplitude > hysteresis;
        return known
                ? 4.0
                        * relayHalf
                        / (Math.PI * Math.sqrt(amplitude * amplitude - hysteresis * hysteresis))
                : Double.NaN;
    }

    /**
     * k′ = 4a/(d·P), θ = (P/4)·(1 − ε/a) from a limit cycle under a relay with hysteresis ε: the
     * measurement runs at the slope k′·d, from one end to the other (2a) in half a period, and goes
     * on for θ after it has passed ε. Exact for an integrating process, close for a long lag; a
     * above ε, else not numbers. Own algebra.
     */
    public static ProcessModel.Integrating integratingOfRelay(
            double relayHalf, double amplitude, double hysteresis, double periodS) {
        boolean swings = relayHalf > 0.0 && hysteresis >= 0.0 && amplitude > hysteresis;
        if (!(swings && periodS > 0.0)) {
            return new ProcessModel.Integrating(Double.NaN, Double.NaN);
        }
        double slope = 4.0 * amplitude / (relayHalf * periodS);
        double delayS = periodS / 4.0 * (1.0 - hysteresis / amplitude);
        return new ProcessModel.Integrating(slope, delayS);
    }

    /**
     * Where a first-order process with delay would cycle: atan(ωτ) + ωθ = π, Ku = √(1 + ω²τ²)/k; θ
     * above 0. Textbook (the phase is −180° and the loop's gain 1).
     */
    public static UltimateCycle ultimateOf(ProcessModel.FirstOrder model) {
        if (!delayed(model)) {
            return new UltimateCycle(Double.NaN, Double.NaN);
        }
        double low = 0.0;
        double high = Math.PI / model.delayS();
        for (int i = 0; i < 200; i++) {
            double omega = 0.5 * (low + high);
            double phase = Math.atan(omega * model.timeConstantS()) + omega * model.delayS();
            if (phase < Math.PI) {
                low = omega;
            } else {
                high = omega;
            }
        }
        double gain = Math.hypot(1.0, high * model.timeConstantS()) / model.gain();
        return new UltimateCycle(gain, 2.0 * Math.PI / high);
    }
}
