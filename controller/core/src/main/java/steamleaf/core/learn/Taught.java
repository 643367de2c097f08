package steamleaf.core.learn;

import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureEstimate;

/**
 * What a batch has said so far.
 *
 * <p>Rate: not what the filter believes at the end, which made the next batches worse (its rate and
 * its water are wrong together: leaf thought too dry is thought to give its water too easily), but
 * how far believed samples of nearly dry leaf <em>moved</em> the rate, added to what the batch
 * began with.
 *
 * <p>Airflow: where it was known best; moving dampers make it vague again.
 *
 * @param movedLn sum over the believed samples
 * @param rateSd after the last of them; infinite before
 * @param airflowLn when its deviation was least
 */
public record Taught(double movedLn, double rateSd, double airflowLn, double airflowSd) {
    public static final Taught NOTHING =
            new Taught(0.0, Double.POSITIVE_INFINITY, 0.0, Double.POSITIVE_INFINITY);

    /** Wetter leaf says nothing of the end of drying. Wet basis; engineering choice. */
    private static final double NEARLY_DRY = 0.12;

    /**
     * What is applied comes in as the leaf dries, and this share of it is in the rate when the
     * sample is taken: one e-fold of the water before 9 %, from 21 %. Engineering choice.
     */
    static final double RESPONSE = 0.67;

    /** Once a second, while leaf is in the oven. */
    public Taught seen(MoistureEstimate now) {
        return now.airflowSd() < airflowSd
                ? new Taught(movedLn, rateSd, Math.log(now.airflowFactor()), now.airflowSd())
                : this;
    }

    /** A sample was believed. */
    public Taught sampled(double moistureWhenTaken, MoistureEstimate before, MoistureEstimate now) {
        return moistureWhenTaken < NEARLY_DRY
                ? new Taught(
                        movedLn + Math.log(now.rateFactor() / before.rateFactor()),
                        now.rateSd(),
                        airflowLn,
                        airflowSd)
                : this;
    }

    /**
     * @param with what the batch's filter began with
     */
    public Lesson lesson(String batchId, LeafParameters with) {
        Lesson.Part rate =
                Double.isInfinite(rateSd)
                        ? new Lesson.Part(0.0, rateSd, Lesson.Worth.NO_SAMPLE)
                        : Trait.RATE.judged(
                                with.drift().nearlyDryLn() + movedLn / RESPONSE, rateSd);
        return new Lesson(batchId, rate, Trait.AIRFLOW.judged(airflowLn, airflowSd));
    }
}
