package steamleaf.core.interlock;

import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/**
 * What the guard remembers of the steamer.
 *
 * @param valveOn one of the valves was driven
 * @param valveSinceS guard time of the last change of that
 * @param coolFromS guard time at which the running window of cooling began, NaN with a valve on
 * @param coolFromC the warmer chest sensor at that time
 * @param notCooling the last window passed without cooling
 * @param ventingSinceS guard time since when the chest is cool and the extractor proven, else NaN
 * @param vented no steam since a proven venting; false after a restart
 */
record SteamerWatch(
        boolean valveOn,
        double valveSinceS,
        double coolFromS,
        double coolFromC,
        boolean notCooling,
        FanWatch extractor,
        double ventingSinceS,
        boolean vented) {

    /** Length of a cooling window. */
    static final double COOLING_S = 180.0;

    /** The chest must fall by this in a window. */
    static final double COOLING_K = 3.0;

    /** Below this the chest need not cool any more. */
    static final double COOL_ENOUGH_C = 70.0;

    /** After the valves close, the chest's films drain before cooling is judged. */
    static final double DRAINING_S = 30.0;

    /** Both sensors below this: no live steam left. Design section 7. */
    static final double VENTED_C = 60.0;

    /** The extractor has changed the chest's air many times over. */
    static final double VENTING_S = 10.0;

    static SteamerWatch starting(double nowS) {
        return new SteamerWatch(
                false,
                nowS,
                Double.NaN,
                Double.NaN,
                false,
                new FanWatch(false, nowS, false),
                Double.NaN,
                false);
    }

    SteamerWatch next(Readings readings, WantedOutputs driven, double nowS) {
        boolean nowOn = driven.steamValve() || driven.secondSteamValve();
        double nextValveSinceS = nowOn == valveOn ? valveSinceS : nowS;
        double a = readings.good(UnitId.STEAMER, Quantity.CHEST_A_C);
        double b = readings.good(UnitId.STEAMER, Quantity.CHEST_B_C);
        double chestC = Math.max(a, b); // NaN if either is bad

        double fromS = coolFromS;
        double fromC = coolFromC;
        boolean stuck = notCooling;
        if (nowOn || Double.isNaN(chestC)) {
            fromS = Double.NaN;
            fromC = Double.NaN;
            stuck = stuck && !nowOn;
        } else if (Double.isNaN(fromS)) {
            boolean drained = nowS - nextValveSinceS >= DRAINING_S;
            fromS = drained ? nowS : Double.NaN;
            fromC = drained ? chestC : Double.NaN;
        } else if (nowS - fromS >= COOLING_S) {
            stuck = chestC > COOL_ENOUGH_C && fromC - chestC < COOLING_K;
            fromS = nowS;
            fromC = chestC;
        }

        boolean proven = readings.isOn(UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN);
        boolean unproven = readings.isOff(UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN);
        FanWatch nextExtractor = extractor.next(driven.extractor(), unproven, nowS);
        boolean venting =
                !nowOn
                        && a < VENTED_C
                        && b < VENTED_C
                        && proven
                        && driven.extractor()
                        && nextExtractor.seenOff();
        double ventingFrom =
                venting ? (!Double.isNaN(ventingSinceS) ? ventingSinceS : nowS) : Double.NaN;
        boolean nextVented = !nowOn && (vented || nowS - ventingFrom >= VENTING_S);

        boolean same =
                nowOn == valveOn
                        && Double.compare(fromS, coolFromS) == 0
                        && stuck == notCooling
                        && nextExtractor == extractor
                        && Double.compare(ventingFrom, ventingSinceS) == 0
                        && nextVented == vented;
        return same
                ? this
                : new SteamerWatch(
                        nowOn,
                        nextValveSinceS,
                        fromS,
                        fromC,
                        stuck,
                        nextExtractor,
                        ventingFrom,
                        nextVented);
    }

    /** The hood may be unlocked: vented, cool now, extractor proven now. */
    boolean mayUnlock() {
        return vented && !Double.isNaN(ventingSinceS);
    }

    boolean valveOffFor(double s, double nowS) {
        return !valveOn && nowS - valveSinceS >= s;
    }
}
