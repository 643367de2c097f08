package steamleaf.sim.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.Arrays;
import java.util.HashSet;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PlantTest {
    /** Every bit that can be seen from outside. */
    private static int bits(Plant plant) {
        Sensing s = plant.sensing();
        int hash = Arrays.hashCode(s.airC);
        hash = 31 * hash + Arrays.hashCode(s.exhaustC);
        hash = 31 * hash + Arrays.hashCode(s.exhaustRh);
        hash = 31 * hash + Arrays.hashCode(s.scaleKg);
        hash = 31 * hash + Double.hashCode(s.chestAC) + 7 * Double.hashCode(s.chestBC);
        hash =
                31 * hash
                        + Double.hashCode(s.roomC)
                        + 7 * Double.hashCode(s.roomRh)
                        + 13 * Double.hashCode(s.roomPressureKPa);
        return 31 * hash
                + Double.hashCode(plant.waterInsideKg())
                + 7 * Double.hashCode(plant.energyInsideJ());
    }

    private static HandDriven drying(long seed) {
        HandDriven line = new HandDriven(PlantSettings.drawn(seed), seed).ready();
        int charge = line.steam(3, 45);
        line.plant.spreadOnCoolingTable(charge);
        line.in.fan[0] = true;
        line.in.damper[0] = 0.6;
        line.airSetC = 80;
        line.plant.openDoor(1);
        line.plant.putIntoOven(charge, 1);
        line.plant.closeDoor(1);
        return line;
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 99, -7})
    void theSameSeedGivesTheSameBits(long seed) {
        HandDriven one = drying(seed);
        HandDriven other = drying(seed);
        for (int i = 0; i < 50; i++) {
            one.run(10);
            other.run(10);
            assertEquals(bits(one.plant), bits(other.plant));
        }
        assertNotEquals(bits(one.plant), bits(drying(seed + 1).plant));
    }

    @Test
    void aCopyGoesOnLikeTheOriginal() {
        HandDriven line = drying(5);
        line.run(300);
        Plant copy = line.plant.copy();
        line.airSetC = Double.NaN;
        for (int i = 0; i < 3_000; i++) {
            line.in.heater[0] = i % 7 < 3;
            line.plant.step(0.1, line.in);
            copy.step(0.1, line.in);
            if (i == 1_000) {
                for (Plant plant : new Plant[] {line.plant, copy}) {
                    plant.openDoor(1);
                    plant.swapTrays(1);
                    plant.handSampleFromOven(1, 5);
                    plant.closeDoor(1);
                }
            }
            assertEquals(bits(line.plant), bits(copy), "step " + i);
        }
        copy.openDoor(1);
        copy.takeOut(1);
        assertTrue(line.plant.truth(1).leaf.present);
    }

    @Test
    void twentySeedsAreTwentyPlantsOfTheSameKind() {
        Set<Double> diffusivities = new HashSet<>();
        Set<Double> offsets = new HashSet<>();
        for (long seed = 1; seed <= 20; seed++) {
            PlantSettings drawn = PlantSettings.drawn(seed);
            diffusivities.add(drawn.leaf().dryDiffusivityM2PerS());
            assertEquals(
                    PlantSettings.stock().leaf().dryDiffusivityM2PerS(),
                    drawn.leaf().dryDiffusivityM2PerS(),
                    0.5e-11);
            assertEquals(
                    PlantSettings.stock().steamer().beltLengthM(), drawn.steamer().beltLengthM());
            Plant plant = new Plant(drawn, seed);
            offsets.add(plant.sensing().airC[0] - plant.roomC());
            assertEquals(drawn, PlantSettings.drawn(seed));
        }
        assertEquals(20, diffusivities.size());
        assertEquals(20, offsets.size());
    }

    @Test
    void aStepAllocatesNothing() {
        HandDriven line = drying(3);
        line.run(600);
        line.airSetC = Double.NaN;
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        for (int i = 0; i < 20_000; i++) {
            line.plant.step(0.1, line.in);
        }
        long before = threads.getCurrentThreadAllocatedBytes();
        for (int i = 0; i < 20_000; i++) {
            line.plant.step(0.1, line.in);
        }
        long perStep = (threads.getCurrentThreadAllocatedBytes() - before) / 20_000;
        assertEquals(0, perStep);
    }

    @Test
    void sensorsReadTheTruthWithinTheirErrors() {
        HandDriven line = drying(4);
        line.run(1_200);
        UnitTruth truth = line.plant.truth(1);
        Sensing seen = line.plant.sensing();
        assertEquals(truth.airC, seen.airC[0], 3);
        assertEquals(truth.exhaustC, seen.exhaustC[0], 3);
        double rh =
                MoistAir.relativeHumidity(
                        truth.exhaustHumidityKgPerKg,
                        Steam.saturationPa(truth.exhaustC),
                        truth.pressureKPa * 1_000);
        assertEquals(rh, seen.exhaustRh[0], 0.04);
        assertEquals(truth.leaf.waterKg + truth.leaf.dryKg + 6, seen.scaleKg[0], 0.06);
        assertEquals(6, seen.scaleKg[1], 0.06);
        assertEquals(line.plant.roomC(), seen.roomC, 0.6);
        assertEquals(truth.pressureKPa, seen.roomPressureKPa, 0.4);
    }

    @Test
    void impossibleActsAreRefusedAndSayWhy() {
        HandDriven line = new HandDriven(PlantSettings.stock(), 1).ready();
        Plant plant = line.plant;
        assertEquals(
                new Act.Refused("no steamed leaf lies behind the belt"), plant.takeFromSteamer());
        int charge = plant.loadSteamer(2, LeafSpec.of(plant.settings().leaf())).charge();
        assertEquals(
                new Act.Refused("charge 1 is still at the steamer"),
                plant.loadSteamer(1, LeafSpec.of(plant.settings().leaf())));
        assertEquals(new Act.Refused("charge 1 is at the steamer"), plant.weigh(charge));
        line.in.beltRun = true;
        line.in.beltSpeed = 0.5;
        while (plant.steamerBusy()) {
            line.step();
        }
        assertTrue(plant.takeFromSteamer().done());
        assertEquals(new Act.Refused("the door of oven-2 is closed"), plant.putIntoOven(charge, 2));
        plant.openDoor(2);
        assertTrue(plant.putIntoOven(charge, 2).done());
        assertEquals(new Act.Refused("charge 1 is in an oven"), plant.roll(charge, 10));
        plant.closeDoor(2);
        assertEquals(new Act.Refused("the door of oven-2 is closed"), plant.swapTrays(2));
        assertEquals(new Act.Refused("the door of oven-2 is closed"), plant.takeOut(2));
        assertEquals(
                new Act.Refused("the door of oven-2 is closed"), plant.handSampleFromOven(2, 5));
        assertEquals(new Act.Refused("oven-1 is empty"), plant.takeOut(1));
        plant.openDoor(2);
        plant.takeOut(2);
        assertEquals(1, plant.pack(charge).charge());
        assertEquals(new Act.Refused("charge 1 is packed"), plant.putIntoOven(charge, 2));
        assertThrows(IllegalArgumentException.class, () -> plant.weigh(77));
        assertThrows(IllegalStateException.class, () -> plant.takeOut(1).charge());
    }

    @Test
    void packedLeafNoLongerChanges() {
        HandDriven line = new HandDriven(PlantSettings.stock(), 1).ready();
        int charge = line.steam(1, 45);
        line.plant.pack(charge);
        double before = line.plant.charge(charge).moistureWb;
        line.run(600);
        assertEquals(before, line.plant.charge(charge).moistureWb);
        assertEquals(Place.PACKED, line.plant.place(charge));
    }

    @Test
    void splittingAndMergingKeepsTheLeaf() {
        HandDriven line = new HandDriven(PlantSettings.stock(), 1).ready();
        int charge = line.steam(3, 45);
        LeafTruth truth = line.plant.charge(charge);
        double dry = truth.dryKg;
        double water = truth.waterKg;
        int part = assertInstanceOf(Act.Done.class, line.plant.split(charge, 0.25)).charge();
        assertEquals(0.25 * dry, line.plant.charge(part).dryKg, 1e-12);
        line.plant.merge(charge, part);
        assertEquals(dry, line.plant.charge(charge).dryKg, 1e-12);
        assertEquals(water, line.plant.charge(charge).waterKg, 1e-12);
        assertFalse(line.plant.charge(part).present);
    }

    @Test
    void aHandSampleIsNearTheTruthAndAWeighingNearTheMass() {
        HandDriven line = new HandDriven(PlantSettings.stock(), 1).ready();
        int charge = line.steam(3, 45);
        LeafTruth truth = line.plant.charge(charge);
        Act.Sampled sample = assertInstanceOf(Act.Sampled.class, line.plant.handSample(charge, 5));
        assertEquals(truth.moistureWb, sample.trueWb(), 0.005);
        assertEquals(sample.trueWb(), sample.readingWb(), 0.01);
        truth = line.plant.charge(charge);
        assertEquals(truth.waterKg + truth.dryKg, line.plant.weigh(charge).value(), 0.01);
    }

    @Test
    void aFireHeatsAnOvenWithTheContactorOpenAndStarvesWithTheDamper() {
        HandDriven fed = drying(1);
        HandDriven starved = drying(1);
        for (HandDriven line : new HandDriven[] {fed, starved}) {
            line.run(600);
            line.airSetC = Double.NaN;
            line.in.contactorCoil = false;
            line.plant.ovenFaults(1).fireW = 8_000;
        }
        starved.in.damper[0] = 0;
        starved.in.fan[0] = false;
        fed.in.damper[0] = 1;
        double before = fed.plant.truth(1).airC;
        fed.run(120);
        starved.run(120);
        assertTrue(fed.plant.truth(1).airC > before + 10);
        assertEquals(0, fed.plant.truth(1).heaterW);
        assertTrue(starved.plant.truth(1).wallC < fed.plant.truth(1).wallC);
    }

    @Test
    void anOvenThatBurnedOutIsStillAnOvenAfterwards() {
        HandDriven line = drying(1);
        line.run(600);
        line.airSetC = Double.NaN;
        line.in.contactorCoil = false;
        line.in.fan[0] = false;
        line.plant.ovenFaults(1).fireW = 50_000;
        line.run(600);
        assertTrue(line.plant.truth(1).airC > 374, () -> "beyond water's critical point");
        line.plant.ovenFaults(1).fireW = 0;
        line.plant.openDoor(1);
        line.run(3 * 3600);
        UnitTruth truth = line.plant.truth(1);
        assertTrue(truth.airC > 0 && truth.airC < 60, () -> "air " + truth.airC);
        assertTrue(truth.leaf.temperatureC < 60, () -> "leaf " + truth.leaf.temperatureC);
        assertTrue(truth.leaf.waterKg >= 0, () -> "water " + truth.leaf.waterKg);
    }
}
