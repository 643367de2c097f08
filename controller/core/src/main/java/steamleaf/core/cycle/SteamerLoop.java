package steamleaf.core.cycle;

import steamleaf.core.batch.SteamerWish;
import steamleaf.core.loop.OutputLimits;
import steamleaf.core.loop.Pid;
import steamleaf.core.loop.PidState;
import steamleaf.core.loop.TimeProportioning;

/**
 * Chest temperature, belt and extractor.
 *
 * @param extractorUntilS the extractor runs on until then, on the line's time axis
 */
public record SteamerLoop(
        PidState pid,
        TimeProportioning.State pulse,
        boolean steam,
        double beltMmPerS,
        double extractorUntilS) {

    /**
     * The chest is held this far below the boiling point: at the boiling point itself more steam
     * makes nothing hotter, and none of it could be measured. Engineering choice.
     */
    static final double BELOW_BOILING_K = 0.6;

    /** The extractor runs on after steam. Engineering choice. */
    static final double EXTRACTOR_RUNS_ON_S = 600.0;

    static SteamerLoop atRest(OvenLoop.Fixed fixed, double extractorUntilS) {
        return new SteamerLoop(
                PidState.at(0.0), fixed.pulses().start(), false, 0.0, extractorUntilS);
    }

    double duty() {
        return pid.output();
    }

    /**
     * One cycle.
     *
     * @param chestC the colder thermometer
     * @param boilingC at the measured pressure; without it there is no steam
     * @param maySteam the guard allows it
     * @param secondS time since the last once-a-second work, 0 in the cycles between
     */
    SteamerLoop step(
            OvenLoop.Fixed fixed,
            SteamerWish wish,
            double chestC,
            double boilingC,
            boolean maySteam,
            double nowS,
            double elapsedS,
            double secondS) {
        if (!wish.steam()) {
            return steam || pulse.on() ? atRest(fixed, extractorUntilS) : this;
        }
        long elapsedMs = Math.round(elapsedS * 1000.0);
        double untilS = secondS > 0.0 ? nowS + EXTRACTOR_RUNS_ON_S : extractorUntilS;
        if (!maySteam) {
            return new SteamerLoop(
                    new PidState(0.0, pid.integral(), 0.0, Double.NaN),
                    fixed.pulses().off(pulse, elapsedMs),
                    true,
                    wish.beltMmPerS(),
                    Math.max(untilS, nowS + 1.0));
        }
        PidState nextPid =
                secondS == 0.0
                        ? pid
                        : Pid.step(
                                fixed.tuning(),
                                OutputLimits.SHARE,
                                pid,
                                boilingC - BELOW_BOILING_K,
                                chestC,
                                0.0,
                                secondS);
        return new SteamerLoop(
                nextPid,
                fixed.pulses().step(pulse, nextPid.output(), elapsedMs),
                true,
                wish.beltMmPerS(),
                untilS);
    }

    /** The extractor runs at least until then. */
    SteamerLoop venting(double untilS) {
        return untilS <= extractorUntilS
                ? this
                : new SteamerLoop(pid, pulse, steam, beltMmPerS, untilS);
    }
}
