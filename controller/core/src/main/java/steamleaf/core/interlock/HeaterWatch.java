package steamleaf.core.interlock;

/**
 * A heater's command.
 *
 * @param sinceS guard time of the last change
 * @param onBeforeS seconds on in this charge before the last change
 * @param switches changes since the controller started
 */
record HeaterWatch(boolean on, double sinceS, double onBeforeS, int switches) {
    HeaterWatch next(boolean commanded, boolean newCharge, double nowS) {
        if (commanded == on && !newCharge) {
            return this;
        }
        return new HeaterWatch(
                commanded,
                nowS,
                newCharge ? 0.0 : onS(nowS),
                commanded == on ? switches : switches + 1);
    }

    /** Seconds on in this charge. */
    double onS(double nowS) {
        return on ? onBeforeS + (nowS - sinceS) : onBeforeS;
    }

    boolean offFor(double s, double nowS) {
        return !on && nowS - sinceS >= s;
    }
}
