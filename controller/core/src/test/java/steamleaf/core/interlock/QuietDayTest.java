package steamleaf.core.interlock;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.SplittableRandom;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.core.reading.UnitId;

/**
 * A whole day of ordinary drying trips nothing: cold start, time-proportioned heat with overshoot,
 * noise, doors opened for turning, holds under hot air, cooling with the damper open and shut.
 *
 * <p>The oven here is three heat capacities (air, elements, walls) and a lagging probe, with the
 * size of the stock line: 6 kW, 0.7 and 0.9 and 14 kJ/K, 1,200 m³/h through the trays. It is a
 * model for this test only.
 */
class QuietDayTest {
    /** One oven's heat, stepped at the guard's cycle. */
    private static final class Oven {
        final double heaterW;
        final double wallJPerK;
        double airC = 22;
        double elementC = 22;
        double wallC = 22;
        double probeC = 22;
        double exhaustC = 22;
        double damper = 0.5;
        double leafW;

        Oven(double heaterW, double wallJPerK) {
            this.heaterW = heaterW;
            this.wallJPerK = wallJPerK;
        }

        void step(boolean heater, boolean fan, boolean doorOpen, double s) {
            double elementWPerK = fan ? 120 : 15;
            double wallWPerK = fan ? 45 : 12;
            double freshWPerK = doorOpen ? 110 : fan ? 7 + 55 * damper : 2;
            double toAirW = elementWPerK * (elementC - airC);
            double toWallW = wallWPerK * (airC - wallC);
            double leaf = fan ? leafW * Math.max(0, airC - 30) / 40 : 0;
            elementC += ((heater ? heaterW : 0) - toAirW) * s / 900;
            airC += (toAirW - toWallW - freshWPerK * (airC - 22) - leaf) * s / 700;
            wallC += (toWallW - 9 * (wallC - 22)) * s / wallJPerK;
            probeC += (airC - probeC) * s / 8;
            double behindTraysC = airC - leaf / 400;
            exhaustC += ((fan ? behindTraysC : 0.5 * (airC + wallC)) - exhaustC) * s / 8;
        }
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4})
    void noTripInFiveHours(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        Oven oven =
                new Oven(
                        6000 * (0.6 + 0.8 * random.nextDouble()),
                        14_000 * (0.6 + 0.8 * random.nextDouble()));
        Rig rig = new Rig(1);
        UnitId unit = UnitId.oven(1);
        rig.airC[0] = 22;
        rig.exhaustC[0] = 22;
        rig.wantBelt = false;
        rig.wantExtractor = false;
        rig.run(4);
        while (rig.state.contactor() != ContactorPhase.AWAITING_RESET) {
            rig.cycle();
        }
        rig.pressReset();
        rig.askStart(unit);
        double integral = 0;
        int doors = 0;
        int heated = 0;
        double openUntilS = -1;
        for (int n = 0; n < 5 * 36_000; n++) {
            double t = n * Rig.CYCLE_S;
            // 80, 70, 60, 75 °C by the hour; the fifth hour cools, holds and stands
            double[] plan = {80, 70, 60, 75};
            int hour = (int) (t / 3600);
            double set = hour < 4 ? plan[hour] : 0;
            double inHourS = t % 3600;
            boolean held = inHourS > 3000 && inHourS < 3200; // a hold in each hour
            rig.airLimitC[0] = held || hour == 4 ? 35 : set + 2;
            oven.leafW = 3000 * Math.max(0, 1 - t / 9000);
            oven.damper = hour == 4 ? (inHourS < 600 ? 1 : 0) : 0.2 + 0.6 * (1 - t / 18_000);
            if (random.nextInt(9000) == 0) {
                openUntilS = t + 20 + random.nextInt(random.nextInt(8) == 0 ? 1500 : 120);
                doors++;
            }
            boolean doorOpen = t < openUntilS;
            if (doorOpen) {
                rig.force(unit, steamleaf.core.reading.Quantity.DOOR_CLOSED, 0);
            } else {
                rig.heal(unit, steamleaf.core.reading.Quantity.DOOR_CLOSED);
                if (!rig.state.isStarted(unit) && n % 50 == 0 && set > 0 && !held) {
                    rig.askStart(unit);
                }
            }
            rig.wantFan[0] = !doorOpen && !(hour == 4 && inHourS > 1200);
            double error = set - oven.probeC;
            boolean free = !doorOpen && !held && rig.state.heatAllowed(unit);
            integral =
                    free
                            ? Math.abs(error) < 8
                                    ? Math.clamp(integral + error * 0.1 / 200, -2, 4)
                                    : integral
                            : integral;
            double duty = Math.clamp(0.06 * (error + integral * 4), 0, 1);
            rig.wantHeat[0] = free && (t % 10) / 10 < duty;
            rig.airC[0] = count(oven.probeC + 0.05 * random.nextGaussian());
            rig.exhaustC[0] = oven.exhaustC + 0.1 * random.nextGaussian();
            rig.cycle();
            heated += rig.heater(1) ? 1 : 0;
            oven.step(rig.heater(1), rig.out.ovens().get(0).fan(), doorOpen, Rig.CYCLE_S);
            assertFalse(
                    rig.state.tripped(unit), () -> "seed " + seed + " t " + t + " " + rig.story());
        }
        assertTrue(doors > 5 && heated > 10_000, doors + " doors, " + heated + " heated cycles");
        assertEquals(ContactorPhase.CLOSED, rig.state.contactor());
    }

    /** A Pt100 count is 0.03 °C. */
    private static double count(double c) {
        return Math.round(c / 0.03) * 0.03;
    }

    @ParameterizedTest
    @ValueSource(doubles = {22, 60, 80})
    void aHeaterThatSticksOnOpensTheContactorEvenIfItsCurrentIsNotSeen(double fromC) {
        Oven oven = new Oven(6000, 14_000);
        oven.airC = fromC;
        oven.wallC = fromC;
        oven.elementC = fromC;
        oven.probeC = fromC;
        oven.exhaustC = fromC;
        oven.damper = 0;
        Rig rig = new Rig(1);
        rig.airC[0] = fromC;
        rig.exhaustC[0] = fromC;
        rig.running();
        rig.run(60);
        rig.wantHeat[0] = false;
        rig.run(31);
        // from here the relay is stuck; the current sensor sees nothing
        double s = 0;
        while (rig.state.contactor() == ContactorPhase.CLOSED) {
            oven.step(true, true, false, Rig.CYCLE_S);
            rig.airC[0] = oven.probeC;
            rig.exhaustC[0] = oven.exhaustC;
            rig.cycle();
            s += Rig.CYCLE_S;
            assertTrue(oven.airC < 125, "before the independent high limit at 130 °C");
        }
        assertTrue(s < 45, s + " s");
        assertTrue(rig.latched(Rule.RISING_WITH_HEAT_OFF, UnitId.oven(1)), rig::story);
        assertFalse(rig.state.evacuate(), "residual heat is no fire");
        for (int n = 0; n < 1200; n++) {
            oven.step(false, rig.out.ovens().get(0).fan(), false, Rig.CYCLE_S);
            rig.airC[0] = oven.probeC;
            rig.cycle();
        }
        assertFalse(rig.state.evacuate(), rig::story);
    }
}
