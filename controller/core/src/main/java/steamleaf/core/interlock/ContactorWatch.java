package steamleaf.core.interlock;

/**
 * The contactor, the watchdog relay and the reset button.
 *
 * @param sinceS guard time of the last change of phase
 * @param openSinceS guard time since when the contactor is proven open with the coil off, else NaN
 * @param resetUp the reset button was seen released in the last cycle
 */
record ContactorWatch(ContactorPhase phase, double sinceS, double openSinceS, boolean resetUp) {
    /** The coil is driven against the dropped relay for this long: longer than a pull-in. */
    static final double PROVING_S = 0.8;

    static ContactorWatch starting(double nowS) {
        return new ContactorWatch(ContactorPhase.OPEN, nowS, Double.NaN, false);
    }

    /** What is known of the contactor before the rules are looked at. */
    ContactorWatch seen(boolean provenOpen, boolean coilDriven, double nowS) {
        boolean open = provenOpen && !coilDriven;
        double since = open ? (!Double.isNaN(openSinceS) ? openSinceS : nowS) : Double.NaN;
        return Double.compare(since, openSinceS) == 0
                ? this
                : new ContactorWatch(phase, sinceS, since, resetUp);
    }

    /** Time the contactor has been proven open, NaN when it is not. */
    double openForS(double nowS) {
        return nowS - openSinceS;
    }

    /**
     * @param may wanted, and no rule keeps it open
     * @param closed feedback proves it closed
     * @param open feedback proves it open
     * @param resetDown the reset button is provably pressed
     */
    ContactorWatch next(
            boolean may,
            boolean closed,
            boolean open,
            boolean resetDown,
            boolean resetReleased,
            GuardSettings settings,
            double nowS) {
        double inPhaseS = nowS - sinceS;
        boolean pressed = resetDown && resetUp;
        ContactorPhase next =
                !may
                        ? ContactorPhase.OPEN
                        : switch (phase) {
                            case OPEN -> open ? ContactorPhase.RELAY_DROPPING : phase;
                            case RELAY_DROPPING ->
                                    inPhaseS >= settings.watchdogDropS()
                                            ? ContactorPhase.PROVING_OPEN
                                            : phase;
                            case PROVING_OPEN ->
                                    inPhaseS >= PROVING_S && open
                                            ? ContactorPhase.PULSE_SETTLING
                                            : phase;
                            case PULSE_SETTLING ->
                                    inPhaseS >= settings.watchdogSteadyS()
                                            ? ContactorPhase.AWAITING_RESET
                                            : phase;
                            case AWAITING_RESET -> pressed ? ContactorPhase.CLOSING : phase;
                            case CLOSING -> closed ? ContactorPhase.CLOSED : phase;
                            case CLOSED -> phase;
                        };
        return next == phase && resetReleased == resetUp
                ? this
                : new ContactorWatch(
                        next, next == phase ? sinceS : nowS, openSinceS, resetReleased);
    }

    /** The coil is driven. */
    boolean coil() {
        return switch (phase) {
            case PROVING_OPEN, CLOSING, CLOSED -> true;
            case OPEN, RELAY_DROPPING, PULSE_SETTLING, AWAITING_RESET -> false;
        };
    }

    /** The pulse is withheld on purpose. */
    boolean withholdsPulse() {
        return phase == ContactorPhase.RELAY_DROPPING || phase == ContactorPhase.PROVING_OPEN;
    }

    /** The feedback must read open. */
    boolean mustBeOpen() {
        return switch (phase) {
            case OPEN, RELAY_DROPPING, PROVING_OPEN, PULSE_SETTLING, AWAITING_RESET -> true;
            case CLOSING, CLOSED -> false;
        };
    }
}
