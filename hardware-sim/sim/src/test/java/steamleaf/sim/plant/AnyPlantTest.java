package steamleaf.sim.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;

/** Numbers anywhere in their allowed ranges give a plant that stays finite and keeps its books. */
class AnyPlantTest {
    private static PlantSettings anywhere(long seed) {
        Noise random = new Noise(seed, "anywhere");
        return SettingsTree.rebuild(
                PlantSettings.stock(),
                "",
                (path, entry) -> {
                    Key key = entry.key();
                    double share = random.uniform();
                    boolean keep = random.below(2) == 0;
                    if (keep
                            || path.equals("oven.trays")
                            || path.equals("oven.freshOpenM3PerH")
                            || path.equals("oven.freshClosedM3PerH")) {
                        return entry.value();
                    }
                    double drawn =
                            key.min() > 0
                                    ? key.min() * Math.pow(key.max() / key.min(), share)
                                    : key.min() + share * (key.max() - key.min());
                    return switch (entry.value()) {
                        case Double _ -> drawn;
                        case Integer _ -> (int) drawn;
                        case List<?> list -> list;
                        default -> throw new IllegalArgumentException(path);
                    };
                });
    }

    @Test
    void staysFiniteAndKeepsItsBooks() {
        for (long seed = 1; seed <= 60; seed++) {
            PlantSettings settings = anywhere(seed);
            HandDriven line = new HandDriven(settings, seed);
            Plant plant = line.plant;
            double water = plant.waterInsideKg();
            double energy = plant.energyInsideJ();
            line.ready();
            line.in.steamValve = true;
            line.in.secondSteamValve = true;
            line.in.beltRun = true;
            line.in.beltSpeed = 1;
            int charge = plant.loadSteamer(0.3, LeafSpec.of(settings.leaf())).charge();
            for (int i = 0; i < 12_000 && plant.steamerBusy(); i++) {
                line.step();
            }
            String story = "seed " + seed + " " + settings;
            line.in.fan[0] = seed % 3 != 0;
            line.in.damper[0] = 0.5;
            line.in.heater[0] = true;
            line.run(30);
            if (plant.takeFromSteamer().done()) {
                plant.roll(charge, 1);
                line.run(70);
                plant.openDoor(1);
                plant.putIntoOven(charge, 1);
                line.run(5);
                plant.closeDoor(1);
            }
            for (int i = 0; i < 6_000; i++) {
                line.in.heater[0] = i % 20 < 12;
                line.step();
            }
            UnitTruth truth = plant.truth(1);
            assertTrue(
                    Double.isFinite(truth.airC) && truth.airC > -40 && truth.airC < 700,
                    () -> truth.airC + " °C, " + story);
            if (truth.leaf.present) {
                assertTrue(
                        truth.leaf.moistureWb > 0
                                && truth.leaf.moistureWb < 0.95
                                && truth.leaf.driestWb > 0,
                        story);
            }
            Ledger books = plant.ledger();
            assertEquals(
                    0,
                    (plant.waterInsideKg() - water - books.waterInKg + books.waterOutKg)
                            / books.waterInKg,
                    1e-6,
                    story);
            assertEquals(
                    0,
                    (plant.energyInsideJ() - energy - books.energyInJ + books.energyOutJ)
                            / books.energyInJ,
                    1e-6,
                    story);
        }
    }
}
