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

    /**
     * Outside the oven a sample is asked for this long before the work ends. Engineering choice.
     */
    private static final double BEFORE_END_S = 120.0;

    /**
     * The leaf is out of the oven, it rests or its rolling is nearly over, and nobody was asked
     * yet. A rest is sampled at its beginning: its length can then answer to what was found.
     */
    public static boolean mayBeAskedOutside(Batch batch, double nowS) {
        return batch.phase() instanceof Phase.Working(_, double untilS)
                && (batch.operation() instanceof Operation.Rest
                        || (batch.operation() instanceof Operation.Roll
                                && nowS >= untilS - BEFORE_END_S))
                && batch.sampleAskedIn() != batch.procedure().operation();
    }

    /**
     * The leaf is being shaped or rests: whoever counts on a time of finish wants to know early how
     * wet it is.
     */
    static boolean mayBeAskedForFinish(Batch batch) {
        boolean sampled =
                batch.operation() instanceof Operation.Shape
                        || batch.operation() instanceof Operation.Rest;
        return sampled
                && batch.phase() instanceof Phase.Working
                && batch.sampleAskedIn() != batch.procedure().operation();
    }

    boolean isWorthIt() {
        return now - without >= WORTH;
    }

    /** It helps, and waiting would not make it help more. */
    boolean isMost() {
        return isWorthIt() && later - now <= WORTH_WAITING;
    }
}
