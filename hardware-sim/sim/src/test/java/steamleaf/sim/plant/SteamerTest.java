package steamleaf.sim.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

class SteamerTest {
    private static PlantSettings with(String yaml) {
        return switch (PlantYaml.read(yaml, "test.yaml", PlantSettings.stock())) {
            case PlantYaml.Read(PlantSettings settings) -> settings;
            case PlantYaml.Refused(var mistakes) ->
                    throw new IllegalArgumentException(mistakes.toString());
        };
    }

    private static HandDriven steaming(PlantSettings settings) {
        HandDriven line = new HandDriven(settings, 1).ready();
        line.in.extractor = true;
        line.in.steamValve = true;
        line.in.secondSteamValve = true;
        line.run(240);
        return line;
    }

    private static final String CALM = "weatherKPa: 0, weatherSwingKPa: 0";

    /**
     * Reference: IF97 boiling point at the ICAO pressure, 99.97 °C at 0 m, 95.0 °C at 1,500 m
     * (design section 4).
     */
    @Test
    void theChestSitsAtTheBoilingPointOfTheAltitude() {
        assertEquals(
                99.97,
                steaming(with("room: {altitudeM: 0, " + CALM + "}")).plant.truth(0).airC,
                0.3);
        assertEquals(
                94.98,
                steaming(with("room: {altitudeM: 1500, " + CALM + "}")).plant.truth(0).airC,
                0.3);
    }

    /** Published (QUA035, a weak source): steam at 100 °C, 30 s, leaf 98 ± 2 °C. */
    @Test
    void leafIsNearNinetyEightDegreesAfterThirtySeconds() {
        HandDriven line = steaming(with("room: {altitudeM: 0, " + CALM + "}"));
        line.in.beltRun = true;
        line.in.beltSpeed = 0.8 / 30 / 0.04;
        line.plant.loadSteamer(1, LeafSpec.of(line.plant.settings().leaf()));
        line.run(55);
        assertEquals(98, line.plant.truth(0).leaf.temperatureC, 2);
        while (line.plant.steamerBusy()) {
            line.step();
        }
        int charge = line.plant.takeFromSteamer().charge();
        LeafTruth leaf = line.plant.charge(charge);
        assertEquals(30, leaf.dwellS, 0.5);
        assertTrue(
                leaf.enzymeLeft > 1e-3 && leaf.enzymeLeft < 0.3,
                "half a minute, heating up included, leaves some: " + leaf.enzymeLeft);
        assertEquals(
                1.1,
                leaf.waterKg + leaf.dryKg,
                0.05,
                "condensate of about a tenth stays on the leaf");
    }

    @Test
    void aLongerDwellAndMoreSteamLeaveLessPeroxidase() {
        double last = 1;
        for (double dwellS : new double[] {20, 30, 45, 60, 90}) {
            HandDriven line = new HandDriven(PlantSettings.stock(), 1).ready();
            LeafTruth leaf = line.plant.charge(line.steam(1, dwellS));
            assertTrue(leaf.enzymeLeft < 0.5 * last, dwellS + " s left " + leaf.enzymeLeft);
            assertEquals(dwellS, leaf.dwellS, 0.03 * dwellS);
            last = leaf.enzymeLeft;
        }
    }

    @Test
    void peopleSeeRedStemsAfterTooShortASteamingAndMushAfterTooLong() {
        assertEquals(Steamed.RED_STEMS, look("{}", 15));
        assertEquals(Steamed.RIGHT, look("{}", 45));
        assertEquals(Steamed.RIGHT, look("{}", 110));
        assertEquals(Steamed.MUSH, look("{}", 170));
        assertEquals(Steamed.RIGHT, look("leaf: {ripeness: 1}", 170), "ripe leaf bears more");
    }

    private static Steamed look(String yaml, double dwellS) {
        HandDriven line = new HandDriven(with(yaml), 1).ready();
        return line.plant.look(line.steam(1, dwellS));
    }

    @Test
    void steamNeedsBothValvesTheContactorAndALockedHood() {
        HandDriven line = steaming(PlantSettings.stock());
        assertTrue(line.plant.truth(0).valveOn);
        line.in.secondSteamValve = false;
        line.run(1);
        assertFalse(line.plant.truth(0).valveOn);
        line.in.secondSteamValve = true;
        line.in.contactorCoil = false;
        line.run(1);
        assertFalse(line.plant.truth(0).valveOn);
        line.in.contactorCoil = true;
        line.in.hoodUnlock = true;
        line.run(1.5);
        assertFalse(line.plant.truth(0).valveOn);
    }

    @Test
    void theHoodOpensOnlyWhenTheBoltIsReleasedAndLocksAgainWhenClosed() {
        HandDriven line = steaming(PlantSettings.stock());
        assertInstanceOf(Act.Refused.class, line.plant.openHood());
        line.in.steamValve = false;
        line.in.hoodUnlock = true;
        line.run(1);
        assertFalse(line.plant.sensing().hoodLocked);
        assertTrue(line.plant.openHood().done());
        line.in.hoodUnlock = false;
        line.run(1);
        assertFalse(line.plant.sensing().hoodClosed);
        assertFalse(line.plant.sensing().hoodLocked);
        line.plant.closeHood();
        line.run(1);
        assertTrue(line.plant.sensing().hoodClosed);
        assertTrue(line.plant.sensing().hoodLocked);
    }

    @Test
    void theChestCoolsWithTheExtractorAndFasterWithTheHoodOpen() {
        HandDriven closed = steaming(PlantSettings.stock());
        HandDriven open = steaming(PlantSettings.stock());
        for (HandDriven line : new HandDriven[] {closed, open}) {
            line.in.steamValve = false;
            line.in.secondSteamValve = false;
        }
        closed.run(60);
        assertTrue(
                closed.plant.truth(0).airC < 95,
                "closed and purged for a minute: " + closed.plant.truth(0).airC);
        open.in.hoodUnlock = true;
        open.run(1);
        open.plant.openHood();
        open.run(59);
        assertTrue(open.plant.truth(0).airC < closed.plant.truth(0).airC - 10);
        closed.run(1_200);
        assertTrue(
                closed.plant.truth(0).airC < 60,
                "unlocking below 60 °C is reached: " + closed.plant.truth(0).airC);
    }

    @Test
    void aStuckValveKeepsTheChestHotUntilTheSecondCloses() {
        HandDriven line = steaming(PlantSettings.stock());
        line.plant.lineFaults().steamValveStuckOpen = true;
        line.in.steamValve = false;
        line.run(60);
        assertTrue(line.plant.truth(0).airC > 97);
        line.in.secondSteamValve = false;
        line.run(120);
        assertTrue(line.plant.truth(0).airC < 90);
    }

    @Test
    void blockedOpeningsRaiseThePressureAndTheSwitchCutsTheSteam() {
        HandDriven line = steaming(PlantSettings.stock());
        line.plant.lineFaults().openingBlocked = 0.995;
        boolean opened = false;
        for (int i = 0; i < 200; i++) {
            line.step();
            opened |=
                    !line.plant.sensing().overPressureHealthy
                            && line.plant.truth(0).steamKgPerS < 0.005;
        }
        assertTrue(opened);
    }

    @Test
    void beltPulsesComeOncePerTwentyMillimetres() {
        HandDriven line = new HandDriven(PlantSettings.stock(), 1).ready();
        line.in.beltRun = true;
        line.in.beltSpeed = 0.5;
        int changes = 0;
        boolean last = line.plant.sensing().beltPulse;
        for (int i = 0; i < 1_000; i++) {
            line.step();
            changes += line.plant.sensing().beltPulse == last ? 0 : 1;
            last = line.plant.sensing().beltPulse;
        }
        assertEquals(2 * 100 * 0.02 / 0.02, changes, 1); // 100 s at 20 mm/s
    }
}
