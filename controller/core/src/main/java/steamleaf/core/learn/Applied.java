package steamleaf.core.learn;

import steamleaf.core.estimate.LeafParameters;

/**
 * What a charge's filter begins with, of what was learned.
 *
 * @param nearlyDryLn of the rate of nearly dry leaf
 * @param rateSd how far a batch strays from it
 * @param airflowFactor on the exchange of air
 */
public record Applied(double nearlyDryLn, double rateSd, double airflowFactor, double airflowSd) {
    /** As an oven and leaf that nothing is known of. */
    public static Applied nothing(LeafParameters stock) {
        return new Applied(
                stock.drift().nearlyDryLn(),
                stock.drift().rateSd(),
                stock.airflowFactor(),
                stock.airflowSd());
    }

    public LeafParameters on(LeafParameters stock) {
        return stock.drifting(stock.drift().nearlyDry(nearlyDryLn, rateSd))
                .airflow(airflowFactor, airflowSd);
    }
}
