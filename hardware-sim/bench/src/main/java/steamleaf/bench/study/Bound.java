package steamleaf.bench.study;

/**
 * The least covariance that any estimate of the state can have, carried along a true trajectory.
 *
 * <p>Posterior Cramér–Rao bound for x' = f(x) + G·w, z = h(x) + v with normal w and v, as a
 * recursion of the information J:
 *
 * <pre>
 *   J ← D22 − D21·(J + D11)⁻¹·D12,   D11 = Fᵀ·Q⁻¹·F,  D12 = −Fᵀ·Q⁻¹ = D21ᵀ,  D22 = Q⁻¹ + Hᵀ·R⁻¹·H
 *     = (Q + F·J⁻¹·Fᵀ)⁻¹ + Hᵀ·R⁻¹·H            Q = G·Gᵀ
 * </pre>
 *
 * The second line is the first by the matrix inversion lemma and holds for a singular Q too; it is
 * carried here as P = J⁻¹. F, G and H are central differences at the true state.
 *
 * <p>The source takes the expectation of each D over all trajectories. Here each run has its own
 * (the batches differ in length), and P is averaged at the end: by Jensen's inequality that is not
 * less than the bound of the source. What the size of the noise tells of the state (G depends on x)
 * is left out.
 *
 * <p>Source (not checked): Tichavský, Muravchik &amp; Nehorai, Posterior Cramér–Rao bounds for
 * discrete-time nonlinear filtering, IEEE Trans. Signal Processing 46(5), 1998, recursion for
 * additive normal noise.
 */
final class Bound {
    /** Moves a state in place with these noises. */
    interface Move {
        void make(double[] x, double[] w);
    }

    /** Something that is measured of a state. */
    interface Seen {
        double of(double[] x);
    }

    private static final double RELATIVE_STEP = 1e-5;
    private static final double LEAST_SIZE = 1e-2;
    private static final double NOISE_STEP = 1e-3;

    private final int states;
    private final double[] p;
    private final double[] f;
    private final double[] fp;
    private final double[] up;
    private final double[] down;
    private final double[] ph;

    Bound(int states) {
        this.states = states;
        p = new double[states * states];
        f = new double[states * states];
        fp = new double[states * states];
        up = new double[states];
        down = new double[states];
        ph = new double[states];
    }

    /** The state at {@code x} is about to move like this. */
    void move(double[] x, Move move, int noises) {
        double[] w = new double[noises];
        for (int j = 0; j < states; j++) {
            double size = stepOf(x[j]);
            copy(x);
            up[j] += size;
            down[j] -= size;
            move.make(up, w);
            move.make(down, w);
            for (int i = 0; i < states; i++) {
                f[i * states + j] = (up[i] - down[i]) / (2.0 * size);
            }
        }
        propagate();
        for (int n = 0; n < noises; n++) {
            copy(x);
            w[n] = NOISE_STEP;
            move.make(up, w);
            w[n] = -NOISE_STEP;
            move.make(down, w);
            w[n] = 0.0;
            for (int i = 0; i < states; i++) {
                up[i] = (up[i] - down[i]) / (2.0 * NOISE_STEP);
            }
            for (int i = 0; i < states; i++) {
                for (int j = 0; j < states; j++) {
                    p[i * states + j] += up[i] * up[j];
                }
            }
        }
    }

    private static double stepOf(double value) {
        return RELATIVE_STEP * Math.max(LEAST_SIZE, Math.abs(value));
    }

    private void copy(double[] x) {
        System.arraycopy(x, 0, up, 0, states);
        System.arraycopy(x, 0, down, 0, states);
    }

    private void propagate() {
        for (int i = 0; i < states; i++) {
            for (int j = 0; j < states; j++) {
                double sum = 0.0;
                for (int k = 0; k < states; k++) {
                    sum += f[i * states + k] * p[k * states + j];
                }
                fp[i * states + j] = sum;
            }
        }
        for (int i = 0; i < states; i++) {
            for (int j = 0; j <= i; j++) {
                double sum = 0.0;
                for (int k = 0; k < states; k++) {
                    sum += fp[i * states + k] * f[j * states + k];
                }
                p[i * states + j] = sum;
                p[j * states + i] = sum;
            }
        }
    }

    /** This was measured at {@code x} with this deviation. */
    void measured(double[] x, Seen seen, double sd) {
        gradient(x, seen);
        double variance = sd * sd + innovation();
        for (int i = 0; i < states; i++) {
            for (int j = 0; j < states; j++) {
                p[i * states + j] -= ph[i] * ph[j] / variance;
            }
        }
    }

    /** Deviation of the best estimate of this, to first order. */
    double sd(double[] x, Seen seen) {
        gradient(x, seen);
        return Math.sqrt(Math.max(0.0, innovation()));
    }

    /** hᵀ into {@link #up}, P·hᵀ into {@link #ph}. */
    private void gradient(double[] x, Seen seen) {
        System.arraycopy(x, 0, down, 0, states);
        for (int j = 0; j < states; j++) {
            double size = stepOf(x[j]);
            down[j] = x[j] + size;
            double above = seen.of(down);
            down[j] = x[j] - size;
            up[j] = (above - seen.of(down)) / (2.0 * size);
            down[j] = x[j];
        }
        for (int i = 0; i < states; i++) {
            double sum = 0.0;
            for (int k = 0; k < states; k++) {
                sum += p[i * states + k] * up[k];
            }
            ph[i] = sum;
        }
    }

    private double innovation() {
        double sum = 0.0;
        for (int k = 0; k < states; k++) {
            sum += up[k] * ph[k];
        }
        return sum;
    }
}
