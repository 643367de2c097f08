package steamleaf.core.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import steamleaf.core.batch.EndPoint;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.StockRecipes;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.estimate.OvenAir;
import steamleaf.core.estimate.TimeToTarget;

final class RestOfRecipeTest {
    private static final double FULL_M3_PER_H = 200.0;
    private static final RestOfRecipe REST = new RestOfRecipe(damper -> FULL_M3_PER_H * damper);
    private static final OvenAir AIR =
            new OvenAir(75, Double.NaN, Double.NaN, 22, 0.5, 100, 60, 1, false, Double.NaN, 0);
    private static final Band BAND = Band.GREEN_TEA;
    private static final List<Operation> STANDARD = StockRecipes.standard().procedure();

    private static MoistureFilter leaf(double moisture) {
        MoistureFilter filter = new MoistureFilter(LeafParameters.STOCK, BAND);
        filter.step(AIR, 1.0);
        filter.load(1.0, 0.01, moisture, 0.02);
        return filter;
    }

    private static List<Operation> from(int dryingsLeft) {
        int found = 0;
        int i = STANDARD.size();
        while (found < dryingsLeft) {
            found += STANDARD.get(--i) instanceof Operation.Dry ? 1 : 0;
        }
        return STANDARD.subList(i, STANDARD.size());
    }

    @Test
    void theLastDryingTakesWhatTheFiltersOwnLookAheadSaysToItsAimAndTheCooling() {
        Operation.Dry last = (Operation.Dry) from(1).getFirst();
        OvenAir air = AIR.settled(last.airC()).with(last.airC(), FULL_M3_PER_H * last.damper());
        MoistureFilter filter = leaf(0.09);
        var landing = (TimeToTarget.In) filter.lookAhead(last.endMoisture(), air, 36_000);
        double sd = landing.moistureSd();
        double aim = Objects.requireNonNull(EndPoint.of(BAND, 0.05, sd, 0, 0)).aim();
        assertTrue(aim > 0.0525, "nothing measured, so nearer to the middle, not " + aim);
        double carryOver = leaf(aim + 0.005).carryOver(air); // nearly at the end
        double aheadS =
                ((TimeToTarget.In) filter.lookAhead(aim + carryOver, air, 36_000)).secondsS();
        double coolingS = 130.0 * Math.log((last.airC() - 22.0) / (35.0 - 22.0)); // first order
        assertEquals(
                aheadS + coolingS, REST.secondsLeft(leaf(0.09), air, from(1), 0.0), 0.1 * aheadS);
    }

    @Test
    void workInBetweenTakesItsTimeAndADryingMoreIsLonger() {
        double restS = 30 * 60.0 + 20 * 60.0;
        double lastTwo = REST.secondsLeft(leaf(0.24), AIR, from(2), 0.0);
        double lastThree = REST.secondsLeft(leaf(0.49), AIR, from(3), 0.0);
        assertTrue(lastTwo > 30 * 60.0, "the rest alone is half an hour, not " + lastTwo);
        assertTrue(lastThree > restS, "rest and shaping alone, not " + lastThree);
        assertTrue(lastThree > lastTwo + 20 * 60.0);
    }

    @Test
    void driedLeafOnlyCools() {
        List<Operation> cooling =
                STANDARD.stream().filter(o -> o instanceof Operation.CoolInOven).toList();
        assertEquals(
                130.0 * Math.log((75.0 - 22.0) / (35.0 - 22.0)),
                REST.secondsLeft(leaf(0.055), AIR, cooling, 0.0),
                1e-9);
        assertEquals(
                0.0,
                REST.secondsLeft(leaf(0.055), AIR.settled(30.0), cooling, 0.0),
                "it is cold already");
    }

    @Test
    void airThatIsTooWetIsNoFinish() {
        OvenAir jungle = new OvenAir(75, Double.NaN, Double.NaN, 40, 1.0, 100, 60, 1, false, 0, 0);
        MoistureFilter filter = new MoistureFilter(LeafParameters.STOCK, BAND);
        filter.step(jungle, 1.0);
        filter.load(1.0, 0.01, 0.12, 0.02);
        Operation.Dry cool =
                new Operation.Dry(
                        45.0,
                        75.0,
                        0.055,
                        0.3,
                        7_200.0,
                        ((Operation.Dry) from(1).getFirst()).turn(),
                        true);
        assertTrue(Double.isNaN(REST.secondsLeft(filter, jungle, List.of(cool), 0.0)));
    }
}
