package steamleaf.core.interlock;

/**
 * A heater's command.
 *
 * @param sinceS guard time of the last change
 * @param onBeforeS seconds on in this batch before the last change
 * @param switches changes since the controller started
 * @param batch whose seconds these are, 0 for nobody's
 */
record HeaterWatch(boolean on, double sinceS, double onBeforeS, int switches, long batch) {
    HeaterWatch next(boolean commanded, long nowBatch, double nowS) {
        boolean newBatch = nowBatch != batch;
        if (commanded == on && !newBatch) {
            return this;
        }
        boolean staysOff = !commanded && !on;
        return new HeaterWatch(
                commanded,
                staysOff ? sinceS : nowS,
                newBatch ? 0.0 : onS(nowS),
                commanded == on ? switches : switches + 1,
                nowBatch);
    }

    /** Seconds on in this batch. */
    double onS(double nowS) {
        return on ? onBeforeS + (nowS - sinceS) : onBeforeS;
    }

    boolean offFor(double s, double nowS) {
        return !on && nowS - sinceS >= s;
    }
}
