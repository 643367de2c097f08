package steamleaf.sim.board;

/**
 * The header's pins. A pin keeps its last level when nobody drives it any more; at power-up all are
 * low.
 */
final class Gpio implements Ends.Pins {
    static final int PINS = 28;

    private final boolean[] levels = new boolean[PINS];
    private final boolean[] fromOutside = new boolean[PINS];
    private int watchdogPin = -1;
    private int watchdogEdges;

    @Override
    public boolean level(int pin) {
        return levels[pin];
    }

    @Override
    public void drive(int pin, boolean high) {
        if (levels[pin] != high) {
            levels[pin] = high;
            if (pin == watchdogPin) {
                watchdogEdges++;
            }
        }
    }

    /** A level put there by a contact of the plant. */
    void contact(int pin, boolean high) {
        fromOutside[pin] = true;
        levels[pin] = high;
    }

    @Override
    public void pull(int pin, boolean high) {
        if (!fromOutside[pin]) {
            levels[pin] = high;
        }
    }

    void watch(int pin) {
        watchdogPin = pin;
    }

    int takeWatchdogEdges() {
        int edges = watchdogEdges;
        watchdogEdges = 0;
        return edges;
    }
}
