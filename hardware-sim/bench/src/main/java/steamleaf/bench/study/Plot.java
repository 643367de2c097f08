package steamleaf.bench.study;

import java.util.List;
import java.util.Locale;
import steamleaf.core.estimate.Band;

/**
 * Estimate over true moisture at the end, one stroke of ± one stated deviation a run: paper ground,
 * ink, the leaf's colour, the band.
 */
final class Plot {
    private static final int LEFT = 72;
    private static final int TOP = 76;
    private static final int SIDE = 520;

    private final StringBuilder out = new StringBuilder();
    private final int lowest;
    private final int highest;

    private Plot(int lowest, int highest) {
        this.lowest = lowest;
        this.highest = highest;
    }

    static String of(List<Study.Run> runs, StudySummary summary, Band band) {
        double least = 100.0 * band.lowest();
        double most = 100.0 * band.highest();
        for (Study.Run run : runs) {
            StudyBatch.Outcome o = run.outcome();
            least = Math.min(least, 100.0 * Math.min(o.truth(), o.mean() - o.sd()));
            most = Math.max(most, 100.0 * Math.max(o.truth(), o.mean() + o.sd()));
        }
        int from = Math.max(0, (int) Math.floor(least - 0.2));
        Plot plot = new Plot(from, (int) Math.ceil(most + 0.2));
        plot.draw(runs, summary, band);
        return plot.out.toString();
    }

    private void draw(List<Study.Run> runs, StudySummary summary, Band band) {
        add(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 640 660\" width=\"640\" height=\"660\" role=\"img\""
                        + " font-family=\"'Atkinson Hyperlegible', system-ui, sans-serif\" font-size=\"13\">");
        add(String.format(Locale.ROOT, "<title>%s</title>", sentence(summary)));
        add("<rect width=\"640\" height=\"660\" fill=\"#f5f2ea\"/>");
        add(
                String.format(
                        Locale.ROOT,
                        "<text x=\"%d\" y=\"30\" font-size=\"16\" fill=\"#20251f\">%s</text>",
                        LEFT,
                        sentence(summary)));
        add(
                String.format(
                        Locale.ROOT,
                        "<text x=\"%d\" y=\"52\" fill=\"#565c52\">%s plants, sensors %s, seed %d; ± one stated deviation</text>",
                        LEFT,
                        summary.structure(),
                        summary.sensors(),
                        summary.seed()));
        add(
                String.format(
                        Locale.ROOT,
                        "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" fill=\"#fffdf8\"/>",
                        LEFT,
                        TOP,
                        SIDE,
                        SIDE));
        double bandLeft = x(100.0 * band.lowest());
        add(
                String.format(
                        Locale.ROOT,
                        "<rect x=\"%.1f\" y=\"%d\" width=\"%.1f\" height=\"%d\" fill=\"#efe3ad\"/>",
                        bandLeft,
                        TOP,
                        x(100.0 * band.highest()) - bandLeft,
                        SIDE));
        grid();
        add(
                String.format(
                        Locale.ROOT,
                        "<line x1=\"%.1f\" y1=\"%.1f\" x2=\"%.1f\" y2=\"%.1f\" stroke=\"#20251f\" stroke-width=\"1\"/>",
                        x(lowest),
                        y(lowest),
                        x(highest),
                        y(highest)));
        for (Study.Run run : runs) {
            StudyBatch.Outcome o = run.outcome();
            double at = x(100.0 * o.truth());
            add(
                    String.format(
                            Locale.ROOT,
                            "<line x1=\"%.1f\" y1=\"%.1f\" x2=\"%.1f\" y2=\"%.1f\" stroke=\"#4a6b2a\" stroke-opacity=\"0.4\"/>",
                            at,
                            y(100.0 * (o.mean() - o.sd())),
                            at,
                            y(100.0 * (o.mean() + o.sd()))));
            add(
                    String.format(
                            Locale.ROOT,
                            "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"3\" fill=\"#4a6b2a\"/>",
                            at,
                            y(100.0 * o.mean())));
        }
        add(
                String.format(
                        Locale.ROOT,
                        "<text x=\"%d\" y=\"640\" text-anchor=\"middle\" fill=\"#20251f\">true moisture, %% wet basis (band shaded)</text>",
                        LEFT + SIDE / 2));
        add(
                String.format(
                        Locale.ROOT,
                        "<text transform=\"translate(24 %d) rotate(-90)\" text-anchor=\"middle\" fill=\"#20251f\">estimated moisture, %%</text>",
                        TOP + SIDE / 2));
        add("</svg>");
    }

    private void grid() {
        int every = Math.max(1, (highest - lowest + 11) / 12);
        for (int percent = lowest; percent <= highest; percent += every) {
            add(
                    String.format(
                            Locale.ROOT,
                            "<line x1=\"%.1f\" y1=\"%d\" x2=\"%.1f\" y2=\"%d\" stroke=\"#d8d2c3\" stroke-width=\"0.5\"/>",
                            x(percent),
                            TOP,
                            x(percent),
                            TOP + SIDE));
            add(
                    String.format(
                            Locale.ROOT,
                            "<line x1=\"%d\" y1=\"%.1f\" x2=\"%d\" y2=\"%.1f\" stroke=\"#d8d2c3\" stroke-width=\"0.5\"/>",
                            LEFT,
                            y(percent),
                            LEFT + SIDE,
                            y(percent)));
            add(
                    String.format(
                            Locale.ROOT,
                            "<text x=\"%.1f\" y=\"%d\" text-anchor=\"middle\" fill=\"#565c52\">%d</text>",
                            x(percent),
                            TOP + SIDE + 18,
                            percent));
            add(
                    String.format(
                            Locale.ROOT,
                            "<text x=\"%d\" y=\"%.1f\" text-anchor=\"end\" fill=\"#565c52\">%d</text>",
                            LEFT - 8,
                            y(percent) + 4,
                            percent));
        }
    }

    private static String sentence(StudySummary s) {
        return String.format(
                Locale.ROOT,
                "%.0f %% of %d batches landed in 4–7 %%; the estimate was off by %.2f points (rms)",
                100.0 * s.shareInsideBand(),
                s.runs(),
                s.rmsErrorPoints());
    }

    private double x(double percent) {
        return LEFT + SIDE * (percent - lowest) / (highest - lowest);
    }

    private double y(double percent) {
        return TOP + SIDE - SIDE * (percent - lowest) / (highest - lowest);
    }

    private void add(String element) {
        out.append(element).append('\n');
    }
}
