package steamleaf.core.science;

/**
 * Sorption isotherms: which moisture of the leaf rests with which humidity of the air.
 *
 * <p>The equations are printed with M in percent dry basis (kg water per 100 kg dry leaf), T in °C
 * and aw the water activity, no unit; the methods speak kg per kg dry leaf. Equilibrium is answered
 * for activities of 0 to 0.98 and −10 to 120 °C, activity for 0.001 to 10 kg/kg. Parameters that
 * make no isotherm (an exponent or a scale not above zero) are answered with NaN.
 *
 * <p>Source (not checked) of the forms: ASAE D245.5, Moisture relationships of plant-based
 * agricultural products, where all five stand; the papers they go back to are named at each. The
 * forms are held by reference rows, two of them by the corn parameters of that standard. No
 * parameter table for tea could be opened, so {@link #GREEN_TEA} is an engineering choice.
 */
public sealed interface Isotherm {
    Range TEMPERATURE_C = new Range("sorption temperature", "°C", -10.0, 120.0);
    Range MOISTURE_KG_PER_KG = new Range("sorbed moisture, dry basis", "kg/kg", 0.001, 10.0);

    /**
     * Equilibrium is asked up to this activity; beyond it the leaf carries free water and the forms
     * lose meaning.
     */
    Range WATER_ACTIVITY = new Range("water activity", "-", 0.0, 0.98);

    /**
     * Engineering choice, ± 1.5 % d.b. Form: modified Halsey, chosen for green tea out of six
     * (Ghodake, Goswami, Chakraverty 2007, J. Food Engineering, abstract). C: from two published
     * isosteric heats in that abstract, our algebra. A: through the one published point, 4 % w.b.
     * at activity 0.26 and 25 °C, a secondary source. B: assumed; the published heats (20–40 °C)
     * would need −0.065 (by their slope at 25 °C), which gives absurdly low moistures when carried
     * to 80 °C.
     */
    Isotherm GREEN_TEA = new ModifiedHalsey(3.38, -0.02, 1.81);

    /** Moisture at rest with air of this activity (relative humidity), kg/kg dry leaf. */
    double equilibriumMoistureKgPerKg(double temperatureC, double waterActivity);

    /** Activity of the leaf's water, 0 to 1. */
    double waterActivity(double temperatureC, double moistureKgPerKg);

    /** dM/daw at rest, kg/kg dry leaf; activity above 0. */
    double equilibriumSlope(double temperatureC, double waterActivity);

    private static boolean air(double temperatureC, double waterActivity) {
        return TEMPERATURE_C.holds(temperatureC) && WATER_ACTIVITY.holds(waterActivity);
    }

    private static boolean leaf(double temperatureC, double moistureKgPerKg) {
        return TEMPERATURE_C.holds(temperatureC) && MOISTURE_KG_PER_KG.holds(moistureKgPerKg);
    }

    /**
     * aw = exp(−exp(A + B·T)·M^−C), T in °C.
     *
     * <p>Halsey 1948, J. Chem. Phys. 16:931–937; modified by Iglesias and Chirife 1976, J. Food
     * Technol. 11:109–116.
     */
    record ModifiedHalsey(double a, double bPerC, double c) implements Isotherm {
        @Override
        public double equilibriumMoistureKgPerKg(double temperatureC, double waterActivity) {
            if (!(air(temperatureC, waterActivity) && c > 0.0)) {
                return Double.NaN;
            }
            if (waterActivity == 0.0) {
                return 0.0;
            }
            // ln M = (A + B·T − ln(−ln aw))/C
            double lnM = (a + bPerC * temperatureC - Math.log(-Math.log(waterActivity))) / c;
            return Math.exp(lnM) / 100.0;
        }

        @Override
        public double equilibriumSlope(double temperatureC, double waterActivity) {
            double M = equilibriumMoistureKgPerKg(temperatureC, waterActivity);
            return -M / (c * waterActivity * Math.log(waterActivity));
        }

        @Override
        public double waterActivity(double temperatureC, double moistureKgPerKg) {
            return leaf(temperatureC, moistureKgPerKg) && c > 0.0
                    ? Math.exp(
                            -Math.exp(a + bPerC * temperatureC)
                                    * Math.pow(100.0 * moistureKgPerKg, -c))
                    : Double.NaN;
        }
    }

    /**
     * M = (A + B·T)·(aw/(1 − aw))^(1/C), T in °C.
     *
     * <p>Oswin 1946, J. Soc. Chem. Ind. 65:419–421; with temperature: Chen and Morey 1989, Trans.
     * ASAE 32:983–990.
     */
    record ModifiedOswin(double aPercent, double bPercentPerC, double c) implements Isotherm {
        @Override
        public double equilibriumMoistureKgPerKg(double temperatureC, double waterActivity) {
            double scale = aPercent + bPercentPerC * temperatureC;
            return air(temperatureC, waterActivity) && scale > 0.0 && c > 0.0
                    ? scale * Math.pow(waterActivity / (1.0 - waterActivity), 1.0 / c) / 100.0
                    : Double.NaN;
        }

        @Override
        public double equilibriumSlope(double temperatureC, double waterActivity) {
            double M = equilibriumMoistureKgPerKg(temperatureC, waterActivity);
            return M / (c * waterActivity * (1.0 - waterActivity));
        }

        @Override
        public double waterActivity(double temperatureC, double moistureKgPerKg) {
            double scale = aPercent + bPercentPerC * temperatureC;
            return leaf(temperatureC, moistureKgPerKg) && scale > 0.0 && c > 0.0
                    ? 1.0 / (1.0 + Math.pow(scale / (100.0 * moistureKgPerKg), c))
                    : Double.NaN;
        }
    }

    /**
     * aw = 1 − exp(−K·(T + C)·M^N), T in °C, K in 1/°C for M in %.
     *
     * <p>Henderson 1952, Agric. Eng. 33:29–32; modified by Thompson, Peart and Foster 1968, Trans.
     * ASAE 11:582–586.
     */
    record ModifiedHenderson(double k, double n, double cC) implements Isotherm {
        private boolean known(double temperatureC) {
            return temperatureC + cC > 0.0 && k > 0.0 && n > 0.0;
        }

        @Override
        public double equilibriumMoistureKgPerKg(double temperatureC, double waterActivity) {
            return air(temperatureC, waterActivity) && known(temperatureC)
                    ? Math.pow(-Math.log1p(-waterActivity) / (k * (temperatureC + cC)), 1.0 / n)
                            / 100.0
                    : Double.NaN;
        }

        @Override
        public double equilibriumSlope(double temperatureC, double waterActivity) {
            double M = equilibriumMoistureKgPerKg(temperatureC, waterActivity);
            return -M / (n * (1.0 - waterActivity) * Math.log1p(-waterActivity));
        }

        @Override
        public double waterActivity(double temperatureC, double moistureKgPerKg) {
            return leaf(temperatureC, moistureKgPerKg) && known(temperatureC)
                    ? -Math.expm1(-k * (temperatureC + cC) * Math.pow(100.0 * moistureKgPerKg, n))
                    : Double.NaN;
        }
    }

    /**
     * aw = exp(−A/(T + C)·exp(−B·M)), T in °C; moistures below zero, at very low activity, are
     * answered with NaN.
     *
     * <p>Chung and Pfost 1967, Trans. ASAE 10:549–555; modified by Pfost, Maurer, Chung and
     * Milliken 1976, ASAE paper 76-3520.
     */
    record ModifiedChungPfost(double aC, double bPerPercent, double cC) implements Isotherm {
        private boolean known(double temperatureC) {
            return temperatureC + cC > 0.0 && aC > 0.0 && bPerPercent > 0.0;
        }

        @Override
        public double equilibriumMoistureKgPerKg(double temperatureC, double waterActivity) {
            if (!(air(temperatureC, waterActivity) && known(temperatureC))) {
                return Double.NaN;
            }
            double M = -Math.log(-(temperatureC + cC) / aC * Math.log(waterActivity)) / bPerPercent;
            return M >= 0.0 ? M / 100.0 : Double.NaN;
        }

        @Override
        public double equilibriumSlope(double temperatureC, double waterActivity) {
            double M = equilibriumMoistureKgPerKg(temperatureC, waterActivity);
            double slope = -1.0 / (100.0 * bPerPercent * waterActivity * Math.log(waterActivity));
            return M >= 0.0 ? slope : Double.NaN;
        }

        @Override
        public double waterActivity(double temperatureC, double moistureKgPerKg) {
            return leaf(temperatureC, moistureKgPerKg) && known(temperatureC)
                    ? Math.exp(
                            -aC
                                    / (temperatureC + cC)
                                    * Math.exp(-bPerPercent * 100.0 * moistureKgPerKg))
                    : Double.NaN;
        }
    }

    /**
     * M = M0·C·K·aw/((1 − K·aw)·(1 − K·aw + C·K·aw)); one temperature, the one the parameters were
     * fitted at; K·aw below 1.
     *
     * <p>Guggenheim, Anderson, de Boer; van den Berg and Bruin 1981, in Rockland and Stewart, Water
     * Activity: Influences on Food Quality, Academic Press, pp. 1–61.
     */
    record Gab(double monolayerPercent, double c, double k) implements Isotherm {
        private boolean known() {
            return monolayerPercent > 0.0 && c > 0.0 && k > 0.0;
        }

        @Override
        public double equilibriumMoistureKgPerKg(double temperatureC, double waterActivity) {
            double x = k * waterActivity;
            return air(temperatureC, waterActivity) && known() && x < 1.0
                    ? monolayerPercent * c * x / ((1.0 - x) * (1.0 - x + c * x)) / 100.0
                    : Double.NaN;
        }

        @Override
        public double equilibriumSlope(double temperatureC, double waterActivity) {
            double x = k * waterActivity;
            double relative = 1.0 / x + 1.0 / (1.0 - x) - (c - 1.0) / (1.0 + (c - 1.0) * x);
            return equilibriumMoistureKgPerKg(temperatureC, waterActivity) * k * relative;
        }

        /** The root of the quadratic in K·aw that lies between 0 and 1. */
        @Override
        public double waterActivity(double temperatureC, double moistureKgPerKg) {
            if (!(leaf(temperatureC, moistureKgPerKg) && known())) {
                return Double.NaN;
            }
            double s = monolayerPercent / (100.0 * moistureKgPerKg);
            // (c − 1)·x² − (c − 2 − s·c)·x − 1 = 0 with x = K·aw
            double a = c - 1.0;
            double b = -(c - 2.0 - s * c);
            double root = Math.sqrt(b * b + 4.0 * a);
            double x = b > 0.0 ? 2.0 / (b + root) : (root - b) / (2.0 * a);
            double aw = x / k;
            return aw <= 1.0 ? aw : Double.NaN;
        }
    }
}
