package steamleaf.core.batch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.hipparchus.distribution.continuous.NormalDistribution;
import org.junit.jupiter.api.Test;
import steamleaf.core.estimate.Band;

class EndPointTest {
    private static final Band BAND = Band.GREEN_TEA;

    private static EndPoint of(double deviation, double wetter) {
        EndPoint end = EndPoint.of(BAND, 0.05, deviation, wetter, 0.3 * wetter);
        assertNotNull(end);
        return end;
    }

    private static double inBand(double mean, double sd) {
        NormalDistribution normal = new NormalDistribution(mean, sd);
        return normal.probability(BAND.lowest(), BAND.highest());
    }

    /** Design section 4: 5 % when sure, 5.5 % with a deviation of 0.5. */
    @Test
    void aSureEstimateAimsAtTheTargetAndAnUnsureOneNearTheMiddle() {
        EndPoint sure = of(0.002, 0.0);
        assertEquals(0.05, sure.aim(), 1e-12);
        assertEquals(EndPoint.Why.SURE, sure.why());
        EndPoint unsure = of(0.005, 0.0);
        assertEquals(0.055, unsure.aim(), 1e-12);
        assertEquals(EndPoint.Why.UNSURE, unsure.why());
        double between = of(0.0042, 0.0).aim();
        assertTrue(between > 0.0505 && between < 0.0545, () -> "between: " + between);
    }

    /** Checked against Hipparchus' normal distribution. */
    @Test
    void noAimAnywhereInTheBandHasMuchMoreOfItsProbability() {
        for (double deviation = 0.001; deviation < 0.03; deviation += 0.001) {
            EndPoint end = of(deviation, 0.0);
            assertEquals(inBand(end.aim(), deviation), end.probability(), 1e-6);
            double best = 0.0;
            for (double aim = 0.04; aim <= 0.07; aim += 0.0002) {
                best = Math.max(best, inBand(aim, deviation));
            }
            // three deviations inside the band's end leave 0.13 % outside
            assertTrue(end.probability() > best - 0.0014, "deviation " + deviation);
        }
    }

    @Test
    void stemsAboveTheBandPullTheAimDownButHardlyAtTheMeansCost() {
        EndPoint end = of(0.0055, 0.03);
        assertEquals(EndPoint.Why.WETTEST, end.why());
        assertTrue(end.aim() < 0.0548 && end.aim() > 0.05, () -> "aim " + end.aim());
        assertTrue(
                end.probability() >= inBand(0.055, 0.0055) - EndPoint.FOR_THE_WETTEST - 1e-6,
                () -> "probability " + end.probability());
        assertEquals(end.aim() + 0.03, end.wettest(), 1e-12);
        NormalDistribution stems = new NormalDistribution(end.wettest(), Math.hypot(0.0055, 0.009));
        assertEquals(stems.probability(0.0, 0.07), end.wettestProbability(), 1e-6);
    }

    @Test
    void stemsThatFitIntoTheBandPullNothing() {
        assertEquals(0.055, of(0.005, 0.01).aim(), 1e-12);
    }

    @Test
    void whateverIsKnownTheAimStaysBetweenTargetAndMiddle() {
        Random random = new Random(20_261_125);
        for (int i = 0; i < 20_000; i++) {
            double deviation = Math.exp(-8 + 6 * random.nextDouble());
            double wetter = 0.1 * random.nextDouble();
            double target = 0.04 + 0.03 * random.nextDouble();
            EndPoint end = EndPoint.of(BAND, target, deviation, wetter, 0.5 * wetter);
            assertNotNull(end);
            String story = end.toString();
            assertTrue(end.aim() >= Math.min(target, BAND.middle()) - 1e-12, story);
            assertTrue(end.aim() <= Math.max(target, BAND.middle()) + 1e-12, story);
            assertTrue(end.probability() > 0.0 && end.probability() <= 1.0, story);
            double atTarget = BAND.probability(target, deviation);
            assertTrue(end.probability() >= atTarget - 0.0035, story);
        }
    }

    @Test
    void withoutADeviationOrWithATargetOutsideTheBandThereIsNoAim() {
        assertNull(EndPoint.of(BAND, 0.05, Double.NaN, 0.01, 0.01));
        assertNull(EndPoint.of(BAND, 0.13, 0.005, 0.01, 0.01));
        assertEquals(0.055, of(0.005, Double.NaN).aim(), 1e-12);
    }
}
