package steamleaf.core.science;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.hummeling.if97.IF97;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ScienceTest {

    @Test
    void saturationAgreesWithAnIndependentIf97LibraryOverTheWholeRange() {
        IF97 library = new IF97(IF97.UnitSystem.DEFAULT); // com.hummeling:if97, MPa and K
        for (double t = 1.0; t <= 200.0; t += 1.0) {
            double p = 1000.0 * library.saturationPressureT(t + 273.15);
            assertEquals(p, Saturation.pressureKPa(t), 1e-9 * p, "p at " + t);
            assertEquals(t, Saturation.temperatureC(p), 1e-6, "T at " + p);
            double latent =
                    library.specificEnthalpySaturatedVapourT(t + 273.15)
                            - library.specificEnthalpySaturatedLiquidT(t + 273.15);
            // two formulations of the same water: SOURCES.md, section 2, 0.02 % from 40 to 120 °C
            double share = t >= 40 && t <= 120 ? 2e-4 : 1e-3;
            assertEquals(
                    latent, Saturation.latentHeatKJPerKg(t), share * latent, "latent heat at " + t);
            double density = 1.0 / library.specificVolumeSaturatedVapourT(t + 273.15);
            assertEquals(
                    density, Saturation.vapourDensityKgPerM3(t), 1e-3 * density, "density at " + t);
            double liquid = 1.0 / library.specificVolumeSaturatedLiquidT(t + 273.15);
            assertEquals(
                    liquid, Saturation.liquidDensityKgPerM3(t), 1e-3 * liquid, "liquid at " + t);
        }
    }

    @Test
    void hylandWexlerStaysWithinTwoHundredthsOfAPercentOfIf97() {
        for (double t = 1.0; t <= 120.0; t += 0.5) {
            double p = Saturation.pressureKPa(t);
            assertEquals(
                    p,
                    Psychrometrics.saturationPressureKPa(t),
                    2.2e-4 * p,
                    "at " + t); // SOURCES.md: −0.018 to +0.010 %
        }
    }

    @Test
    void saturationPressureIsContinuousFromIceToWater() {
        double ice = Psychrometrics.saturationPressureKPa(-1e-9);
        double water = Psychrometrics.saturationPressureKPa(0.0);
        assertEquals(water, ice, 3e-4 * water); // 611.15 and 611.21 Pa
        assertEquals(
                0.10326,
                Psychrometrics.saturationPressureKPa(-20.0),
                1e-4); // ASHRAE Table 3, from memory: 103.26 Pa
    }

    @ParameterizedTest
    @ValueSource(doubles = {-30, -5, 1, 30, 75, 119})
    void theSlopeOfTheSaturationPressureMatchesADifference(double t) {
        double h = 1e-3;
        double difference =
                (Math.log(Psychrometrics.saturationPressureKPa(t + h))
                                - Math.log(Psychrometrics.saturationPressureKPa(t - h)))
                        / (2 * h);
        assertEquals(difference, Psychrometrics.saturationSlopePerK(t), 1e-7);
    }

    @Test
    void theSlopeOfTheSteamPressureMatchesADifference() {
        double h = 1e-3;
        for (double t = 5; t < 200; t += 15) {
            double difference =
                    (Saturation.supplementaryPressureKPa(t + h)
                                    - Saturation.supplementaryPressureKPa(t - h))
                            / (2 * h);
            assertEquals(
                    difference, Saturation.pressureSlopeKPaPerK(t), 1e-6 * difference, "at " + t);
        }
    }

    @Test
    void wetBulbAndDewPointLeadBackToTheSameAirAtAnyPressure() {
        for (double p : new double[] {55, 70, 84.556, 101.325, 118}) {
            for (double t = 0.0; t <= 120.0; t += 7.5) {
                double highest = Psychrometrics.highestRelativeHumidity(t, p);
                for (double share : new double[] {0.01, 0.1, 0.5, 0.9, 0.999}) {
                    double W = Psychrometrics.humidityRatio(t, share * highest, p);
                    if (!Psychrometrics.HUMIDITY_RATIO.holds(W)) {
                        continue; // nearly pure steam
                    }
                    String at = "t " + t + " p " + p + " share " + share;
                    double wet = Psychrometrics.wetBulbC(t, W, p);
                    assertTrue(wet <= t, at);
                    assertEquals(
                            W,
                            Psychrometrics.humidityRatioOfWetBulb(t, wet, p),
                            1e-6 * (1 + W),
                            at);
                    double dew = Psychrometrics.dewPointC(W, p);
                    assertTrue(dew <= t + 1e-6, at);
                    assertEquals(
                            Psychrometrics.vapourPressureKPa(W, p),
                            Psychrometrics.saturationPressureKPa(dew),
                            1e-7,
                            at);
                    assertEquals(
                            share * highest, Psychrometrics.relativeHumidity(t, W, p), 1e-12, at);
                }
            }
        }
    }

    @Test
    void theSlopeOfTheWetBulbMatchesADifference() {
        for (double t : new double[] {2, 25, 60, 80, 115}) {
            for (double W : new double[] {0.001, 0.004, 0.02}) {
                if (!(Psychrometrics.wetBulbC(t, W, 95.0) > -40)) {
                    continue; // fog
                }
                double h = 1e-4;
                double difference =
                        (Psychrometrics.wetBulbC(t, W + h, 95.0)
                                        - Psychrometrics.wetBulbC(t, W - h, 95.0))
                                / (2 * h);
                double wet = Psychrometrics.wetBulbC(t, W, 95.0);
                assertEquals(
                        difference,
                        Psychrometrics.wetBulbSlope(t, wet, W, 95.0),
                        1e-3 * difference,
                        t + ", " + W);
            }
        }
    }

    @Test
    void outOfRangeIsNeverANumber() {
        assertBad(Psychrometrics.saturationPressureKPa(201));
        assertBad(Psychrometrics.saturationPressureKPa(Double.NaN));
        assertBad(Psychrometrics.humidityRatio(130, 0.1, 101.325));
        assertBad(Psychrometrics.humidityRatio(60, 0.1, 30));
        assertBad(Psychrometrics.humidityRatio(60, 1.01, 101.325));
        assertBad(Psychrometrics.humidityRatio(60, -0.01, 101.325));
        assertBad(
                Psychrometrics.humidityRatio(
                        110, 0.9, 101.325)); // above p/pws = 0.71 there is no such air
        assertBad(Psychrometrics.humidityRatio(110, Double.NaN, 101.325));
        assertBad(Psychrometrics.saturationHumidityRatio(101, 101.325));
        assertBad(Psychrometrics.relativeHumidity(20, 0.02, 101.325)); // fog
        assertBad(Psychrometrics.wetBulbC(20, 0.02, 101.325));
        assertBad(Psychrometrics.dewPointC(-0.01, 101.325));
        assertBad(Psychrometrics.enthalpyKJPerKg(121, 0.01));
        assertBad(Psychrometrics.volumeM3PerKg(20, Double.POSITIVE_INFINITY, 101.325));
        assertBad(Psychrometrics.standardPressureKPa(12_000));
        assertBad(Saturation.pressureKPa(-1));
        assertBad(Saturation.temperatureC(23_000));
        assertBad(Saturation.temperatureC(0));
        assertBad(Saturation.latentHeatKJPerKg(250));
        assertBad(Isotherm.GREEN_TEA.equilibriumMoistureKgPerKg(25, 1.0));
        assertBad(Isotherm.GREEN_TEA.equilibriumMoistureKgPerKg(140, 0.3));
        assertBad(Isotherm.GREEN_TEA.waterActivity(25, 0));
        assertBad(MoistureBasis.dryBasis(1.0));
        assertBad(MoistureBasis.wetBasis(-0.1));
        assertBad(MoistureBasis.waterLostKg(10, Double.NaN, 0.1));
        assertBad(MoistureBasis.wetBasisAfterLoss(0.3, 0.4)); // more lost than there was water
        assertBad(Drying.rateConstantPerS(7e-4, 25, 131));
        assertBad(Drying.leafTemperatureC(80, 33, 1.1));
        assertBad(Drying.leafTemperatureC(30, 33, 0.5));
        assertBad(Drying.airLimitKgPerS(-1, 0.5, 0.02));
        assertBad(Drying.airCapacityKgPerKg(125, 0.01, 101.325));
        assertBad(Drying.rateConstantBetween(0.1, 0.02, 0.03, 60));
        assertBad(EnzymeKinetics.lethalRate(126, 90, 16.5));
        assertBad(EnzymeKinetics.Biphasic.WATERCRESS.shareLeft(Double.NaN, 0));
        assertBad(Chlorophyll.lossRatePerS(126));
        assertBad(new ThinLayer.Lewis(1).moistureRatio(-1));
        assertBad(Diffusion.slabMoistureRatio(0));
    }

    private static void assertBad(double value) {
        assertTrue(Double.isNaN(value), () -> "a number where there is none: " + value);
    }

    @Test
    void aRangeIsClosedAndRefusesNotANumber() {
        Range range = new Range("air temperature", "°C", 0, 120);
        assertTrue(range.holds(0) && range.holds(120));
        assertFalse(range.holds(-1e-9) || range.holds(120.0001) || range.holds(Double.NaN));
        assertEquals("air temperature = 121.0 °C, allowed: 0.0 to 120.0 °C", range.refusal(121));
    }

    @Test
    void theDefaultIsothermGivesTheMoisturesItIsDescribedWith() {
        // SOURCES.md, suggested defaults: 7.1 % d.b. at 25 °C and 60 %RH, 1.5 at 80 °C and 5 %RH
        assertEquals(0.071, Isotherm.GREEN_TEA.equilibriumMoistureKgPerKg(25, 0.60), 5e-4);
        assertEquals(0.015, Isotherm.GREEN_TEA.equilibriumMoistureKgPerKg(80, 0.05), 5e-4);
        assertEquals(0.0, Isotherm.GREEN_TEA.equilibriumMoistureKgPerKg(80, 0.0));
    }

    @Test
    void everyIsothermRisesWithHumidityAndFindsItsWayBack() {
        Isotherm[] forms = {
            Isotherm.GREEN_TEA,
            new Isotherm.ModifiedOswin(9, -0.05, 2.4),
            new Isotherm.ModifiedHenderson(8.6541e-5, 1.8634, 49.81),
            new Isotherm.ModifiedChungPfost(312.4, 0.16958, 30.205),
            new Isotherm.Gab(5, 12, 0.85),
            new Isotherm.Gab(5, 0.8, 0.85),
            new Isotherm.Gab(5, 1.0, 0.85)
        };
        for (Isotherm form : forms) {
            double before = -1;
            for (double aw = 0.1; aw < 0.95; aw += 0.05) {
                double moisture = form.equilibriumMoistureKgPerKg(30, aw);
                assertTrue(moisture > before, form + " at " + aw);
                assertEquals(aw, form.waterActivity(30, moisture), 1e-9, form + " at " + aw);
                double h = 1e-6;
                double slope =
                        (form.equilibriumMoistureKgPerKg(30, aw + h)
                                        - form.equilibriumMoistureKgPerKg(30, aw - h))
                                / (2 * h);
                assertEquals(
                        slope, form.equilibriumSlope(30, aw), 1e-6 * slope, form + " at " + aw);
                before = moisture;
            }
        }
    }

    @Test
    void leafIsAtTheWetBulbWhileWetAndAtTheAirWhenDry() {
        assertEquals(33.0, Drying.leafTemperatureC(80, 33, 1.0));
        assertEquals(80.0, Drying.leafTemperatureC(80, 33, 0.0));
        assertEquals(0.0, Drying.transferShare(0.0));
        assertEquals(1.0 - Math.exp(-1.0), Drying.transferShare(1.0), 1e-15);
    }

    @Test
    void thirtySecondsAtNinetyEightDegreesAreThreePointEightDecades() {
        // design section 4: "30 s at 98 °C is already 3.8 log"
        double seconds =
                30
                        * EnzymeKinetics.lethalRate(
                                98,
                                EnzymeKinetics.STAND_IN_REFERENCE_C,
                                EnzymeKinetics.STAND_IN_Z_K);
        assertEquals(3.8, seconds / EnzymeKinetics.STAND_IN_D_S, 0.05);
    }

    @Test
    void greenIsLostFasterInTheHeat() {
        assertEquals(1.0, Chlorophyll.indexAfter(1.0, 25.0, 0.0));
        assertTrue(Chlorophyll.indexAfter(1.0, 80, 3600) < Chlorophyll.indexAfter(1.0, 38, 3600));
        assertEquals(Math.exp(-0.36), Chlorophyll.indexAfter(1.0, 80, 3600), 1e-12);
    }
}
