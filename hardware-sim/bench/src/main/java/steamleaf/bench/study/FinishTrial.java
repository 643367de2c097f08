package steamleaf.bench.study;

import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.batch.FinishPlan;
import steamleaf.core.batch.FinishPlan.Outlook;
import steamleaf.core.batch.FinishPlan.Stage;
import steamleaf.core.batch.Operation;
import steamleaf.core.cycle.FinishPlanner;
import steamleaf.core.cycle.RestOfRecipe;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.estimate.OvenAir;

/**
 * Somebody asks once, a while before the recipe's own end, for a certain time, accepts the plan,
 * and the plan is made anew every few minutes from then on, as the controller does.
 */
final class FinishTrial {
    // the stock line's oven
    private static final double OVEN_MOST_C = 100.0;
    private static final double HEATER_W = 6_000.0;
    private static final RestOfRecipe REST = new RestOfRecipe(StudyBatch::freshM3PerH);
    private static final FinishPlanner PLANNER = new FinishPlanner(REST, OVEN_MOST_C, HEATER_W);

    private final List<Operation> recipe;
    private final double aheadS;
    private final double laterS;
    private final double trimEveryS;
    private double wantedS = Double.NaN;
    private double plannedS;
    private @Nullable FinishPlan answer;

    /**
     * @param recipe as it is written
     * @param aheadS asked so long before the wanted time
     * @param laterS than the recipe's own end, as then expected; negative: earlier
     * @param trimEveryS infinite: the first plan is kept
     */
    FinishTrial(List<Operation> recipe, double aheadS, double laterS, double trimEveryS) {
        this.recipe = List.copyOf(recipe);
        this.aheadS = aheadS;
        this.laterS = laterS;
        this.trimEveryS = trimEveryS;
    }

    /** Time asked for, from the beginning of the batch; NaN if never asked. */
    double wantedS() {
        return wantedS;
    }

    /** What was answered to the question; null if never asked. */
    @Nullable FinishPlan answer() {
        return answer;
    }

    /**
     * A drying runs.
     *
     * @param rest of the batch; gets the plan's air and dampers
     */
    void look(
            MoistureFilter filter,
            OvenAir air,
            List<Operation> rest,
            double nowS,
            double driedS,
            Sensors sensors) {
        boolean asked = !Double.isNaN(wantedS);
        if (asked && nowS - plannedS < trimEveryS) {
            return;
        }
        int first = recipe.size() - rest.size();
        FinishPlanner.Standing now =
                new FinishPlanner.Standing(
                        filter,
                        new MoistureFilter(filter.leaf(), Band.GREEN_TEA),
                        air,
                        recipe.subList(first, recipe.size()),
                        first,
                        driedS,
                        0.0,
                        sensors.humidity(),
                        sensors.scale());
        if (!asked) {
            if (!(PLANNER.recipeInS(now) <= aheadS - laterS)) {
                return;
            }
            wantedS = nowS + aheadS;
        }
        FinishPlan plan = PLANNER.finishIn(now, wantedS - nowS, !asked);
        plannedS = nowS;
        if (!asked) {
            answer = plan;
            if (plan instanceof FinishPlan.OnlyNear(Outlook nearest, _)) {
                wantedS = nowS + nearest.inS(); // then as near as it can be done
            }
        }
        switch (plan) {
            case FinishPlan.Reached(Outlook outlook) -> take(outlook, rest, first);
            case FinishPlan.OnlyNear(Outlook outlook, _) -> take(outlook, rest, first);
            case FinishPlan.Never _, FinishPlan.NothingLeft _ -> {}
        }
    }

    private static void take(Outlook outlook, List<Operation> rest, int first) {
        for (Stage stage : outlook.stages()) {
            int i = stage.operation() - first;
            rest.set(i, ((Operation.Dry) rest.get(i)).with(stage.airC(), stage.damper()));
        }
    }
}
