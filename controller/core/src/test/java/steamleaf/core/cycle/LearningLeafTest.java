package steamleaf.core.cycle;

import static java.util.Objects.requireNonNull;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import steamleaf.core.batch.LeafAction;
import steamleaf.core.batch.Sample;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.estimate.OvenAir;
import steamleaf.core.learn.Applied;
import steamleaf.core.learn.Lesson;
import steamleaf.core.learn.Taught;
import steamleaf.core.reading.UnitId;

class LearningLeafTest {
    private static final UnitId OVEN = UnitId.oven(1);
    private static final LeafParameters STOCK = LeafParameters.STOCK;
    private static final Applied LEARNED = new Applied(-0.3, 0.4, 1.1, 0.12);

    /** An oven whose scale sees the leaf dry from 14 %, until it is thought to be at 9 %. */
    private static OvenLeaf dried(Applied learned) {
        MoistureFilter filter = new MoistureFilter(learned.on(STOCK), Band.GREEN_TEA);
        filter.load(0.93, 0.03, 0.14, 0.015);
        OvenLeaf leaf =
                OvenLeaf.restored(
                        STOCK,
                        Band.GREEN_TEA,
                        new LeafSnapshot(
                                Double.NaN,
                                filter.state(),
                                null,
                                learned,
                                Taught.NOTHING,
                                null,
                                null),
                        0.0);
        double massKg = 0.93;
        while (view(leaf).mean() > 0.09) {
            massKg -= 1.8e-5;
            leaf.dry(air(massKg), Double.NaN, steamleaf.core.batch.OvenWish.NOTHING, 1.0);
        }
        return leaf;
    }

    private static OvenAir air(double massKg) {
        return new OvenAir(
                70.0, 65.0, Double.NaN, 25.0, 0.5, 100.0, 60.0, 1.0, false, massKg + 6.0, 6.0);
    }

    private static MoistureView view(OvenLeaf leaf) {
        return requireNonNull(leaf.view());
    }

    private static void sample(OvenLeaf leaf, double surprise) {
        double mean = view(leaf).mean();
        leaf.take(new LeafAction.SampleOut(OVEN, "sample-1"));
        leaf.take(
                new LeafAction.Sampled(
                        OVEN,
                        new Sample(
                                "sample-1",
                                "batch-1",
                                0.0,
                                mean,
                                0.01,
                                mean + surprise,
                                0.005,
                                "meter")));
    }

    private static Lesson lesson(OvenLeaf leaf) {
        return requireNonNull(leaf.lesson("batch-1"));
    }

    @Test
    void leafFoundWetterThanThoughtTeachesThatTheLastWaterGoesMoreSlowly() {
        OvenLeaf leaf = dried(Applied.nothing(STOCK));
        assertEquals(Lesson.Worth.NO_SAMPLE, lesson(leaf).rate().worth());
        sample(leaf, 0.012);
        assertTrue(lesson(leaf).rate().ln() < -0.05, () -> lesson(leaf).toString());
    }

    @Test
    void aQuestionedSampleTeachesNothing() {
        OvenLeaf leaf = dried(Applied.nothing(STOCK));
        sample(leaf, 0.25);
        assertEquals(Lesson.Worth.NO_SAMPLE, lesson(leaf).rate().worth());
    }

    @Test
    void aRestartInMidBatchForgetsNeitherWhatItBeganWithNorWhatWasSaid() {
        OvenLeaf leaf = dried(LEARNED);
        sample(leaf, 0.012);
        OvenLeaf after = OvenLeaf.restored(STOCK, Band.GREEN_TEA, leaf.snapshot(), 60.0);
        assertEquals(LEARNED, after.snapshot().learned());
        assertEquals(lesson(leaf), lesson(after));
        assertNotEquals(lesson(dried(Applied.nothing(STOCK))), lesson(after));
    }

    @Test
    void whatOlderVersionsKeptMeansThatNothingWasLearned() {
        LeafSnapshot kept = dried(Applied.nothing(STOCK)).snapshot();
        LeafSnapshot older =
                new LeafSnapshot(
                        kept.zeroBias(), kept.filter(), kept.openSample(), null, null, null, null);
        OvenLeaf leaf = OvenLeaf.restored(STOCK, Band.GREEN_TEA, older, 60.0);
        assertEquals(Lesson.Worth.NO_SAMPLE, lesson(leaf).rate().worth());
        assertEquals(Applied.nothing(STOCK), leaf.snapshot().learned());
    }

    @Test
    void withoutLeafThereIsNoLesson() {
        assertNull(new OvenLeaf(STOCK, Band.GREEN_TEA).lesson("batch-1"));
    }
}
