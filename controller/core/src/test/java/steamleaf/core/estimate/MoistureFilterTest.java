package steamleaf.core.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.SplittableRandom;
import org.hipparchus.filtering.kalman.Measurement;
import org.hipparchus.filtering.kalman.ProcessEstimate;
import org.hipparchus.filtering.kalman.extended.ExtendedKalmanFilter;
import org.hipparchus.filtering.kalman.extended.NonLinearEvolution;
import org.hipparchus.filtering.kalman.extended.NonLinearProcess;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.CholeskyDecomposer;
import org.hipparchus.linear.EigenDecompositionSymmetric;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.core.science.Psychrometrics;

class MoistureFilterTest {
    private static final LeafParameters STOCK = LeafParameters.STOCK;
    private static final int N = DryingModel.STATES;

    private static MoistureFilter loaded(LeafParameters leaf) {
        MoistureFilter filter = new MoistureFilter(leaf, Band.GREEN_TEA);
        assertEquals(Verdict.TAKEN, filter.load(4.0, 0.01, 0.80, 0.015));
        return filter;
    }

    private static OvenAir air(double airC, double rh, double scaleKg) {
        return new OvenAir(airC, airC - 5, rh, 24, 0.55, 99, 150, 1, false, scaleKg, 2.5);
    }

    /** Dried with good sensors for a while. */
    private static MoistureFilter dried(double minutes, long seed) {
        TestPlant plant = new TestPlant.Matched(seed, STOCK, 4.0, 0.80);
        MoistureFilter filter = loaded(STOCK);
        for (int i = 0; i < 60 * minutes; i++) {
            filter.step(plant.second(75, 150, false), 1.0);
        }
        return filter;
    }

    private static RealMatrix covariance(MoistureFilter filter) {
        RealMatrix p = MatrixUtils.createRealMatrix(N, N);
        for (int i = 0; i < N; i++) {
            for (int j = 0; j < N; j++) {
                p.setEntry(i, j, filter.covariance(i, j));
            }
        }
        return p;
    }

    // ---- against another filter
    // ---------------------------------------------------------------------------------------------

    /** The same model written out a second time, without any analytic derivative. */
    private static final class Oven implements NonLinearProcess<Weighing> {
        private static final int[] WEIGHED = {
            DryingModel.BLADE, DryingModel.STEM, DryingModel.DRY, DryingModel.ZERO
        };
        private final DryingModel model = new DryingModel(STOCK);
        private final OvenAir air;

        Oven(OvenAir air) {
            this.air = air;
            model.air(air.airC(), air.pressureKPa(), air.fanShare(), 0.78);
        }

        double[] later(double[] x, double stepS) {
            model.at(x, false);
            double roomW =
                    Psychrometrics.humidityRatio(air.roomC(), air.roomRh(), air.pressureKPa());
            double volume = Psychrometrics.volumeM3PerKg(air.roomC(), roomW, air.pressureKPa());
            double fresh = air.freshAirM3PerH() / 3600 / volume * Math.exp(x[DryingModel.AIRFLOW]);
            double tau = STOCK.airVolumeM3() / volume / fresh + STOCK.sensorLagS();
            double settled = roomW + (model.bladeKgPerS + model.stemKgPerS) / fresh;
            double[] y = x.clone();
            y[DryingModel.BLADE] -= stepS * model.bladeKgPerS;
            y[DryingModel.STEM] -= stepS * model.stemKgPerS;
            y[DryingModel.AIR] = settled + Math.exp(-stepS / tau) * (x[DryingModel.AIR] - settled);
            return y;
        }

        @Override
        public NonLinearEvolution getEvolution(
                double before, RealVector state, Weighing measurement) {
            double stepS = measurement.getTime() - before;
            double[] x = state.toArray();
            double[] y = later(x, stepS);
            RealMatrix f = MatrixUtils.createRealMatrix(N, N);
            for (int j = 0; j < N; j++) {
                double h = 1e-5 * Math.max(1e-3, Math.abs(x[j]));
                double[] up = x.clone();
                double[] down = x.clone();
                up[j] += h;
                down[j] -= h;
                double[] yUp = later(up, stepS);
                double[] yDown = later(down, stepS);
                for (int i = 0; i < N; i++) {
                    f.setEntry(i, j, (yUp[i] - yDown[i]) / (2 * h));
                }
            }
            RealMatrix h = MatrixUtils.createRealMatrix(1, N);
            for (int i : WEIGHED) {
                h.setEntry(0, i, 1);
            }
            return new NonLinearEvolution(
                    measurement.getTime(),
                    new ArrayRealVector(y),
                    f,
                    MatrixUtils.createRealMatrix(N, N),
                    h);
        }

        @Override
        public RealVector getInnovation(
                Weighing measurement, NonLinearEvolution evolution, RealMatrix s) {
            double total = 0;
            for (int i : WEIGHED) {
                total += evolution.getCurrentState().getEntry(i);
            }
            return measurement.getValue().mapSubtract(total);
        }
    }

    private record Weighing(double time, double kg, double noise) implements Measurement {
        @Override
        public double getTime() {
            return time;
        }

        @Override
        public RealVector getValue() {
            return new ArrayRealVector(new double[] {kg});
        }

        @Override
        public RealMatrix getCovariance() {
            return new Array2DRowRealMatrix(new double[][] {{noise}});
        }
    }

    @Test
    void agreesWithTheHipparchusFilterOnTheSameModel() {
        // half-dry leaf: where the air sets the pace, ours learns less than theirs on purpose
        MoistureFilter ours =
                new MoistureFilter(STOCK.drifting(LeafParameters.Drift.NONE), Band.GREEN_TEA);
        ours.load(1.2, 0.01, 0.35, 0.015);
        double[] x = new double[N];
        for (int i = 0; i < N; i++) {
            x[i] = ours.mean(i);
        }
        OvenAir air = new OvenAir(75, 70, Double.NaN, 24, 0.55, 99, 150, 1, false, 0, 0);
        ExtendedKalmanFilter<Weighing> theirs =
                new ExtendedKalmanFilter<>(
                        new CholeskyDecomposer(1e-15, 1e-15),
                        new Oven(air),
                        new ProcessEstimate(0, new ArrayRealVector(x), covariance(ours)));
        Oven oven = new Oven(air);
        double[] truth = x.clone();
        truth[DryingModel.BLADE] += 0.004;
        truth[DryingModel.RATE] += 0.4;
        Random random = new Random(7);
        ProcessEstimate estimate = null;
        for (int t = 1; t <= 3_600; t++) {
            truth = oven.later(truth, 1.0);
            double kg = truth[0] + truth[1] + truth[2] + 0.004 * random.nextGaussian();
            ours.step(new OvenAir(75, 70, Double.NaN, 24, 0.55, 99, 150, 1, false, kg, 0), 1.0);
            double noise =
                    0.004 * 0.004
                            * 4; // one independent reading in four seconds, as the filter counts
            // them
            estimate = theirs.estimationStep(new Weighing(t, kg, noise));
        }
        for (int i = 0; i < N; i++) {
            double sd = Math.sqrt(ours.covariance(i, i));
            assertEquals(
                    estimate.getState().getEntry(i), ours.mean(i), 1e-3 * sd + 1e-9, "state " + i);
            for (int j = 0; j < N; j++) {
                double scale = Math.sqrt(ours.covariance(i, i) * ours.covariance(j, j));
                assertEquals(
                        estimate.getCovariance().getEntry(i, j),
                        ours.covariance(i, j),
                        1e-3 * scale + 1e-15,
                        i + ", " + j);
            }
        }
        assertTrue(
                Math.abs(ours.mean(DryingModel.RATE)) > 0.05, "something was learned in the hour");
    }

    // ---- the covariance
    // -------------------------------------------------------------------------------------------------------

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3})
    void theCovarianceStaysSymmetricAndPositiveThroughAWholeBatch(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        TestPlant plant = new TestPlant.Diffusing(seed, STOCK, 4.0, 0.79);
        MoistureFilter filter = loaded(STOCK);
        for (int i = 1; i < 15_000; i++) {
            filter.step(
                    plant.second(i < 6_000 ? 75 : 60, i < 9_000 ? 200 : 60, i % 1_500 < 20), 1.0);
            if (i % 2_500 == 0) {
                plant.roll(0.02, 0.015);
                filter.rolled(0.02, 0.01, 0.015, 0.01, random.nextDouble());
                filter.weighIn(plant.massKg(), 0.005);
            }
            if (i % 4_000 == 0) {
                filter.sampleTaken();
            }
            if (i % 4_000 == 300) {
                filter.sampleValue(plant.moisture(), 0.006);
            }
            if (i % 500 == 0) {
                RealMatrix p = covariance(filter);
                assertEquals(
                        0.0,
                        p.subtract(p.transpose()).getNorm1(),
                        0.0,
                        "seed " + seed + " at " + i);
                // scaled to deviations of one, so that no state hides behind another's units
                RealMatrix scaled = MatrixUtils.createRealMatrix(N, N);
                for (int a = 0; a < N; a++) {
                    for (int b = 0; b < N; b++) {
                        double scale = Math.sqrt(p.getEntry(a, a) * p.getEntry(b, b));
                        scaled.setEntry(
                                a, b, scale > 0 ? p.getEntry(a, b) / scale : a == b ? 1 : 0);
                    }
                }
                double lowest = new EigenDecompositionSymmetric(scaled).getEigenvalue(N - 1);
                assertTrue(lowest > -1e-9, "seed " + seed + " at " + i + ": eigenvalue " + lowest);
            }
        }
    }

    @Test
    void aStepAndItsAnswersAllocateNothing() {
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        TestPlant plant = new TestPlant.Matched(1, STOCK, 4.0, 0.80);
        OvenAir[] seconds = new OvenAir[4_000];
        for (int i = 0; i < seconds.length; i++) {
            seconds[i] = plant.second(75, 150, i % 900 < 10);
        }
        MoistureFilter filter = loaded(STOCK);
        MoistureFilter copy = loaded(STOCK);
        double sum = 0;
        long before = 0;
        for (int round = 0; round < 3; round++) { // the first rounds compile
            before = threads.getCurrentThreadAllocatedBytes();
            for (OvenAir second : seconds) {
                filter.step(second, 1.0);
                sum += filter.moisture() + filter.moistureSd();
            }
            filter.copyTo(copy);
            filter.weighIn(2.0, 0.5);
        }
        long allocated = threads.getCurrentThreadAllocatedBytes() - before;
        assertTrue(sum > 0);
        assertTrue(
                allocated < 1_000,
                "4,000 steps allocated " + allocated + " bytes"); // the counter itself takes some
    }

    // ---- honesty
    // --------------------------------------------------------------------------------------------------------------

    /**
     * Plants that share the filter's structure, parameters from its priors: the mean squared
     * normalised error is near one.
     */
    @Test
    void onPlantsOfItsOwnStructureItsDeviationIsHonest() {
        double sum = 0;
        double squares = 0;
        int runs = 40;
        LeafParameters prior = STOCK;
        for (int seed = 1; seed <= runs; seed++) {
            Random random = new Random(seed);
            double moisture = 0.80 + 0.015 * random.nextGaussian();
            TestPlant plant = new TestPlant.Matched(seed, prior, 4.0, moisture);
            MoistureFilter filter =
                    new MoistureFilter(prior.drifting(LeafParameters.Drift.NONE), Band.GREEN_TEA);
            TestBatch.Outcome end =
                    TestBatch.run(
                            plant,
                            filter,
                            new TestBatch.Help(true, true, true, false),
                            4.0 + 0.01 * random.nextGaussian(),
                            0.80,
                            0.015);
            sum += end.squaredNormalisedError();
            squares += end.error() * end.error();
        }
        // one is expected; the mean of forty squares scatters by 0.22
        assertTrue(sum / runs < 1.6, "mean squared normalised error " + sum / runs);
        assertTrue(sum / runs > 0.4, "mean squared normalised error " + sum / runs);
        assertTrue(
                Math.sqrt(squares / runs) < 0.009,
                "rms " + Math.sqrt(squares / runs)); // design section 4: scale 0.9 points
    }

    /** Plants that diffuse and do not share the structure: scale, reweigh and one hand sample. */
    @Test
    void onDiffusingPlantsAScaleAndOneSampleLandInTheBand() {
        double sum = 0;
        double squares = 0;
        int inside = 0;
        int runs = 30;
        for (int seed = 1; seed <= runs; seed++) {
            Random random = new Random(seed);
            double moisture = 0.80 + 0.015 * random.nextGaussian();
            TestPlant plant = new TestPlant.Diffusing(seed, STOCK, 4.0, moisture);
            MoistureFilter filter = new MoistureFilter(STOCK, Band.GREEN_TEA);
            TestBatch.Outcome end =
                    TestBatch.run(
                            plant,
                            filter,
                            new TestBatch.Help(true, true, true, true),
                            4.0 + 0.01 * random.nextGaussian(),
                            0.80,
                            0.015);
            sum += end.squaredNormalisedError();
            squares += end.error() * end.error();
            inside += end.truth() > 0.04 && end.truth() < 0.07 ? 1 : 0;
        }
        assertTrue(
                Math.sqrt(squares / runs) < 0.0075,
                "rms " + Math.sqrt(squares / runs)); // 1.5 × the bound of 0.5 points
        assertTrue(
                sum / runs < 2.0,
                "mean squared normalised error " + sum / runs); // design section 11: 0.7 to 2
        assertTrue(inside >= runs - 2, inside + " of " + runs + " inside");
    }

    // ---- sensors come and go
    // --------------------------------------------------------------------------------------------------

    @Test
    void losingTheSensorsWidensTheAnswerInsteadOfFreezingIt() {
        TestPlant plant = new TestPlant.Matched(3, STOCK, 4.0, 0.80);
        MoistureFilter with = new MoistureFilter(STOCK, Band.GREEN_TEA);
        with.load(4.0, 0.005, 0.80, 0.003); // leaf whose moisture was measured
        MoistureFilter without = new MoistureFilter(STOCK, Band.GREEN_TEA);
        for (int i = 0; i < 60 * 100; i++) {
            with.step(plant.second(75, 150, false), 1.0);
        }
        with.copyTo(without);
        double before = without.moistureSd();
        double moisture = without.moisture();
        for (int i = 0; i < 2_400; i++) {
            OvenAir good = plant.second(75, 150, false);
            with.step(good, 1.0);
            without.step(good.unmeasured(), 1.0);
        }
        assertTrue(without.moistureSd() > 1.2 * before, without.moistureSd() + " after " + before);
        assertTrue(
                without.moistureSd() > 1.5 * with.moistureSd(),
                without.moistureSd() + " against " + with.moistureSd());
        assertTrue(without.moisture() < moisture - 0.02, "and it goes on drying in the model");
        assertFalse(without.estimate().scaleUsed());
        assertFalse(without.estimate().humidityUsed());
    }

    @Test
    void anAirTemperatureThatIsNotANumberKeepsTheLastOneAndWidens() {
        MoistureFilter good = dried(40, 5);
        MoistureFilter bad = dried(40, 5);
        for (int i = 0; i < 600; i++) {
            good.step(air(75, Double.NaN, Double.NaN), 1.0);
            bad.step(air(Double.NaN, Double.NaN, Double.NaN), 1.0);
        }
        assertEquals(good.moisture(), bad.moisture(), 0.01);
        assertTrue(bad.moistureSd() > good.moistureSd());
        assertTrue(Double.isFinite(bad.estimate().leafC()));
    }

    @Test
    void nothingThatIsNotANumberEverGetsIn() {
        MoistureFilter filter = dried(20, 2);
        double nan = Double.NaN;
        filter.step(new OvenAir(nan, nan, nan, nan, nan, nan, nan, nan, true, nan, nan), 1.0);
        filter.step(new OvenAir(nan, nan, nan, nan, nan, nan, nan, nan, false, nan, nan), 1.0);
        filter.step(
                new OvenAir(
                        75,
                        70,
                        Double.POSITIVE_INFINITY,
                        24,
                        5.0,
                        0,
                        150,
                        1,
                        false,
                        Double.NEGATIVE_INFINITY,
                        0),
                1.0);
        assertEquals(Verdict.REFUSED, filter.weighIn(nan, 0.01));
        assertEquals(Verdict.REFUSED, filter.weighIn(2.0, nan));
        assertEquals(Verdict.REFUSED, filter.sampleValue(nan, 0.01));
        assertEquals(Verdict.REFUSED, filter.sampleValue(0.5, 0));
        assertEquals(Verdict.REFUSED, filter.load(nan, 0.01, 0.8, 0.01));
        assertEquals(Verdict.REFUSED, filter.merged(1, 0.01, 1.2, 0.01));
        for (int i = 0; i < N; i++) {
            assertTrue(Double.isFinite(filter.mean(i)));
            assertTrue(Double.isFinite(filter.covariance(i, i)));
        }
        assertThrows(IllegalArgumentException.class, () -> filter.step(air(75, 0.1, 4), 0));
    }

    @Test
    void aKnockedScaleIsNotBelievedAndThenLearnedAnew() {
        MoistureFilter filter = dried(40, 4);
        TestPlant plant = new TestPlant.Matched(4, STOCK, 4.0, 0.80);
        for (int i = 0; i < 60 * 40; i++) {
            plant.second(75, 150, false);
        }
        double moisture = filter.moisture();
        plant.scaleZeroKg += 0.4;
        filter.step(plant.second(75, 150, false), 1.0);
        assertFalse(filter.estimate().scaleUsed());
        assertEquals(moisture, filter.moisture(), 1e-3);
        for (int i = 0; i < 60; i++) {
            filter.step(plant.second(75, 150, false), 1.0);
        }
        assertTrue(filter.estimate().scaleDisagrees());
        for (int i = 0; i < 300; i++) {
            filter.step(plant.second(75, 150, false), 1.0);
        }
        assertTrue(filter.estimate().scaleUsed(), "taken back with another zero");
        assertEquals(plant.moisture(), filter.moisture(), 3 * filter.moistureSd());
    }

    // ---- people
    // ---------------------------------------------------------------------------------------------------------------

    @Test
    void aGrosslyWrongHandSampleIsQuestionedAndChangesNothing() {
        MoistureFilter filter = dried(60, 6);
        double moisture = filter.moisture();
        double sd = filter.moistureSd();
        filter.sampleTaken();
        assertEquals(Verdict.QUESTIONED, filter.sampleValue(moisture - 0.35, 0.006));
        assertEquals(moisture, filter.moisture());
        assertEquals(sd, filter.moistureSd());
        assertTrue(filter.hasOpenSample(), "a corrected value is still welcome");
        assertEquals(Verdict.TAKEN, filter.sampleValue(moisture + 0.01, 0.006));
        assertFalse(filter.hasOpenSample());
        assertTrue(filter.moistureSd() < sd);
    }

    @Test
    void aConfirmedSurpriseMovesTheFilterThere() {
        MoistureFilter filter = dried(60, 6);
        double value = filter.moisture() - 0.35;
        assertEquals(Verdict.QUESTIONED, filter.sampleValue(value, 0.006));
        assertEquals(Verdict.TAKEN, filter.sampleConfirmed(value, 0.006));
        assertEquals(value, filter.moisture(), 0.01);
    }

    /** Else the next weighing would surprise, and the tray scale be doubted for it. */
    @Test
    void aConfirmedValueMovesWaterAgainstDryLeafAndLeavesTheMass() {
        MoistureFilter filter = dried(60, 6);
        MoistureEstimate before = filter.estimate();
        double massKg = before.waterKg() + before.dryKg();
        assertEquals(Verdict.TAKEN, filter.weighIn(massKg, 0.005));
        double value = filter.moisture() - 0.35;
        assertEquals(Verdict.QUESTIONED, filter.sampleValue(value, 0.006));
        assertEquals(Verdict.TAKEN, filter.sampleConfirmed(value, 0.006));
        MoistureEstimate after = filter.estimate();
        assertEquals(massKg, after.waterKg() + after.dryKg(), 0.01);
        assertTrue(after.dryKg() > before.dryKg() + 0.1, "drier, so more of it is leaf");
    }

    @Test
    void aValueEnteredLateIsComparedWithTheLeafOfThen() {
        MoistureFilter filter = dried(60, 8);
        MoistureFilter atOnce = dried(60, 8);
        double then = filter.moisture();
        filter.sampleTaken();
        atOnce.sampleValue(then, 0.006);
        for (int i = 0; i < 600; i++) {
            filter.step(air(75, Double.NaN, Double.NaN), 1.0);
            atOnce.step(air(75, Double.NaN, Double.NaN), 1.0);
        }
        assertTrue(filter.moisture() < then - 0.01, "it went on drying");
        double untouched = filter.moisture();
        assertEquals(Verdict.TAKEN, filter.sampleValue(then, 0.006));
        assertEquals(untouched, filter.moisture(), 1e-3); // the value said what was believed then
        assertEquals(atOnce.moistureSd(), filter.moistureSd(), 0.05 * atOnce.moistureSd());
    }

    @Test
    void aWeighInSharpensTheMassAndAnImpossibleOneIsQuestioned() {
        MoistureFilter filter = loaded(STOCK);
        filter.load(4.0, 0.2, 0.80, 0.015);
        assertEquals(Verdict.TAKEN, filter.weighIn(4.15, 0.005));
        MoistureEstimate estimate = filter.estimate();
        assertEquals(4.15, estimate.waterKg() + estimate.dryKg(), 0.005);
        assertEquals(Verdict.QUESTIONED, filter.weighIn(3.0, 0.005));
        assertEquals(Verdict.TAKEN, filter.weighInConfirmed(3.0, 0.005));
        estimate = filter.estimate();
        assertEquals(3.0, estimate.waterKg() + estimate.dryKg(), 0.02);
        assertEquals(0.80, estimate.mean(), 0.02); // leaf went, not only water
    }

    // ---- what is done to the leaf
    // -----------------------------------------------------------------------------------------------

    @Test
    void rollingLosesDryMassAndWaterAndWidens() {
        MoistureFilter filter = dried(110, 9);
        MoistureEstimate before = filter.estimate();
        filter.rolled(0.02, 0.01, 0.015, 0.01, 0.3);
        MoistureEstimate after = filter.estimate();
        assertEquals(0.98 * before.dryKg(), after.dryKg(), 1e-9);
        assertEquals(0.985 * before.waterKg(), after.waterKg(), 1e-9);
        double both = Math.hypot(0.98 * before.dryKgSd(), 0.01 * before.dryKg());
        assertEquals(both, after.dryKgSd(), 1e-9);
        assertTrue(after.rateSd() > before.rateSd());
        assertTrue(after.wettest() < before.wettest(), "blade and stem evened out");
    }

    @Test
    void aSplitChargeKeepsItsMoistureAndAMergedOneMixes() {
        MoistureFilter filter = dried(60, 10);
        MoistureEstimate before = filter.estimate();
        filter.taken(0.5, 0.01);
        MoistureEstimate half = filter.estimate();
        assertEquals(before.mean(), half.mean(), 1e-12);
        assertEquals(
                before.sd(), half.sd(), 1e-9); // a share of the whole has the moisture of the whole
        assertEquals(0.5 * before.dryKg(), half.dryKg(), 1e-12);
        double water = half.waterKg();
        double dry = half.dryKg();
        assertEquals(Verdict.TAKEN, filter.merged(1.0, 0.005, 0.30, 0.02));
        MoistureEstimate mixed = filter.estimate();
        assertEquals((water + 0.3) / (water + dry + 1.0), mixed.mean(), 1e-12);
    }

    @Test
    void leafOnTheBenchTakesUpAboutAPointInHalfAnHour() {
        MoistureFilter filter = new MoistureFilter(STOCK, Band.GREEN_TEA);
        filter.load(0.84, 0.005, 0.05, 0.003);
        filter.onBench(25, 0.75, 101.325, 1_800);
        double points = 100 * (filter.moisture() - 0.05);
        assertEquals(1.0, points, 0.5); // design section 1, an estimate
        assertTrue(filter.moistureSd() > 0.003);
    }

    @Test
    void aGapNobodySawWidensAndTakesHalfOfWhatMayHaveDried() {
        MoistureFilter filter = dried(60, 11);
        MoistureFilter short1 = dried(60, 11);
        double before = filter.moisture();
        double sd = filter.moistureSd();
        short1.gap(120);
        filter.gap(3_600);
        assertTrue(filter.moisture() < before);
        assertTrue(filter.moistureSd() > sd);
        assertTrue(filter.moistureSd() > short1.moistureSd(), "longer is wider");
    }

    @ParameterizedTest
    @ValueSource(doubles = {1, 20, 60, 120, 240})
    void afterAGapOfAnyLengthItIsNoSurerThanBefore(double minutes) {
        for (double gapS : new double[] {1, 5, 60, 600, 6_000, 60_000}) {
            MoistureFilter filter = dried(minutes, 14);
            double before = filter.moistureSd();
            filter.gap(gapS);
            double sd = filter.moistureSd();
            assertTrue(sd >= before - 1e-12, () -> gapS + " s: ±" + before + " became ±" + sd);
        }
    }

    @Test
    void theValueOfASampleTakenBeforeAGapSpeaksOfTheLeafAsItWasThen() {
        MoistureFilter filter = dried(100, 15);
        double then = filter.moisture();
        filter.sampleTaken();
        filter.gap(600);
        assertTrue(filter.hasOpenSample());
        double dried = filter.moisture();
        double sd = filter.moistureSd();
        assertTrue(dried < then - 0.005, () -> then + " became " + dried);
        assertEquals(Verdict.TAKEN, filter.sampleValue(then, 0.005));
        assertEquals(dried, filter.moisture(), 1e-9, "no news is no change");
        assertTrue(filter.moistureSd() < sd);
    }

    @Test
    void leafThatWasNeverWatchedGetsThroughAGap() {
        MoistureFilter filter = loaded(STOCK);
        double sd = filter.moistureSd();
        filter.gap(600);
        assertTrue(filter.moistureSd() >= sd, () -> "±" + filter.moistureSd());
    }

    @Test
    void restingEvensBladeAndStemAndLosesNothing() {
        MoistureFilter filter = dried(80, 12);
        MoistureEstimate before = filter.estimate();
        filter.rested(1_800);
        MoistureEstimate after = filter.estimate();
        assertEquals(before.waterKg(), after.waterKg(), 1e-12);
        assertEquals(before.mean(), after.mean(), 1e-12);
        assertTrue(after.wettest() < before.wettest());
    }

    // ---- answers
    // ----------------------------------------------------------------------------------------------------------------

    @Test
    void lookingAheadAgreesWithWhatThenHappens() {
        MoistureFilter filter = dried(90, 13);
        OvenAir air = air(75, Double.NaN, Double.NaN);
        double target = filter.moisture() * 0.6;
        TimeToTarget.In ahead =
                assertInstanceOf(TimeToTarget.In.class, filter.lookAhead(target, air, 4 * 3_600));
        double seconds = 0;
        while (filter.moisture() > target) {
            filter.step(air, 1.0);
            seconds++;
        }
        assertEquals(seconds, ahead.secondsS(), 0.02 * seconds);
        assertEquals(filter.moistureSd(), ahead.moistureSd(), 0.05 * filter.moistureSd());
        assertTrue(ahead.sdS() > 0);
    }

    @Test
    void lookingAheadChangesNothing() {
        MoistureFilter filter = dried(60, 14);
        MoistureState before = filter.state();
        filter.lookAhead(0.05, air(75, Double.NaN, Double.NaN), 3_600);
        filter.carryOver(air(75, Double.NaN, Double.NaN));
        MoistureFilter other = new MoistureFilter(STOCK, Band.GREEN_TEA);
        other.restore(before);
        for (int i = 0; i < 100; i++) {
            OvenAir second = air(70, 0.2, 4.5 - 1e-4 * i);
            filter.step(second, 1.0);
            other.step(second, 1.0);
        }
        assertEquals(other.state(), filter.state());
    }

    @Test
    void airThatIsTooHumidForTheTargetIsSaidBeforeHoursAreWasted() {
        MoistureFilter filter = new MoistureFilter(STOCK, Band.GREEN_TEA);
        filter.load(1.0, 0.005, 0.12, 0.005);
        OvenAir damp =
                new OvenAir(35, 33, Double.NaN, 30, 0.8, 101.325, 150, 1, false, Double.NaN, 0);
        TimeToTarget.NotWithThisAir answer =
                assertInstanceOf(
                        TimeToTarget.NotWithThisAir.class,
                        filter.lookAhead(0.05, damp, 12 * 3_600));
        assertTrue(answer.equilibrium() > 0.05);
        assertInstanceOf(TimeToTarget.Reached.class, filter.lookAhead(0.2, damp, 3_600));
        assertInstanceOf(
                TimeToTarget.Later.class,
                filter.lookAhead(0.03, air(75, Double.NaN, Double.NaN), 60));
    }

    @Test
    void leafGoesOnDryingWhileItCoolsAndTheCarryOverSaysHowMuch() {
        MoistureFilter filter = new MoistureFilter(STOCK, Band.GREEN_TEA);
        filter.load(0.86, 0.005, 0.06, 0.003);
        for (int i = 0; i < 300; i++) {
            filter.step(air(75, Double.NaN, Double.NaN), 1.0);
        }
        double expected = filter.carryOver(air(75, Double.NaN, Double.NaN));
        double before = filter.moisture();
        for (int i = 0; i < 600; i++) {
            filter.step(air(24 + 51 * Math.exp(-i / 240.0), Double.NaN, Double.NaN), 1.0);
        }
        assertEquals(before - filter.moisture(), expected, 0.1 * expected);
        assertTrue(expected > 0.001 && expected < 0.01, "carry-over " + expected);
    }

    @Test
    void theWettestPartIsWetterThanTheMeanAndLessCertain() {
        MoistureEstimate estimate = dried(100, 15).estimate();
        assertTrue(estimate.wettest() > estimate.mean());
        assertTrue(estimate.wettestSd() >= estimate.sd());
    }

    @Test
    void theAimMovesToTheMiddleOfTheBandAsDoubtGrows() {
        assertEquals(0.05, Band.GREEN_TEA.aim(0.002));
        assertEquals(
                0.055,
                Band.GREEN_TEA.aim(0.005),
                1e-12); // design section 4: 5.5 with a deviation of 0.5
        assertEquals(0.055, Band.GREEN_TEA.aim(0.03), 1e-12);
        assertEquals(0.055, Band.GREEN_TEA.aim(Double.NaN), 1e-12);
        double best = Band.GREEN_TEA.probability(0.055, 0.01);
        assertTrue(best > Band.GREEN_TEA.probability(0.05, 0.01));
        assertEquals(0.8664, best, 1e-4); // ± 1.5 deviations
        assertThrows(IllegalArgumentException.class, () -> new Band(0.04, 0.07, 0.08));
    }

    @Test
    void aRestoredFilterGoesOnToTheLastBit() {
        MoistureFilter filter = dried(30, 16);
        filter.rolled(0.02, 0.01, 0.02, 0.02, 0.5);
        filter.sampleTaken();
        MoistureFilter restored = new MoistureFilter(STOCK, Band.GREEN_TEA);
        restored.restore(filter.state());
        assertEquals(filter.estimate(), restored.estimate(), "before its first step");
        MoistureFilter copied = new MoistureFilter(STOCK, Band.GREEN_TEA);
        filter.copyTo(copied);
        for (int i = 0; i < 500; i++) {
            OvenAir second = air(72, 0.1, 5.0 - 3e-4 * i);
            filter.step(second, 1.0);
            restored.step(second, 1.0);
            copied.step(second, 1.0);
        }
        assertEquals(filter.sampleValue(0.7, 0.1), restored.sampleValue(0.7, 0.1));
        copied.sampleValue(0.7, 0.1);
        assertEquals(filter.state(), restored.state());
        assertEquals(filter.state(), copied.state());
        assertThrows(
                IllegalArgumentException.class,
                () -> filter.restore(new MoistureState(java.util.List.of(1.0))));
    }

    @Test
    void aStateKeptBeforeEvenedLeafWasKnownGoesOnAsSettledLeaf() {
        MoistureFilter filter = dried(100, 16);
        List<Double> settled = filter.state().numbers();
        double fast = rolledEvaporation(filter);
        MoistureFilter restored = new MoistureFilter(STOCK, Band.GREEN_TEA);
        restored.restore(new MoistureState(settled.subList(0, settled.size() - 1)));
        assertEquals(new MoistureState(settled), restored.state());
        assertTrue(rolledEvaporation(restored) == fast);
    }

    private static double rolledEvaporation(MoistureFilter filter) {
        filter.rolled(0.0, 0.0, 0.0, 0.0, 0.0);
        filter.step(air(75, Double.NaN, Double.NaN), 1e-3);
        return filter.estimate().evaporationKgPerS();
    }

    /** How much faster is engineering choice; that it wears off: Crank, see {@link DryingModel}. */
    @Test
    void leafJustRolledDriesFasterUntilItsSurfaceIsDryAgain() {
        MoistureFilter settled = dried(100, 16);
        MoistureFilter rolled = new MoistureFilter(STOCK, Band.GREEN_TEA);
        settled.copyTo(rolled);
        OvenAir hot = air(75, Double.NaN, Double.NaN);
        settled.step(hot, 1e-3);
        double faster = rolledEvaporation(rolled) / settled.estimate().evaporationKgPerS();
        assertTrue(faster > 1.2 && faster < Math.exp(DryingModel.KNEADED_LN), "by " + faster);
        double water = rolled.estimate().waterKg();
        while (rolled.estimate().waterKg() > Math.exp(-1.0) * water) {
            rolled.step(hot, 1.0);
        }
        double before = rolled.estimate().evaporationKgPerS();
        double stillFaster = rolledEvaporation(rolled) / before;
        assertTrue(stillFaster > 1.2, "worn off, so that rolling again helps: " + stillFaster);
    }

    @Test
    void aLossOnTheBenchThatSurprisesSaysLittleOfTheDryMass() {
        MoistureFilter filter = dried(100, 16);
        MoistureEstimate before = filter.estimate();
        filter.onBench(24, 0.55, 99, 1_800);
        MoistureEstimate rested = filter.estimate();
        double lostKg = before.waterKg() - rested.waterKg();
        assertTrue(lostKg > 0.01, "it dries on the bench, by " + lostKg + " kg");
        // a third less than expected, which is one deviation
        filter.weighIn(before.waterKg() - 0.67 * lostKg + before.dryKg(), 0.002);
        MoistureEstimate weighed = filter.estimate();
        assertEquals(before.waterKg() - 0.67 * lostKg, weighed.waterKg(), 0.1 * lostKg);
        assertEquals(before.dryKg(), weighed.dryKg(), 0.15 * before.dryKgSd());
    }

    @Test
    void aWideDeviationOfNearlyDryLeafIsWiderForItsSkew() {
        MoistureFilter sure = new MoistureFilter(STOCK, Band.GREEN_TEA);
        sure.load(1.0, 0.0, 0.06, 0.002);
        MoistureFilter unsure = new MoistureFilter(STOCK, Band.GREEN_TEA);
        unsure.load(1.0, 0.0, 0.06, 0.015);
        // ln-normal excess over 2 %: variance times 1 + 3/2·(sd/excess)²
        assertEquals(0.002, sure.moistureSd(), 0.01 * 0.002);
        double factor = Math.sqrt(1.0 + 1.5 * (0.015 * 0.015) / (0.04 * 0.04));
        assertEquals(0.015 * factor, unsure.moistureSd(), 0.01 * 0.015);
    }

    @Test
    void aStateKeptBeforeTheIsothermWasDoubtedGoesOnAsIfItBeganNow() {
        MoistureFilter filter = dried(30, 16);
        filter.sampleTaken();
        List<Double> numbers = new ArrayList<>();
        List<Double> now = filter.state().numbers();
        int at = 0;
        for (int i = 0; i < N; i++, at++) {
            if (i != DryingModel.REST) {
                numbers.add(now.get(at));
            }
        }
        for (int i = 0; i < N; i++) {
            for (int j = 0; j <= i; j++, at++) {
                if (i != DryingModel.REST && j != DryingModel.REST) {
                    numbers.add(now.get(at));
                }
            }
        }
        int scaleRead = at + 10; // and its drift
        for (; at < now.size() - 1; at++) { // but for how even the leaf is
            if (at != scaleRead && at != scaleRead + 1) {
                numbers.add(now.get(at));
            }
        }
        MoistureFilter restored = new MoistureFilter(STOCK, Band.GREEN_TEA);
        restored.restore(new MoistureState(numbers));
        assertEquals(0.0, restored.mean(DryingModel.REST));
        assertEquals(
                STOCK.restSd() * STOCK.restSd(),
                restored.covariance(DryingModel.REST, DryingModel.REST));
        assertEquals(filter.moisture(), restored.moisture());
        assertEquals(filter.moistureSd(), restored.moistureSd());
        assertEquals(filter.sampleValue(0.7, 0.1), restored.sampleValue(0.7, 0.1));
        assertEquals(filter.moisture(), restored.moisture(), 0.01);
    }

    @Test
    void aTrayScaleThatDriftsIsDoubtedFirstAndAMistakenWeighingIsNot() {
        MoistureFilter steady = dried(60, 17);
        MoistureFilter drifting = dried(60, 17);
        double mass = steady.estimate().waterKg() + steady.estimate().dryKg();
        steady.weighIn(mass, 0.01);
        assertEquals(Verdict.TAKEN, drifting.weighIn(mass - 0.06, 0.01));
        for (int i = 0; i < 10; i++) {
            OvenAir read = air(75, Double.NaN, 2.5 + mass); // the tray scale still says so
            steady.step(read, 1.0);
            drifting.step(read, 1.0);
        }
        assertEquals(0.06, drifting.mean(DryingModel.ZERO) - steady.mean(DryingModel.ZERO), 0.015);
        for (int i = 0; i < 3_600; i++) {
            OvenAir unread = air(75, Double.NaN, Double.NaN);
            steady.step(unread, 1.0);
            drifting.step(unread, 1.0);
        }
        double steadySd = Math.sqrt(steady.covariance(DryingModel.ZERO, DryingModel.ZERO));
        double driftingSd = Math.sqrt(drifting.covariance(DryingModel.ZERO, DryingModel.ZERO));
        assertTrue(driftingSd > 0.04 && steadySd < 0.015, driftingSd + " and " + steadySd + " kg");

        MoistureFilter again = dried(60, 17); // and weighed again after a glance at the scale
        again.weighIn(mass, 0.01);
        again.step(air(75, Double.NaN, 2.5 + mass), 1.0);
        again.weighIn(mass - 0.06, 0.01);
        double now = again.covariance(DryingModel.ZERO, DryingModel.ZERO);
        for (int i = 0; i < 3_600; i++) {
            again.step(air(75, Double.NaN, Double.NaN), 1.0);
        }
        double drifted = Math.sqrt(again.covariance(DryingModel.ZERO, DryingModel.ZERO) - now);
        assertTrue(drifted < 0.06 * Math.sqrt(6.1), drifted + " kg in an hour, of a second");

        MoistureFilter mistaken = dried(60, 17);
        assertEquals(Verdict.QUESTIONED, mistaken.weighIn(mass - 1.0, 0.01));
        MoistureFilter withoutScale = loaded(STOCK);
        for (int i = 0; i < 600; i++) {
            withoutScale.step(air(75, 0.2, Double.NaN), 1.0);
        }
        double told = withoutScale.estimate().waterKg() + withoutScale.estimate().dryKg();
        double sd = 0.01; // nothing but the leaf to doubt
        assertEquals(Verdict.QUESTIONED, withoutScale.weighIn(0.92 * told, sd));
    }

    @Test
    void anUnloadedFilterKnowsNothing() {
        MoistureFilter filter = new MoistureFilter(STOCK, Band.GREEN_TEA);
        filter.step(air(75, 0.1, 2.5), 1.0);
        assertTrue(Double.isNaN(filter.moisture()));
        assertTrue(Double.isNaN(filter.moistureSd()));
        assertThrows(IllegalStateException.class, filter::estimate);
        assertEquals(Verdict.REFUSED, filter.weighIn(2.0, 0.01));
        filter.load(4, 0.01, 0.8, 0.02);
        assertTrue(filter.isLoaded());
        filter.unload();
        assertFalse(filter.isLoaded());
    }
}
