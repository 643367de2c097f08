package steamleaf.core.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import steamleaf.core.science.Psychrometrics;

/**
 * What a study draws its plants from must be what the filter believes: mean and covariance of both,
 * step by step, through all that is done to leaf.
 */
class ModelledChargeTest {
    private static final int N = ModelledCharge.STATES;
    private static final double ROOM_C = 24.0;
    private static final double ROOM_RH = 0.55;
    private static final double PRESSURE_KPA = 99.0;
    private static final double ROOM_W =
            Psychrometrics.humidityRatio(ROOM_C, ROOM_RH, PRESSURE_KPA);

    private interface Move {
        void make(double[] x, double[] w);
    }

    private final MoistureFilter filter = new MoistureFilter(LeafParameters.STOCK, Band.GREEN_TEA);
    private final ModelledCharge charge = new ModelledCharge(LeafParameters.STOCK);
    private final double[] x = new double[N];
    private double[][] p = new double[N][N];
    private double before = Double.NaN;

    private static OvenAir air(double airC, double freshM3PerH, boolean doorOpen) {
        return new OvenAir(
                airC,
                Double.NaN,
                Double.NaN,
                ROOM_C,
                ROOM_RH,
                PRESSURE_KPA,
                freshM3PerH,
                1.0,
                doorOpen,
                Double.NaN,
                0.0);
    }

    /** x ← f(x, 0), P ← F·P·Fᵀ + G·Gᵀ with central differences. */
    private void move(Move move, int noises) {
        double[][] f = new double[N][];
        for (int j = 0; j < N; j++) {
            double h = 1e-5 * Math.max(1e-2, Math.abs(x[j]));
            f[j] = difference(move, noises, j, -1, h);
        }
        double[][] next = new double[N][N];
        for (int i = 0; i < N; i++) {
            for (int j = 0; j < N; j++) {
                for (int k = 0; k < N; k++) {
                    for (int l = 0; l < N; l++) {
                        next[i][j] += f[k][i] * p[k][l] * f[l][j];
                    }
                }
            }
        }
        for (int n = 0; n < noises; n++) {
            double[] g = difference(move, noises, -1, n, 1e-3);
            for (int i = 0; i < N; i++) {
                for (int j = 0; j < N; j++) {
                    next[i][j] += g[i] * g[j];
                }
            }
        }
        p = next;
        move.make(x, new double[noises]);
    }

    private double[] difference(Move move, int noises, int state, int noise, double h) {
        double[] up = x.clone();
        double[] down = x.clone();
        double[] wUp = new double[noises];
        double[] wDown = new double[noises];
        if (state >= 0) {
            up[state] += h;
            down[state] -= h;
        } else {
            wUp[noise] = h;
            wDown[noise] = -h;
        }
        move.make(up, wUp);
        move.make(down, wDown);
        for (int i = 0; i < N; i++) {
            up[i] = (up[i] - down[i]) / (2 * h);
        }
        return up;
    }

    private void dry(OvenAir air, int seconds) {
        for (int t = 0; t < seconds; t++) {
            filter.step(air, 1.0);
            double last = before;
            move((y, w) -> charge.step(y, air, last, 1.0, w), ModelledCharge.STEP_NOISES);
            charge.stepped();
            before = air.freshAirM3PerH();
        }
    }

    private void bench(double seconds) {
        filter.onBench(ROOM_C, ROOM_RH, PRESSURE_KPA, seconds);
        charge.takeOut(x, ROOM_W); // the filter, too, leaves the covariance as it is
        OvenAir room = OvenAir.bench(ROOM_C, ROOM_RH, PRESSURE_KPA);
        for (double left = seconds; left > 0; left -= 5) {
            double step = Math.min(5, left);
            move((y, w) -> charge.step(y, room, Double.NaN, step, w), ModelledCharge.STEP_NOISES);
            charge.stepped();
        }
        before = Double.NaN;
    }

    private void compare(String when) {
        for (int i = 0; i < N; i++) {
            double sd = Math.sqrt(filter.covariance(i, i));
            assertEquals(filter.mean(i), x[i], 1e-9 * sd + 1e-12, when + ": mean " + i);
            for (int j = 0; j < N; j++) {
                double scale = sd * Math.sqrt(filter.covariance(j, j));
                assertEquals(
                        filter.covariance(i, j),
                        p[i][j],
                        3e-3 * scale,
                        when + ": covariance " + i + ", " + j);
            }
        }
    }

    @Test
    void movesAsTheFilterMovesItsMeanAndItsCovariance() {
        filter.step(air(70, 200, false), 1.0); // knows the room before leaf comes
        assertEquals(Verdict.TAKEN, filter.load(4.0, 0.01, 0.79, 0.025));
        move(
                (y, w) -> charge.load(y, 4.0, 0.01, 0.79, 0.025, ROOM_W, w),
                ModelledCharge.LOAD_NOISES);
        before = 200;
        compare("loaded");

        dry(air(70, 200, false), 900);
        compare("dried for a quarter of an hour");

        dry(air(60, 200, true), 40);
        filter.turned();
        move(charge::turn, ModelledCharge.TURN_NOISES);
        compare("turned");

        dry(air(75, 120, false), 900);
        compare("the damper moved");

        bench(300);
        filter.rolled(0.02, 0.01, 0.02, 0.02, 0.5);
        move((y, w) -> charge.roll(y, 0.02, 0.01, 0.02, 0.02, 0.5, w), ModelledCharge.ROLL_NOISES);
        charge.kneaded();
        compare("rolled");

        dry(air(75, 60, false), 1_800);
        filter.rested(1_800);
        move((y, w) -> charge.rest(y, 1_800, w), ModelledCharge.REST_NOISES);
        charge.rested(1_800);
        compare("rested");

        dry(air(75, 60, false), 600);
        compare("dried after the rest");
        assertTrue(filter.moisture() < 0.7, "it did dry");
    }

    @Test
    void itsSensorsShowWhatTheFilterExpectsOfThem() {
        filter.step(air(70, 200, false), 1.0);
        filter.load(4.0, 0.01, 0.79, 0.025);
        double[] w = {0.3, -0.4, 0.5, 0.6, -0.7, 0.8, 0.9, 1.1, 1.3, 0.2};
        charge.load(x, 4.0, 0.01, 0.79, 0.025, ROOM_W, w);
        assertEquals(ModelledCharge.massKg(x) + 0.013, ModelledCharge.scaleKg(x), 1e-12);
        double vapourKPa = Psychrometrics.vapourPressureKPa(x[DryingModel.AIR], PRESSURE_KPA);
        assertEquals(
                vapourKPa / Psychrometrics.saturationPressureKPa(50.0) + 0.9 * 0.02,
                ModelledCharge.exhaustRh(x, 50.0, PRESSURE_KPA),
                1e-12);
        // one independent value in ten seconds and in four
        assertEquals(0.004 * Math.sqrt(10), charge.exhaustRhSd(1.0), 1e-12);
        assertEquals(0.004 * 2, charge.scaleSdKg(1.0), 1e-12);
        assertEquals(0.004, charge.scaleSdKg(10.0), 1e-12);
    }
}
