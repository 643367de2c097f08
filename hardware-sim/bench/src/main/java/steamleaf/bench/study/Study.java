package steamleaf.bench.study;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import java.util.function.ToDoubleFunction;
import steamleaf.core.batch.StockRecipes;
import steamleaf.core.cycle.LoopSettings;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.learn.Learned;

/** Many random plants, one batch each; the same order gives the same numbers to the last bit. */
public final class Study {
    /**
     * @param learned batches with a hand sample that each run's oven and leaf do first
     * @param loop of the oven's air, for plants that have one
     */
    public record Order(
            int runs,
            Sensors sensors,
            Structure structure,
            long seed,
            int learned,
            LoopSettings loop) {}

    /**
     * @param plantSeed of this run
     * @param boundSd least deviation of an estimate, on the matched plant of this run, 0 to 1
     */
    record Run(long plantSeed, StudyBatch.Outcome outcome, double boundSd) {}

    private static final Band BAND = Band.GREEN_TEA;
    private static final double POINTS = 100.0;

    private final Order order;
    private final List<Run> runs = new ArrayList<>();

    private Study(Order order) {
        this.order = order;
    }

    public static Study of(Order order) {
        Study study = new Study(order);
        SplittableRandom seeds = new SplittableRandom(order.seed());
        for (int i = 0; i < order.runs(); i++) {
            study.runs.add(study.one(seeds.nextLong()));
        }
        return study;
    }

    private Run one(long plantSeed) {
        LeafParameters stock = LeafParameters.STOCK;
        LeafParameters known = learned(plantSeed).applied(stock).on(stock);
        MatchedPlant matched = new MatchedPlant(plantSeed, stock, order.sensors());
        boolean alsoDiffusing = order.structure() == Structure.DIFFUSING;
        // on diffusing plants only the bound counts of it, which follows the batch as it runs
        StudyBatch.Outcome own = batch(matched, alsoDiffusing ? stock : known, order.sensors());
        StudyBatch.Outcome outcome =
                alsoDiffusing
                        ? batch(new SimulatedPlant(plantSeed, order.loop()), known, order.sensors())
                        : own;
        return new Run(plantSeed, outcome, matched.boundSd());
    }

    private static StudyBatch.Outcome batch(
            StudyPlant plant, LeafParameters known, Sensors sensors) {
        return StudyBatch.run(
                plant, new MoistureFilter(known, BAND), sensors, StockRecipes.standard());
    }

    /**
     * What batches before this one taught: the same oven with other lots on other days, each begun
     * with what those before it taught. A matched plant has no oven that lasts: all is drawn anew,
     * so that there is nothing to learn.
     */
    private Learned learned(long plantSeed) {
        SplittableRandom days = new SplittableRandom(plantSeed);
        Learned learned = Learned.NOTHING;
        for (int i = 0; i < order.learned(); i++) {
            long daySeed = days.nextLong();
            LeafParameters known = learned.applied(LeafParameters.STOCK).on(LeafParameters.STOCK);
            Sensors sensors = order.sensors().withSample();
            StudyPlant plant =
                    switch (order.structure()) {
                        case MATCHED -> new MatchedPlant(daySeed, LeafParameters.STOCK, sensors);
                        case DIFFUSING ->
                                SimulatedPlant.otherBatch(plantSeed, daySeed, order.loop());
                    };
            StudyBatch.Outcome day =
                    StudyBatch.teaching(
                            plant,
                            new MoistureFilter(known, BAND),
                            sensors,
                            StockRecipes.standard());
            learned = learned.with(day.taught().lesson("day " + (i + 1), known));
        }
        return learned;
    }

    List<Run> runs() {
        return List.copyOf(runs);
    }

    private double mean(ToDoubleFunction<Run> number) {
        return runs.stream().mapToDouble(number).average().orElse(Double.NaN);
    }

    private static boolean inside(Run run) {
        double truth = run.outcome().truth();
        return truth >= BAND.lowest() && truth <= BAND.highest();
    }

    public StudySummary summary() {
        double rms = Math.sqrt(mean(r -> r.outcome().error() * r.outcome().error()));
        double bound = Math.sqrt(mean(r -> r.boundSd() * r.boundSd()));
        double[] finish =
                runs.stream()
                        .mapToDouble(r -> r.outcome().finishErrorShare())
                        .filter(Double::isFinite)
                        .toArray();
        double squares = 0.0;
        for (double share : finish) {
            squares += share * share;
        }
        return new StudySummary(
                order.runs(),
                order.sensors().word(),
                order.structure().word(),
                order.seed(),
                order.learned(),
                rounded(POINTS * rms),
                rounded(POINTS * mean(r -> r.outcome().error())),
                rounded(POINTS * bound),
                rounded(rms / bound),
                rounded(mean(r -> r.outcome().squaredNormalisedError())),
                rounded(mean(r -> inside(r) ? 1.0 : 0.0)),
                finish.length > 0 ? rounded(Math.sqrt(squares / finish.length)) : null,
                order.runs() - finish.length,
                (int) runs.stream().filter(r -> r.outcome().unfinished()).count());
    }

    private static double rounded(double value) {
        return Math.round(value * 1e4) / 1e4;
    }

    /** One row a run; moistures in percent, wet basis. */
    public String csv() {
        StringBuilder out =
                new StringBuilder(
                        "run,plant_seed,true_percent,estimated_percent,deviation_points,error_points,"
                                + "normalised_error_squared,inside_band,seconds,finish_error_share,"
                                + "cramer_rao_points,unfinished\n");
        for (int i = 0; i < runs.size(); i++) {
            Run run = runs.get(i);
            StudyBatch.Outcome o = run.outcome();
            out.append(
                    String.format(
                            Locale.ROOT,
                            "%d,%d,%.4f,%.4f,%.4f,%.4f,%.4f,%d,%.0f,%s,%.4f,%d\n",
                            i + 1,
                            run.plantSeed(),
                            POINTS * o.truth(),
                            POINTS * o.mean(),
                            POINTS * o.sd(),
                            POINTS * o.error(),
                            o.squaredNormalisedError(),
                            inside(run) ? 1 : 0,
                            o.seconds(),
                            Double.isFinite(o.finishErrorShare())
                                    ? String.format(Locale.ROOT, "%.4f", o.finishErrorShare())
                                    : "",
                            POINTS * run.boundSd(),
                            o.unfinished() ? 1 : 0));
        }
        return out.toString();
    }

    /** Estimate over truth, with the band. */
    public String svg() {
        return Plot.of(runs, summary(), BAND);
    }
}
