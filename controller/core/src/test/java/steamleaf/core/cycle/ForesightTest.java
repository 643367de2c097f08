package steamleaf.core.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.StockRecipes;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.estimate.OvenAir;
import steamleaf.core.learn.Applied;
import steamleaf.core.learn.Taught;

/** When an oven's leaf looks ahead to the end of its batch. */
class ForesightTest {
    private static final List<Operation> STANDARD = StockRecipes.standard().procedure();
    private static final int REST = 7;
    private static final OvenAir AIR =
            new OvenAir(22, Double.NaN, Double.NaN, 22, 0.5, 100, 60, 1, false, Double.NaN, 0);
    private static final FinishPlanner PLANNER =
            new FinishPlanner(new RestOfRecipe(damper -> 200.0 * damper), 100.0, 6_000.0);

    private final OvenLeaf leaf = resting();

    private static OvenLeaf resting() {
        MoistureFilter filter = new MoistureFilter(LeafParameters.STOCK, Band.GREEN_TEA);
        filter.step(AIR, 1.0);
        filter.load(0.98, 0.01, 0.13, 0.01);
        LeafSnapshot kept =
                new LeafSnapshot(
                        Double.NaN,
                        filter.state(),
                        null,
                        Applied.nothing(LeafParameters.STOCK),
                        Taught.NOTHING,
                        null,
                        null);
        return OvenLeaf.restored(LeafParameters.STOCK, Band.GREEN_TEA, kept, 0.0);
    }

    private void foresee(double nowS, double untilS) {
        leaf.foresee(
                PLANNER,
                nowS,
                REST,
                untilS,
                (filter, scout) ->
                        new FinishPlanner.Standing(
                                filter,
                                scout,
                                AIR,
                                STANDARD.subList(REST, STANDARD.size()),
                                REST,
                                0.0,
                                0.0,
                                false,
                                true));
    }

    @Test
    void itLooksAgainAfterFiveMinutesAndWithEachOperation() {
        foresee(0.0, 1_800.0);
        assertFalse(leaf.isForesightDue(REST, 1_800.0, 299.0));
        assertTrue(leaf.isForesightDue(REST, 1_800.0, 1.0));
        foresee(300.0, 1_800.0);
        assertTrue(leaf.isForesightDue(REST + 1, 1_800.0, 1.0));
    }

    /** Else the end of the rest would be moved by the same minutes again every second. */
    @Test
    void itLooksAgainWhenTheWorkBegins() {
        foresee(0.0, Double.NaN); // the leaf is still being taken out
        assertFalse(leaf.isForesightDue(REST, Double.NaN, 1.0));
        assertTrue(leaf.isForesightDue(REST, 1_800.0, 1.0));
    }

    @Test
    void workThatEndsLaterEndsTheBatchLater() {
        foresee(0.0, 1_800.0);
        double doneS = leaf.doneS(1_800.0);
        assertTrue(doneS > 1_800.0 + 1_200.0, "a rest and a drying, not " + doneS);
        assertEquals(doneS + 300.0, leaf.doneS(2_100.0), 1e-9);
        leaf.foreseesNothing();
        assertTrue(Double.isNaN(leaf.doneS(1_800.0)));
    }
}
