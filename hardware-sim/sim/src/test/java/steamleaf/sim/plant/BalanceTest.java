package steamleaf.sim.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Whatever people and outputs do, water, dry leaf and energy only move. */
class BalanceTest {
    private static final double RELATIVE = 1e-6;

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 20_260_501})
    void waterDryLeafAndEnergyCloseThroughAWildDay(long seed) {
        HandDriven line = new HandDriven(PlantSettings.drawn(seed), seed);
        Plant plant = line.plant;
        double water = plant.waterInsideKg();
        double dry = plant.dryInsideKg();
        double energy = plant.energyInsideJ();
        line.ready();
        Noise random = new Noise(seed, "wild day");
        int charge = line.steam(3.85, 45);
        int second = 0;
        StringBuilder story = new StringBuilder("seed ").append(seed);
        for (int turn = 0; turn < 400; turn++) {
            int oven = 1 + random.below(plant.ovens());
            int id = second != 0 && random.below(2) == 0 ? second : charge;
            int what = random.below(17);
            story.append(' ').append(what);
            Act act =
                    switch (what) {
                        case 0 -> plant.openDoor(oven);
                        case 1 -> plant.closeDoor(oven);
                        case 2, 3 -> plant.putIntoOven(id, oven);
                        case 4 -> plant.takeOut(oven);
                        case 5 -> plant.swapTrays(oven);
                        case 6 -> plant.roll(id, 5);
                        case 7 -> plant.shape(id, 5);
                        case 8 -> plant.rest(id);
                        case 9 -> plant.spreadOnCoolingTable(id);
                        case 10 -> plant.handSample(id, 5);
                        case 11 -> plant.layOnBench(id);
                        case 12 -> second == 0 ? plant.split(id, 0.4) : plant.merge(charge, second);
                        case 13 -> plant.openHood();
                        case 14 -> plant.closeHood();
                        case 15 -> plant.loadSteamer(0.5, LeafSpec.of(plant.settings().leaf()));
                        default -> plant.takeFromSteamer();
                    };
            if (what == 12 && act instanceof Act.Done(int made)) {
                second = second == 0 ? made : 0;
            }
            line.in.fan[oven - 1] = random.below(3) > 0;
            line.in.heater[oven - 1] = random.below(2) == 0;
            line.in.damper[oven - 1] = random.uniform();
            line.in.hoodUnlock = random.below(6) == 0;
            line.in.steamValve = random.below(2) == 0;
            line.in.secondSteamValve = random.below(2) == 0;
            line.in.beltRun = random.below(2) == 0;
            plant.ovenFaults(oven).filterBlocked = random.below(5) == 0 ? random.uniform() : 0;
            line.run(0.1 + Math.rint(300 * random.uniform()) / 10);
        }
        Ledger books = plant.ledger();
        assertEquals(
                0,
                (plant.waterInsideKg() - water - books.waterInKg + books.waterOutKg)
                        / books.waterInKg,
                RELATIVE,
                story::toString);
        assertEquals(
                0,
                (plant.dryInsideKg() - dry - books.dryInKg + books.dryOutKg) / books.dryInKg,
                RELATIVE,
                story::toString);
        assertEquals(
                0,
                (plant.energyInsideJ() - energy - books.energyInJ + books.energyOutJ)
                        / books.energyInJ,
                RELATIVE,
                story::toString);
    }
}
