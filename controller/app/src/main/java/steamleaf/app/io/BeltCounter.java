package steamleaf.app.io;

/**
 * Belt speed from the level changes of a contact, looked at once per cycle.
 *
 * <pre>
 *   v = travel · (n − 1) / (time of the last change − time of the first),  over the last n ≤ 9 changes
 *   v ≤ travel / (time since the last change)
 * </pre>
 *
 * <p>The second line lets the speed fall as soon as a change is overdue; after three seconds
 * without one the belt counts as standing. One look per cycle can see at most one change, so speeds
 * must stay well below travel / cycle (100 mm/s for 10 mm); a belt that changes at every look is
 * faster than can be counted, and the answer is not-a-number. Times are in cycles, so the
 * resolution is a tenth of a second over the whole window.
 */
final class BeltCounter {
    private static final int WINDOW = 9;
    private static final int STANDING_CYCLES = 30;

    private final double travelMm;
    private final double cycleS;
    private final long[] changes = new long[WINDOW];
    private int count;
    private int next;
    private boolean level;
    private boolean known;

    BeltCounter(double travelMm, double cycleS) {
        this.travelMm = travelMm;
        this.cycleS = cycleS;
    }

    /** Forgets everything: the contact cannot be seen. */
    void forget() {
        known = false;
        count = 0;
    }

    /** Takes the level seen in this cycle; answers mm/s. */
    double look(long cycle, boolean high) {
        if (known && high != level) {
            changes[next] = cycle;
            next = (next + 1) % WINDOW;
            count = Math.min(count + 1, WINDOW);
        }
        level = high;
        known = true;
        return speedMmPerS(cycle);
    }

    private double speedMmPerS(long cycle) {
        if (count == 0) {
            return 0.0;
        }
        long last = changes[(next + WINDOW - 1) % WINDOW];
        long since = cycle - last;
        if (since > STANDING_CYCLES) {
            count = 0;
            return 0.0;
        }
        if (count == 1) {
            return 0.0; // one change is no speed yet; it may be a contact resting on its edge
        }
        long first = changes[(next + WINDOW - count) % WINDOW];
        if (count == WINDOW && last - first == WINDOW - 1) {
            return Double.NaN;
        }
        double speed = travelMm * (count - 1) / ((last - first) * cycleS);
        return since == 0 ? speed : Math.min(speed, travelMm / (since * cycleS));
    }
}
