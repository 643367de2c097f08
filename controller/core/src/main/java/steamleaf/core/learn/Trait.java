package steamleaf.core.learn;

/** What is learned, and how far it may go. Logarithms of factors; engineering choice throughout. */
public enum Trait {
    /**
     * Of nearly dry leaf. Batches of one oven and grade are first taken to differ by somewhat more
     * than the filter lets the rate wander within one (0.13, {@code LeafParameters.Drift.STOCK},
     * over {@link Taught#RESPONSE}: 0.19). A factor beyond 2 is another leaf than the grade says. A
     * sample and a tray scale leave 0.2 open, a sample and humidity 0.3, which was too little to
     * tell a lesson from the wandering.
     */
    RATE(0.26, Math.log(2.0), 0.25),
    /**
     * Of one oven. The stock deviation of an oven that nothing is known of is 0.15; a factor beyond
     * 1.5 is a blocked filter or a wrong figure in the configuration. Humidity and weighings leave
     * 0.05 to 0.1 open.
     */
    AIRFLOW(0.15, Math.log(1.5), 0.10);

    final double firstSpread;
    final double most;
    final double vagueSd;

    /**
     * @param firstSpread deviation between batches before lessons say otherwise
     * @param most bound of what is applied, either way
     * @param vagueSd a lesson with a wider deviation does not count
     */
    Trait(double firstSpread, double most, double vagueSd) {
        this.firstSpread = firstSpread;
        this.most = most;
        this.vagueSd = vagueSd;
    }

    /** What a batch said, judged; a lesson may lie at twice the bound, because lessons scatter. */
    Lesson.Part judged(double ln, double sd) {
        Lesson.Worth worth =
                !(sd <= vagueSd)
                        ? Lesson.Worth.VAGUE
                        : Math.abs(ln) <= 2.0 * most ? Lesson.Worth.COUNTS : Lesson.Worth.TOO_FAR;
        return new Lesson.Part(ln, sd, worth);
    }
}
