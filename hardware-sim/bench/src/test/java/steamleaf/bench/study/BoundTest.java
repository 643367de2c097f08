package steamleaf.bench.study;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

class BoundTest {
    /** Two constants with priors of deviation 2 and 3, their sum measured, then the first. */
    @Test
    void addsTheInformationOfWhatIsMeasured() {
        Bound bound = new Bound(2);
        double[] x = {5, 7};
        bound.move(
                x,
                (y, w) -> {
                    y[0] = 5 + 2 * w[0];
                    y[1] = 7 + 3 * w[1];
                },
                2);
        for (int i = 0; i < 4; i++) {
            bound.measured(x, y -> y[0] + y[1], 1.0);
        }
        bound.measured(x, y -> y[0], 0.5);
        // J = diag(1/4, 1/9) + 4·[1 1; 1 1] + 4·[1 0; 0 0], inverted by hand
        double a = 0.25 + 4 + 4;
        double d = 1.0 / 9 + 4;
        double determinant = a * d - 16;
        assertEquals(Math.sqrt(d / determinant), bound.sd(x, y -> y[0]), 1e-7);
        assertEquals(Math.sqrt(a / determinant), bound.sd(x, y -> y[1]), 1e-7);
        double sum = (d + a - 2 * 4) / determinant;
        assertEquals(Math.sqrt(sum), bound.sd(x, y -> y[0] + y[1]), 1e-7);
    }

    /** x' = x + q·w, z = x + v with q = v = 1 settles at the golden ratio less one. */
    @Test
    void settlesWhereTheRiccatiEquationSays() {
        Bound bound = new Bound(1);
        double[] x = {3};
        for (int i = 0; i < 40; i++) {
            bound.move(x, (y, w) -> y[0] += w[0], 1);
            bound.measured(x, y -> y[0], 1.0);
        }
        // P = (P + 1)/(P + 2), so P² + P − 1 = 0
        assertEquals(Math.sqrt((Math.sqrt(5) - 1) / 2), bound.sd(x, y -> y[0]), 1e-7);
    }

    /** What was learned is carried along by the derivative at the true state. */
    @Test
    void followsANonlinearStep() {
        Bound bound = new Bound(1);
        double[] x = {3};
        bound.move(x, (y, w) -> y[0] = 3 + 0.1 * w[0], 1);
        bound.move(x, (y, w) -> y[0] = y[0] * y[0], 0);
        x[0] = 9;
        assertEquals(0.1 * 2 * 3, bound.sd(x, y -> y[0]), 1e-6);
        assertEquals(0.6 / 9, bound.sd(x, y -> Math.log(y[0])), 1e-6);
    }
}
