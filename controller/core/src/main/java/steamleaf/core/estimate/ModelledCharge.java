package steamleaf.core.estimate;

import static steamleaf.core.estimate.DryingModel.AIR;
import static steamleaf.core.estimate.DryingModel.AIRFLOW;
import static steamleaf.core.estimate.DryingModel.BIAS;
import static steamleaf.core.estimate.DryingModel.BLADE;
import static steamleaf.core.estimate.DryingModel.DRY;
import static steamleaf.core.estimate.DryingModel.RATE;
import static steamleaf.core.estimate.DryingModel.REST;
import static steamleaf.core.estimate.DryingModel.STEM;
import static steamleaf.core.estimate.DryingModel.TRANSFER;
import static steamleaf.core.estimate.DryingModel.ZERO;

import steamleaf.core.science.Psychrometrics;

/**
 * A charge that behaves exactly as {@link MoistureFilter} believes charges to behave: the filter's
 * model and its doubts read as a process that can be drawn.
 *
 * <pre>
 *   x' = f(x, w),   w independent, normal, mean 0, deviation 1
 * </pre>
 *
 * With w = 0 a call moves the state as the filter moves its mean; to first order, the covariance of
 * f over x and w is the filter's. A study draws plants from it and differentiates it for the
 * Cramér–Rao bound. It draws nothing itself: w is handed in.
 *
 * <p>The state is the filter's without the copy for an open hand sample: {@link #STATES} numbers,
 * an array of the caller's, changed in place. Held inside nothing: drawn plants may lie anywhere in
 * the prior.
 */
public final class ModelledCharge {
    public static final int STATES = DryingModel.TAKEN;

    /** How many w each call takes. */
    public static final int LOAD_NOISES = 10;

    public static final int STEP_NOISES = 8;
    public static final int ROLL_NOISES = 5;
    public static final int TURN_NOISES = 1;
    public static final int REST_NOISES = 1;

    private static final double STEMS_SD = 0.05;
    private static final double AIR_SD = 0.003;
    private static final double ROLL_TRANSFER_SD = 0.10;
    private static final double TURN_TRANSFER_SD = 0.05;
    private static final double EVENING_SD = 0.3;
    private static final double AIR_SHARE = 0.2;

    private final LeafParameters leaf;
    private final DryingModel model;
    private double layerKg = 1.0;
    private double lastEfolds;

    /** Until leaf or air that is cold has warmed up, as the filter counts it. */
    private double settlingS;

    private double settlesInS;

    public ModelledCharge(LeafParameters leaf) {
        this.leaf = leaf;
        this.model = new DryingModel(leaf);
    }

    /**
     * Leaf put in, as {@link MoistureFilter#load} is told of it.
     *
     * @param roomW humidity ratio of the air in the oven then
     * @param w mass, moisture, stems against blade, rate, airflow, transfer, humidity offset, air,
     *     zero of the scale, isotherm
     */
    public void load(
            double[] x,
            double massKg,
            double massSdKg,
            double moisture,
            double moistureSd,
            double roomW,
            double[] w) {
        layerKg = massKg * (1.0 - moisture);
        model.evenedLn = 0.0;
        settlingS = MoistureFilter.AFTER_LOAD_S;
        double mass = massKg + massSdKg * w[0];
        double wet = moisture + moistureSd * w[1];
        double across = STEMS_SD * massKg * moisture * leaf.stemShare() * w[2];
        x[DRY] = mass * (1.0 - wet);
        x[BLADE] = mass * wet * (1.0 - leaf.stemShare()) - across;
        x[STEM] = mass * wet * leaf.stemShare() + across;
        x[RATE] = Math.log(leaf.rateFactor()) + leaf.rateSd() * w[3];
        x[AIRFLOW] = Math.log(leaf.airflowFactor()) + leaf.airflowSd() * w[4];
        x[TRANSFER] = Math.log(leaf.transferFactor()) + leaf.transferSd() * w[5];
        x[BIAS] = leaf.humidityBias() + leaf.humidityBiasSd() * w[6];
        x[AIR] = roomW + AIR_SD * w[7];
        x[ZERO] = leaf.scaleZeroSdKg() * w[8];
        x[REST] = leaf.restSd() * w[9];
    }

    /**
     * A step of time in this air; its measurements are not looked at.
     *
     * @param air what is before the trays and in the room; all of it good
     * @param beforeM3PerH nominal exchange in the step before, NaN if there was none
     * @param w evaporation, air, rate, airflow, airflow because the damper moved, transfer,
     *     humidity offset, zero of the scale
     */
    public void step(double[] x, OvenAir air, double beforeM3PerH, double elapsedS, double[] w) {
        double pressureKPa = air.pressureKPa();
        double roomW = Psychrometrics.humidityRatio(air.roomC(), air.roomRh(), pressureKPa);
        double roomVolume = Psychrometrics.volumeM3PerKg(air.roomC(), roomW, pressureKPa);
        double nominal = Math.max(air.freshAirM3PerH(), MoistureFilter.LEAST_FRESH_M3_PER_H);
        LeafParameters.Drift drift = leaf.drift();
        double hours = elapsedS / 3_600.0;

        if (!Double.isNaN(beforeM3PerH)) {
            double before = Math.max(beforeM3PerH, MoistureFilter.LEAST_FRESH_M3_PER_H);
            double moved = Math.abs(Math.log(nominal) - Math.log(before));
            x[AIRFLOW] += drift.airflowPerChange() * Math.sqrt(moved) * w[4];
        }
        model.air(air.airC(), pressureKPa, air.fanShare(), layerKg);
        model.at(x, false);
        double blade = model.bladeKgPerS;
        double stem = model.stemKgPerS;

        double door = air.doorOpen() ? MoistureFilter.DOOR_M3_PER_H : 0.0;
        double fresh =
                (nominal + door)
                        * MoistureFilter.KG_PER_S_PER_M3_PER_H
                        / roomVolume
                        * Math.exp(x[AIRFLOW]);
        double tau = leaf.airVolumeM3() / roomVolume / fresh + leaf.sensorLagS();
        double airChange = -Math.expm1(-elapsedS / tau) * (roomW + (blade + stem) / fresh - x[AIR]);

        double parameter = leaf.rateComesBackToLn((x[BLADE] + x[STEM]) / x[DRY]);
        double efolds = Math.abs(blade + stem) * elapsedS / Math.max(x[BLADE] + x[STEM], 1e-6);
        lastEfolds = efolds;
        double kept = Math.exp(-efolds / drift.rateMemoryEfolds());
        double faded = drift.rateSd() * Math.sqrt(1.0 - kept * kept);
        double rateSd = Math.hypot(faded, drift.ratePerRootH() * Math.sqrt(hours));

        double settledS =
                air.doorOpen()
                        ? Math.max(settlingS, MoistureFilter.AFTER_DOOR_S)
                        : Math.max(0.0, settlingS - elapsedS);
        settlesInS = air.onBench() ? MoistureFilter.AFTER_RETURN_S : settledS;

        double minutes = elapsedS / MoistureFilter.EVAPORATION_CORRELATION_S;
        double doubt =
                air.onBench()
                        ? drift.benchEvaporation() * MoistureFilter.BENCH_LASTS
                        : settledS > 0.0
                                ? MoistureFilter.COLD_DOUBT * drift.evaporation()
                                : drift.evaporation();
        double doubtS =
                doubt * MoistureFilter.EVAPORATION_CORRELATION_S * Math.sqrt(minutes) * w[0];
        double aboveRoom = x[AIR] + airChange - roomW;
        x[BLADE] -= blade * (elapsedS + doubtS);
        x[STEM] -= stem * (elapsedS + doubtS);
        x[AIR] += airChange + doubt * AIR_SHARE * aboveRoom * Math.sqrt(minutes) * w[1];
        x[RATE] = parameter + kept * (x[RATE] - parameter) + rateSd * w[2];
        double rootH = Math.sqrt(hours);
        x[AIRFLOW] += drift.airflowPerRootH() * rootH * w[3];
        x[TRANSFER] += drift.transferPerRootH() * rootH * w[5];
        x[BIAS] += drift.biasPerRootH() * rootH * w[6];
        x[ZERO] += drift.scaleKgPerRootH() * rootH * w[7];
    }

    /**
     * The last {@link #step} was what happened, not a trial: what work evened wears off with it.
     */
    public void stepped() {
        settlingS = settlesInS;
        model.ageEvened(lastEfolds);
    }

    /** Leaf comes out of the oven and lies in the room's air. */
    public void takeOut(double[] x, double roomW) {
        x[AIR] = roomW;
    }

    /**
     * Rolled or shaped, as {@link MoistureFilter#rolled}.
     *
     * @param w dry mass lost, water lost, stems against blade, rate, transfer
     */
    public void roll(
            double[] x,
            double dryLoss,
            double dryLossSd,
            double waterLoss,
            double waterLossSd,
            double evening,
            double[] w) {
        x[DRY] *= 1.0 - dryLoss + dryLossSd * w[0];
        double left = 1.0 - waterLoss + waterLossSd * w[1];
        x[BLADE] *= left;
        x[STEM] *= left;
        even(x, evening, w[2]);
        x[RATE] += MoistureFilter.KNEADED_RATE_SD * w[3];
        x[TRANSFER] += ROLL_TRANSFER_SD * w[4];
    }

    /** Rolled or shaped, and not a trial: moisture inside the leaf is even. */
    public void kneaded() {
        settlingS = Math.max(settlingS, MoistureFilter.AFTER_RETURN_S);
        model.evened(DryingModel.KNEADED_LN, 1.0);
    }

    /** Rested, and not a trial. */
    public void rested(double elapsedS) {
        model.evened(DryingModel.RESTED_LN, share(elapsedS));
    }

    private static double share(double restedS) {
        return -Math.expm1(-restedS / MoistureFilter.EVENING_S);
    }

    /**
     * Trays turned and swapped.
     *
     * @param w transfer
     */
    public void turn(double[] x, double[] w) {
        settlingS = Math.max(settlingS, MoistureFilter.AFTER_DOOR_S);
        x[TRANSFER] += TURN_TRANSFER_SD * w[0];
    }

    /**
     * Rested out of the air.
     *
     * @param w stems against blade
     */
    public void rest(double[] x, double elapsedS, double[] w) {
        even(x, share(elapsedS), w[0]);
    }

    private void even(double[] x, double share, double w) {
        double gained = share * (leaf.stemShare() * (x[BLADE] + x[STEM]) - x[STEM]);
        double moved = gained + EVENING_SD * Math.abs(gained) * w;
        x[STEM] += moved;
        x[BLADE] -= moved;
    }

    // ---- what can be known of it
    // --------------------------------------------------------------------------------------------

    /** Mean moisture, wet basis. */
    public static double moisture(double[] x) {
        double water = x[BLADE] + x[STEM];
        return water / (water + x[DRY]);
    }

    /** Water and dry mass, kg. */
    public static double massKg(double[] x) {
        return x[BLADE] + x[STEM] + x[DRY];
    }

    /** What the tray scale shows, tare taken off, without its noise, kg. */
    public static double scaleKg(double[] x) {
        return massKg(x) + x[ZERO];
    }

    /** What the exhaust's humidity sensor shows, without its noise, 0 to 1. */
    public static double exhaustRh(double[] x, double exhaustC, double pressureKPa) {
        return Psychrometrics.vapourPressureKPa(x[AIR], pressureKPa)
                        / Psychrometrics.saturationPressureKPa(exhaustC)
                + x[BIAS];
    }

    /** Deviation of independent readings that carry as much as the filter takes them for. */
    public double exhaustRhSd(double elapsedS) {
        return leaf.humidityNoiseSd()
                * Math.sqrt(Math.max(1.0, MoistureFilter.HUMIDITY_CORRELATION_S / elapsedS));
    }

    /** The same of the tray scale, kg. */
    public double scaleSdKg(double elapsedS) {
        return leaf.scaleNoiseSdKg()
                * Math.sqrt(Math.max(1.0, MoistureFilter.SCALE_CORRELATION_S / elapsedS));
    }
}
