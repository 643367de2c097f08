package steamleaf.contract;

import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What the finished batches of one oven taught, by grade of leaf. Empty when nothing was learned,
 * or all was forgotten.
 *
 * @param grades tender, medium, mature, as far as there are lessons
 */
public record LearnedLive(String unit, Instant at, List<Grade> grades) {
    /**
     * @param grade the ripeness of most of the leaf
     * @param rate of the drying of nearly dry leaf
     * @param airflow of the exchange of air
     * @param lessons newest last
     */
    public record Grade(String grade, Trait rate, Trait airflow, List<Lesson> lessons) {}

    /**
     * @param applied factor that the next charge begins with, 1 without
     * @param mean factor that the lessons say; null when none counts
     * @param spread relative deviation between batches
     * @param counted lessons that count
     * @param because whether it is applied, and why not
     */
    public record Trait(
            double applied, @Nullable Double mean, double spread, int counted, Because because) {}

    public record Lesson(String batch, Part rate, Part airflow) {}

    /**
     * @param factor null when the batch said nothing of it
     * @param deviation relative, null with it
     * @param worth counts, no-sample, vague or too-far
     */
    public record Part(@Nullable Double factor, @Nullable Double deviation, String worth) {}
}
