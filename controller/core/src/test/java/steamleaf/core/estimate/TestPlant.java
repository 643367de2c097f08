package steamleaf.core.estimate;

import java.util.Random;
import steamleaf.core.science.MoistureBasis;
import steamleaf.core.science.Psychrometrics;

/**
 * A charge in an oven, with sensors: what the filter is tried on. Truth is drawn from the priors in
 * the filter's parameters.
 */
abstract class TestPlant {
    static final double PRESSURE_KPA = 99.0;
    static final double ROOM_C = 24.0;
    static final double ROOM_RH = 0.55;
    static final double ROOM_W = Psychrometrics.humidityRatio(ROOM_C, ROOM_RH, PRESSURE_KPA);
    static final double ROOM_VOLUME = Psychrometrics.volumeM3PerKg(ROOM_C, ROOM_W, PRESSURE_KPA);

    final Random random;
    final double airflowFactor;
    final double humidityBias;
    double scaleZeroKg;
    double airHumidity = ROOM_W;
    double sensedHumidity = ROOM_W;
    double airC = ROOM_C;
    boolean humidityFitted = true;
    boolean scaleFitted = true;
    double humidityNoise = 0.003;
    double scaleNoiseKg = 0.003;

    TestPlant(long seed, LeafParameters prior) {
        random = new Random(seed);
        airflowFactor = Math.exp(prior.airflowSd() * random.nextGaussian());
        humidityBias = prior.humidityBiasSd() * random.nextGaussian();
        scaleZeroKg = prior.scaleZeroSdKg() * random.nextGaussian();
    }

    abstract double waterKg();

    abstract double dryKg();

    abstract double wettestDryBasis();

    abstract double leafC();

    abstract void leaf(double fanShare, double elapsedS);

    abstract double evaporationKgPerS();

    abstract void roll(double dryLoss, double waterLoss);

    double moisture() {
        return MoistureBasis.wetBasis(waterKg() / dryKg());
    }

    double massKg() {
        return waterKg() + dryKg();
    }

    /** One second with the air held at a setpoint; what the sensors say after it. */
    OvenAir second(double setpointC, double freshM3PerH, boolean doorOpen) {
        airC += (doorOpen ? 0.02 : 0.01) * ((doorOpen ? 40 : setpointC) - airC);
        leaf(1.0, 1.0);
        double fresh = (freshM3PerH * airflowFactor + (doorOpen ? 150 : 0)) / 3600 / ROOM_VOLUME;
        double airKg = 0.5 / ROOM_VOLUME;
        double kept = Math.exp(-fresh / airKg);
        double settled = ROOM_W + evaporationKgPerS() / fresh;
        airHumidity = settled + kept * (airHumidity - settled);
        sensedHumidity += (1 - Math.exp(-1.0 / 15)) * (airHumidity - sensedHumidity);
        double exhaustC = Math.max(airC - 6, ROOM_C);
        double vapour = PRESSURE_KPA * sensedHumidity / (0.621945 + sensedHumidity);
        double rh =
                vapour / Psychrometrics.saturationPressureKPa(exhaustC)
                        + humidityBias
                        + humidityNoise * random.nextGaussian();
        double scale =
                scaleFitted
                        ? massKg() + scaleZeroKg + scaleNoiseKg * random.nextGaussian() + 2.5
                        : Double.NaN;
        return new OvenAir(
                airC,
                exhaustC,
                humidityFitted ? Math.clamp(rh, 0.0, 1.0) : Double.NaN,
                ROOM_C,
                ROOM_RH,
                PRESSURE_KPA,
                freshM3PerH,
                1.0,
                doorOpen,
                scale,
                2.5);
    }

    /** Shares the filter's structure exactly; parameters drawn from its priors. */
    static final class Matched extends TestPlant {
        private final DryingModel model;
        final double[] x = new double[DryingModel.STATES];
        private final LeafParameters leaf;
        private final double layerKg;

        Matched(long seed, LeafParameters prior, double massKg, double moisture) {
            super(seed, prior);
            leaf = prior;
            // white noise that carries as much as the filter takes a second's reading for
            humidityNoise =
                    prior.humidityNoiseSd() * Math.sqrt(MoistureFilter.HUMIDITY_CORRELATION_S);
            scaleNoiseKg = prior.scaleNoiseSdKg() * Math.sqrt(MoistureFilter.SCALE_CORRELATION_S);
            layerKg = massKg * 0.2; // as the filter is told
            model = new DryingModel(prior);
            x[DryingModel.DRY] = massKg * (1 - moisture);
            double stem =
                    prior.stemShare() * massKg * moisture * (1 + 0.05 * random.nextGaussian());
            x[DryingModel.STEM] = stem;
            x[DryingModel.BLADE] = massKg * moisture - stem;
            x[DryingModel.RATE] =
                    Math.log(prior.rateFactor()) + prior.rateSd() * random.nextGaussian();
            x[DryingModel.TRANSFER] =
                    Math.log(prior.transferFactor()) + prior.transferSd() * random.nextGaussian();
        }

        @Override
        double waterKg() {
            return x[DryingModel.BLADE] + x[DryingModel.STEM];
        }

        @Override
        double dryKg() {
            return x[DryingModel.DRY];
        }

        @Override
        double wettestDryBasis() {
            return x[DryingModel.STEM] / (leaf.stemShare() * dryKg());
        }

        @Override
        double leafC() {
            return model.leafC;
        }

        @Override
        double evaporationKgPerS() {
            return model.evaporationKgPerS();
        }

        @Override
        void leaf(double fanShare, double elapsedS) {
            x[DryingModel.AIR] = airHumidity;
            model.air(airC, PRESSURE_KPA, fanShare, layerKg);
            model.at(x, false);
            model.ageEvened(model.evaporationKgPerS() * elapsedS / waterKg());
            x[DryingModel.BLADE] -= model.bladeKgPerS * elapsedS;
            x[DryingModel.STEM] -= model.stemKgPerS * elapsedS;
        }

        @Override
        void roll(double dryLoss, double waterLoss) {
            x[DryingModel.DRY] *= 1 - dryLoss;
            x[DryingModel.BLADE] *= 1 - waterLoss;
            x[DryingModel.STEM] *= 1 - waterLoss;
            model.evened(DryingModel.KNEADED_LN, 1.0);
        }
    }

    /**
     * Blade and stem as slabs in which water diffuses, with a surface film and leaf heat: does not
     * share the filter's structure. Explicit finite volumes; the diffusivity runs between the
     * published ends for dry and fresh leaf (rows DRY022, DRY027), the film's strength and
     * thicknesses are invented.
     */
    static final class Diffusing extends TestPlant {
        private static final int CELLS = 10;
        private final double[] blade = new double[CELLS];
        private final double[] stem = new double[CELLS];
        private final double stemShare;
        private final double bladeHalfM;
        private final double stemHalfM;
        private final double filmPerS;
        private final double diffusivityFactor;
        private final double isothermShift;
        private final double wetM2PerS;
        private double dryKg;
        private double temperatureC = ROOM_C;
        private double evaporation;

        Diffusing(long seed, LeafParameters prior, double massKg, double moisture) {
            super(seed, prior);
            dryKg = massKg * (1 - moisture);
            java.util.Arrays.fill(blade, moisture / (1 - moisture));
            java.util.Arrays.fill(stem, moisture / (1 - moisture));
            stemShare = 0.16 + 0.03 * random.nextGaussian();
            diffusivityFactor = Math.exp(0.25 * random.nextGaussian());
            bladeHalfM = 2.2e-4 * Math.exp(0.1 * random.nextGaussian());
            stemHalfM = 3.1e-4 * Math.exp(0.1 * random.nextGaussian());
            filmPerS = 0.025 * Math.exp(0.15 * random.nextGaussian());
            wetM2PerS = 1.0e-10 * Math.exp(0.4 * random.nextGaussian());
            isothermShift = 0.10 * random.nextGaussian();
        }

        @Override
        double waterKg() {
            return dryKg * ((1 - stemShare) * mean(blade) + stemShare * mean(stem));
        }

        @Override
        double dryKg() {
            return dryKg;
        }

        @Override
        double wettestDryBasis() {
            return mean(stem);
        }

        @Override
        double leafC() {
            return temperatureC;
        }

        @Override
        double evaporationKgPerS() {
            return evaporation;
        }

        private static double mean(double[] cells) {
            double sum = 0;
            for (double cell : cells) {
                sum += cell;
            }
            return sum / cells.length;
        }

        @Override
        void leaf(double fanShare, double elapsedS) {
            double before = waterKg();
            int parts = 5;
            for (int i = 0; i < parts; i++) {
                double step = elapsedS / parts;
                double arrhenius =
                        Math.exp(-27.0e3 / 8.314 * (1 / (temperatureC + 273.15) - 1 / 353.15));
                double lost =
                        (1 - stemShare) * slab(blade, bladeHalfM, arrhenius, step)
                                + stemShare * slab(stem, stemHalfM, arrhenius, step);
                double capacity = 1_500 + 4_190 * (waterKg() / dryKg);
                // film of heat and of vapour alike (Lewis number one)
                double heat = filmPerS * 1_020 * (airC - temperatureC) - lost * 2.40e6;
                temperatureC += step * heat / capacity;
            }
            evaporation = (before - waterKg()) / elapsedS;
        }

        private double slab(double[] cells, double half, double arrhenius, double step) {
            double width = half / CELLS;
            double inner = 0;
            double surface = cells[CELLS - 1];
            for (int i = 0; i < CELLS; i++) {
                double outer = 0;
                if (i + 1 < CELLS) {
                    double x = 0.5 * (cells[i] + cells[i + 1]);
                    double d = diffusivityFactor * (1.14e-11 + wetM2PerS * x) / (1 + x) * arrhenius;
                    outer = d * (cells[i] - cells[i + 1]) / (width * width);
                } else {
                    double activity =
                            Math.exp(
                                    -Math.exp(3.38 + isothermShift - 0.02 * temperatureC)
                                            * Math.pow(100 * Math.max(surface, 1e-4), -1.81));
                    double saturation = Psychrometrics.saturationPressureKPa(temperatureC);
                    double vapour = Math.min(activity * saturation, 0.9 * PRESSURE_KPA);
                    double atLeaf = 0.621945 * vapour / (PRESSURE_KPA - vapour);
                    outer = filmPerS * (atLeaf - airHumidity) * CELLS;
                }
                double change = inner - outer;
                inner = outer;
                cells[i] += step * change;
            }
            return inner / CELLS;
        }

        @Override
        void roll(double dryLoss, double waterLoss) {
            dryKg *= 1 - dryLoss;
            double b = mean(blade);
            double s = mean(stem);
            for (int i = 0; i < CELLS; i++) {
                blade[i] = (blade[i] + 0.8 * (b - blade[i])) * (1 - waterLoss) / (1 - dryLoss);
                stem[i] = (stem[i] + 0.8 * (s - stem[i])) * (1 - waterLoss) / (1 - dryLoss);
            }
        }
    }
}
