package steamleaf.core.learn;

/**
 * What one finished batch says of its oven and its grade of leaf.
 *
 * @param rate of the drying rate of nearly dry leaf
 * @param airflow of the exchange of air
 */
public record Lesson(String batchId, Part rate, Part airflow) {
    /**
     * @param ln of the factor that the batch speaks for, against the parameter of an oven and leaf
     *     that nothing is known of
     * @param sd its deviation
     */
    public record Part(double ln, double sd, Worth worth) {
        public boolean counts() {
            return worth == Worth.COUNTS;
        }
    }

    /** Whether it is learned from, and why not. */
    public enum Worth {
        COUNTS,
        /** No hand sample of nearly dry leaf was believed. */
        NO_SAMPLE,
        /** The batch's own sensors left it nearly as open as before. */
        VAGUE,
        /** Further from the parameter than leaf or oven can be: something else was wrong. */
        TOO_FAR
    }
}
