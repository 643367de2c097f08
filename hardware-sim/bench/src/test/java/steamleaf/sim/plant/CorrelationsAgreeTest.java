package steamleaf.sim.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.core.science.EnzymeKinetics;
import steamleaf.core.science.Isotherm;
import steamleaf.core.science.Psychrometrics;
import steamleaf.core.science.Saturation;

/**
 * The controller's relations against the ones the simulated plant uses on purpose, over the whole
 * range in which both hold. Allowed differences are those of the formulas, said beside each.
 */
class CorrelationsAgreeTest {

    /**
     * IF97 and Hyland–Wexler against IAPWS SR1-86. The notes to the reference tables say 0.01 % for
     * the first two where the line works; beyond it 0.03 % and 0.1 % are what they differ by.
     */
    @Test
    void saturationPressureAgreesFromFreezingToTwoHundredDegrees() {
        for (double t = 0.5; t <= 200; t += 0.5) {
            double plant = Steam.saturationPa(t) / 1000;
            double if97 = t >= 40 && t <= 120 ? 1.05e-4 : 3e-4;
            assertEquals(plant, Saturation.pressureKPa(t), if97 * plant, "IF97 at " + t);
            double share = t <= 120 ? 3e-4 : 1e-3;
            assertEquals(
                    plant,
                    Psychrometrics.saturationPressureKPa(t),
                    share * plant,
                    "Hyland–Wexler at " + t);
        }
    }

    @Test
    void theBoilingPointAgreesAtEveryPressureOfTheAir() {
        for (double p = 50; p <= 120; p += 0.25) {
            assertEquals(Steam.boilingC(1000 * p), Saturation.temperatureC(p), 5e-3, "at " + p);
        }
    }

    /** Two programs, one set of published equations; and the plant's own energy book. */
    @Test
    void latentHeatAndDensitiesAgreeFromFreezingToTwoHundredDegrees() {
        for (double t = 1; t <= 200; t += 1) {
            double latent = Steam.latentJPerKg(t) / 1000;
            assertEquals(latent, Saturation.latentHeatKJPerKg(t), 1e-6 * latent, "at " + t);
            double vapour = Steam.vapourKgPerM3(t);
            assertEquals(vapour, Saturation.vapourDensityKgPerM3(t), 1e-9 * vapour, "at " + t);
            if (t <= 100) {
                double book = (MoistAir.vapourJPerKg(t) - MoistAir.WATER_J_PER_KG_K * t) / 1000;
                assertEquals(latent, book, 5e-3 * latent, "book at " + t);
            }
        }
    }

    @ParameterizedTest
    @ValueSource(doubles = {60, 75, 84.556, 95, 101.325, 110})
    void moistAirAgreesAtEveryTemperatureAndHumidity(double p) {
        for (double t = 1; t <= 119; t += 2) {
            double highest = Psychrometrics.highestRelativeHumidity(t, p);
            for (double share : new double[] {0.02, 0.1, 0.3, 0.6, 0.9}) {
                double rh = share * highest;
                double W = Psychrometrics.humidityRatio(t, rh, p);
                if (!(W <= 2.0)) {
                    continue; // nearly pure steam
                }
                String at = "t " + t + " rh " + rh + " p " + p;
                double saturation = Steam.saturationPa(t);
                double plantRh = MoistAir.relativeHumidity(W, saturation, 1000 * p);
                assertEquals(rh, plantRh, 5e-4 * rh, at); // ratio of molar masses, saturation
                double h = MoistAir.enthalpyJPerKg(t, W) / 1000;
                // 2500.9 and 1.85 against 2501 and 1.86 kJ/(kg K)
                assertEquals(
                        h, Psychrometrics.enthalpyKJPerKg(t, W), 1e-9 + W * 0.1 + W * 0.01 * t);
                double dry = MoistAir.dryAirKgPerM3(t, W, 1000 * p);
                double volume = Psychrometrics.volumeM3PerKg(t, W, p);
                assertEquals(1 / dry, volume, 5e-4 * volume, at);
            }
        }
    }

    /**
     * The thermodynamic wet bulb against the balance of heat and vapour at a wet surface. They are
     * not the same quantity: with Le^(2/3) = 0.91 the surface stands above or below by up to a few
     * tenths while the leaf stage lasts, more in hot dry air.
     */
    @ParameterizedTest
    @ValueSource(doubles = {75, 90, 101.325})
    void wetLeafIsWhereTheWetBulbSaysWithinAKelvin(double p) {
        double most = 0;
        for (double t = 20; t <= 110; t += 5) {
            for (double W = 0.004; W <= 0.06; W += 0.004) {
                double wet = Psychrometrics.wetBulbC(t, W, p);
                if (Double.isNaN(wet)) {
                    continue; // fog
                }
                double surface = MoistAir.wetSurfaceC(t, W, 1000 * p);
                most = Math.max(most, Math.abs(wet - surface));
                assertTrue(surface <= t + 1e-6, "t " + t + " W " + W);
            }
        }
        assertTrue(most < 0.855, "off by " + most);
        assertTrue(most > 0.01, "the two are suspiciously the same");
    }

    /**
     * Modified Halsey against GAB. Both are engineering choices through the same weak point; the
     * stated uncertainty is 1.5 points d.b.
     */
    @Test
    void theSorptionCurvesStayWithinTheStatedUncertainty() {
        Gab plant = new Gab(PlantSettings.stock().sorption());
        double most = 0;
        for (double t = 20; t <= 80; t += 5) {
            plant.temperature(t);
            double before = 0;
            for (double aw = 0.02; aw <= 0.70; aw += 0.02) {
                double ours = Isotherm.GREEN_TEA.equilibriumMoistureKgPerKg(t, aw);
                most = Math.max(most, Math.abs(ours - plant.moistureKgPerKg(aw)));
                assertTrue(ours > before, "rises at " + t + ", " + aw);
                before = ours;
            }
        }
        assertTrue(most < 0.009, "off by " + most + " kg/kg d.b.");
    }

    /** Two programs, one published parameter set. */
    @Test
    void residualPeroxidaseAgreesOverTheSteamersRange() {
        for (double t = 40; t <= 100; t += 1) {
            for (double s : new double[] {1, 10, 60, 120}) {
                double plant =
                        Peroxidase.left(
                                Peroxidase.labilePerS(t) * s, Peroxidase.resistantPerS(t) * s);
                double ours = EnzymeKinetics.Biphasic.WATERCRESS.shareLeftAt(t, s);
                assertEquals(plant, ours, 1e-9 + 1e-6 * plant, t + " °C, " + s + " s");
            }
        }
    }
}
