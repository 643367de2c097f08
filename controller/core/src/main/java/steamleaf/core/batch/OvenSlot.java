package steamleaf.core.batch;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.learn.Learned;
import steamleaf.core.learn.Lesson;

/**
 * One oven and the batch that has it.
 *
 * @param doorOpen the door is proven open
 * @param doorSinceS since when the door is as it is, on the line's time axis
 * @param tuning an experiment that runs, or what it proposed
 * @param accepted settings in place of the configured ones, null for none
 * @param grades what finished batches taught, by grade; null, as in what older versions kept, for
 *     nothing
 */
public record OvenSlot(
        @Nullable Batch batch,
        boolean doorOpen,
        double doorSinceS,
        @Nullable Tuning tuning,
        @Nullable LoopTuning accepted,
        @Nullable List<GradeLearned> grades) {
    public static final OvenSlot EMPTY = new OvenSlot(null, false, 0.0, null, null, null);

    /** The oven heats without leaf, to find settings. */
    public boolean tunes() {
        return tuning instanceof Tuning.Running;
    }

    OvenSlot holding(@Nullable Batch newBatch) {
        return new OvenSlot(newBatch, doorOpen, doorSinceS, tuning, accepted, grades);
    }

    OvenSlot door(@Nullable Batch newBatch, boolean open, double sinceS) {
        return new OvenSlot(newBatch, open, sinceS, tuning, accepted, grades);
    }

    OvenSlot tuning(@Nullable Tuning newTuning) {
        return new OvenSlot(batch, doorOpen, doorSinceS, newTuning, accepted, grades);
    }

    OvenSlot accepting(LoopTuning settings) {
        return new OvenSlot(batch, doorOpen, doorSinceS, null, settings, grades);
    }

    /** What is known of this grade here. */
    public Learned learned(Ripeness grade) {
        if (grades != null) {
            for (GradeLearned one : grades) {
                if (one.grade() == grade) {
                    return one.learned();
                }
            }
        }
        return Learned.NOTHING;
    }

    /**
     * @param grade null for any
     */
    boolean knowsOf(@Nullable Ripeness grade) {
        return grades != null && (grade == null || !learned(grade).lessons().isEmpty());
    }

    OvenSlot learning(Ripeness grade, Lesson lesson) {
        List<GradeLearned> all = grades == null ? new ArrayList<>() : new ArrayList<>(grades);
        all.removeIf(one -> one.grade() == grade);
        all.add(new GradeLearned(grade, learned(grade).with(lesson)));
        return knowing(all);
    }

    /**
     * @param grade null for all
     */
    OvenSlot forgetting(@Nullable Ripeness grade) {
        List<GradeLearned> all = grades == null ? new ArrayList<>() : new ArrayList<>(grades);
        all.removeIf(one -> grade == null || one.grade() == grade);
        return knowing(all);
    }

    private OvenSlot knowing(List<GradeLearned> all) {
        return new OvenSlot(
                batch,
                doorOpen,
                doorSinceS,
                tuning,
                accepted,
                all.isEmpty() ? null : List.copyOf(all));
    }
}
