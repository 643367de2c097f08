package steamleaf.core.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import steamleaf.core.science.EnzymeKinetics;
import steamleaf.core.science.Psychrometrics;
import steamleaf.core.science.ReferenceRow;

class SteamDoseTest {
    private static final SteamDose.Parameters STOCK = SteamDose.Parameters.STOCK;

    @Test
    void leafIsAtThePublishedTemperatureAfterHalfAMinute() {
        ReferenceRow row =
                ReferenceRow.table("quality").stream()
                        .filter(r -> r.id().equals("QUA035"))
                        .findFirst()
                        .orElseThrow();
        row.check(SteamDose.ofDwell(STOCK, 25, 100, 101.325, 30).leafC());
    }

    @Test
    void aConstantTemperatureGivesTheClosedForm() {
        SteamDose dose = SteamDose.ofDwell(STOCK, 98, 98, 101.325, 30);
        double expected = 30 * EnzymeKinetics.lethalRate(98, 90, 16.5);
        assertEquals(expected, dose.equivalentS(), 1e-9);
        assertEquals(
                3.8,
                dose.decimalReductions(STOCK),
                0.05); // design section 4: 30 s at 98 °C is 3.8 log
        // CRUZ06 parameters, row ENZ031: 9.166e-5 of the activity left
        assertEquals(9.166e-5, dose.activityLeft(STOCK), 0.01 * 9.166e-5);
    }

    @Test
    void shortAndLongStepsGiveTheSameDose() {
        SteamDose fine = SteamDose.start(25);
        for (int i = 0; i < 400; i++) {
            fine = fine.step(STOCK, 99, 100, 0.1);
        }
        SteamDose coarse = SteamDose.ofDwell(STOCK, 25, 99, 100, 40);
        assertEquals(fine.leafC(), coarse.leafC(), 1e-9);
        assertEquals(fine.equivalentS(), coarse.equivalentS(), 1e-3 * fine.equivalentS());
    }

    @Test
    void theChestCountsAtMostWithTheBoilingPointOfTheMeasuredPressure() {
        double high = Psychrometrics.standardPressureKPa(1_500);
        SteamDose superheated = SteamDose.ofDwell(STOCK, 25, 110, high, 120);
        assertEquals(94.98, superheated.leafC(), 0.02); // SOURCES.md section 2: 1500 m 94.98 C
        SteamDose valley = SteamDose.ofDwell(STOCK, 25, 110, 101.325, 120);
        assertTrue(valley.equivalentS() > 1.5 * superheated.equivalentS());
    }

    @Test
    void aChestThatCannotBeTrustedGivesNoCredit() {
        SteamDose dose = SteamDose.ofDwell(STOCK, 25, 99, 101.325, 20);
        SteamDose blind = dose.step(STOCK, Double.NaN, 101.325, 10).step(STOCK, 99, Double.NaN, 10);
        assertEquals(dose.equivalentS(), blind.equivalentS());
        assertEquals(dose.elapsedS() + 20, blind.elapsedS());
        assertFalse(blind.floorReached(STOCK) && !dose.floorReached(STOCK));
    }

    @Test
    void theDwellToTheFloorIsTheShortestThatReachesIt() {
        double dwellS = SteamDose.dwellToFloorS(STOCK, 25, 96, 101.325);
        assertTrue(SteamDose.ofDwell(STOCK, 25, 96, 101.325, dwellS).floorReached(STOCK));
        assertFalse(SteamDose.ofDwell(STOCK, 25, 96, 101.325, dwellS - 0.5).floorReached(STOCK));
        // at 70 °C one decimal reduction takes 24 s · 10^(20/16.5) = 391 s
        assertTrue(Double.isNaN(SteamDose.dwellToFloorS(STOCK, 25, 70, 101.325)));
        assertTrue(Double.isNaN(SteamDose.dwellToFloorS(STOCK, 25, Double.NaN, 101.325)));
        assertTrue(Double.isNaN(SteamDose.dwellToFloorS(STOCK, 25, 96, Double.NaN)));
    }

    @Test
    void everyStyleReachesTheFloorInItsUsualDwellAndTenSecondsDoNot() {
        // practice: light 20–40 s, standard 40–60 s, deep 60–120 s
        assertTrue(SteamDose.ofDwell(STOCK, 25, 100, 101.325, 30).floorReached(STOCK));
        assertTrue(
                SteamDose.ofDwell(STOCK, 25, 95, Psychrometrics.standardPressureKPa(1_500), 40)
                        .floorReached(STOCK));
        assertFalse(SteamDose.ofDwell(STOCK, 25, 100, 101.325, 10).floorReached(STOCK));
    }

    /** A heap that smokes must not count as one that nobody measured. */
    @Test
    void noHotterHeapCountsLess() {
        double before = 0;
        for (double heapC = -20; heapC <= 120; heapC += 1) {
            double counted = new FreshnessClock(0, 0).later(3_600, heapC).countedS();
            double cooler = before;
            assertTrue(counted >= cooler, heapC + " °C: " + counted + " after " + cooler);
            before = counted;
        }
        double at65 = new FreshnessClock(0, 0).later(3_600, 65).countedS();
        assertEquals(3_600 * 16, at65, 1e-6);
        assertEquals(
                new FreshnessClock(0, 0).later(3_600, 80),
                new FreshnessClock(0, 0).later(3_600, Double.POSITIVE_INFINITY));
    }

    @Test
    void aWarmHeapAgesFasterAndAnUnknownOneIsTakenAsWarm() {
        FreshnessClock cool = new FreshnessClock(0, 0).later(3_600, 20);
        FreshnessClock warm = new FreshnessClock(0, 0).later(3_600, 35);
        FreshnessClock unknown = FreshnessClock.pluckedAgo(3_600);
        assertEquals(3_600, cool.countedS(), 1e-9);
        assertEquals(7_200, warm.countedS(), 1e-9);
        assertEquals(3_600, warm.ageS());
        assertTrue(unknown.countedS() > cool.countedS());
        assertEquals(FreshnessClock.Verdict.FRESH, cool.verdict(4_000, 8_000));
        assertEquals(FreshnessClock.Verdict.WARNING, warm.verdict(4_000, 8_000));
        assertEquals(FreshnessClock.Verdict.TOO_OLD, warm.verdict(4_000, 7_200));
        assertEquals(
                FreshnessClock.Verdict.TOO_OLD, new FreshnessClock(0, Double.NaN).verdict(1, 2));
    }
}
