package steamleaf.core.batch;

/** Tuning of an empty oven's air loop: an experiment, then a proposal that waits for a person. */
public sealed interface Tuning {
    /** The air at which it is done. Engineering choice: the middle of what recipes ask for. */
    double AIR_C = 70.0;

    /** Longest from the press to the end. Engineering choice. */
    double LONGEST_S = 2 * 3600.0;

    /** The oven heats without leaf. */
    record Running(String by, double sinceS) implements Tuning {}

    /**
     * Nobody's loop yet.
     *
     * @param amplitudeK half of peak to peak of the swing
     */
    record Proposed(LoopTuning settings, double amplitudeK, double periodS) implements Tuning {}

    /** What an experiment that has ended came to. */
    sealed interface Outcome {
        record Found(Proposed proposal) implements Outcome {}

        /**
         * @param why one word, as in {@code steamleaf.core.loop.RelayTuning.Failure}
         */
        record Failed(String why) implements Outcome {}
    }
}
