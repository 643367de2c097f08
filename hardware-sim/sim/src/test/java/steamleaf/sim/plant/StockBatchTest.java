package steamleaf.sim.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/**
 * The stock plant stands in the country of the design's lumped figures (section 2, estimate): it is
 * not a reference.
 */
class StockBatchTest {
    private final PlantSettings settings = PlantSettings.stock();

    private double damper(double freshM3PerH) {
        PlantSettings.Oven oven = settings.oven();
        double share =
                (freshM3PerH - oven.freshClosedM3PerH())
                        / (oven.freshOpenM3PerH() - oven.freshClosedM3PerH());
        return Math.pow(share, 1 / oven.damperExponent());
    }

    @Test
    void aBatchTakesTheTimesAndTheEnergyOfTheLumpedEstimate() {
        HandDriven line = new HandDriven(settings, 1).ready();
        line.in.fan[0] = true;
        line.in.damper[0] = 1;
        line.airSetC = 80;
        line.run(900);
        assertEquals(80, line.plant.truth(1).airC, 1.5);
        assertEquals(206, line.plant.truth(1).airflowM3PerH, 25, "200 m³/h and the leak");
        int charge = line.steam(3.85, 45);
        line.plant.spreadOnCoolingTable(charge);
        line.run(300);
        LeafTruth leaf = line.plant.charge(charge);
        assertTrue(leaf.temperatureC < 35, "cooled to " + leaf.temperatureC);
        assertEquals(4.0, leaf.waterKg + leaf.dryKg, 0.1);
        assertEquals(0.79, leaf.moistureWb, 0.015);

        assertEquals(90, line.dry(charge, 80, 1, 38, 0.50, 240), 10, "min to 50 %");
        line.plant.roll(charge, 30);
        line.run(1_801);
        assertEquals(
                0.02,
                1 - line.plant.charge(charge).dryKg / 0.847,
                0.002,
                "dry mass lost in rolling");
        assertEquals(
                45, line.dry(charge, 70, damper(150), Double.NaN, 0.25, 240), 10, "min to 25 %");
        line.plant.shape(charge, 15);
        line.run(901);
        assertEquals(
                40, line.dry(charge, 60, damper(120), Double.NaN, 0.13, 240), 12, "min to 13 %");
        line.plant.rest(charge);
        line.run(1_800);
        assertEquals(35, line.dry(charge, 75, damper(60), Double.NaN, 0.05, 240), 8, "min to 5 %");

        double kWh = line.plant.ledger().electricJ / 3.6e6;
        assertEquals(13.5, kWh, 1.5, "12 to 14 kWh, warming up and fans included");
        leaf = line.plant.charge(charge);
        assertTrue(leaf.stemWb > leaf.bladeWb + 0.01, "stems stay behind blades");
    }

    @Test
    void theLeafStaysNearTheWetBulbInTheFirstHour() {
        HandDriven line = new HandDriven(settings, 1).ready();
        int charge = line.steam(3.85, 45);
        line.plant.spreadOnCoolingTable(charge);
        line.run(300);
        line.in.fan[0] = true;
        line.in.damper[0] = 1;
        line.airSetC = 80;
        line.plant.openDoor(1);
        line.plant.putIntoOven(charge, 1);
        line.plant.closeDoor(1);
        line.run(3_000);
        UnitTruth truth = line.plant.truth(1);
        assertEquals(80, truth.airC, 2);
        assertEquals(line.plant.wetSurfaceC(1), truth.leaf.temperatureC, 1.5);
        assertTrue(truth.leaf.temperatureC < 38);
    }

    @Test
    void openingTheDoorCoolsTheAirAndSwappingTraysEvensThem() {
        HandDriven still = new HandDriven(settings, 1).ready();
        HandDriven swapped = new HandDriven(settings, 1).ready();
        int one = still.steam(3.85, 45);
        int other = swapped.steam(3.85, 45);
        for (HandDriven line : new HandDriven[] {still, swapped}) {
            line.in.fan[0] = true;
            line.in.damper[0] = 1;
            line.airSetC = 80;
            line.plant.openDoor(1);
            line.plant.putIntoOven(1, 1);
            line.plant.closeDoor(1);
            line.run(1_800);
        }
        double before = swapped.plant.truth(1).airC;
        swapped.plant.openDoor(1);
        swapped.run(20);
        swapped.plant.swapTrays(1);
        assertTrue(
                swapped.plant.truth(1).airC < before - 8,
                "air fell to " + swapped.plant.truth(1).airC);
        swapped.plant.closeDoor(1);
        still.run(1_800);
        swapped.run(1_780);
        LeafTruth a = still.plant.charge(one);
        LeafTruth b = swapped.plant.charge(other);
        assertTrue(b.wettestTrayWb - b.driestTrayWb < 0.6 * (a.wettestTrayWb - a.driestTrayWb));
    }
}
