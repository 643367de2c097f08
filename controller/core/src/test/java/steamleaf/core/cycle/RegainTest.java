package steamleaf.core.cycle;

import static java.util.Objects.requireNonNull;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import steamleaf.core.batch.LeafAction;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.estimate.MoistureState;
import steamleaf.core.reading.UnitId;

class RegainTest {
    private static final UnitId OVEN = UnitId.oven(1);

    /** Leaf of that moisture, just out of the oven. */
    private static OvenLeaf leaf(double moisture) {
        MoistureFilter filter = new MoistureFilter(LeafParameters.STOCK, Band.GREEN_TEA);
        filter.load(0.9, 0.005, moisture, 0.005);
        MoistureState state = filter.state();
        OvenLeaf leaf =
                OvenLeaf.restored(
                        LeafParameters.STOCK,
                        Band.GREEN_TEA,
                        new LeafSnapshot(Double.NaN, state, null, null, null, null, null),
                        0.0);
        leaf.take(new LeafAction.TakenOut(OVEN));
        return leaf;
    }

    private static MoistureView view(OvenLeaf leaf) {
        return requireNonNull(leaf.view());
    }

    private static MoistureView.Bench bench(OvenLeaf leaf) {
        return requireNonNull(view(leaf).bench());
    }

    private static void waits(OvenLeaf leaf, double roomC, double roomRh, int seconds) {
        for (int s = 0; s < seconds; s++) {
            leaf.rest(roomC, roomRh, 100.0, true, 1.0);
        }
    }

    @Test
    void inAHumidRoomItIsSaidByWhenTheLeafWillHaveLeftTheBandAndThenItHas() {
        OvenLeaf leaf = leaf(0.05);
        waits(leaf, 25.0, 0.75, 1);
        double packInS = bench(leaf).packInS();
        assertTrue(packInS > 600.0 && packInS < 6 * 3_600.0, "in " + packInS);
        waits(leaf, 25.0, 0.75, (int) packInS - 1);
        assertEquals(0.07, view(leaf).mean(), 0.001);
        assertEquals(packInS, bench(leaf).outS(), 1.0);
        assertEquals(view(leaf).mean() - 0.05, bench(leaf).regain(), 0.0005);
        waits(leaf, 25.0, 0.75, 600);
        assertEquals(0.0, bench(leaf).packInS(), "now");
    }

    @Test
    void inADryRoomItMayWait() {
        OvenLeaf leaf = leaf(0.05);
        waits(leaf, 20.0, 0.25, 1);
        assertTrue(Double.isNaN(bench(leaf).packInS()));
    }

    @Test
    void aWeighingThatCorrectsTheEstimateIsNotWaterTakenUp() {
        OvenLeaf leaf = leaf(0.05);
        waits(leaf, 25.0, 0.75, 600);
        double before = bench(leaf).regain();
        double mean = view(leaf).mean();
        leaf.take(new LeafAction.Weighed(OVEN, 0.903));
        waits(leaf, 25.0, 0.75, 1);
        assertTrue(Math.abs(view(leaf).mean() - mean) > 1e-5, "it was no correction");
        assertEquals(before, bench(leaf).regain(), 1e-5);
    }

    private static OvenLeaf restarted(OvenLeaf leaf, double gapS) {
        return restored(leaf.snapshot(), gapS);
    }

    private static OvenLeaf restored(LeafSnapshot kept, double gapS) {
        return OvenLeaf.restored(LeafParameters.STOCK, Band.GREEN_TEA, kept, gapS);
    }

    @Test
    void aRestartForgetsNeitherWhenItCameOutNorWhatItTookUpAndTheGapCountsInTheRoomAsItIs() {
        OvenLeaf watched = leaf(0.05);
        waits(watched, 25.0, 0.75, 600);
        OvenLeaf leaf = restarted(watched, 1_200.0);
        waits(watched, 25.0, 0.75, 1_210);
        waits(leaf, 25.0, 0.75, 1);
        assertNull(view(leaf).bench(), "ten minutes of twenty are caught up");
        waits(leaf, 25.0, 0.75, 9);
        assertEquals(bench(watched).outS(), bench(leaf).outS(), 1e-9);
        assertEquals(bench(watched).regain(), bench(leaf).regain(), 2e-4);
        assertTrue(bench(leaf).regain() > 0.005, "it is no small thing");
        assertEquals(bench(watched).packInS(), bench(leaf).packInS(), 300.0);
    }

    @Test
    void aSecondRestartBeforeTheFirstWasCaughtUpLosesNothing() {
        OvenLeaf leaf = restarted(leaf(0.05), 1_500.0);
        waits(leaf, 25.0, 0.75, 1);
        OvenLeaf again = restarted(leaf, 60.0);
        waits(again, 25.0, 0.75, 2);
        assertEquals(1_563.0, bench(again).outS(), 1e-9);
    }

    @Test
    void untilTheRoomIsReadNothingIsCaughtUp() {
        OvenLeaf leaf = restarted(leaf(0.05), 60.0);
        waits(leaf, Double.NaN, Double.NaN, 3);
        assertNull(view(leaf).bench());
        waits(leaf, 25.0, 0.75, 1);
        assertEquals(64.0, bench(leaf).outS(), 1e-9);
    }

    /** It was out for rolling before: when it comes out at last it begins anew. */
    @Test
    void aGapInTheOvenOrOfLeafStillToBeDriedIsNoTimeOutside() {
        OvenLeaf leaf = restarted(leaf(0.25), 600.0);
        leaf.rest(25.0, 0.75, 100.0, false, 1.0);
        waits(leaf, 25.0, 0.75, 1);
        assertEquals(2.0, bench(leaf).outS(), 1e-9);

        OvenLeaf inside = restarted(leaf(0.05), 600.0);
        inside.take(new LeafAction.TakenOut(OVEN));
        waits(inside, 25.0, 0.75, 1);
        assertEquals(1.0, bench(inside).outS(), 1e-9);
    }

    @Test
    void ofWhatOlderVersionsKeptOrAfterAGapOfUnknownLengthNothingIsSaid() {
        OvenLeaf before = leaf(0.05);
        waits(before, 25.0, 0.75, 60);
        LeafSnapshot kept = before.snapshot();
        OvenLeaf leaf = restored(kept.withoutBench(), 60.0);
        waits(leaf, 25.0, 0.75, 60);
        assertNull(view(leaf).bench());
        assertEquals(view(restored(kept, 60.0)).mean(), view(before).mean(), 1e-3);
    }

    @Test
    void leafThatIsStillToBeDriedOrIsGoneHasNothingToPack() {
        OvenLeaf leaf = leaf(0.25);
        leaf.rest(25.0, 0.75, 100.0, false, 1.0);
        assertNull(view(leaf).bench());
        OvenLeaf dried = leaf(0.05);
        waits(dried, 25.0, 0.75, 1);
        dried.take(new LeafAction.Gone(OVEN));
        assertNull(dried.view());
    }
}
