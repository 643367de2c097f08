package steamleaf.core.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.hipparchus.ode.ODEState;
import org.hipparchus.ode.OrdinaryDifferentialEquation;
import org.hipparchus.ode.nonstiff.DormandPrince853Integrator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import steamleaf.core.science.EnzymeKinetics;
import steamleaf.core.science.Saturation;

/**
 * Our own steps against a general integrator of the same equations (Hipparchus, Dormand–Prince).
 */
class IntegratorTest {

    private static double[] integrated(
            OrdinaryDifferentialEquation equations, double[] from, double forS) {
        return new DormandPrince853Integrator(1e-6, 10.0, 1e-12, 1e-12)
                .integrate(equations, new ODEState(0.0, from), forS)
                .getPrimaryState();
    }

    private record Equations(int getDimension, Rates rates)
            implements OrdinaryDifferentialEquation {
        interface Rates {
            double[] at(double[] y);
        }

        @Override
        public double[] computeDerivatives(double t, double[] y) {
            return rates.at(y);
        }
    }

    @ParameterizedTest
    @CsvSource({
        "25, 100, 101.325, 30",
        "15, 96, 84.556, 90",
        "25, 93, 101.325, 120",
        "30, 110, 95, 20"
    })
    void theSteamDoseIsTheIntegralOfItsOwnEquations(
            double leafC, double chestC, double pressureKPa, double dwellS) {
        SteamDose.Parameters stock = SteamDose.Parameters.STOCK;
        EnzymeKinetics.Biphasic pod = stock.biphasic();
        double steamC = Math.min(chestC, Saturation.temperatureC(pressureKPa));
        double[] end =
                integrated(
                        new Equations(
                                4,
                                y ->
                                        new double[] {
                                            (steamC - y[0]) / stock.heatingS(),
                                            EnzymeKinetics.lethalRate(
                                                    y[0], stock.referenceC(), stock.zK()),
                                            pod.labileRatePerS(y[0]),
                                            pod.resistantRatePerS(y[0])
                                        }),
                        new double[] {leafC, 0, 0, 0},
                        dwellS);
        SteamDose ours = SteamDose.ofDwell(stock, leafC, chestC, pressureKPa, dwellS);
        assertEquals(end[0], ours.leafC(), 1e-9);
        assertEquals(end[1], ours.equivalentS(), 1e-4 * end[1]);
        assertEquals(pod.shareLeft(end[2], end[3]), ours.activityLeft(stock), 1e-6 + 1e-3 * end[3]);
    }

    /**
     * Dried leaf on the bench: the filter's seconds against an integration of the model's own rates
     * in room air; and the design's estimate, about a point in half an hour at 25 °C and 75 %.
     */
    @Test
    void regainOnTheBenchIsTheIntegralOfTheModel() {
        LeafParameters stock = LeafParameters.STOCK;
        MoistureFilter filter = new MoistureFilter(stock, Band.GREEN_TEA);
        double massKg = 0.84;
        double wet = 0.05;
        filter.load(massKg, 0.001, wet, 0.002);
        DryingModel model = new DryingModel(stock);
        double dryKg = massKg * (1 - wet);
        double humidity = steamleaf.core.science.Psychrometrics.humidityRatio(25, 0.75, 100);
        model.air(25, 100, OvenAir.bench(25, 0.75, 100).fanShare(), dryKg);
        double[] x = new double[DryingModel.STATES];
        x[DryingModel.DRY] = dryKg;
        x[DryingModel.AIR] = humidity;
        double[] end =
                integrated(
                        new Equations(
                                2,
                                y -> {
                                    x[DryingModel.BLADE] = y[0];
                                    x[DryingModel.STEM] = y[1];
                                    model.at(x, false);
                                    return new double[] {-model.bladeKgPerS, -model.stemKgPerS};
                                }),
                        new double[] {
                            (1 - stock.stemShare()) * massKg * wet, stock.stemShare() * massKg * wet
                        },
                        1800);
        for (int s = 0; s < 1800; s++) {
            filter.onBench(25, 0.75, 100, 1.0);
        }
        double water = end[0] + end[1];
        double moisture = water / (water + dryKg);
        assertEquals(moisture, filter.moisture(), 3e-4);
        double regain = filter.moisture() - wet;
        assertTrue(regain > 0.003 && regain < 0.02, () -> "regain " + regain);
    }
}
