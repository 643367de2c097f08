package steamleaf.sim.plant;

/**
 * Water diffusing in one half of a slab, mid-plane to surface, in finite volumes graded towards the
 * surface.
 *
 * <p>Coordinates count dry matter, so that shrinkage needs no moving grid. Per kilogram of dry
 * matter, with ξ from 0 at the mid-plane to 1 at the surface and d = D/L²:
 *
 * <pre>
 *   dX/dt = d/dξ ( d(X,T)·dX/dξ ),   dX/dξ = 0 at ξ = 0,   −d·dX/dξ = β·driving(aw(Xs,T)·ps(T), pv) at ξ = 1
 *   D(X,T) = (D_dry·1 + D_wet·X)/(1 + X) · exp(−Ea/R·(1/T − 1/353.15 K))
 * </pre>
 *
 * <p>Implicit Euler in time, Thomas algorithm; the one nonlinear unknown, the moisture at the
 * surface, is found by Newton's method inside a bracket, so that any film, however strong, is
 * stable. Source of the equation: Crank, The Mathematics of Diffusion, 2nd ed. 1975, ch. 4; of the
 * moisture dependence (not checked): Maroulis et al., parallel paths weighted by X/(1 + X).
 */
final class Slab {
    final double[] moisture;
    private final double[] width;
    private final double[] upper;
    private final double[] right;
    double halfThicknessM;
    double dryKg;

    /** Moisture at the very surface, kg/kg d.b. */
    double surface;

    /** Water that left in the last step, kg per kg dry matter and second. */
    double fluxPerS;

    Slab(int cells) {
        moisture = new double[cells];
        upper = new double[cells];
        right = new double[cells];
        width = new double[cells];
        double ratio = Math.pow(0.06, 1.0 / (cells - 1)); // outermost cell 0.06 of the innermost
        double sum = 0;
        double w = 1;
        for (int i = 0; i < cells; i++) {
            width[i] = w;
            sum += w;
            w *= ratio;
        }
        for (int i = 0; i < cells; i++) {
            width[i] /= sum;
        }
    }

    Slab(Slab other) {
        this(other.moisture.length);
        System.arraycopy(other.moisture, 0, moisture, 0, moisture.length);
        halfThicknessM = other.halfThicknessM;
        dryKg = other.dryKg;
        surface = other.surface;
        fluxPerS = other.fluxPerS;
    }

    void fill(double moistureKgPerKg) {
        java.util.Arrays.fill(moisture, moistureKgPerKg);
        surface = moistureKgPerKg;
    }

    /** Mean moisture, kg/kg d.b. */
    double mean() {
        double sum = 0;
        for (int i = 0; i < moisture.length; i++) {
            sum += width[i] * moisture[i];
        }
        return sum;
    }

    double waterKg() {
        return dryKg * mean();
    }

    /**
     * Moves every cell towards a value, or by an amount, keeping the books exact: mean changes by
     * the mean of the change.
     */
    void towards(double target, double share) {
        for (int i = 0; i < moisture.length; i++) {
            moisture[i] += share * (target - moisture[i]);
        }
        surface += share * (target - surface);
    }

    void add(double moistureKgPerKg) {
        for (int i = 0; i < moisture.length; i++) {
            moisture[i] += moistureKgPerKg;
        }
        surface += moistureKgPerKg;
    }

    void scale(double factor) {
        for (int i = 0; i < moisture.length; i++) {
            moisture[i] *= factor;
        }
        surface *= factor;
    }

    /** This slab becomes the mixture of {@code share} of {@code other} and the rest of itself. */
    void blend(Slab other, double share) {
        for (int i = 0; i < moisture.length; i++) {
            moisture[i] += share * (other.moisture[i] - moisture[i]);
        }
        surface += share * (other.surface - surface);
    }

    /**
     * One step. {@code dry80} and {@code wet80} are D_dry and D_wet already taken to leaf
     * temperature, m²/s; {@code gab} is set to it too; {@code filmPerS} is the film, kg/s of vapour
     * per unit of driving force and kilogram of dry matter.
     */
    void step(
            double elapsedS,
            double dryM2PerS,
            double wetM2PerS,
            Gab gab,
            double saturationPa,
            double pressurePa,
            double filmPerS,
            double vapourPa) {
        int n = moisture.length;
        double perSquare = 1 / (halfThicknessM * halfThicknessM);
        double dry = dryM2PerS * perSquare;
        double wet = wetM2PerS * perSquare;
        double x = moisture[0];
        double resistance = 0.5 * width[0] * (1 + x) / (dry + wet * x);
        double inner = 0;
        double pivot;
        double above = 0;
        double rhs = 0;
        double storage = 0;
        // forward elimination, mid-plane to surface
        for (int i = 0; i < n; i++) {
            double next = 0;
            double outer = 0;
            if (i + 1 < n) {
                double y = moisture[i + 1];
                next = 0.5 * width[i + 1] * (1 + y) / (dry + wet * y);
                outer = 1 / (resistance + next);
            }
            storage = width[i] / elapsedS;
            double diagonal = storage + inner + outer;
            rhs = storage * moisture[i];
            if (i > 0) {
                diagonal -= inner * above;
                rhs += inner * right[i - 1];
            }
            if (i + 1 < n) {
                pivot = 1 / diagonal;
                above = outer * pivot;
                upper[i] = above;
                right[i] = rhs * pivot;
                inner = outer;
                resistance = next;
            } else {
                double alpha = rhs / diagonal;
                double beta = 1 / diagonal;
                double flux =
                        surfaceFlux(
                                alpha,
                                beta,
                                resistance,
                                gab,
                                saturationPa,
                                pressurePa,
                                filmPerS,
                                vapourPa);
                moisture[i] = alpha - beta * flux;
                fluxPerS = flux;
            }
        }
        for (int i = n - 2; i >= 0; i--) {
            moisture[i] = right[i] + upper[i] * moisture[i + 1];
        }
    }

    /**
     * Solves Xs + (β + r)·film·driving(Xs) = α, {@link MoistAir#driving}; both sides grow with Xs,
     * so the root is single and bracketed.
     */
    private double surfaceFlux(
            double alpha,
            double beta,
            double resistance,
            Gab gab,
            double saturationPa,
            double pressurePa,
            double filmPerS,
            double vapourPa) {
        double gain = (beta + resistance) * filmPerS;
        double low = 0;
        double high =
                Math.max(
                        alpha + gain * 2 * MoistAir.RATIO * vapourPa / (2 * pressurePa - vapourPa),
                        1e-12);
        double xs = surface > low && surface < high ? surface : 0.5 * (low + high);
        for (int i = 0; i < 60; i++) {
            gab.at(xs);
            double surfacePa = gab.activity * saturationPa;
            double slope = 0;
            double rest = 2 * pressurePa - vapourPa;
            if (surfacePa >= 1.5 * pressurePa) {
                surfacePa = 1.5 * pressurePa;
                rest -= surfacePa;
            } else {
                rest -= surfacePa;
                slope =
                        4
                                * MoistAir.RATIO
                                * (pressurePa - vapourPa)
                                * saturationPa
                                * gab.slope
                                / (rest * rest);
            }
            double driving = 2 * MoistAir.RATIO * (surfacePa - vapourPa) / rest;
            double error = xs - alpha + gain * driving;
            if (error > 0) {
                high = xs;
            } else {
                low = xs;
            }
            double step = error / (1 + gain * slope);
            double next = xs - step;
            if (!(next > low && next < high)) {
                next = 0.5 * (low + high);
            }
            double moved = Math.abs(next - xs);
            xs = next;
            if (moved <= 1e-9 * (xs + 1e-3)) {
                break;
            }
        }
        surface = xs;
        return (alpha - xs) / (beta + resistance);
    }
}
