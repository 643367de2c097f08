package steamleaf.monitor.page;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Language;
import steamleaf.contract.LearnedLive;
import steamleaf.monitor.store.Rows;

/**
 * The page of what finished batches taught: sentence, then each oven and grade of leaf.
 *
 * @param any whether there is something to forget
 */
public record LearnedSheet(String opening, List<Grade> grades, boolean any) {
    private static final double PERCENT = 100.0;

    /**
     * One oven and one grade of leaf.
     *
     * @param grade as the line says it
     */
    public record Grade(
            String unit,
            String grade,
            String title,
            List<Trait> traits,
            List<Lesson> lessons,
            String sure,
            String forget) {}

    /**
     * @param next what the next charge begins with
     * @param says what the batches say, empty when none counts
     * @param why applied, or why not
     */
    public record Trait(String name, String next, String says, String why, boolean applied) {}

    /**
     * @param known whether the record has a page of it
     */
    public record Lesson(String batch, String name, boolean known, String rate, String airflow) {}

    static LearnedSheet of(
            Language language,
            Map<String, LearnedLive> learned,
            List<Rows.BatchRow> batches,
            Function<Rows.BatchRow, String> nameOf) {
        Map<String, String> names = new HashMap<>();
        batches.forEach(row -> names.put(row.id(), nameOf.apply(row)));
        return new Written(language, names).sheet(learned);
    }

    /** In the reader's language. */
    private record Written(Language language, Map<String, String> names) {
        String t(String key, Object... values) {
            return Words.say(language, key, values);
        }

        LearnedSheet sheet(Map<String, LearnedLive> learned) {
            List<Grade> grades = new ArrayList<>();
            for (LearnedLive oven : learned.values()) {
                oven.grades().forEach(grade -> grades.add(grade(oven.unit(), grade)));
            }
            return new LearnedSheet(opening(learned, grades), grades, !grades.isEmpty());
        }

        private String opening(Map<String, LearnedLive> learned, List<Grade> grades) {
            if (learned.isEmpty()) {
                return t("learned.not-heard");
            }
            if (grades.isEmpty()) {
                return t("learned.nothing");
            }
            long applied =
                    grades.stream()
                            .filter(g -> g.traits().stream().anyMatch(Trait::applied))
                            .count();
            return applied == 0
                    ? t("learned.none-applied", grades.size())
                    : t("learned.opening", applied, grades.size());
        }

        private Grade grade(String unit, LearnedLive.Grade of) {
            String oven = Words.unit(language, unit);
            String leaf = Words.orName(language, "ripeness.", of.grade());
            return new Grade(
                    unit,
                    of.grade(),
                    t("learned.of", oven, leaf),
                    List.of(
                            trait("learned.rate", of.rate()),
                            trait("learned.airflow", of.airflow())),
                    of.lessons().reversed().stream().map(this::lesson).toList(),
                    t("learned.sure", oven, leaf),
                    t("learned.forget-do", oven, leaf));
        }

        private Trait trait(String key, LearnedLive.Trait of) {
            boolean applied = of.because().key().equals("learned.applied");
            return new Trait(
                    t(key),
                    t(applied ? "learned.next" : "learned.next-stock", factor(of.applied())),
                    of.mean() == null
                            ? ""
                            : t("learned.says", factor(of.mean()), deviation(of.spread())),
                    Words.reason(language, of.because()),
                    applied);
        }

        private Lesson lesson(LearnedLive.Lesson of) {
            String name = names.get(of.batch());
            return new Lesson(
                    of.batch(),
                    name == null ? t("batch.batch", of.batch()) : name,
                    name != null,
                    part(of.rate()),
                    part(of.airflow()));
        }

        private String part(LearnedLive.Part of) {
            String worth = Words.orName(language, "learned.worth-", of.worth());
            if (of.worth().equals("counts")) {
                return said(of);
            }
            return of.factor() == null ? worth : t("learned.left-out", said(of), worth);
        }

        private static String said(LearnedLive.Part of) {
            Double sd = of.deviation();
            return factor(of.factor()) + (sd == null ? "" : "\u00a0" + deviation(sd));
        }

        private static String deviation(double sd) {
            return "±\u00a0" + Figures.plain(PERCENT * sd, 0) + "\u00a0%";
        }

        private static String factor(@Nullable Double factor) {
            return Figures.plain(factor, 2) + "\u00a0×";
        }
    }
}
