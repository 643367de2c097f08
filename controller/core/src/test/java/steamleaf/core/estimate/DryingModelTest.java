package steamleaf.core.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.core.science.Drying;
import steamleaf.core.science.Psychrometrics;

class DryingModelTest {
    private static final LeafParameters LEAF = LeafParameters.STOCK;

    private static double[] state(double moistureX, double dryKg, double humidity) {
        double[] x = new double[DryingModel.STATES];
        x[DryingModel.BLADE] = 0.8 * dryKg * moistureX;
        x[DryingModel.STEM] = 0.2 * dryKg * moistureX;
        x[DryingModel.DRY] = dryKg;
        x[DryingModel.AIR] = humidity;
        return x;
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5})
    void theAnalyticDerivativesMatchFiniteDifferencesOverTheWholeRange(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        DryingModel model = new DryingModel(LEAF);
        for (int n = 0; n < 400; n++) {
            double airC = random.nextDouble(15, 110);
            model.air(
                    airC,
                    random.nextDouble(75, 104),
                    random.nextDouble(),
                    random.nextDouble(0.3, 2));
            double dry = random.nextDouble(0.1, 3);
            double moisture = Math.exp(random.nextDouble(Math.log(0.01), Math.log(4)));
            double[] x = state(moisture, dry, random.nextDouble(0.002, 0.009));
            x[DryingModel.STEM] *= random.nextDouble(0.5, 2);
            x[DryingModel.RATE] = random.nextDouble(-1.5, 1.5);
            x[DryingModel.TRANSFER] = random.nextDouble(-0.7, 0.7);
            x[DryingModel.REST] = random.nextDouble(-0.6, 0.6);
            model.at(x, true);
            double[] blade = model.bladeSlope.clone();
            double[] stem = model.stemSlope.clone();
            for (int i = 0; i < DryingModel.STATES; i++) {
                double h = 1e-5 * Math.max(1e-2, Math.abs(x[i]));
                double kept = x[i];
                x[i] = kept + h;
                model.at(x, false);
                double bladeUp = model.bladeKgPerS;
                double stemUp = model.stemKgPerS;
                x[i] = kept - h;
                model.at(x, false);
                double bladeDifference = (bladeUp - model.bladeKgPerS) / (2 * h);
                double stemDifference = (stemUp - model.stemKgPerS) / (2 * h);
                x[i] = kept;
                model.at(x, false);
                double scale = Math.abs(model.evaporationKgPerS()) + 1e-7;
                String at =
                        "seed " + seed + " case " + n + " state " + i + " air " + airC + " X "
                                + moisture;
                assertEquals(
                        bladeDifference,
                        blade[i],
                        2e-4 * Math.abs(bladeDifference) + 1e-4 * scale,
                        at);
                assertEquals(
                        stemDifference,
                        stem[i],
                        2e-4 * Math.abs(stemDifference) + 1e-4 * scale,
                        at);
            }
        }
    }

    @Test
    void wetLeafSitsAtTheWetBulbAndDryLeafAtTheAir() {
        DryingModel model = new DryingModel(LEAF);
        model.air(80, 101.325, 1.0, 0.8);
        double[] wet = state(4, 0.8, 0.012);
        wet[DryingModel.RATE] = 2.5;
        model.at(wet, false);
        assertEquals(Psychrometrics.wetBulbC(80, 0.012, 101.325), model.leafC, 0.5);
        assertTrue(model.shareOfLimit > 0.98);
        model.at(state(0.03, 0.8, 0.012), false);
        assertEquals(80, model.leafC, 2.0);
    }

    @Test
    void evaporationNeverExceedsWhatTheAirTakes() {
        DryingModel model = new DryingModel(LEAF);
        model.air(90, 101.325, 1.0, 0.8);
        double limit = LEAF.transferPerS() * 0.8 * Drying.airCapacityKgPerKg(90, 0.012, 101.325);
        for (double rate = -3; rate <= 3; rate += 0.25) {
            double[] x = state(4, 0.8, 0.012);
            x[DryingModel.RATE] = rate;
            model.at(x, false);
            assertTrue(model.evaporationKgPerS() <= limit, "at " + rate);
        }
    }

    @Test
    void leafBelowItsEquilibriumTakesUpWater() {
        DryingModel model = new DryingModel(LEAF);
        model.air(25, 101.325, 0.1, 0.8);
        double humidity = Psychrometrics.humidityRatio(25, 0.75, 101.325);
        double[] x = state(0.0526, 0.8, humidity);
        model.at(x, false);
        assertTrue(model.bladeKgPerS < 0 && model.stemKgPerS < 0);
        // design section 1: about a point in half an hour at 25 °C, 75 % RH (an estimate, so within
        // half of it)
        double points = -model.evaporationKgPerS() * 1800 / 0.8 / Math.pow(1.0526, 2) * 100;
        assertEquals(1.0, points, 0.5);
    }
}
