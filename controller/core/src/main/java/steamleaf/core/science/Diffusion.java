package steamleaf.core.science;

/**
 * Series solutions of diffusion out of a slab and a sphere whose surface is at equilibrium from the
 * start: what the lumped rate constant leaves out.
 *
 * <p>Source: Crank, The Mathematics of Diffusion, 2nd ed. 1975, section 4.3.2 (slab, pp. 47–48, eqs
 * 4.17 and 4.18) and 6.3.1 (sphere, p. 91, eq. 6.20); the pages as others cite them, equation and
 * section numbers from memory. Fo = D·t/L², no unit: D diffusivity in m²/s, t in s, L half
 * thickness or radius in m. Fo from 1e-4, below which 400 terms are too few. All ratios are (X −
 * Xe)/(X0 − Xe), no unit. Not for the control cycle.
 */
public final class Diffusion {
    public static final Range FOURIER = new Range("Fourier number", "-", 1.0e-4, 1.0e3);

    /** x/L: 0 is the mid-plane, 1 the surface. */
    public static final Range DEPTH = new Range("depth over half thickness", "-", 0.0, 1.0);

    private static final int TERMS = 400;

    private Diffusion() {}

    /**
     * Mean moisture ratio of a slab, both faces at equilibrium: 8/π²·Σ exp(−(2n+1)²π²Fo/4)/(2n+1)²,
     * n from 0. Source: eq. 4.18.
     */
    public static double slabMoistureRatio(double fourier) {
        if (!FOURIER.holds(fourier)) {
            return Double.NaN;
        }
        double sum = 0.0;
        for (int n = 0; n < TERMS; n++) {
            double m = (2 * n + 1) * (double) (2 * n + 1);
            sum += Math.exp(-m * Math.PI * Math.PI * fourier / 4.0) / m;
        }
        return 8.0 / (Math.PI * Math.PI) * sum;
    }

    /** Mean moisture ratio of a sphere: 6/π²·Σ exp(−n²π²Fo)/n², n from 1. Source: eq. 6.20. */
    public static double sphereMoistureRatio(double fourier) {
        if (!FOURIER.holds(fourier)) {
            return Double.NaN;
        }
        double sum = 0.0;
        for (int n = 1; n <= TERMS; n++) {
            double m = n * (double) n;
            sum += Math.exp(-m * Math.PI * Math.PI * fourier) / m;
        }
        return 6.0 / (Math.PI * Math.PI) * sum;
    }

    /**
     * Local moisture ratio in a slab at {@code depth} = x/L from the mid-plane, 0 to 1: 4/π·Σ
     * (−1)ⁿ/(2n+1)·exp(−(2n+1)²π²Fo/4)·cos((2n+1)πx/2L), n from 0. Source: eq. 4.17.
     */
    public static double slabLocalRatio(double depth, double fourier) {
        if (!(FOURIER.holds(fourier) && DEPTH.holds(depth))) {
            return Double.NaN;
        }
        double sum = 0.0;
        for (int n = 0; n < TERMS; n++) {
            int odd = 2 * n + 1;
            double term = Math.exp(-(double) odd * odd * Math.PI * Math.PI * fourier / 4.0) / odd;
            sum += (n % 2 == 0 ? term : -term) * Math.cos(odd * Math.PI * depth / 2.0);
        }
        return 4.0 / Math.PI * sum;
    }

    /**
     * Fo at which half the water of a slab has left, by bisection: 0.1967 with L half the
     * thickness. Source: ch. 10, where 0.049 is printed for the whole thickness.
     */
    public static double slabHalfTimeFourier() {
        double low = 0.1;
        double high = 0.3;
        while (high - low > 1e-12) {
            double middle = 0.5 * (low + high);
            if (slabMoistureRatio(middle) > 0.5) {
                low = middle;
            } else {
                high = middle;
            }
        }
        return 0.5 * (low + high);
    }
}
