package steamleaf.app.translate;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import steamleaf.contract.Because;
import steamleaf.contract.LearnedLive;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Ripeness;
import steamleaf.core.learn.Belief;
import steamleaf.core.learn.Learned;
import steamleaf.core.learn.Lesson;
import steamleaf.core.reading.UnitId;

/** What was learned, as it is told outside. */
public final class Lessons {
    private static final int PER_UNIT = 1_000;

    private Lessons() {}

    public static LearnedLive live(UnitId oven, OvenSlot slot, Instant at) {
        List<LearnedLive.Grade> grades = new ArrayList<>();
        for (Ripeness grade : Ripeness.values()) {
            Learned learned = slot.learned(grade);
            if (!learned.lessons().isEmpty()) {
                grades.add(
                        new LearnedLive.Grade(
                                Words.ripeness(grade),
                                trait(learned.rate()),
                                trait(learned.airflow()),
                                learned.lessons().stream().map(Lessons::lesson).toList()));
            }
        }
        return new LearnedLive(oven.label(), at, grades);
    }

    private static LearnedLive.Trait trait(Belief belief) {
        return new LearnedLive.Trait(
                factor(belief.appliedLn()),
                belief.count() == 0 ? null : factor(belief.meanLn()),
                rounded(belief.spread()),
                belief.count(),
                because(belief));
    }

    private static Because because(Belief belief) {
        String count = Integer.toString(belief.count());
        if (belief.isApplied()) {
            return Because.of("learned.applied", count);
        }
        return belief.count() < Learned.FEWEST
                ? Because.of("learned.too-few", count, Integer.toString(Learned.FEWEST))
                : Because.of("learned.scattered", count);
    }

    static LearnedLive.Lesson lesson(Lesson lesson) {
        return new LearnedLive.Lesson(
                lesson.batchId(), part(lesson.rate()), part(lesson.airflow()));
    }

    private static LearnedLive.Part part(Lesson.Part part) {
        boolean said = Double.isFinite(part.sd());
        return new LearnedLive.Part(
                said ? factor(part.ln()) : null,
                said ? rounded(part.sd()) : null,
                part.worth().name().toLowerCase(Locale.ROOT).replace('_', '-'));
    }

    private static double factor(double ln) {
        return rounded(Math.exp(ln));
    }

    private static double rounded(double value) {
        return Math.rint(value * PER_UNIT) / PER_UNIT;
    }
}
