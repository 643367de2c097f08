package steamleaf.sim.plant;

/**
 * Water diffusing in one half of a slab, mid-plane to surface, on a grid of few nodes, see {@link
 * Grid}.
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
    private final Grid grid;
    private final double[] volume;
    private final double[] upper;
    private final double[] right;
    double halfThicknessM;
    double dryKg;

    /** Moisture at the very surface, kg/kg d.b. */
    double surface;

    /** Water that left in the last step, kg per kg dry matter and second. */
    double fluxPerS;

    Slab(Grid grid) {
        this.grid = grid;
        volume = grid.volume;
        moisture = new double[volume.length];
        upper = new double[volume.length];
        right = new double[volume.length];
    }

    Slab(Slab other) {
        this(other.grid);
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
            sum += volume[i] * moisture[i];
        }
        return sum;
    }

    /**
     * Moisture at a place between mid-plane (0) and surface (1), read linearly between cell
     * centres; for ordinary volumes only.
     */
    double at(double place) {
        double centre = 0;
        double before = 0;
        double edge = 0;
        for (int i = 0; i < moisture.length; i++) {
            before = centre;
            centre = edge + 0.5 * volume[i];
            edge += volume[i];
            if (place <= centre) {
                return i == 0
                        ? moisture[0]
                        : moisture[i - 1]
                                + (place - before)
                                        / (centre - before)
                                        * (moisture[i] - moisture[i - 1]);
            }
        }
        int last = moisture.length - 1;
        return moisture[last] + (place - centre) / (1 - centre) * (surface - moisture[last]);
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
        double perS = 1 / elapsedS;
        double[] innerPart = grid.inner;
        double[] outerPart = grid.outer;
        int last = n - 1;
        double x = moisture[0];
        double hinder = (1 + x) / (dry + wet * x); // L²/D at the node
        double inner = 0;
        double above = 0;
        double before = 0;
        // forward elimination, mid-plane to surface
        for (int i = 0; i < last; i++) {
            double y = moisture[i + 1];
            double next = (1 + y) / (dry + wet * y);
            double outer = 1 / (outerPart[i] * hinder + innerPart[i + 1] * next);
            double store = volume[i] * perS;
            double pivot = 1 / (store + inner * (1 - above) + outer);
            before = (store * x + inner * before) * pivot;
            above = outer * pivot;
            upper[i] = above;
            right[i] = before;
            inner = outer;
            hinder = next;
            x = y;
        }
        double store = volume[last] * perS;
        double beta = 1 / (store + inner * (1 - above));
        double alpha = (store * x + inner * before) * beta;
        fluxPerS =
                surfaceFlux(
                        alpha,
                        beta,
                        outerPart[last] * hinder,
                        gab,
                        saturationPa,
                        pressurePa,
                        filmPerS,
                        vapourPa);
        moisture[last] = alpha - beta * fluxPerS;
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
