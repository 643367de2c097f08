package steamleaf.core.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import steamleaf.core.batch.LeafAction;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.reading.UnitId;

class HotZeroTest {
    private final OvenLeaf leaf = new OvenLeaf(LeafParameters.STOCK, Band.GREEN_TEA);

    private void shows(double rh, int seconds) {
        for (int s = 0; s < seconds; s++) {
            leaf.zero(rh, 0.04, 1.0);
        }
    }

    @Test
    void aMinuteOfAWarmEmptyOvenShowsTheSensorsOffset() {
        shows(0.07, 59);
        assertTrue(Double.isNaN(leaf.zeroFound()));
        shows(0.07, 1);
        assertEquals(0.03, leaf.zeroFound(), 1e-12);
        assertTrue(Double.isNaN(leaf.zeroRefusedBy()));
    }

    @Test
    void aSensorThatIsOffByMoreThanAnyWorkingOneIsRefusedAndSaid() {
        shows(0.07, 60);
        shows(0.16, 59);
        assertTrue(Double.isNaN(leaf.zeroRefusedBy()), "a minute is waited for");
        shows(0.16, 1);
        assertEquals(0.12, leaf.zeroRefusedBy(), 1e-12);
        assertTrue(Double.isNaN(leaf.zeroFound()), "what was found before does not count");
    }

    @Test
    void aSensorThatComesBackToReasonIsZeroedAfterAll() {
        shows(0.16, 60);
        shows(0.07, 60);
        assertEquals(0.03, leaf.zeroFound(), 1e-12);
        assertTrue(Double.isNaN(leaf.zeroRefusedBy()));
    }

    @Test
    void whatIsShownIsUnderWayThenTheOffsetAndHowSureThenTheRefusalAndWhatItCosts() {
        assertNull(leaf.hotZero());
        shows(0.07, 1);
        assertEquals(new HotZero.UnderWay(), leaf.hotZero());
        shows(0.07, 59);
        assertEquals(new HotZero.Zeroed(leaf.zeroFound(), 0.005), leaf.hotZero());
        leaf.notEmptyOrNotHot();
        assertEquals(
                new HotZero.Zeroed(leaf.zeroFound(), 0.005), leaf.hotZero(), "still taken off");
        shows(0.16, 60);
        assertEquals(
                new HotZero.Refused(leaf.zeroRefusedBy(), LeafParameters.STOCK.humidityBiasSd()),
                leaf.hotZero());
        leaf.take(new LeafAction.Gone(UnitId.oven(1)));
        assertNull(leaf.hotZero(), "the next charge's oven says it anew");
    }

    @Test
    void aSensorTooFarOffIsUnderWayUntilItsMinuteIsOver() {
        shows(0.16, 59);
        assertEquals(new HotZero.UnderWay(), leaf.hotZero());
    }

    private static OvenLeaf restarted(OvenLeaf leaf) {
        return OvenLeaf.restored(LeafParameters.STOCK, Band.GREEN_TEA, leaf.snapshot(), 60.0);
    }

    private LeafSnapshot loaded() {
        MoistureFilter filter = new MoistureFilter(LeafParameters.STOCK, Band.GREEN_TEA);
        filter.load(4.0, 0.3, 0.79, 0.04);
        LeafSnapshot kept = leaf.snapshot();
        return new LeafSnapshot(
                kept.zeroBias(), filter.state(), null, null, null, kept.zeroRefusedBy(), null);
    }

    @Test
    void aRestartForgetsNeitherTheOffsetNorTheRefusal() {
        shows(0.07, 60);
        assertEquals(leaf.hotZero(), restarted(leaf).hotZero());
        OvenLeaf drying = OvenLeaf.restored(LeafParameters.STOCK, Band.GREEN_TEA, loaded(), 60.0);
        assertEquals(leaf.hotZero(), restarted(drying).hotZero(), "with leaf in it as well");
        shows(0.16, 60);
        assertEquals(leaf.hotZero(), restarted(leaf).hotZero());
        assertTrue(leaf.hotZero() instanceof HotZero.Refused);
    }

    /** They wrote the filter's own offset: exactly none where nothing was zeroed. */
    @Test
    void whatOlderVersionsKeptOfLeafWithoutAZeroIsNotTakenForOne() {
        LeafSnapshot now = loaded();
        LeafSnapshot older = new LeafSnapshot(0.0, now.filter(), null, null, null, null, null);
        OvenLeaf after = OvenLeaf.restored(LeafParameters.STOCK, Band.GREEN_TEA, older, 60.0);
        assertNull(after.hotZero());
        assertNotNull(after.view());
    }

    @Test
    void aDoorOrAMissingReadingStartsTheMinuteAnew() {
        shows(0.16, 59);
        leaf.notEmptyOrNotHot();
        shows(0.16, 59);
        shows(Double.NaN, 1);
        shows(0.16, 59);
        assertTrue(Double.isNaN(leaf.zeroRefusedBy()));
    }
}
