package steamleaf.core.cycle;

import org.jspecify.annotations.Nullable;
import steamleaf.core.batch.LoopTuning;
import steamleaf.core.batch.OvenWish;
import steamleaf.core.loop.DamperLoop;
import steamleaf.core.loop.HeatLoad;
import steamleaf.core.loop.OutputLimits;
import steamleaf.core.loop.Pid;
import steamleaf.core.loop.PidState;
import steamleaf.core.loop.PidTuning;
import steamleaf.core.loop.RelayTuning;
import steamleaf.core.loop.TimeProportioning;

/**
 * Air temperature, fan and damper of one oven.
 *
 * <p>The air's target climbs at its ramp towards the recipe's set-point or to what the leaf
 * permits, whichever is lower. While heat is wanted but not allowed, or no air flows, the loop
 * waits: target at the air's temperature, integral as it was.
 *
 * @param targetC what the loop holds now; NaN while no heat is wanted
 * @param tuning the experiment that runs or has ended; null where none is wanted
 * @param leafCapC the air that keeps the leaf below its limit; infinite until the leaf needs it
 */
public record OvenLoop(
        PidState pid,
        TimeProportioning.State pulse,
        double targetC,
        double leafCapC,
        boolean fan,
        double damper,
        @Nullable RelayTuning tuning) {

    /** A fan once on runs until the air is below this. Engineering choice. */
    private static final double COOLED_DOWN_C = 45.0;

    /** An oven found this hot is aired, whoever heated it. Engineering choice. */
    private static final double FOUND_HOT_C = 55.0;

    /**
     * The air gives way so that the leaf stays this far below its limit. Engineering choice: wet
     * leaf that gives its water less easily than the estimate believes is up to 2 K warmer than
     * told.
     */
    private static final double LEAF_MARGIN_K = 2.0;

    /** Air gives way by this many K for each K that the leaf is off. Engineering choice. */
    private static final double AIR_PER_LEAF = 3.0;

    /** With leaf inside the set-point climbs this much faster. Engineering choice. */
    private static final double HASTE = 4.0;

    /** What belongs to the oven as built. */
    record Fixed(
            PidTuning tuning,
            TimeProportioning pulses,
            double rampKPerS,
            double heaterW,
            double flowM3PerH) {
        /** Share of the set-point in the proportional part: less overshoot. Engineering choice. */
        private static final double SETPOINT_WEIGHT = 0.6;

        /** Of the steamer's chest, to which nothing is fed forward. */
        static Fixed of(LoopSettings loop) {
            return of(loop, Double.NaN, Double.NaN);
        }

        static Fixed of(LoopSettings loop, double heaterW, double flowM3PerH) {
            return new Fixed(
                    PidTuning.isa(
                            loop.gainDutyPerK(),
                            loop.integralS(),
                            loop.derivativeS(),
                            SETPOINT_WEIGHT),
                    new TimeProportioning(
                            Math.round(loop.windowS() * 1000.0),
                            Math.round(loop.leastOnS() * 1000.0),
                            Math.round(loop.leastOnS() * 1000.0)),
                    loop.rampKPerMin() / 60.0,
                    heaterW,
                    flowM3PerH);
        }

        /** With settings that a person accepted in place of the configured ones. */
        Fixed with(LoopTuning accepted) {
            return new Fixed(
                    PidTuning.isa(
                            accepted.gainDutyPerK(),
                            accepted.integralS(),
                            accepted.derivativeS(),
                            SETPOINT_WEIGHT),
                    pulses,
                    rampKPerS,
                    heaterW,
                    flowM3PerH);
        }

        OvenLoop atRest(boolean fanOn) {
            return new OvenLoop(
                    PidState.at(0.0),
                    pulses.start(),
                    Double.NaN,
                    Double.POSITIVE_INFINITY,
                    fanOn,
                    0.0,
                    null);
        }
    }

    /** What goes to the heater: the loop's, or the relay's while it has the heater. */
    double duty() {
        return tuning == null ? pid.output() : tuning.duty(pid.output());
    }

    /**
     * One cycle.
     *
     * @param tunes the oven is empty and an experiment shall run
     * @param mayHeat the guard allows it and air flows
     * @param leafC NaN where there is no leaf
     * @param evaporationKgPerS what the leaf is believed to give, NaN where there is none
     * @param exhaustRh 0 to 1
     * @param secondS time since the last once-a-second work, 0 in the cycles between
     */
    OvenLoop step(
            Fixed fixed,
            OvenWish wish,
            double airC,
            double leafC,
            double evaporationKgPerS,
            double roomC,
            double exhaustRh,
            boolean tunes,
            boolean mayHeat,
            double elapsedS,
            double secondS) {
        boolean coolsDown = fan && !(airC < COOLED_DOWN_C);
        boolean newFan = wish.fan() || coolsDown || airC > FOUND_HOT_C;
        double newDamper = damper(wish, newFan, airC, exhaustRh, secondS);
        if (!wish.heat()) {
            return resting(fixed, newFan, newDamper);
        }
        long elapsedMs = Math.round(elapsedS * 1000.0);
        RelayTuning experiment = experiment(tunes, wish, airC, mayHeat, secondS);
        if (!mayHeat) {
            return new OvenLoop(
                    new PidState(0.0, pid.integral(), 0.0, Double.NaN),
                    fixed.pulses.off(pulse, elapsedMs),
                    Math.min(airC, wish.airC()),
                    leafCapC,
                    newFan,
                    newDamper,
                    experiment);
        }
        if (secondS == 0.0) {
            TimeProportioning.State nextPulse = fixed.pulses.step(pulse, duty(), elapsedMs);
            return new OvenLoop(pid, nextPulse, targetC, leafCapC, newFan, newDamper, tuning);
        }
        double cap = leafCap(wish, airC, leafC);
        double reach = (wish.gently() ? 1.0 : HASTE) * fixed.rampKPerS * secondS;
        double from = !Double.isNaN(targetC) ? targetC : airC;
        double target = Math.clamp(Math.min(wish.airC(), cap), from - reach, from + reach);
        double load =
                HeatLoad.duty(
                        fixed.flowM3PerH * newDamper,
                        roomC,
                        target,
                        evaporationKgPerS,
                        fixed.heaterW);
        PidState nextPid =
                Pid.step(fixed.tuning, OutputLimits.SHARE, pid, target, airC, load, secondS);
        double duty = experiment == null ? nextPid.output() : experiment.duty(nextPid.output());
        return new OvenLoop(
                nextPid,
                fixed.pulses.step(pulse, duty, elapsedMs),
                target,
                cap,
                newFan,
                newDamper,
                experiment);
    }

    /** Looks once a second, as the loop does. */
    private @Nullable RelayTuning experiment(
            boolean tunes, OvenWish wish, double airC, boolean mayHeat, double secondS) {
        if (!tunes) {
            return null;
        }
        RelayTuning running = tuning == null ? RelayTuning.start(wish.airC()) : tuning;
        return secondS == 0.0 ? running : running.step(airC, pid.output(), mayHeat, secondS);
    }

    /** Where the recipe leaves the damper no room to move it goes there at once. */
    private double damper(
            OvenWish wish, boolean newFan, double airC, double exhaustRh, double secondS) {
        if (!wish.fan()) {
            return newFan ? 1.0 : 0.0;
        }
        if (wish.leastDamper() >= wish.damper() || !wish.heat()) {
            return wish.damper();
        }
        double from = Math.clamp(damper, wish.leastDamper(), wish.damper());
        return secondS == 0.0
                ? from
                : DamperLoop.step(
                        from,
                        wish.leastDamper(),
                        wish.damper(),
                        exhaustRh,
                        airC - targetC,
                        duty(),
                        secondS);
    }

    private OvenLoop resting(Fixed fixed, boolean newFan, double newDamper) {
        boolean rests = Double.isNaN(targetC) && !pulse.on();
        if (rests && newFan == fan && newDamper == damper) {
            return this;
        }
        return new OvenLoop(
                PidState.at(0.0),
                fixed.pulses.start(),
                Double.NaN,
                Double.POSITIVE_INFINITY,
                newFan,
                newDamper,
                null);
    }

    /**
     * The air that brings the leaf to its limit, seen from where both are now. When the leaf stands
     * at its limit this is the air as it is, so it finds its level by itself.
     */
    private static double leafCap(OvenWish wish, double airC, double leafC) {
        double limitC = wish.leafMaxC() - LEAF_MARGIN_K;
        if (Double.isNaN(leafC) || Double.isInfinite(limitC) || limitC >= wish.airC()) {
            return Double.POSITIVE_INFINITY;
        }
        return Math.clamp(airC + AIR_PER_LEAF * (limitC - leafC), limitC, wish.airC());
    }
}
