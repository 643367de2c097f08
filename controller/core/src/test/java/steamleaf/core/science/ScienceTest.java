package steamleaf.core.science;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.hummeling.if97.IF97;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
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

    /**
     * The second formulation on its own, to the critical point: the verification values printed in
     * IAPWS SR1-86(1992), from memory.
     */
    @ParameterizedTest
    @CsvSource({
        "273.16, 0.611657, 0.044436693, 999.789, 0.00485426",
        "373.1243, 101.325, 3.616, 958.365, 0.597586",
        "647.096, 22064, 268, 322, 322"
    })
    void theSupplementaryEquationsGiveTheirVerificationValues(
            double kelvin, double p, double slope, double liquid, double vapour) {
        double t = kelvin - 273.15;
        assertEquals(p, Saturation.supplementaryPressureKPa(t), 1e-5 * p);
        assertEquals(slope, Saturation.pressureSlopeKPaPerK(t), 2e-4 * slope);
        assertEquals(liquid, Saturation.liquidDensityKgPerM3(t), 2e-6 * liquid);
        assertEquals(vapour, Saturation.vapourDensityKgPerM3(t), 2e-6 * vapour);
    }

    /** Latent heat in kJ/kg as steam tables round it, from memory. */
    @ParameterizedTest
    @CsvSource({
        "0.01, 2500.9",
        "10, 2477.2",
        "25, 2441.7",
        "50, 2382.0",
        "110, 2229.7",
        "150, 2113.8",
        "200, 1939.8",
        "250, 1715.2",
        "300, 1404.6",
        "350, 892.7"
    })
    void theLatentHeatIsThatOfTheSteamTables(double t, double kJPerKg) {
        assertEquals(kJPerKg, Saturation.latentHeatKJPerKg(t), 5e-4 * kJPerKg);
    }

    @Test
    void saturationPressureIsContinuousFromIceToWater() {
        double ice = Psychrometrics.saturationPressureKPa(-1e-9);
        double water = Psychrometrics.saturationPressureKPa(0.0);
        assertEquals(water, ice, 3e-4 * water); // 611.15 and 611.21 Pa
    }

    /** Pa, ASHRAE Handbook 2017 ch. 1 table 3, from memory; −60 °C is printed to two places. */
    @ParameterizedTest
    @CsvSource({
        "-60, 1.08",
        "-20, 103.24",
        "-10, 259.87",
        "-5, 401.74",
        "0, 611.2",
        "25, 3169.7",
        "70, 31198",
        "150, 476101.4"
    })
    void saturationPressureOverIceAndWaterIsThatOfTheHandbook(double t, double pascal) {
        double lastPlace = t == -60 ? 0.005 : 0;
        assertEquals(
                pascal,
                1000.0 * Psychrometrics.saturationPressureKPa(t),
                3e-4 * pascal + lastPlace);
    }

    /** Rounding must not make fog of saturated air: every half degree at four pressures. */
    @Test
    void saturatedAirIsAirAndItsWetBulbAndDewPointAreItsTemperature() {
        for (double p : new double[] {60, 84.556, 101.325, 115}) {
            for (double t = 0.0; t < Saturation.temperatureC(p) - 5; t += 0.5) {
                String at = t + " °C, " + p + " kPa";
                double W = Psychrometrics.saturationHumidityRatio(t, p);
                assertEquals(1.0, Psychrometrics.relativeHumidity(t, W, p), 1e-12, at);
                assertEquals(t, Psychrometrics.wetBulbC(t, W, p), 1e-5, at);
                // at 0 °C the formulas over ice and water are 0.01 % apart, a thousandth of a
                // kelvin
                assertEquals(t, Psychrometrics.dewPointC(W, p), t == 0.0 ? 2e-3 : 1e-6, at);
            }
        }
    }

    /**
     * Adiabatic saturation as the Handbook defines it, h + (Ws* − W)·hw* = hs* (eq. 31), with h of
     * eq. 30 and hw* of eqs 32 (water, 4.186·t*) and 34 (ice, −333.4 + 2.1·t*), against eqs 33 and
     * 35. The ice equation is printed with 2830 where 2501 + 333.4 would be 2834: 0.2 % of Ws*.
     */
    @ParameterizedTest
    @CsvSource({
        "1, 0.0005",
        "5, 0.001",
        "10, 0.0002",
        "12, 0.002",
        "30, 0.01",
        "60, 0.012",
        "90, 0.03",
        "115, 0.02"
    })
    void theWetBulbClosesTheHeatBalanceThatDefinesIt(double t, double W) {
        double wet = Psychrometrics.wetBulbC(t, W, 95.0);
        double saturated =
                Psychrometrics.humidityRatioOfVapourPressure(
                        Psychrometrics.saturationPressureKPa(wet), 95.0);
        double atWet = 1.006 * wet + saturated * (2501.0 + 1.86 * wet);
        double added = wet < 0.0 ? -333.4 + 2.1 * wet : 4.186 * wet;
        double miss = Psychrometrics.enthalpyKJPerKg(t, W) + (saturated - W) * added - atWet;
        assertEquals(0.0, miss, wet < 0.0 ? 0.002 * 2834 * saturated : 1e-5);
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

    /** Dry air of 17.5 °C at 55 kPa: −0.84 °C over ice and 0.05 °C over water both solve it. */
    @Test
    void whereABulbCouldBeWetOrIcedItIsWet() {
        double iced = -0.8358552;
        double wet = 0.0547875;
        assertEquals(0.0, Psychrometrics.humidityRatioOfWetBulb(17.5, iced + 1e-5, 55), 1e-6);
        assertEquals(0.0, Psychrometrics.humidityRatioOfWetBulb(17.5, wet + 1e-5, 55), 1e-6);
        assertEquals(wet, Psychrometrics.wetBulbC(17.5, 0.0, 55), 1e-5);
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
        assertBad(Saturation.latentHeatKJPerKg(374));
        assertBad(Saturation.latentHeatKJPerKg(-0.1));
        assertBad(Psychrometrics.humidityRatioOfWetBulb(40, 5, 101.325)); // drier than dry
        assertBad(Psychrometrics.humidityRatioOfWetBulb(40, 41, 101.325));
        assertBad(Psychrometrics.standardPressureKPa(-501));
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
        assertBad(Drying.leafTemperatureC(80, -500, 0.5));
        assertBad(Drying.airLimitKgPerS(-1, 0.5, 0.02));
        assertBad(Drying.airCapacityKgPerKg(125, 0.01, 101.325));
        assertBad(Drying.rateConstantBetweenPerS(0.1, 0.02, 0.03, 60));
        assertBad(EnzymeKinetics.lethalRate(126, 90, 16.5));
        assertBad(EnzymeKinetics.Biphasic.WATERCRESS.shareLeft(Double.NaN, 0));
        assertBad(Chlorophyll.lossRatePerS(126));
        assertBad(EnzymeKinetics.Biphasic.WATERCRESS.shareLeftAt(126, 10));
        assertBad(EnzymeKinetics.Biphasic.WATERCRESS.shareLeftAt(-1, 10));
        assertBad(new ThinLayer.Lewis(1).moistureRatio(-1));
        assertBad(Diffusion.slabMoistureRatio(0));
        assertBad(Diffusion.slabLocalRatio(1.01, 0.1));
    }

    /** A fit is left where it gives no moisture ratio any more, and nothing dries backwards. */
    @Test
    void aDryingCurveEndsWhereItGivesNoMoistureRatio() {
        assertBad(new ThinLayer.Lewis(-0.01).moistureRatio(5));
        assertBad(new ThinLayer.Page(0.05, -1).moistureRatio(5));
        assertBad(new ThinLayer.TwoTerm(0.6, 0.1, 0.4, -0.01).moistureRatio(5));
        assertBad(new ThinLayer.HendersonPabis(1.6, 0.01).moistureRatio(0));
        ThinLayer falling = new ThinLayer.Logarithmic(1.1, 0.06, -0.05);
        assertEquals(0.0001, falling.moistureRatio(51.5), 1e-3);
        assertBad(falling.moistureRatio(60));
        assertBad(new ThinLayer.Midilli(1, 0.05, 1.1, -0.0005).moistureRatio(200));
        ThinLayer parabola = new ThinLayer.WangSingh(-0.03, 0.00025);
        assertEquals(0.1, parabola.moistureRatio(60), 1e-12); // its lowest point
        assertBad(parabola.moistureRatio(61));
    }

    @Test
    void parametersThatMakeNoIsothermGiveNoMoistureAndNoActivity() {
        Isotherm[] forms = {
            new Isotherm.ModifiedHalsey(3.38, -0.02, -1.81),
            new Isotherm.ModifiedOswin(9, -0.05, 0),
            new Isotherm.ModifiedOswin(-9, -0.05, 2.4),
            new Isotherm.ModifiedHenderson(-8.6541e-5, 1.8634, 49.81),
            new Isotherm.ModifiedHenderson(8.6541e-5, Double.NaN, 49.81),
            new Isotherm.ModifiedHenderson(8.6541e-5, 1.8634, -25),
            new Isotherm.ModifiedChungPfost(312.4, 0, 30.205),
            new Isotherm.ModifiedChungPfost(-312.4, 0.16958, 30.205),
            new Isotherm.Gab(0, 12, 0.85),
            new Isotherm.Gab(5, -12, 0.85),
            new Isotherm.Gab(5, 12, Double.NaN)
        };
        for (Isotherm form : forms) {
            assertBad(form.equilibriumMoistureKgPerKg(25, 0.3));
            assertBad(form.waterActivity(25, 0.06));
        }
        assertBad(new Isotherm.Gab(5, 12, 1.1).equilibriumMoistureKgPerKg(25, 0.95)); // K·aw ≥ 1
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
