package steamleaf.core.science;

/**
 * Thin-layer drying curves: moisture ratio MR = (X − Xe)/(X0 − Xe) against time. Fits for the
 * record; the controller does not steer by them. Time from zero, in the unit the parameters were
 * fitted in.
 *
 * <p>Standard forms of the drying literature (Lewis; Page; Henderson and Pabis; logarithmic;
 * two-term; Midilli; Wang and Singh). For tea, published studies chose Lewis (black tea particles,
 * Panchariya et al. 2002), Page (pulsed vacuum) and logarithmic (Zeng et al. 2024).
 */
public sealed interface ThinLayer {

    Range TIME = new Range("drying time", "time unit of the fit", 0.0, 1.0e9);

    /** MR after {@code time}; NaN for negative time. */
    double moistureRatio(double time);

    private static double from(double time, double ratio) {
        return TIME.holds(time) ? ratio : Double.NaN;
    }

    /** exp(−k·t). */
    record Lewis(double k) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(time, Math.exp(-k * time));
        }
    }

    /** exp(−k·t^n). */
    record Page(double k, double n) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(time, Math.exp(-k * Math.pow(time, n)));
        }
    }

    /** a·exp(−k·t). */
    record HendersonPabis(double a, double k) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(time, a * Math.exp(-k * time));
        }
    }

    /** a·exp(−k·t) + c. */
    record Logarithmic(double a, double k, double c) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(time, a * Math.exp(-k * time) + c);
        }
    }

    /** a·exp(−k0·t) + b·exp(−k1·t). */
    record TwoTerm(double a, double k0, double b, double k1) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(time, a * Math.exp(-k0 * time) + b * Math.exp(-k1 * time));
        }
    }

    /** a·exp(−k·t^n) + b·t. */
    record Midilli(double a, double k, double n, double b) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(time, a * Math.exp(-k * Math.pow(time, n)) + b * time);
        }
    }

    /** 1 + a·t + b·t². */
    record WangSingh(double a, double b) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(time, 1.0 + a * time + b * time * time);
        }
    }
}
