package steamleaf.core.science;

/**
 * Thin-layer drying curves: moisture ratio MR = (X − Xe)/(X0 − Xe), no unit, against time. Fits for
 * the record; the controller does not steer by them. Time from zero, in the unit the parameters
 * were fitted in, to which k belongs too (1/time, with n: 1/timeⁿ).
 *
 * <p>A curve answers while its moisture ratio is one, 0 to 1.5: a fit that has passed below
 * equilibrium, or that rises again, has left the data it was fitted to. Rate constants below zero
 * are no drying and answered with NaN.
 *
 * <p>Source (not checked) of the forms: the papers named at each; all of them stand in the tables
 * of Erbay and Icier 2010, A review of thin layer drying of foods, Crit. Rev. Food Sci. Nutr.
 * 50:441–464. Reference rows hold each form. For tea, published studies chose Lewis (black tea
 * particles, Panchariya et al. 2002), Page (pulsed vacuum) and logarithmic (Zeng et al. 2024).
 */
public sealed interface ThinLayer {

    Range TIME = new Range("drying time", "time unit of the fit", 0.0, 1.0e9);

    /** Fits start near 1 (published a up to about 1.3) and end at equilibrium. */
    Range MOISTURE_RATIO = new Range("moisture ratio", "-", 0.0, 1.5);

    /** MR after {@code time}; NaN for negative time and where the fit gives no moisture ratio. */
    double moistureRatio(double time);

    private static double from(boolean known, double time, double ratio) {
        return known && TIME.holds(time) && MOISTURE_RATIO.holds(ratio) ? ratio : Double.NaN;
    }

    /** exp(−k·t). Lewis 1921, J. Ind. Eng. Chem. 13:427–432. */
    record Lewis(double k) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(k >= 0.0, time, Math.exp(-k * time));
        }
    }

    /** exp(−k·t^n). Page 1949, M.S. thesis, Purdue University. */
    record Page(double k, double n) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(k >= 0.0 && n > 0.0, time, Math.exp(-k * Math.pow(time, n)));
        }
    }

    /** a·exp(−k·t). Henderson and Pabis 1961, J. Agric. Eng. Res. 6:169–174. */
    record HendersonPabis(double a, double k) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(k >= 0.0, time, a * Math.exp(-k * time));
        }
    }

    /** a·exp(−k·t) + c. Toğrul and Pehlivan 2002, J. Food Eng. 55:209–216. */
    record Logarithmic(double a, double k, double c) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(k >= 0.0, time, a * Math.exp(-k * time) + c);
        }
    }

    /** a·exp(−k0·t) + b·exp(−k1·t). Henderson 1974, Trans. ASAE 17:1167–1172. */
    record TwoTerm(double a, double k0, double b, double k1) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(
                    k0 >= 0.0 && k1 >= 0.0,
                    time,
                    a * Math.exp(-k0 * time) + b * Math.exp(-k1 * time));
        }
    }

    /** a·exp(−k·t^n) + b·t. Midilli, Kucuk and Yapar 2002, Drying Technology 20:1503–1513. */
    record Midilli(double a, double k, double n, double b) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(k >= 0.0 && n > 0.0, time, a * Math.exp(-k * Math.pow(time, n)) + b * time);
        }
    }

    /**
     * 1 + a·t + b·t², as far as the parabola falls: to t = −a/(2b) where b is above zero. Wang and
     * Singh 1978, ASAE paper 78-3001.
     */
    record WangSingh(double a, double b) implements ThinLayer {
        @Override
        public double moistureRatio(double time) {
            return from(a + 2.0 * b * time <= 0.0, time, 1.0 + a * time + b * time * time);
        }
    }
}
