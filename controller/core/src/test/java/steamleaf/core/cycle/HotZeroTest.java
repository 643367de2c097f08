package steamleaf.core.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;

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
    void aDoorOrAMissingReadingStartsTheMinuteAnew() {
        shows(0.16, 59);
        leaf.notEmptyOrNotHot();
        shows(0.16, 59);
        shows(Double.NaN, 1);
        shows(0.16, 59);
        assertTrue(Double.isNaN(leaf.zeroRefusedBy()));
    }
}
