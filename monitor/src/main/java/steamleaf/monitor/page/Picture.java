package steamleaf.monitor.page;

import java.time.Instant;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Language;
import steamleaf.contract.UnitLive;
import steamleaf.monitor.store.Rows.Point;

/**
 * The one picture: the leaf's moisture coming down onto its band. The moisture axis is stretched
 * towards the dry end (height grows with the square root of moisture), so that the band where a
 * batch lands can be read; its lines carry their values. An SVG without script and without style of
 * its own: colours come from classes.
 */
final class Picture {
    /** Where the lines of the moisture axis stand. */
    private static final double[] LINES = {0.80, 0.50, 0.25, 0.13, 0.055};

    private static final double TOP = 0.85;
    private static final double BAND_FROM = 0.04;
    private static final double BAND_TO = 0.07;

    /** The fan shows this many standard deviations to each side. */
    private static final double DEVIATIONS = 2;

    private static final double HOT_C = 100;
    private static final int[] TICKS_MIN = {5, 10, 15, 30, 60, 120, 240, 480};
    private static final int CHAR = 10;

    /** A stage of the procedure, as a stretch of time. */
    record Stage(String operation, double fromS, double toS) {}

    /** Something that happened at one moment. */
    record Mark(double atS, String text) {}

    /** A hand sample's value. */
    record Ring(double atS, double moisture, String text) {}

    /** Where the running drying is expected to land. */
    record Landing(double nowS, double mean, double sd, double atS, double sdS, double target) {
        static @Nullable Landing of(UnitLive live) {
            UnitLive.Moisture m = live.moisture();
            if (m == null || m.landsInS() == null || m.target() == null) {
                return null;
            }
            double now = live.at().getEpochSecond();
            double sdS = m.landsSdS() == null ? 0 : m.landsSdS();
            return new Landing(now, m.mean(), m.sd(), now + m.landsInS(), sdS, m.target());
        }
    }

    /** What is drawn. */
    record Scene(
            List<Point> points,
            List<Stage> stages,
            List<Mark> marks,
            List<Ring> rings,
            @Nullable Landing landing) {
        boolean isEmpty() {
            return points.stream().noneMatch(p -> Double.isFinite(p.moisture())) && landing == null;
        }
    }

    private final Language language;
    private final ZoneId zone;
    private final Scene scene;
    private final int width;
    private final int height;
    private final int left;
    private final int right;
    private final int floor;
    private final boolean wide;
    private final double fromS;
    private final double toS;
    private final StringBuilder out = new StringBuilder(16_384);

    private Picture(Language language, ZoneId zone, Scene scene, int width, int height) {
        this.language = language;
        this.zone = zone;
        this.scene = scene;
        this.width = width;
        this.height = height;
        this.wide = width > 600;
        this.left = 48;
        this.right = wide ? width - 76 : width - 8;
        this.floor = wide ? height - 132 : height - 34;
        double first = Double.POSITIVE_INFINITY;
        double last = Double.NEGATIVE_INFINITY;
        for (Point p : scene.points()) {
            if (Double.isFinite(p.moisture())) {
                first = Math.min(first, p.atS());
                last = Math.max(last, p.atS());
            }
        }
        Landing landing = scene.landing();
        if (landing != null) {
            first = Math.min(first, landing.nowS() - 60);
            last = Math.max(last, landing.atS() + landing.sdS() + 60);
        }
        if (wide) {
            for (Stage s : scene.stages()) {
                first = Math.min(first, s.fromS());
            }
        }
        this.fromS = first;
        this.toS = Math.max(last, first + 60);
    }

    /** The picture, or an empty text when there is nothing to draw. */
    static String draw(Language language, ZoneId zone, Scene scene, int width, int height) {
        return scene.isEmpty() ? "" : new Picture(language, zone, scene, width, height).draw();
    }

    private double x(double atS) {
        return left + (right - left) * (atS - fromS) / (toS - fromS);
    }

    private double y(double moisture) {
        double part = Math.sqrt(Math.clamp(moisture, 0, TOP) / TOP);
        return floor - (floor - (wide ? 34 : 16)) * part;
    }

    private double yHeat(double celsius) {
        double from = height - 26.0;
        return from - 78 * Math.clamp(celsius, 0, HOT_C) / HOT_C;
    }

    private static String n(double value) {
        return String.format(Locale.ROOT, "%.1f", value);
    }

    private static String escaped(String text) {
        return text.replace("&", "&amp;")
                .replace("<", "&lt;")
                .replace(">", "&gt;")
                .replace("\"", "&quot;");
    }

    private void text(double x, double y, String style, String text) {
        out.append("<text x=\"")
                .append(n(x))
                .append("\" y=\"")
                .append(n(y))
                .append("\" class=\"")
                .append(style)
                .append("\">")
                .append(escaped(text))
                .append("</text>");
    }

    private void path(String style, String d) {
        out.append("<path class=\"").append(style).append("\" d=\"").append(d).append("\"/>");
    }

    private String draw() {
        out.append("<svg class=\"")
                .append(wide ? "wide" : height < 300 ? "narrow short" : "narrow tall")
                .append("\" viewBox=\"0 0 ")
                .append(width)
                .append(' ')
                .append(height)
                .append("\" role=\"img\" aria-label=\"")
                .append(escaped(alternative()))
                .append("\" data-from=\"")
                .append(n(fromS))
                .append("\" data-to=\"")
                .append(n(toS))
                .append("\" data-left=\"")
                .append(left)
                .append("\" data-right=\"")
                .append(right)
                .append("\">");
        stages();
        band();
        axes();
        fan();
        curve();
        landing();
        marks();
        rings();
        if (wide) {
            heat();
        }
        return out.append("</svg>").toString();
    }

    private String alternative() {
        double first = Double.NaN;
        double last = Double.NaN;
        for (Point p : scene.points()) {
            if (Double.isFinite(p.moisture())) {
                first = Double.isNaN(first) ? p.moisture() : first;
                last = p.moisture();
            }
        }
        Landing landing = scene.landing();
        String said =
                Words.say(
                        language,
                        "figure.alt",
                        Figures.percent(first, 0),
                        Figures.percent(landing == null ? last : landing.mean(), 1));
        return landing == null
                ? said
                : Opening.join(
                        language,
                        said,
                        Words.say(
                                language,
                                "figure.alt-lands",
                                Figures.percent(landing.target(), 1),
                                clock(landing.atS())));
    }

    private String clock(double atS) {
        return Figures.clock(Instant.ofEpochSecond(Math.round(atS)), zone);
    }

    private void stages() {
        double bottom = wide ? height - 26 : floor;
        double free = 0;
        for (Stage stage : scene.stages()) {
            double x1 = x(Math.max(stage.fromS(), fromS));
            double x2 = x(Math.min(stage.toS(), toS));
            if (x2 <= x1) {
                continue;
            }
            if (!stage.operation().equals("dry")) {
                out.append("<rect class=\"stage\" x=\"")
                        .append(n(x1))
                        .append("\" y=\"")
                        .append(wide ? 8 : 6)
                        .append("\" width=\"")
                        .append(n(x2 - x1))
                        .append("\" height=\"")
                        .append(n(bottom - 8))
                        .append("\"/>");
            }
            String word = Words.operation(language, stage.operation());
            double room = word.length() * (language == Language.JAPANESE ? 2 * CHAR : CHAR);
            if (wide && x1 >= free && x2 - x1 > room * 0.6) {
                text(x1 + 3, 24, "t3", word);
                free = x1 + room + CHAR;
            }
        }
    }

    private void band() {
        out.append("<rect class=\"band\" x=\"")
                .append(left)
                .append("\" y=\"")
                .append(n(y(BAND_TO)))
                .append("\" width=\"")
                .append(right - left)
                .append("\" height=\"")
                .append(n(y(BAND_FROM) - y(BAND_TO)))
                .append("\"/>");
        if (wide) {
            text(right + 6, y(0.055) + 5, "t2", "4–7 %");
        } else {
            text(left + 4, y(BAND_TO) - 4, "t2", "4–7 %");
        }
    }

    private void axes() {
        StringBuilder grid = new StringBuilder();
        for (double line : LINES) {
            boolean inBand = line < BAND_TO;
            if (!inBand) {
                grid.append('M')
                        .append(left)
                        .append(' ')
                        .append(n(y(line)))
                        .append('H')
                        .append(right);
            }
            text(4, y(line) + 5, "t2", Figures.plain(line * 100, inBand ? 1 : 0));
        }
        path("grid", grid.toString());
        path("axis", "M" + left + " " + (wide ? 34 : 16) + "V" + floor + "H" + right);
        times();
    }

    private void times() {
        double spanMin = (toS - fromS) / 60;
        int most = Math.max(2, (right - left) / (wide ? 100 : 84));
        int step = TICKS_MIN[TICKS_MIN.length - 1];
        for (int candidate : TICKS_MIN) {
            if (spanMin / candidate <= most) {
                step = candidate;
                break;
            }
        }
        ZonedDateTime begin = Instant.ofEpochSecond((long) fromS).atZone(zone);
        ZonedDateTime day = begin.toLocalDate().atStartOfDay(zone);
        StringBuilder ticks = new StringBuilder();
        double baseline = wide ? height - 26 : floor;
        for (long minute = 0; ; minute += step) {
            double at = day.plusMinutes(minute).toEpochSecond();
            if (at > toS) {
                break;
            }
            if (at >= fromS && x(at) < right - 24) {
                ticks.append('M').append(n(x(at))).append(' ').append(n(baseline)).append("v4");
                text(x(at) - 20, baseline + 20, "t2", clock(at));
            }
        }
        path("axis", ticks.toString());
    }

    /** Runs of points without a hole; a hole is longer than this many usual steps. */
    private List<List<Point>> runs() {
        List<List<Point>> runs = new ArrayList<>();
        List<Point> run = new ArrayList<>();
        double longest = Math.max(120, (toS - fromS) / 40);
        Point before = null;
        for (Point p : scene.points()) {
            boolean hole =
                    !Double.isFinite(p.moisture())
                            || (before != null && p.atS() - before.atS() > longest);
            if (hole && !run.isEmpty()) {
                runs.add(run);
                run = new ArrayList<>();
            }
            if (Double.isFinite(p.moisture())) {
                run.add(p);
                before = p;
            }
        }
        if (!run.isEmpty()) {
            runs.add(run);
        }
        return runs;
    }

    private void fan() {
        StringBuilder d = new StringBuilder();
        for (List<Point> run : runs()) {
            List<Point> sure = run.stream().filter(p -> Double.isFinite(p.moistureSd())).toList();
            if (sure.size() < 2) {
                continue;
            }
            char move = 'M';
            for (Point p : sure) {
                d.append(move).append(n(x(p.atS()))).append(' ');
                d.append(n(y(p.moisture() + DEVIATIONS * p.moistureSd())));
                move = 'L';
            }
            for (Point p : sure.reversed()) {
                d.append('L').append(n(x(p.atS()))).append(' ');
                d.append(n(y(p.moisture() - DEVIATIONS * p.moistureSd())));
            }
            d.append('Z');
        }
        path("fan", d.toString());
    }

    private void curve() {
        StringBuilder d = new StringBuilder();
        for (List<Point> run : runs()) {
            char move = 'M';
            for (Point p : run) {
                d.append(move).append(n(x(p.atS()))).append(' ').append(n(y(p.moisture())));
                move = 'L';
            }
        }
        path("leaf", d.toString());
    }

    private void landing() {
        Landing l = scene.landing();
        if (l == null) {
            return;
        }
        double x1 = x(l.nowS());
        double x2 = x(l.atS());
        double early = x(Math.max(l.nowS(), l.atS() - DEVIATIONS * l.sdS()));
        double late = Math.min(right, x(l.atS() + DEVIATIONS * l.sdS()));
        path(
                "fan",
                "M"
                        + n(x1)
                        + " "
                        + n(y(l.mean() + DEVIATIONS * l.sd()))
                        + "L"
                        + n(late)
                        + " "
                        + n(y(l.target()))
                        + "L"
                        + n(early)
                        + " "
                        + n(y(l.target()))
                        + "L"
                        + n(x1)
                        + " "
                        + n(y(l.mean() - DEVIATIONS * l.sd()))
                        + "Z");
        path(
                "leaf ahead",
                "M" + n(x1) + " " + n(y(l.mean())) + "L" + n(x2) + " " + n(y(l.target())));
        out.append("<circle class=\"now\" r=\"5\" cx=\"")
                .append(n(x1))
                .append("\" cy=\"")
                .append(n(y(l.mean())))
                .append("\"/>");
        path("ink", "M" + n(x2) + " " + n(y(l.target()) - 16) + "v32");
        text(Math.min(x2 - 22, right - 52), y(l.target()) - 22, "t1", clock(l.atS()));
    }

    private void marks() {
        int row = 0;
        for (Mark mark : scene.marks()) {
            double x = x(mark.atS());
            if (x < left || x > right) {
                continue;
            }
            path("mark", "M" + n(x) + " " + floor + "V" + n(60.0 + 18 * row));
            if (wide) {
                boolean leftwards = x > right - 260;
                out.append("<text class=\"ta\" x=\"")
                        .append(n(leftwards ? x - 6 : x + 6))
                        .append("\" y=\"")
                        .append(n(66.0 + 18 * row))
                        .append(leftwards ? "\" text-anchor=\"end" : "")
                        .append("\">")
                        .append(escaped(clock(mark.atS()) + " " + mark.text()))
                        .append("</text>");
            } else {
                text(x + 3, 64.0 + 18 * row, "ta", clock(mark.atS()));
            }
            row = (row + 1) % 5;
        }
    }

    private void rings() {
        for (Ring ring : scene.rings()) {
            out.append("<circle class=\"ring\" r=\"6\" cx=\"")
                    .append(n(Math.clamp(x(ring.atS()), left, right)))
                    .append("\" cy=\"")
                    .append(n(y(ring.moisture())))
                    .append("\"><title>")
                    .append(escaped(ring.text()))
                    .append("</title></circle>");
        }
    }

    private void heat() {
        StringBuilder air = new StringBuilder();
        StringBuilder exhaust = new StringBuilder();
        line(air, Point::airC);
        line(exhaust, Point::exhaustC);
        path("grid", "M" + left + " " + n(yHeat(HOT_C)) + "H" + right);
        path("axis", "M" + left + " " + n(yHeat(HOT_C)) + "V" + n(yHeat(0)) + "H" + right);
        text(4, yHeat(HOT_C) + 5, "t2", "100");
        text(4, yHeat(0) + 3, "t2", "0 °C");
        path("exhaust", exhaust.toString());
        path("air", air.toString());
        text(right + 6, yHeat(70), "tair", Words.say(language, "reading.airC"));
        text(right + 6, yHeat(40), "texhaust", Words.say(language, "reading.exhaustC"));
    }

    private void line(StringBuilder d, java.util.function.ToDoubleFunction<Point> value) {
        char move = 'M';
        for (Point p : scene.points()) {
            double celsius = value.applyAsDouble(p);
            if (Double.isFinite(celsius) && p.atS() >= fromS && p.atS() <= toS) {
                d.append(move).append(n(x(p.atS()))).append(' ').append(n(yHeat(celsius)));
                move = 'L';
            } else {
                move = 'M';
            }
        }
    }
}
