package steamleaf.core.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.UnaryOperator;
import org.junit.jupiter.api.Test;
import steamleaf.core.batch.FinishPlan;
import steamleaf.core.batch.FinishPlan.Bound;
import steamleaf.core.batch.FinishPlan.Outlook;
import steamleaf.core.batch.FinishPlan.Stage;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.StockRecipes;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.estimate.OvenAir;

final class FinishPlannerTest {
    private static final RestOfRecipe REST = new RestOfRecipe(damper -> 200.0 * damper);
    private static final FinishPlanner PLANNER = new FinishPlanner(REST, 100.0, 6_000.0);
    private static final OvenAir AIR =
            new OvenAir(70, Double.NaN, Double.NaN, 22, 0.5, 100, 150, 1, false, Double.NaN, 0);
    private static final List<Operation> STANDARD = StockRecipes.standard().procedure();

    /** The second of four dryings runs. */
    private static final int SECOND = 4;

    private static FinishPlanner.Standing standing(double moisture, int from, OvenAir air) {
        MoistureFilter filter = new MoistureFilter(LeafParameters.STOCK, Band.GREEN_TEA);
        filter.step(air, 1.0);
        filter.load(1.0, 0.01, moisture, 0.01);
        return new FinishPlanner.Standing(
                filter,
                new MoistureFilter(LeafParameters.STOCK, Band.GREEN_TEA),
                air,
                STANDARD.subList(from, STANDARD.size()),
                from,
                600.0,
                0.0,
                true,
                true);
    }

    private static OvenAir room(double roomC, double roomRh) {
        return new OvenAir(
                75, Double.NaN, Double.NaN, roomC, roomRh, 100, 60, 1, false, Double.NaN, 0);
    }

    private static FinishPlanner.Standing halfDry() {
        return standing(0.40, SECOND, AIR);
    }

    private static Outlook reached(FinishPlan plan) {
        return assertInstanceOf(FinishPlan.Reached.class, plan).outlook();
    }

    /** The plan's stages put into the recipe, and the rest of that forecast. */
    private static double forecastS(FinishPlanner.Standing now, List<Stage> stages) {
        List<Operation> rest = new ArrayList<>(now.rest());
        for (Stage stage : stages) {
            int i = stage.operation() - now.first();
            rest.set(i, ((Operation.Dry) rest.get(i)).with(stage.airC(), stage.damper()));
        }
        now.leaf().copyTo(now.scout());
        return REST.secondsLeft(
                now.scout(), now.air(), rest, now.driedS(), now.humidity(), now.scale());
    }

    @Test
    void noEndIsPromisedThatNeedsTheLastDryingAtItsWarmestButOnceItIsPromisedEverythingHelps() {
        FinishPlanner.Standing now = halfDry();
        FinishPlan.OnlyNear promised =
                assertInstanceOf(FinishPlan.OnlyNear.class, PLANNER.finishIn(now, 0.0, true));
        assertEquals(Bound.RESERVE, promised.bound());
        assertEquals(75.0 - 10.0, promised.nearest().stages().getLast().airC(), 0.11);
        assertEquals(70.0 + 10.0, promised.nearest().stages().getFirst().airC(), 0.11);
        Outlook hurried = near(now, 0.0);
        assertTrue(hurried.inS() < promised.nearest().inS() - 300.0);
        assertEquals(85.0, hurried.stages().getLast().airC(), 0.11);
        assertEquals(
                promised.nearest().inS(),
                reached(PLANNER.finishIn(now, promised.nearest().inS(), true)).inS(),
                FinishPlanner.NEAR_S);
    }

    @Test
    void whereOnlyTheLastDryingIsLeftItsWarmestAirIsPromised() {
        FinishPlanner.Standing now =
                with(standing(0.09, 8, AIR), dry -> dry.upTo(Double.POSITIVE_INFINITY));
        assertEquals(Bound.RECIPE_RANGE, bound(PLANNER, now, 0.0));
        double warmestS = near(now, 0.0).inS();
        assertEquals(warmestS, reached(PLANNER.finishIn(now, warmestS, true)).inS(), 1.0);
    }

    @Test
    void everyTimeBetweenTheEarliestAndTheLatestIsReachedByThePlansOwnForecast() {
        FinishPlanner.Standing now = halfDry();
        double earliestS = near(now, 0.0).inS();
        double latestS = near(now, 86_400.0).inS();
        double recipeS = PLANNER.recipeInS(now);
        assertTrue(earliestS < recipeS - 120.0 && recipeS < latestS - 1_200.0);
        for (double wantedS = earliestS; wantedS <= latestS; wantedS += 300.0) {
            Outlook plan = reached(PLANNER.finishIn(now, wantedS, false));
            assertEquals(wantedS, plan.inS(), FinishPlanner.NEAR_S);
            assertEquals(plan.inS(), forecastS(now, plan.stages()), 1.0);
        }
    }

    @Test
    void aLaterEndIsCoolerFirstAndLessAirOnlyThen() {
        FinishPlanner.Standing now = halfDry();
        double recipeS = PLANNER.recipeInS(now);
        double before = Double.POSITIVE_INFINITY;
        boolean throttled = false;
        for (double laterS = 300.0; laterS < 7_200.0; laterS += 20.0) {
            if (!(PLANNER.finishIn(now, recipeS + laterS, false)
                    instanceof FinishPlan.Reached(Outlook plan))) {
                break;
            }
            Stage first = plan.stages().getFirst();
            assertTrue(first.airC() <= before);
            before = first.airC();
            if (first.damper() < 0.75) {
                throttled = true;
                assertEquals(FinishPlanner.COOLEST_C, first.airC(), 1e-9);
            }
        }
        assertTrue(throttled, "the dampers were never needed");
    }

    @Test
    void aPlanStaysInsideTheRangeAroundTheRecipeAndInsideTheOven() {
        FinishPlanner small = new FinishPlanner(REST, 77.0, 6_000.0);
        for (double wantedS : new double[] {0.0, 6_000.0, 7_200.0, 9_000.0, 86_400.0}) {
            for (Stage stage : outlook(small.finishIn(halfDry(), wantedS, false)).stages()) {
                Operation.Dry dry = (Operation.Dry) STANDARD.get(stage.operation());
                assertTrue(stage.airC() >= dry.airC() - FinishPlanner.COOLER_K - 1e-9);
                assertTrue(stage.airC() <= Math.min(77.0, dry.airC() + FinishPlanner.WARMER_K));
                assertTrue(stage.damper() >= 0.5 * dry.damper() - 1e-3);
                assertTrue(stage.damper() <= 1.0);
            }
        }
    }

    @Test
    void coolerAirKeepsMoreOfTheGreenEvenThoughItTakesLonger() {
        FinishPlanner.Standing now = halfDry();
        double recipeS = PLANNER.recipeInS(now);
        double soon = reached(PLANNER.finishIn(now, recipeS, false)).greenKept();
        double late = reached(PLANNER.finishIn(now, recipeS + 1_200.0, false)).greenKept();
        assertTrue(soon > 0.5 && soon < 1.0, "green kept " + soon);
        assertTrue(late > soon, late + " against " + soon);
    }

    @Test
    void theOutlookSaysHowSureItIsAndWhereTheLeafEnds() {
        Outlook plan =
                reached(PLANNER.finishIn(halfDry(), PLANNER.recipeInS(halfDry()) + 600.0, false));
        assertTrue(plan.sdS() > 60.0 && plan.sdS() < 3_600.0, "sd " + plan.sdS());
        assertTrue(plan.moisture() > 0.045 && plan.moisture() < 0.065, "at " + plan.moisture());
        assertTrue(plan.moistureSd() > 0.001 && plan.moistureSd() < 0.03);
    }

    @Test
    void whatKeepsTheEndFromComingEarlierIsNamed() {
        assertEquals(
                Bound.RECIPE_RANGE,
                bound(PLANNER, with(standing(0.09, 8, AIR), d -> d.upTo(90.0)), 0.0));
        assertEquals(
                Bound.OVEN_LIMIT,
                bound(
                        new FinishPlanner(REST, 76.0, 6_000.0),
                        with(standing(0.09, 8, AIR), d -> d.upTo(90.0)),
                        0.0));
        assertEquals(
                Bound.HEATER,
                bound(
                        new FinishPlanner(REST, 100.0, 1_000.0),
                        with(standing(0.20, 6, AIR), d -> d.upTo(90.0)),
                        0.0));
        assertEquals(Bound.LEAF_LIMIT, bound(PLANNER, standing(0.75, 2, AIR), 0.0));
    }

    @Test
    void noLaterEndIsPlannedThanThatALongestTimeWouldCutShort() {
        FinishPlanner.Standing now = halfDry();
        double latestS = near(now, 86_400.0).inS();
        assertEquals(Bound.RECIPE_RANGE, bound(PLANNER, now, 86_400.0));
        FinishPlanner.Standing hurried = with(now, d -> longest(d, 3_600.0));
        assertEquals(Bound.RECIPE_RANGE, bound(PLANNER, hurried, 86_400.0));
        assertTrue(near(hurried, 86_400.0).inS() < latestS - 300.0);
    }

    private static Operation.Dry longest(Operation.Dry dry, double longestS) {
        return new Operation.Dry(
                dry.airC(),
                dry.leafMaxC(),
                dry.endMoisture(),
                dry.damper(),
                longestS,
                dry.turn(),
                dry.askForSample());
    }

    /** The same leaf with other dryings left. */
    private static FinishPlanner.Standing with(
            FinishPlanner.Standing now, UnaryOperator<Operation.Dry> change) {
        List<Operation> rest = new ArrayList<>(now.rest());
        rest.replaceAll(o -> o instanceof Operation.Dry dry ? change.apply(dry) : o);
        return new FinishPlanner.Standing(
                now.leaf(),
                now.scout(),
                now.air(),
                rest,
                now.first(),
                now.driedS(),
                now.extraS(),
                now.humidity(),
                now.scale());
    }

    @Test
    void inWetRoomAirTheLatestEndIsWhereTheLeafCouldNoLongerGetDry() {
        OvenAir wet = room(55.0, 1.0);
        FinishPlanner.Standing now = with(standing(0.12, 8, wet), dry -> longest(dry, 8 * 3_600.0));
        assertEquals(Bound.EQUILIBRIUM, bound(PLANNER, now, 86_400.0));
    }

    @Test
    void airThatNeverDriesAndARestWithoutDryingAreSaidSo() {
        FinishPlanner.Standing jungle =
                with(standing(0.12, 8, room(45.0, 1.0)), dry -> dry.with(36.0, 0.3));
        assertInstanceOf(FinishPlan.Never.class, PLANNER.finishIn(jungle, 7_200.0, false));
        assertInstanceOf(
                FinishPlan.NothingLeft.class,
                PLANNER.finishIn(standing(0.055, 9, AIR), 600.0, true));
    }

    @Test
    void theFilterOfTheLeafIsNotTouched() {
        FinishPlanner.Standing now = halfDry();
        Map<String, Object> before = Map.of("state", now.leaf().state());
        PLANNER.finishIn(now, 7_200.0, false);
        assertEquals(before, Map.of("state", now.leaf().state()));
    }

    @Test
    void leafThatIsNotBackInTheOvenEndsLaterByThat() {
        FinishPlanner.Standing now = halfDry();
        FinishPlanner.Standing out =
                new FinishPlanner.Standing(
                        now.leaf(),
                        now.scout(),
                        now.air(),
                        now.rest(),
                        now.first(),
                        now.driedS(),
                        200.0,
                        true,
                        true);
        assertEquals(PLANNER.recipeInS(now) + 200.0, PLANNER.recipeInS(out), 1e-9);
    }

    private static Outlook near(FinishPlanner.Standing now, double wantedS) {
        return outlook(PLANNER.finishIn(now, wantedS, false));
    }

    private static Outlook outlook(FinishPlan plan) {
        return switch (plan) {
            case FinishPlan.Reached(Outlook outlook) -> outlook;
            case FinishPlan.OnlyNear(Outlook outlook, _) -> outlook;
            case FinishPlan.Never _, FinishPlan.NothingLeft _ -> throw new AssertionError(plan);
        };
    }

    private static Bound bound(FinishPlanner planner, FinishPlanner.Standing now, double wantedS) {
        return assertInstanceOf(FinishPlan.OnlyNear.class, planner.finishIn(now, wantedS, false))
                .bound();
    }
}
