package steamleaf.core.interlock;

/**
 * A fan (or the extractor) and its airflow contact.
 *
 * @param sinceS guard time of the last change of the command
 * @param seenOff the contact has been seen open with the fan off since the controller started: it
 *     is not stuck closed
 */
record FanWatch(boolean on, double sinceS, boolean seenOff) {
    FanWatch next(boolean commanded, boolean contactOpen, double nowS) {
        boolean seen = seenOff || (!commanded && contactOpen);
        if (commanded == on) {
            return seen == seenOff ? this : new FanWatch(on, sinceS, seen);
        }
        return new FanWatch(commanded, nowS, seen);
    }

    boolean onFor(double s, double nowS) {
        return on && nowS - sinceS >= s;
    }

    boolean offFor(double s, double nowS) {
        return !on && nowS - sinceS >= s;
    }
}
