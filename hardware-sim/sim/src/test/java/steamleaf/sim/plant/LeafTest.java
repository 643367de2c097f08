package steamleaf.sim.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;

class LeafTest {
    private static final double PRESSURE_PA = 101_325;
    private final PlantSettings settings = PlantSettings.stock();
    private final Gab gab = new Gab(settings.sorption());

    private Leaf steamed(double moistureKgPerKg, double celsius) {
        Charge charge = new Charge(1, settings);
        charge.fill(settings.leaf(), 0.5, 0.8, 0.8 * moistureKgPerKg, celsius);
        return charge.portions[0];
    }

    /** Published: leaf near the wet bulb while wet; rows DRY097 to DRY100. */
    @Test
    void wetLeafTakesTheWetBulbTemperature() {
        List<ReferenceTable.Row> rows =
                ReferenceTable.rows("tea_drying.csv").stream()
                        .filter(row -> row.text("topic").equals("leaf_temperature_constant_rate"))
                        .toList();
        assertTrue(rows.size() >= 3);
        for (ReferenceTable.Row row : rows) {
            double airC = row.input("T_air_C");
            double humidity = row.input("W");
            Leaf leaf = steamed(4, 25);
            for (int i = 0; i < 900; i++) {
                leaf.step(1, gab, 30 * leaf.dryKg(), airC, humidity, PRESSURE_PA);
            }
            assertEquals(row.number("expected"), leaf.temperatureC, row.tolerance(), row::toString);
            double wet = MoistAir.wetSurfaceC(airC, humidity, PRESSURE_PA);
            assertEquals(wet, leaf.temperatureC, 0.1, "against the plant's own wet surface");
        }
    }

    @Test
    void dryLeafTakesTheTemperatureOfTheAirAndTheMoistureOfTheIsotherm() {
        Leaf leaf = steamed(0.1, 25);
        double humidity = 0.012;
        for (int i = 0; i < 200_000; i++) {
            leaf.step(1, gab, 30 * leaf.dryKg(), 75, humidity, PRESSURE_PA);
        }
        assertEquals(75, leaf.temperatureC, 0.01);
        gab.temperature(75);
        double activity = MoistAir.vapourPa(humidity, PRESSURE_PA) / Steam.saturationPa(75);
        assertEquals(gab.moistureKgPerKg(activity), leaf.waterKg() / leaf.dryKg(), 1e-5);
    }

    /** Evaporation takes from the leaf exactly what it hands over; heat likewise. */
    @Test
    void whatLeavesTheLeafIsWhatItHandsOver() {
        Leaf leaf = steamed(4, 95);
        for (int i = 0; i < 5_000; i++) {
            double water = leaf.waterKg();
            double heat = leaf.enthalpyJ();
            leaf.step(1, gab, 30 * leaf.dryKg(), 60, 0.02, PRESSURE_PA);
            assertEquals(water - leaf.waterKg(), leaf.vapourKgPerS, 1e-12);
            assertEquals(leaf.enthalpyJ() - heat, leaf.heatW - leaf.vapourW, 1e-6);
        }
    }

    /**
     * About a point in half an hour at 25 °C and 75 % relative humidity (estimate of the design),
     * here between a quarter and one and a half.
     */
    @Test
    void driedLeafTakesUpWaterOnTheBench() {
        PlantSettings.Room air = new PlantSettings.Room(0, 0, 0, 1e5, 25, 0, 0.75, 0);
        Room room = new Room(air, new Noise(1, "room"));
        Charge charge = new Charge(1, settings);
        charge.fill(settings.leaf(), 0.5, 0.8, 0.8 * 0.0526, 30);
        charge.place = Place.BENCH;
        for (int i = 0; i < 1_800; i++) {
            charge.stepOutside(1, settings, room, gab, new Ledger());
        }
        double gained = charge.waterKg() / charge.massKg() - 0.05;
        assertTrue(gained > 0.0025 && gained < 0.015, "gained " + gained);
    }

    @Test
    void restingEvensBladeAgainstStemAndHardlyChangesTheMean() {
        Room room =
                new Room(new PlantSettings.Room(0, 0, 0, 1e5, 22, 0, 0.6, 0), new Noise(1, "room"));
        Charge charge = new Charge(1, settings);
        charge.fill(settings.leaf(), 0.5, 0.8, 0.12, 40);
        for (Leaf leaf : charge.portions) {
            leaf.blade.fill(0.12);
            leaf.stem.fill(0.22);
        }
        double before = charge.waterKg();
        charge.place = Place.RESTING;
        for (int i = 0; i < 3_600; i++) {
            charge.stepOutside(1, settings, room, gab, new Ledger());
        }
        double gap = charge.portions[0].stem.mean() - charge.portions[0].blade.mean();
        assertTrue(gap < 0.07 && gap > 0, "gap " + gap);
        assertEquals(1, charge.waterKg() / before, 0.05);
    }
}
