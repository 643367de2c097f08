package steamleaf.monitor.page;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Bodies;
import steamleaf.contract.Codec;
import steamleaf.contract.Language;
import steamleaf.monitor.alarm.AlarmFigures;
import steamleaf.monitor.store.Questions;
import steamleaf.monitor.store.Rows;

/**
 * The page of alarm figures: sentence, table against the benchmarks, lists.
 *
 * @param days stretch asked for
 */
public record AlarmSheet(
        int days,
        String opening,
        String stretch,
        List<Row> rows,
        List<Line> frequent,
        List<Line> longest,
        List<Line> chattering,
        List<Line> floods) {
    static final List<Integer> STRETCHES = List.of(1, 7, 30);
    private static final int MOST = 10;
    private static final double PERCENT = 100;

    /**
     * A figure beside what the standard calls acceptable.
     *
     * @param good within it
     */
    public record Row(String words, String value, String benchmark, boolean good) {}

    /** One thing in a list. */
    public record Line(String what, String value, String more) {}

    /** The stretch that a path names, one day when it names none. */
    static int days(String path) {
        String last = path.substring(path.lastIndexOf('/') + 1);
        return STRETCHES.stream().filter(d -> last.equals(d.toString())).findFirst().orElse(1);
    }

    /**
     * @param now the line's time, null when it is not heard: then the record ends the stretch
     */
    static AlarmSheet of(
            Language language, ZoneId zone, int days, @Nullable Instant now, Questions store) {
        Instant first = store.firstEventAt().orElse(null);
        Instant last = now != null ? now : store.lastEventAt().orElse(null);
        if (first == null || last == null) {
            return new AlarmSheet(
                    days,
                    Words.say(language, "figures.nothing"),
                    "",
                    List.of(),
                    List.of(),
                    List.of(),
                    List.of(),
                    List.of());
        }
        Instant asked = last.minus(Duration.ofDays(days));
        Instant from = asked.isBefore(first) ? first : asked;
        AlarmFigures figures = AlarmFigures.of(changes(store.alarmsSince(from)), from, last, MOST);
        return new Written(language, zone, figures).sheet(days);
    }

    /** How often each alarm came since then. */
    static Map<String, Integer> times(List<Rows.EventRow> rows, Instant from) {
        Map<String, Integer> times = new HashMap<>();
        for (AlarmFigures.Change change : changes(rows)) {
            if (change.to().equals("unacknowledged") && !change.at().isBefore(from)) {
                times.merge(change.id(), 1, Integer::sum);
            }
        }
        return times;
    }

    private static List<AlarmFigures.Change> changes(List<Rows.EventRow> rows) {
        List<AlarmFigures.Change> changes = new ArrayList<>();
        for (Rows.EventRow row : rows) {
            try {
                Bodies.Alarm alarm = Codec.read(row.record().body(), Bodies.Alarm.class);
                changes.add(
                        new AlarmFigures.Change(
                                row.record().at(),
                                row.record().doubtful(),
                                alarm.id(),
                                alarm.unit(),
                                alarm.to(),
                                alarm.priority(),
                                alarm.what()));
            } catch (Codec.Malformed _) {
                // kept raw by the store; a later contract's alarm is not counted
            }
        }
        return changes;
    }

    /** Figures in the reader's language. */
    private record Written(Language language, ZoneId zone, AlarmFigures f) {
        String t(String key, Object... values) {
            return Words.say(language, key, values);
        }

        AlarmSheet sheet(int days) {
            return new AlarmSheet(
                    days,
                    opening(),
                    stretch(),
                    rows(),
                    f.mostFrequent().stream()
                            .map(
                                    q ->
                                            new Line(
                                                    what(q.which()),
                                                    t("figures.times", q.times()),
                                                    t(
                                                            "figures.share",
                                                            Figures.percent(
                                                                    q.times() / (double) f.alarms(),
                                                                    0))))
                            .toList(),
                    f.longest().stream().map(this::stood).toList(),
                    f.chattering().stream()
                            .map(
                                    c ->
                                            new Line(
                                                    what(c.which()),
                                                    t("figures.in-a-minute", c.most()),
                                                    when(c.from())))
                            .toList(),
                    f.floods().stream().map(this::flood).toList());
        }

        private String opening() {
            String span = Figures.duration(language, (double) f.stretch().toSeconds());
            if (f.alarms() == 0) {
                return t("figures.none", span);
            }
            String rate = Figures.plain(f.perTenMinutes(), 2);
            String first =
                    f.perTenMinutes() <= AlarmFigures.ACCEPTABLE_PER_TEN_MINUTES
                            ? t("figures.few", span, f.alarms(), rate)
                            : t("figures.many", span, f.alarms(), rate);
            return f.floods().isEmpty()
                    ? first
                    : Opening.join(language, first, t("figures.flooded", f.floods().size()));
        }

        private String stretch() {
            String text = t("figures.stretch", when(f.from()), when(f.to()));
            return f.doubtful() == 0
                    ? text
                    : Opening.join(language, text, t("figures.doubtful", f.doubtful()));
        }

        private List<Row> rows() {
            List<Row> rows = new ArrayList<>();
            rows.add(
                    new Row(
                            t("figures.per-ten"),
                            Figures.plain(f.perTenMinutes(), 2),
                            t(
                                    "figures.benchmark-two",
                                    Figures.plain(AlarmFigures.ACCEPTABLE_PER_TEN_MINUTES, 0),
                                    Figures.plain(AlarmFigures.MANAGEABLE_PER_TEN_MINUTES, 0)),
                            f.perTenMinutes() <= AlarmFigures.ACCEPTABLE_PER_TEN_MINUTES));
            rows.add(
                    new Row(
                            t("figures.per-day"),
                            Figures.plain(f.perDay(), 0),
                            t("figures.at-most", Figures.plain(AlarmFigures.ACCEPTABLE_PER_DAY, 0)),
                            f.perDay() <= AlarmFigures.ACCEPTABLE_PER_DAY));
            rows.add(
                    new Row(
                            t("figures.most-in-ten"),
                            f.mostFrom() == null
                                    ? "0"
                                    : f.mostInTenMinutes() + " (" + when(f.mostFrom()) + ")",
                            t("figures.at-most", AlarmFigures.FLOOD_ABOVE),
                            f.mostInTenMinutes() <= AlarmFigures.FLOOD_ABOVE));
            rows.add(
                    new Row(
                            t("figures.in-flood"),
                            Figures.percent(f.floodShare(), 1),
                            t("figures.below", Figures.percent(AlarmFigures.FLOOD_SHARE, 0)),
                            f.floodShare() < AlarmFigures.FLOOD_SHARE));
            rows.add(
                    new Row(
                            t("figures.chattering"),
                            String.valueOf(f.chattering().size()),
                            t("figures.none-of-it"),
                            f.chattering().isEmpty()));
            rows.add(
                    new Row(
                            t("figures.stale"),
                            String.valueOf(f.stale()),
                            t("figures.below", AlarmFigures.STALE_BELOW),
                            f.stale() < AlarmFigures.STALE_BELOW));
            rows.add(
                    new Row(
                            t("figures.priorities"),
                            String.join(
                                    " / ", List.of(share("low"), share("medium"), share("high"))),
                            t("figures.about", "80 / 15 / 5 %"),
                            true));
            return rows;
        }

        private String share(String priority) {
            return f.alarms() == 0
                    ? Figures.DASH
                    : Figures.plain(
                            PERCENT * f.byPriority().getOrDefault(priority, 0) / f.alarms(), 0);
        }

        private Line stood(AlarmFigures.Stood s) {
            String length = Figures.duration(language, s.length().toMillis() / 1_000.0);
            return new Line(
                    what(s.which()),
                    length,
                    s.until() == null
                            ? t("figures.stands", when(s.from()))
                            : t("figures.from-to", when(s.from()), when(s.until())));
        }

        private Line flood(AlarmFigures.Flood flood) {
            return new Line(
                    t("figures.from-to", when(flood.from()), when(flood.until())),
                    t("figures.alarms", flood.alarms()),
                    t("figures.most", flood.most()));
        }

        /** What happened, with the unit where the sentence doesn't name it. */
        private String what(AlarmFigures.Which which) {
            String sentence = Words.reason(language, which.what());
            String name = Words.unit(language, which.unit());
            return sentence.contains(name) ? sentence : name + ": " + sentence;
        }

        private String when(Instant at) {
            return Figures.when(language, at, zone);
        }
    }
}
