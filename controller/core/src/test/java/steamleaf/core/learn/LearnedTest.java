package steamleaf.core.learn;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureEstimate;
import steamleaf.core.estimate.MoistureFilter;

class LearnedTest {
    private static final LeafParameters STOCK = LeafParameters.STOCK;

    private static Lesson lesson(double rateLn, double airflowLn) {
        return new Lesson(
                "batch", Trait.RATE.judged(rateLn, 0.2), Trait.AIRFLOW.judged(airflowLn, 0.05));
    }

    private static Learned of(double... rates) {
        Learned learned = Learned.NOTHING;
        for (double rate : rates) {
            learned = learned.with(lesson(rate, 0.0));
        }
        return learned;
    }

    @Test
    void withoutLessonsTheFilterIsTheStockOne() {
        assertEquals(STOCK, Learned.NOTHING.applied(STOCK).on(STOCK));
    }

    @Test
    void twoLessonsThatAgreeAreNotEnough() {
        assertEquals(STOCK, of(-0.4, -0.4).applied(STOCK).on(STOCK));
        assertTrue(of(-0.6, -0.6, -0.6).rate().isApplied());
    }

    @Test
    void fourLessonsThatAgreeAreAppliedMoreThanHalfAndNotWhole() {
        double applied = of(-0.55, -0.4, -0.5, -0.6).rate().appliedLn();
        assertTrue(applied < -0.25 && applied > -0.51, "applied " + applied);
    }

    @Test
    void scatteredLessonsLeaveTheFilterTheStockOne() {
        assertEquals(STOCK, of(-0.7, 0.5, -0.4, 0.3).applied(STOCK).on(STOCK));
    }

    /** Design of the shrinking: chance means of batches that differ by the first spread. */
    @Test
    void ofLeafWithNothingToLearnLittleIsApplied() {
        SplittableRandom random = new SplittableRandom(5);
        int applied = 0;
        double squares = 0.0;
        for (int run = 0; run < 2_000; run++) {
            Learned learned = Learned.NOTHING;
            for (int i = 0; i < 4; i++) {
                learned = learned.with(lesson(0.26 * random.nextGaussian(), 0.0));
            }
            double ln = learned.rate().appliedLn();
            applied += ln != 0.0 ? 1 : 0;
            squares += ln * ln;
        }
        assertTrue(applied < 0.25 * 2_000, "applied in " + applied + " of 2000");
        // the plain mean would have 0.13
        assertTrue(Math.sqrt(squares / 2_000) < 0.062, "rms " + Math.sqrt(squares / 2_000));
    }

    @Test
    void whatIsAppliedStaysInsideItsBounds() {
        Learned far = of(-1.3, -1.3, -1.3, -1.3, -1.3, -1.3, -1.3, -1.3);
        assertEquals(-Math.log(2.0), far.rate().appliedLn(), 1e-12);
    }

    @Test
    void theRateIsNeverTakenForSurerThanItWandersInABatch() {
        Learned many = Learned.NOTHING;
        for (int i = 0; i < Learned.KEPT; i++) {
            many = many.with(lesson(-0.4, -0.2));
        }
        Applied applied = many.applied(STOCK);
        assertTrue(applied.rateSd() >= STOCK.drift().rateSd());
        // twenty-four equal lessons still leave the first spread's share
        assertTrue(
                applied.airflowSd() > 0.06 && applied.airflowSd() < STOCK.airflowSd(),
                "airflow " + applied.airflowSd());
        assertEquals(Math.exp(-0.2), applied.airflowFactor(), 0.02);
    }

    @Test
    void afterAHalfLifeOfNewerLessonsAnOldOneWeighsHalf() {
        Learned learned = of(-0.8);
        for (int i = 0; i < Learned.HALF_LIFE_BATCHES; i++) {
            learned = learned.with(lesson(0.0, 0.0));
        }
        double others = 0.0;
        for (int i = 0; i < Learned.HALF_LIFE_BATCHES; i++) {
            others += Math.pow(2.0, -i / Learned.HALF_LIFE_BATCHES);
        }
        assertEquals(-0.8 * 0.5 / (0.5 + others), learned.rate().meanLn(), 1e-12);
    }

    @Test
    void lessonsBeyondWhatIsKeptAreForgotten() {
        Learned learned = of(-0.8);
        for (int i = 0; i < Learned.KEPT; i++) {
            learned = learned.with(lesson(0.1, 0.0));
        }
        assertEquals(Learned.KEPT, learned.lessons().size());
        assertEquals(0.1, learned.rate().meanLn(), 1e-12);
    }

    @Test
    void whatDoesNotCountAgesTheOthersAndSaysNothing() {
        Learned learned = of(-0.5, -0.5, -0.5, -0.5);
        Lesson vague =
                new Lesson("batch", Trait.RATE.judged(0.5, 0.4), Trait.AIRFLOW.judged(0.3, 0.2));
        Lesson far =
                new Lesson("batch", Trait.RATE.judged(-2.0, 0.2), Trait.AIRFLOW.judged(1.0, 0.05));
        assertEquals(Lesson.Worth.VAGUE, vague.rate().worth());
        assertEquals(Lesson.Worth.VAGUE, vague.airflow().worth());
        assertEquals(Lesson.Worth.TOO_FAR, far.rate().worth());
        assertEquals(Lesson.Worth.TOO_FAR, far.airflow().worth());
        Belief after = learned.with(vague).with(far).rate();
        assertEquals(4, after.count());
        assertEquals(-0.5, after.meanLn(), 1e-12);
    }

    // ---- what one batch says

    private static MoistureFilter nearlyDry() {
        MoistureFilter filter = new MoistureFilter(STOCK, Band.GREEN_TEA);
        filter.load(0.9, 0.01, 0.09, 0.01);
        return filter;
    }

    @Test
    void aBatchWithoutABelievedSampleTeachesNoRate() {
        Lesson lesson = Taught.NOTHING.seen(nearlyDry().estimate()).lesson("b-1", STOCK);
        assertEquals(Lesson.Worth.NO_SAMPLE, lesson.rate().worth());
        assertFalse(lesson.rate().counts());
    }

    @Test
    void whatASampleMovedIsAddedToWhatTheBatchBeganWith() {
        MoistureEstimate before = nearlyDry().estimate();
        MoistureEstimate after = moved(before, Math.exp(-0.2), 0.2);
        Taught taught = Taught.NOTHING.sampled(0.09, before, after);
        double moved = -0.2 / Taught.RESPONSE;
        assertEquals(moved, taught.lesson("b-1", STOCK).rate().ln(), 1e-12);
        LeafParameters learned = STOCK.drifting(STOCK.drift().nearlyDry(-0.3, 0.4));
        assertEquals(moved - 0.3, taught.lesson("b-1", learned).rate().ln(), 1e-12);
        assertTrue(taught.lesson("b-1", STOCK).rate().counts());
    }

    @Test
    void aSampleOfWetLeafTeachesNoRate() {
        MoistureEstimate before = nearlyDry().estimate();
        Taught taught = Taught.NOTHING.sampled(0.30, before, moved(before, 0.8, 0.2));
        assertEquals(Lesson.Worth.NO_SAMPLE, taught.lesson("b-1", STOCK).rate().worth());
    }

    @Test
    void theAirflowIsTakenWhereItWasKnownBest() {
        MoistureEstimate now = nearlyDry().estimate();
        Taught taught =
                Taught.NOTHING
                        .seen(airflow(now, 1.3, 0.12))
                        .seen(airflow(now, 1.2, 0.05))
                        .seen(airflow(now, 1.4, 0.09));
        assertEquals(Math.log(1.2), taught.lesson("b-1", STOCK).airflow().ln(), 1e-12);
        assertEquals(0.05, taught.lesson("b-1", STOCK).airflow().sd(), 1e-12);
    }

    private static MoistureEstimate moved(MoistureEstimate e, double rateFactor, double rateSd) {
        return copy(e, rateFactor, rateSd, e.airflowFactor(), e.airflowSd());
    }

    private static MoistureEstimate airflow(MoistureEstimate e, double factor, double sd) {
        return copy(e, e.rateFactor(), e.rateSd(), factor, sd);
    }

    private static MoistureEstimate copy(
            MoistureEstimate e, double rate, double rateSd, double airflow, double airflowSd) {
        return new MoistureEstimate(
                e.mean(),
                e.sd(),
                e.wettest(),
                e.wettestSd(),
                e.waterKg(),
                e.dryKg(),
                e.dryKgSd(),
                e.leafC(),
                e.evaporationKgPerS(),
                e.shareOfLimit(),
                e.equilibrium(),
                e.inBandProbability(),
                rate,
                rateSd,
                airflow,
                airflowSd,
                e.transferFactor(),
                e.transferSd(),
                e.humidityBias(),
                e.humidityBiasSd(),
                e.humidityUsed(),
                e.scaleUsed(),
                e.humidityDisagrees(),
                e.scaleDisagrees());
    }
}
