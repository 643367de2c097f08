package steamleaf.core.learn;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import steamleaf.core.estimate.LeafParameters;

/**
 * What the finished batches of one oven and one grade of leaf taught.
 *
 * @param lessons oldest first
 */
public record Learned(List<Lesson> lessons) {
    public static final Learned NOTHING = new Learned(List.of());

    /**
     * A lesson weighs half after so many newer ones: about a fortnight of an oven at work, in which
     * leaf of a flush changes. Engineering choice.
     */
    public static final double HALF_LIFE_BATCHES = 8.0;

    /** Older lessons would weigh less than an eighth and are forgotten. */
    public static final int KEPT = 24;

    /** Fewer lessons that count say nothing of how batches differ. Engineering choice. */
    public static final int FEWEST = 3;

    /** The first spread weighs as much as this many lessons' own. Engineering choice. */
    private static final double FIRST_WEIGHS = 4.0;

    private static final double DOUBT = 2.0;

    public Learned {
        lessons = List.copyOf(lessons);
    }

    public Learned with(Lesson lesson) {
        List<Lesson> all = new ArrayList<>(lessons);
        if (all.size() >= KEPT) {
            all.removeFirst();
        }
        all.add(lesson);
        return new Learned(all);
    }

    public Belief rate() {
        return belief(Trait.RATE, Lesson::rate);
    }

    /** Too few batches have said how nearly dry leaf dries: one more should be sampled there. */
    public boolean wantsRate() {
        return rate().count() < FEWEST;
    }

    public Belief airflow() {
        return belief(Trait.AIRFLOW, Lesson::airflow);
    }

    /**
     * Weighted mean and spread of the lessons that count, i batches old:
     *
     * <pre>
     *   w = 2^(−i/halfLife),   m = Σ w·l/Σ w,   n = (Σ w)²/Σ w²
     *   s² = (ν·s0² + n/Σw·Σ w·(l − m)²)/(ν + n − 1)         ν: {@link #FIRST_WEIGHS}, s0: {@link Trait}
     *   applied = m·max(0, 1 − 2·(s²/n)/m²)
     * </pre>
     *
     * The last line makes nothing of a mean that scatter alone explains, and takes little from one
     * that stands out (after James and Stein's estimator, for one mean; the 2, which leaves one
     * chance mean in five, is an engineering choice).
     */
    private Belief belief(Trait trait, Function<Lesson, Lesson.Part> part) {
        double sum = 0.0;
        double squares = 0.0;
        double weighted = 0.0;
        int count = 0;
        for (int i = 0; i < lessons.size(); i++) {
            Lesson.Part lesson = part.apply(lessons.get(i));
            if (lesson.counts()) {
                double w = weight(i);
                sum += w;
                squares += w * w;
                weighted += w * lesson.ln();
                count++;
            }
        }
        if (count < FEWEST) {
            return new Belief(count, count > 0 ? weighted / sum : 0.0, trait.firstSpread, 0.0, 0.0);
        }
        double mean = weighted / sum;
        double n = sum * sum / squares;
        double scatter = 0.0;
        for (int i = 0; i < lessons.size(); i++) {
            Lesson.Part lesson = part.apply(lessons.get(i));
            double away = lesson.ln() - mean;
            scatter += lesson.counts() ? weight(i) * away * away : 0.0;
        }
        double variance =
                (FIRST_WEIGHS * trait.firstSpread * trait.firstSpread + n / sum * scatter)
                        / (FIRST_WEIGHS + n - 1.0);
        double ofMean = variance / n;
        double shrunk = mean * Math.max(0.0, 1.0 - DOUBT * ofMean / (mean * mean));
        return new Belief(
                count,
                mean,
                Math.sqrt(variance),
                Math.sqrt(ofMean),
                Math.clamp(mean == 0.0 ? 0.0 : shrunk, -trait.most, trait.most));
    }

    private double weight(int i) {
        return Math.pow(2.0, -(lessons.size() - 1 - i) / HALF_LIFE_BATCHES);
    }

    /**
     * What the next charge's filter begins with. Deviations never fall below how much batches of
     * one oven and grade differ, nor the rate's below its wandering within a batch.
     */
    public Applied applied(LeafParameters stock) {
        Belief rate = rate();
        Belief airflow = airflow();
        Applied none = Applied.nothing(stock);
        double strays = Math.hypot(airflow.spread(), airflow.meanSd());
        return new Applied(
                none.nearlyDryLn() + rate.appliedLn(),
                rate.isApplied() ? Math.hypot(none.rateSd(), rate.meanSd()) : none.rateSd(),
                none.airflowFactor() * Math.exp(airflow.appliedLn()),
                airflow.isApplied() ? Math.min(none.airflowSd(), strays) : none.airflowSd());
    }
}
