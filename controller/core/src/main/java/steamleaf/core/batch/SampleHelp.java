package steamleaf.core.batch;

/**
 * What one hand sample would be worth: probabilities that the charge's mean ends inside the band.
 *
 * @param without no sample, the sensors on the way included
 * @param now with a sample taken now
 * @param later with a sample taken as late as its value can still be used
 */
public record SampleHelp(double without, double now, double later) {
    /** Less is not worth five places and an open door. Engineering choice. */
    static final double WORTH = 0.03;

    /** A later sample must be worth more than this to be waited for. Engineering choice. */
    static final double WORTH_WAITING = 0.005;

    boolean isWorthIt() {
        return now - without >= WORTH;
    }

    /** It helps, and waiting would not make it help more. */
    boolean isMost() {
        return isWorthIt() && later - now <= WORTH_WAITING;
    }
}
