package steamleaf.core.batch;

/**
 * How the four buttons at the machine were last seen. A press counts at the moment a button that
 * was provably off becomes provably on; so one that is stuck on, or was on when the program
 * started, never counts.
 */
public record Buttons(Seen start, Seen reset, Seen confirm, Seen silence) {
    /** A button on for longer than this is reported as stuck. Engineering choice. */
    public static final double STUCK_AFTER_S = 10.0;

    public static final Buttons UNKNOWN =
            new Buttons(Seen.UNKNOWN, Seen.UNKNOWN, Seen.UNKNOWN, Seen.UNKNOWN);

    /** What is known of one button. */
    public enum Contact {
        UNKNOWN,
        OFF,
        ON
    }

    /**
     * @param sinceS on the line's time axis
     */
    public record Seen(Contact contact, double sinceS, boolean stuck) {
        public static final Seen UNKNOWN = new Seen(Contact.UNKNOWN, 0.0, false);

        Seen then(boolean on, boolean off, double nowS) {
            Contact now = on ? Contact.ON : off ? Contact.OFF : Contact.UNKNOWN;
            boolean longOn = now == Contact.ON && contact == now && nowS - sinceS > STUCK_AFTER_S;
            if (now == contact && longOn == stuck) {
                return this;
            }
            return new Seen(now, now == contact ? sinceS : nowS, longOn);
        }

        /** Pressed at this moment. */
        boolean isPressAfter(Seen before) {
            return before.contact == Contact.OFF && contact == Contact.ON;
        }
    }

    public Seen get(Button button) {
        return switch (button) {
            case START -> start;
            case RESET -> reset;
            case CONFIRM -> confirm;
            case SILENCE -> silence;
        };
    }

    Buttons then(Sight sight) {
        Seen newStart = next(start, Button.START, sight);
        Seen newReset = next(reset, Button.RESET, sight);
        Seen newConfirm = next(confirm, Button.CONFIRM, sight);
        Seen newSilence = next(silence, Button.SILENCE, sight);
        boolean same =
                newStart == start
                        && newReset == reset
                        && newConfirm == confirm
                        && newSilence == silence;
        return same ? this : new Buttons(newStart, newReset, newConfirm, newSilence);
    }

    private static Seen next(Seen seen, Button button, Sight sight) {
        return seen.then(sight.buttonOn(button), sight.buttonOff(button), sight.nowS());
    }
}
