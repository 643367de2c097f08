package steamleaf.bench.study;

/**
 * How a study went, as written to {@code summary.json}. Points are percentage points of moisture,
 * wet basis; errors are estimate less truth when the leaf had cooled.
 *
 * @param learned batches that each oven and leaf did before
 * @param cramerRaoPoints root of the mean, over as many matched plants of the same seeds and
 *     sensors, of the least variance that any estimate can have ({@link Bound})
 * @param ratio rms error over that bound
 * @param meanNees mean of error² over the variance as stated by the filter
 * @param shareInsideBand plants whose true end moisture lay in 4 to 7 %
 * @param finishErrorShareOfRemaining rms over the runs that told a time, at half the last drying;
 *     null if none did
 * @param finishUntold runs that told none then
 * @param unfinished runs given up after eight hours of one drying; counted in all the rest as they
 *     were then
 */
public record StudySummary(
        int runs,
        String sensors,
        String structure,
        long seed,
        int learned,
        double rmsErrorPoints,
        double biasPoints,
        double cramerRaoPoints,
        double ratio,
        double meanNees,
        double shareInsideBand,
        @org.jspecify.annotations.Nullable Double finishErrorShareOfRemaining,
        int finishUntold,
        int unfinished) {}
