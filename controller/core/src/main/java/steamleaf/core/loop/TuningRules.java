package steamleaf.core.loop;

/** Published tuning rules. Each gives a proposal; a person accepts it. */
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

        /**
         * From series (interacting) to ISA form: K = Kc·f, Ti = τI·f, Td = τD/f, f = 1 + τD/τI.
         * Source: Skogestad 2003, eq. 36.
         */
        public Settings seriesToIsa() {
            double f = 1.0 + derivativeS / integralS;
            return new Settings(gain * f, integralS * f, derivativeS / f);
        }
    }

    /** The edge of stability under proportional control. */
    public record UltimateCycle(double gain, double periodS) {}

    /**
     * SIMC for a first-order process: Kc = (1/k)·τ1/(τc + θ), τI = min(τ1, 4(τc + θ)).
     *
     * <p>Source: Skogestad 2003, J. Process Control 13:291–309, eqs 23 to 25. Tight: τc = θ.
     */
    public static Settings simcPi(ProcessModel.FirstOrder model, double closedLoopS) {
        double speed = closedLoopS + model.delayS();
        double gain = model.timeConstantS() / (model.gain() * speed);
        return new Settings(gain, Math.min(model.timeConstantS(), 4.0 * speed), 0.0);
    }

    /**
     * SIMC in series form for a second-order process: as PI, and τD = τ2. Source: Skogestad 2003,
     * eqs 23 to 25.
     */
    public static Settings simcSeriesPid(ProcessModel.SecondOrder model, double closedLoopS) {
        double speed = closedLoopS + model.delayS();
        double gain = model.largerS() / (model.gain() * speed);
        return new Settings(gain, Math.min(model.largerS(), 4.0 * speed), model.smallerS());
    }

    /**
     * SIMC for an integrating process: Kc = 1/(k′(τc + θ)), τI = 4(τc + θ). Source: Skogestad 2003,
     * table 1.
     */
    public static Settings simcPi(ProcessModel.Integrating model, double closedLoopS) {
        double speed = closedLoopS + model.delayS();
        return new Settings(1.0 / (model.slopePerS() * speed), 4.0 * speed, 0.0);
    }

    /** P: Kp = 0.5·Ku. Source: Ziegler and Nichols 1942, Trans. ASME 64:759–768. */
    public static Settings zieglerNicholsP(UltimateCycle cycle) {
        return new Settings(0.5 * cycle.gain(), Double.POSITIVE_INFINITY, 0.0);
    }

    /** PI: Kp = 0.45·Ku, Ti = Pu/1.2. Source: Ziegler and Nichols 1942, Trans. ASME 64:759–768. */
    public static Settings zieglerNicholsPi(UltimateCycle cycle) {
        return new Settings(0.45 * cycle.gain(), cycle.periodS() / 1.2, 0.0);
    }

    /** PID: Kp = 0.6·Ku, Ti = Pu/2, Td = Pu/8. Source: Ziegler and Nichols 1942. */
    public static Settings zieglerNicholsPid(UltimateCycle cycle) {
        return new Settings(0.6 * cycle.gain(), cycle.periodS() / 2.0, cycle.periodS() / 8.0);
    }

    /** P from the open loop: Kp = τ/(k·θ). Source: Ziegler and Nichols 1942. */
    public static Settings zieglerNicholsP(ProcessModel.FirstOrder model) {
        double gain = model.timeConstantS() / (model.gain() * model.delayS());
        return new Settings(gain, Double.POSITIVE_INFINITY, 0.0);
    }

    /** PI from the open loop: Kp = 0.9·τ/(k·θ), Ti = θ/0.3. Source: Ziegler and Nichols 1942. */
    public static Settings zieglerNicholsPi(ProcessModel.FirstOrder model) {
        double gain = 0.9 * model.timeConstantS() / (model.gain() * model.delayS());
        return new Settings(gain, model.delayS() / 0.3, 0.0);
    }

    /**
     * PID from the open loop: Kp = 1.2·τ/(k·θ), Ti = 2θ, Td = θ/2. Source: Ziegler and Nichols
     * 1942.
     */
    public static Settings zieglerNicholsPid(ProcessModel.FirstOrder model) {
        double gain = 1.2 * model.timeConstantS() / (model.gain() * model.delayS());
        return new Settings(gain, 2.0 * model.delayS(), 0.5 * model.delayS());
    }

    /** PI: Ku/3.2, 2.2·Pu. Source: Tyreus and Luyben 1992, Ind. Eng. Chem. Res. 31:2625–2628. */
    public static Settings tyreusLuybenPi(UltimateCycle cycle) {
        return new Settings(cycle.gain() / 3.2, 2.2 * cycle.periodS(), 0.0);
    }

    /** PID: Ku/2.2, 2.2·Pu, Pu/6.3. Source: Tyreus and Luyben 1992. */
    public static Settings tyreusLuybenPid(UltimateCycle cycle) {
        return new Settings(cycle.gain() / 2.2, 2.2 * cycle.periodS(), cycle.periodS() / 6.3);
    }

    /**
     * Ku = 4d/(π·√(a² − ε²)) from a limit cycle under a relay.
     *
     * <p>Source: Åström and Hägglund 1984, Automatica 20:645–651 (describing function). On a lag
     * with a short delay it is low by up to a fifth: good for a proposal, not for a margin.
     *
     * @param relayHalf d, half the step of the relay
     * @param amplitude a, half of peak to peak
     * @param hysteresis ε
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
     * θ = P/4, k′ = a/(d·θ): exact for an integrating process under an ideal relay, close for a
     * long lag. Own algebra.
     */
    public static ProcessModel.Integrating integratingOfRelay(
            double relayHalf, double amplitude, double periodS) {
        double delayS = periodS / 4.0;
        return new ProcessModel.Integrating(amplitude / (relayHalf * delayS), delayS);
    }

    /**
     * The same under a relay with hysteresis ε: k′ = 4a/(d·P), θ = (P/4)·(1 − ε/a), because the
     * measurement goes on for θ after it has passed ε at the slope k′·d. Own algebra.
     */
    public static ProcessModel.Integrating integratingOfRelay(
            double relayHalf, double amplitude, double hysteresis, double periodS) {
        double slope = 4.0 * amplitude / (relayHalf * periodS);
        double delayS = periodS / 4.0 * (1.0 - hysteresis / amplitude);
        return new ProcessModel.Integrating(slope, delayS);
    }

    /**
     * Where a first-order process with delay would cycle: atan(ωτ) + ωθ = π, Ku = √(1 + ω²τ²)/k.
     * Textbook.
     */
    public static UltimateCycle ultimateOf(ProcessModel.FirstOrder model) {
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
