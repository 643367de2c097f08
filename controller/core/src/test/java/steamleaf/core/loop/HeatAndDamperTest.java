package steamleaf.core.loop;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class HeatAndDamperTest {
    private static double damper(double from, double rh, double aboveK, double duty, int forS) {
        double opening = from;
        for (int s = 0; s < forS; s++) {
            opening = DamperLoop.step(opening, 0.15, 0.3, rh, aboveK, duty, 1.0);
        }
        return opening;
    }

    @Test
    void theLoadOfAChargeIsMostOfWhatABalanceOfHeatGives() {
        // 200 m³/h from 20 to 80 °C: 0.0639 kg/s · 1.025 kJ/(kg·K) · 60 K = 3.93 kW
        double air = HeatLoad.duty(200, 20, 80, Double.NaN, 6000);
        assertEquals(0.7 * 3.93 / 6.0, air, 2e-3);
        // 3.2 kg in 100 min: 0.53 g/s · 2,400 kJ/kg = 1.28 kW
        double wet = HeatLoad.duty(200, 20, 80, 3.2 / 6000, 6000);
        assertEquals(0.7 * 1.28 / 6.0, wet - air, 2e-3);
        assertEquals(1.0, HeatLoad.duty(200, 20, 80, 3.2 / 6000, 1000));
    }

    @ParameterizedTest
    @ValueSource(doubles = {Double.NaN, Double.POSITIVE_INFINITY})
    void whatCannotBeToldFeedsNothing(double roomC) {
        assertEquals(0.0, HeatLoad.duty(200, roomC, 80, Double.NaN, 6000));
        assertEquals(0.0, HeatLoad.duty(Double.NaN, 20, 80, 1e-4, 6000));
        assertEquals(0.0, HeatLoad.duty(200, 20, Double.NaN, 1e-4, 6000));
        assertEquals(0.0, HeatLoad.duty(200, 90, 80, -1e-4, 6000));
        assertEquals(0.0, HeatLoad.duty(200, 20, 80, 1e-4, 0), "a heater without power");
    }

    @Test
    void dryExhaustClosesTheDamperAndHumidExhaustOpensIt() {
        assertEquals(0.15, damper(0.3, 0.03, 0, 0.4, 1200), 1e-12);
        assertEquals(0.3, damper(0.15, 0.2, 0, 0.4, 1200), 1e-12);
        assertEquals(0.22, damper(0.22, 0.10, 0, 0.4, 1200), 1e-12, "between it stands still");
        assertEquals(0.3, damper(0.15, Double.NaN, 0, 0.4, 1200), 1e-12, "nobody knows");
    }

    @Test
    void theDamperDoesNotFightTheHeater() {
        assertEquals(
                0.15, damper(0.15, 0.5, -3, 1.0, 600), "no cold air into air that is too cold");
        assertEquals(0.3, damper(0.3, 0.01, 3, 0.0, 600), "no heat closed in with air too warm");
        assertTrue(damper(0.3, 0.01, 3, 0.5, 600) < 0.3, "the heater can still give way");
        double perS = 0.3 - damper(0.3, 0.01, 0, 0.4, 1);
        assertTrue(perS < 1.0 / 180 / 5, "far slower than the air loop's integral");
    }

    /** A charge that suddenly asks for 40 % of the heater, on a slow oven with the stock loop. */
    private static double dipK(boolean fedForward) {
        PidTuning stock = PidTuning.isa(0.03, 180, 5, 0.6);
        DelayedLag oven = new DelayedLag(90, 600, 10, 1.0);
        PidState state = PidState.at(0.0);
        double lowestC = 100;
        for (int s = 0; s < 9_000; s++) {
            double load = s >= 6_000 ? 0.4 : 0.0;
            double fed = fedForward ? 0.7 * load : 0.0;
            state = Pid.step(stock, OutputLimits.SHARE, state, 40, oven.output, fed, 1.0);
            oven.step(state.output() - load);
            if (s > 6_000) {
                lowestC = Math.min(lowestC, oven.output);
            }
        }
        assertEquals(40, oven.output, 0.05, "and comes back");
        return 40 - lowestC;
    }

    @Test
    void aChargeFedForwardPullsTheAirDownByLessThanHalf() {
        double without = dipK(false);
        double with = dipK(true);
        assertTrue(without > 1.0, () -> "without: " + without);
        assertTrue(with < 0.5 * without, () -> with + " against " + without);
    }
}
