package steamleaf.core.batch;

import org.jspecify.annotations.Nullable;
import steamleaf.core.learn.Lesson;
import steamleaf.core.reading.UnitId;

/** What finished batches taught is kept with their oven, and forgotten as settings change. */
final class Lessons {
    private Lessons() {}

    /** The batch is packed. */
    static void learn(Change change, Batch batch) {
        Ripeness grade = change.stock().grade(batch.charge().portions());
        Lesson lesson = change.sight.lesson(batch.oven(), batch.id());
        if (grade == null || lesson == null) {
            return;
        }
        OvenSlot slot = change.slot(batch.oven()).learning(grade, lesson);
        change.slot(batch.oven(), slot);
        change.event(new Event.LessonLearned(batch.oven(), grade, lesson, slot.learned(grade)));
    }

    /** This oven does not know yet how nearly dry leaf of this grade dries. */
    static boolean wanted(Change change, Batch batch) {
        Ripeness grade = change.stock().grade(batch.charge().portions());
        return grade != null && change.slot(batch.oven()).learned(grade).wantsRate();
    }

    /** One oven or, with the line, all; one grade or all. */
    static void forget(Change change, Command.ForgetLearned forget) {
        UnitId unit = forget.unit();
        boolean all = unit.equals(UnitId.LINE);
        if (!all && (!unit.isOven() || unit.number() > change.ovens())) {
            change.refused(forget, Refusal.UNKNOWN_UNIT, unit.label());
        } else if (!isKnown(change, unit, forget.grade())) {
            change.refused(forget, Refusal.NOTHING_LEARNED, unit.label());
        } else if (!change.sight.keyOff()) {
            change.refused(forget, Refusal.KEY_IS_ON, unit.label());
        } else if (!Tunings.isIdle(change)) {
            change.refused(forget, Refusal.LINE_NOT_IDLE, unit.label());
        } else {
            for (int n = 1; n <= change.ovens(); n++) {
                UnitId oven = UnitId.oven(n);
                if (all || oven.equals(unit)) {
                    forget(change, oven, forget.grade(), forget.stamp().by());
                }
            }
            change.moved(forget, unit.label());
        }
    }

    private static void forget(Change change, UnitId oven, @Nullable Ripeness grade, String by) {
        if (isKnown(change, oven, grade)) {
            change.slot(oven, change.slot(oven).forgetting(grade));
            change.event(new Event.LearnedForgotten(oven, grade, by));
        }
    }

    private static boolean isKnown(Change change, UnitId unit, @Nullable Ripeness grade) {
        for (int n = 1; n <= change.ovens(); n++) {
            UnitId oven = UnitId.oven(n);
            boolean asked = unit.equals(UnitId.LINE) || unit.equals(oven);
            if (asked && change.slot(oven).knowsOf(grade)) {
                return true;
            }
        }
        return false;
    }
}
