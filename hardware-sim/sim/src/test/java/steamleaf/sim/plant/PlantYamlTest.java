package steamleaf.sim.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;

import java.util.List;
import org.junit.jupiter.api.Test;

class PlantYamlTest {
    private static PlantYaml.Outcome read(String text) {
        return PlantYaml.read(text, "plant.yaml", PlantSettings.stock());
    }

    private static List<String> mistakes(String text) {
        return assertInstanceOf(PlantYaml.Refused.class, read(text)).mistakes();
    }

    private static PlantSettings settings(String text) {
        PlantYaml.Outcome outcome = read(text);
        return assertInstanceOf(PlantYaml.Read.class, outcome, outcome::toString).settings();
    }

    @Test
    void anEmptyFileIsTheBase() {
        assertEquals(PlantSettings.stock(), settings(""));
        assertEquals(PlantSettings.stock(), settings("# nothing\n"));
    }

    @Test
    void numbersAreOverriddenAndTheRestStays() {
        PlantSettings changed =
                settings(
                        """
                ovens: 8
                leaf:
                  stemShare: 0.25
                  dryDiffusivityM2PerS: 2e-11
                oven:
                  heaterW: 4_500
                  trays: 3
                  airDistribution: [1.1, 1, 0.9]
                sensors:
                  air: {bias: -1.5}
                """);
        assertEquals(8, changed.ovens());
        assertEquals(0.25, changed.leaf().stemShare());
        assertEquals(2e-11, changed.leaf().dryDiffusivityM2PerS());
        assertEquals(4_500, changed.oven().heaterW());
        assertEquals(List.of(1.1, 1.0, 0.9), changed.oven().airDistribution());
        assertEquals(-1.5, changed.sensors().air().bias());
        assertEquals(PlantSettings.stock().room(), changed.room());
    }

    @Test
    void everyMistakeIsListedAtOnceWithLineValueAndWhatIsAllowed() {
        List<String> mistakes =
                mistakes(
                        """
                leaf:
                  stemShar: 0.2
                  ripeness: very
                oven:
                  heaterW: 60000
                  trays: 2.5
                  airDistribution: 3
                rom: {}
                room: 12
                steamer:
                  volumeM3: .nan
                ovens: 3
                ovens: 4
                """);
        assertEquals(
                List.of(
                        "plant.yaml:2: leaf.stemShar is not a key of the plant; nearest: leaf.stemShare",
                        "plant.yaml:3: leaf.ripeness = very, allowed: a number, 0 to 1 (ripeness, 0 bud to 1 coarse leaf; 0.5 is the leaf that the other numbers describe)",
                        "plant.yaml:5: oven.heaterW = 60000, allowed: a number, 0 to 50000 W (heater at nominal voltage)",
                        "plant.yaml:6: oven.trays = 2.5, allowed: a whole number, 1 to 12 (trays, in series in the air stream)",
                        "plant.yaml:7: oven.airDistribution = 3, allowed: a list of numbers, each 0.2 to 5 (film of each tray relative to the mean, first tray in the air stream first)",
                        "plant.yaml:8: rom is not a key of the plant; nearest: room",
                        "plant.yaml:9: room = 12, allowed: a mapping with keys altitudeM, weatherKPa, weatherSwingKPa, swingPeriodS, temperatureC, temperatureSwingK, relativeHumidity, humiditySwing",
                        "plant.yaml:11: steamer.volumeM3 = .nan, allowed: a number, 0.005 to 2 m³ (volume of the chest)",
                        "plant.yaml:13: ovens is given twice"),
                mistakes);
    }

    @Test
    void aKeyInTheWrongPlaceIsPointedToTheRightOne() {
        assertEquals(
                List.of("plant.yaml:1: heaterW is not a key of the plant; nearest: oven.heaterW"),
                mistakes("heaterW: 3"));
        assertEquals(
                List.of(
                        "plant.yaml:1: zzz is not a key of the plant; nearest: ovens, leaf, sorption, rolling, bench, oven, steamer, room, electric, sensors"),
                mistakes("zzz: 3"));
    }

    @Test
    void numbersMustAgreeWithEachOther() {
        assertEquals(
                List.of(
                        "plant.yaml:1: oven.airDistribution has 5 numbers, allowed: one for each of the 4 trays (oven.trays)"),
                mistakes("oven: {trays: 4}"));
        assertEquals(
                List.of(
                        "plant.yaml:2: oven.freshClosedM3PerH = 300, allowed: at most oven.freshOpenM3PerH = 200"),
                mistakes("oven:\n  freshClosedM3PerH: 300"));
        assertEquals(
                List.of(
                        "plant.yaml:1: steamer.reliefKPa = 1, allowed: above steamer.overPressureKPa = 2"),
                mistakes("steamer: {reliefKPa: 1}"));
    }

    @Test
    void whatIsNotYamlIsSaidWithItsLine() {
        List<String> mistakes = mistakes("leaf:\n  ripeness: [1, 2\nroom: 3");
        assertEquals(1, mistakes.size());
        assertEquals("plant.yaml:", mistakes.getFirst().substring(0, 11));
        assertEquals(
                List.of(
                        "plant.yaml:1: the file = 7, allowed: a mapping with keys ovens, leaf, sorption, rolling, bench, oven, steamer, room, electric, sensors"),
                mistakes("7"));
    }

    @Test
    void everyStockNumberLiesInItsOwnRange() {
        for (SettingsTree.Entry entry : SettingsTree.entries(PlantSettings.stock())) {
            List<?> values = entry.value() instanceof List<?> list ? list : List.of(entry.value());
            for (Object value : values) {
                double number = ((Number) value).doubleValue();
                assertEquals(
                        Math.clamp(number, entry.key().min(), entry.key().max()),
                        number,
                        entry.path());
            }
        }
    }
}
