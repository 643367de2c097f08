package steamleaf.core.estimate;

/**
 * A batch by the stock recipe's stages with filter and plant side by side: the filter decides, the
 * plant is the truth.
 */
final class TestBatch {
    /** What helps the filter. */
    record Help(boolean humidity, boolean scale, boolean reweigh, boolean sample) {}

    record Outcome(
            double truth,
            double estimate,
            double sd,
            double seconds,
            double wettestTruth,
            double wettest,
            double wettestSd) {
        double error() {
            return estimate - truth;
        }

        double squaredNormalisedError() {
            return error() * error() / (sd * sd);
        }
    }

    private static final double END = 0.055;
    private static final double[][] STAGES = {
        // air °C, fresh m³/h, until moisture w.b.
        {75, 200, 0.50}, {70, 150, 0.25}, {60, 120, 0.13}, {75, 60, END}
    };

    private TestBatch() {}

    static Outcome run(
            TestPlant plant,
            MoistureFilter filter,
            Help help,
            double loadedKg,
            double moisture,
            double moistureSd) {
        plant.humidityFitted = help.humidity();
        plant.scaleFitted = help.scale();
        filter.load(loadedKg, 0.01, moisture, moistureSd);
        double seconds = 0;
        boolean sampled = false;
        double sampleDueS = Double.NaN;
        double sampled0 = Double.NaN;
        for (double[] stage : STAGES) {
            int inStage = 0;
            while ((filter.moisture() > stage[2] || seconds < sampleDueS) && inStage < 5 * 3600) {
                boolean door = inStage % 900 < 20 && inStage > 900;
                filter.step(plant.second(stage[0], stage[1], door), 1.0);
                inStage++;
                seconds++;
                if (help.sample() && !sampled && stage[2] == END && filter.moisture() < 0.10) {
                    filter.sampleTaken();
                    sampled0 = plant.moisture() + 0.005 * plant.random.nextGaussian();
                    sampleDueS = seconds + 300;
                    sampled = true;
                }
                if (seconds == sampleDueS) {
                    filter.sampleValue(sampled0, 0.005);
                }
            }
            if (stage[2] != END) {
                double dryLoss = 0.02 + 0.01 * Math.clamp(plant.random.nextGaussian(), -2, 2);
                double waterLoss = Math.max(0, 0.015 + 0.01 * plant.random.nextGaussian());
                plant.roll(dryLoss, waterLoss);
                filter.rolled(0.02, 0.01, 0.015, 0.01, 0.0);
                if (help.reweigh()) {
                    filter.weighIn(plant.massKg() + 0.005 * plant.random.nextGaussian(), 0.005);
                }
            }
        }
        MoistureEstimate end = filter.estimate();
        return new Outcome(
                plant.moisture(),
                end.mean(),
                end.sd(),
                seconds,
                plant.wettestDryBasis() / (1 + plant.wettestDryBasis()),
                end.wettest(),
                end.wettestSd());
    }
}
