package steamleaf.bench.study;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import java.util.function.ToDoubleFunction;
import steamleaf.core.batch.FinishPlan;
import steamleaf.core.batch.Recipe;
import steamleaf.core.batch.StockRecipes;
import steamleaf.core.cycle.LoopSettings;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureFilter;

/**
 * How far from the wanted time random batches end, when somebody asks for one a while before and
 * accepts the plan.
 */
public final class FinishStudy {
    /**
     * @param aheadMin asked so long before the wanted time
     * @param trimMin the plan is made anew so often; 0 for never
     */
    public record Order(
            int runs,
            Sensors sensors,
            Structure structure,
            long seed,
            LoopSettings loop,
            double aheadMin,
            double trimMin) {}

    /**
     * @param laterMin than the recipe's own end, as expected when asked
     * @param errorMin true end less the wanted one; NaN if never asked
     * @param statedSdMin of the plan that was accepted, which knows nothing of trimming
     */
    record Run(
            long plantSeed,
            double laterMin,
            boolean promised,
            double errorMin,
            double statedSdMin,
            double truth,
            boolean unfinished) {}

    /**
     * @param promised runs whose plan said that it can be done as asked; in the others the nearest
     *     time that was offered is the wanted one
     * @param rmsMin of all runs in which somebody asked; likewise all that follow
     */
    public record Summary(
            int runs,
            String sensors,
            String structure,
            long seed,
            double aheadMin,
            double trimMin,
            int promised,
            double rmsMin,
            double biasMin,
            double worstMin,
            double shareWithin5Min,
            double meanSquaredNormalised,
            double shareInsideBand,
            int unfinished) {}

    /** The wanted time is so much later than the recipe's own end; drawn evenly. */
    private static final double EARLIEST_MIN = 0.0;

    private static final double LATEST_MIN = 20.0;
    private static final double WITHIN_MIN = 5.0;
    private static final Band BAND = Band.GREEN_TEA;

    private final Order order;
    private final List<Run> runs = new ArrayList<>();

    private FinishStudy(Order order) {
        this.order = order;
    }

    public static FinishStudy of(Order order) {
        FinishStudy study = new FinishStudy(order);
        SplittableRandom seeds = new SplittableRandom(order.seed());
        for (int i = 0; i < order.runs(); i++) {
            long plantSeed = seeds.nextLong();
            double later = new SplittableRandom(plantSeed).nextDouble(EARLIEST_MIN, LATEST_MIN);
            study.runs.add(study.one(plantSeed, later));
        }
        return study;
    }

    private Run one(long plantSeed, double laterMin) {
        Recipe recipe = StockRecipes.standard();
        Sensors sensors = order.sensors();
        LeafParameters stock = LeafParameters.STOCK;
        FinishTrial trial =
                new FinishTrial(
                        recipe.procedure(),
                        60.0 * order.aheadMin(),
                        60.0 * laterMin,
                        order.trimMin() > 0.0 ? 60.0 * order.trimMin() : Double.POSITIVE_INFINITY);
        StudyPlant plant =
                switch (order.structure()) {
                    case MATCHED -> new MatchedPlant(plantSeed, stock, sensors);
                    case DIFFUSING -> new SimulatedPlant(plantSeed, order.loop());
                };
        StudyBatch.Outcome outcome =
                StudyBatch.run(plant, new MoistureFilter(stock, BAND), sensors, recipe, trial);
        FinishPlan answer = trial.answer();
        return new Run(
                plantSeed,
                laterMin,
                answer instanceof FinishPlan.Reached,
                (outcome.seconds() - trial.wantedS()) / 60.0,
                switch (answer) {
                    case FinishPlan.Reached(var outlook) -> outlook.sdS() / 60.0;
                    case FinishPlan.OnlyNear(var outlook, _) -> outlook.sdS() / 60.0;
                    case null, default -> Double.NaN;
                },
                outcome.truth(),
                outcome.unfinished());
    }

    private static double mean(List<Run> of, ToDoubleFunction<Run> number) {
        return of.stream().mapToDouble(number).average().orElse(Double.NaN);
    }

    public Summary summary() {
        List<Run> asked = runs.stream().filter(r -> !Double.isNaN(r.errorMin())).toList();
        double[] errors = asked.stream().mapToDouble(r -> Math.abs(r.errorMin())).toArray();
        return new Summary(
                order.runs(),
                order.sensors().word(),
                order.structure().word(),
                order.seed(),
                order.aheadMin(),
                order.trimMin(),
                (int) runs.stream().filter(Run::promised).count(),
                rounded(Math.sqrt(mean(asked, r -> r.errorMin() * r.errorMin()))),
                rounded(mean(asked, Run::errorMin)),
                rounded(Arrays.stream(errors).max().orElse(Double.NaN)),
                rounded(mean(asked, r -> Math.abs(r.errorMin()) <= WITHIN_MIN ? 1.0 : 0.0)),
                rounded(mean(asked, r -> Math.pow(r.errorMin() / r.statedSdMin(), 2))),
                rounded(
                        mean(
                                asked,
                                r ->
                                        r.truth() >= BAND.lowest() && r.truth() <= BAND.highest()
                                                ? 1.0
                                                : 0.0)),
                (int) runs.stream().filter(Run::unfinished).count());
    }

    private static double rounded(double value) {
        return Math.round(value * 1e3) / 1e3;
    }

    /** One row a run. */
    public String csv() {
        StringBuilder out =
                new StringBuilder(
                        "run,plant_seed,later_min,promised,error_min,stated_sd_min,true_percent,unfinished\n");
        for (int i = 0; i < runs.size(); i++) {
            Run run = runs.get(i);
            out.append(
                    String.format(
                            Locale.ROOT,
                            "%d,%d,%.2f,%d,%.2f,%.2f,%.3f,%d\n",
                            i + 1,
                            run.plantSeed(),
                            run.laterMin(),
                            run.promised() ? 1 : 0,
                            run.errorMin(),
                            run.statedSdMin(),
                            100.0 * run.truth(),
                            run.unfinished() ? 1 : 0));
        }
        return out.toString();
    }
}
