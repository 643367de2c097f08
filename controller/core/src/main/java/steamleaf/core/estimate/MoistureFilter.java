package steamleaf.core.estimate;

import static steamleaf.core.estimate.DryingModel.AIR;
import static steamleaf.core.estimate.DryingModel.AIRFLOW;
import static steamleaf.core.estimate.DryingModel.BIAS;
import static steamleaf.core.estimate.DryingModel.BLADE;
import static steamleaf.core.estimate.DryingModel.DRY;
import static steamleaf.core.estimate.DryingModel.RATE;
import static steamleaf.core.estimate.DryingModel.REST;
import static steamleaf.core.estimate.DryingModel.STATES;
import static steamleaf.core.estimate.DryingModel.STEM;
import static steamleaf.core.estimate.DryingModel.TAKEN;
import static steamleaf.core.estimate.DryingModel.TRANSFER;
import static steamleaf.core.estimate.DryingModel.ZERO;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import steamleaf.core.science.Chlorophyll;
import steamleaf.core.science.Psychrometrics;
import steamleaf.core.science.Range;

/**
 * How wet the leaf is, and how sure that is: an iterated extended Kalman filter over one charge.
 *
 * <p>States: water in blade and in stems (kg), dry mass (kg), ln of the factors on drying rate,
 * airflow and transfer, offset of the exhaust humidity, humidity ratio of the oven's air, zero of
 * the tray scale (kg), ln of the factor on the isotherm's moisture, and the moisture at the moment
 * a hand sample was taken (a copy made then, so that a value entered later is compared with the
 * leaf of then). Water and dry mass instead of a moisture ratio: in moisture ratio the filter grew
 * overconfident.
 *
 * <p>Model: {@link DryingModel} for the leaf, and for the oven's air, taken as mixed,
 *
 * <pre>
 *   da/dt = (Win + E/G − a)/τ,   τ = m_air/G + sensor lag,   G = Gnominal·e^airflow
 * </pre>
 *
 * stepped exactly for held inputs. Covariance: F·P·Fᵀ + Q, measurements one by one in Joseph form,
 * symmetric by construction. {@link #step} and the entries allocate nothing; {@link #estimate}
 * makes one record.
 *
 * <p>The object is the state: {@link #copyTo} and {@link #state} make cycles replayable. It knows
 * no clock. Steps of 1 s are meant; 0.1 to 10 s hold.
 */
public final class MoistureFilter {
    public static final Range CHARGE_KG = new Range("mass of a charge", "kg", 0.05, 200.0);
    public static final Range MOISTURE = new Range("moisture, wet basis", "kg/kg", 0.0, 0.95);

    static final double KG_PER_S_PER_M3_PER_H = 1.0 / 3_600.0;
    static final double LEAST_FRESH_M3_PER_H = 2.0;
    static final double DOOR_M3_PER_H = 150.0;
    private static final double BELIEVABLE_EXCHANGE_M3_PER_H = 4.0;

    /**
     * Until the exhaust speaks of the oven again, s: after a door was open; after leaf that cooled
     * outside came back; after cold, wet leaf was put in, which first warms up. The model has no
     * heat of the leaf. Engineering choice.
     */
    static final double AFTER_DOOR_S = 90.0;

    static final double AFTER_RETURN_S = 300.0;
    static final double AFTER_LOAD_S = 600.0;

    /**
     * Errors of sensors at 1 Hz are not independent: they count as one in this time, s; engineering
     * choice.
     */
    static final double HUMIDITY_CORRELATION_S = 10.0;

    static final double SCALE_CORRELATION_S = 4.0;
    static final double EVAPORATION_CORRELATION_S = 60.0;

    /**
     * So many times as doubtful is the evaporation in that time: leaf that comes in cold, or whose
     * air has cooled, gives next to nothing at first. Without it the tray scale took that for slow
     * air. Engineering choice, set on diffusing test plants.
     */
    static final double COLD_DOUBT = 14.0;

    /** On the bench the doubt of the evaporation lasts half an hour; engineering choice. */
    static final double BENCH_LASTS = Math.sqrt(1_800.0 / EVAPORATION_CORRELATION_S);

    /** Stems give half of their difference to the blade in 40 min of rest; engineering choice. */
    static final double EVENING_S = 3_600.0;

    /** Of ln rate, by which rolled leaf differs from the leaf before; engineering choice. */
    static final double KNEADED_RATE_SD = 0.08;

    /** Squared normalised innovations beyond which a value is not believed. */
    private static final double SENSOR_GATE = 36.0;

    private static final double PERSON_GATE = 12.25;

    /**
     * Squared normalised surprise of a weighing from which the tray scale begins to be doubted, and
     * from which it is taken for drifting: two and four deviations. Engineering choice.
     */
    private static final double SURPRISES = 4.0;

    private static final double DRIFTS = 16.0;

    /** A scale read for less drifts as if it had been read so long, s; engineering choice. */
    private static final double LEAST_DRIFTING_S = 600.0;

    /** A weighing that is off by more, of the charge, is a mistake; engineering choice. */
    private static final double MOST_DRIFT = 0.1;

    /** Moisture, wet basis, near which leaf rests in an oven's hot air. Engineering choice. */
    private static final double HOT_REST = 0.02;

    /** Relative variance of the excess over rest that still widens; engineering choice. */
    private static final double MOST_SKEW = 0.25;

    private static final double WALL = 2.5;

    /**
     * The rate shows fully in the evaporation when that is this far below the air's limit;
     * engineering choice.
     */
    private static final double RATE_SHOWS = 0.1;

    /** A sensor that disagrees this long is let in with a wider offset, s; engineering choice. */
    private static final double DISAGREES_S = 120.0;

    /** How many numbers a kept state has, and had before the isotherm's factor was a state. */
    private static final int NUMBERS = STATES + STATES * (STATES + 1) / 2 + 17;

    private static final int BEFORE_EVENED_NUMBERS = NUMBERS - 1;

    private static final int FORMER_NUMBERS = 10 + 55 + 14;

    private final LeafParameters leaf;
    private final Band band;
    private final DryingModel model;

    private final double[] x = new double[STATES];
    private final double[] p = new double[STATES * STATES];

    // carried with the state
    private boolean loaded;
    private boolean sampleOpen;
    private double lastAirC = Double.NaN;
    private double lastRoomW = Double.NaN;
    private double lastRoomVolume = 0.86;
    private double lastPressureKPa = 101.325;
    private double lastLnFresh = Double.NaN;
    private double settlingS;
    private double humidityRefusedS;
    private double scaleRefusedS;

    /** Since the last weighing the tray scale was read for this long. */
    private double scaleReadS;

    private double scaleDriftKgPerRootH;
    private boolean humidityUsed;
    private boolean scaleUsed;

    /**
     * Dry leaf that the trays were loaded with, as told: what the transfer of the layer is
     * proportional to.
     */
    private double layerKg = 1.0;

    /** Deviation of the dry mass as told, kg. */
    private double toldSdKg = 1.0;

    // scratch
    private final double[] h = new double[STATES];
    private final double[] ph = new double[STATES];
    private final double[] gain = new double[STATES];
    private final double[] rows = new double[3 * STATES];
    private final double[] before = new double[STATES];
    private final double[] aheadX = new double[STATES];
    private final double[] aheadP = new double[STATES * STATES];
    private final double[] moved = new double[3 * STATES];
    private double freshKgPerS;
    private double airChange;
    private double rateGain = 1.0;

    /** Share of the green left, over what {@link #goAhead} has gone since the last copy. */
    private double greenKept = 1.0;

    public MoistureFilter(LeafParameters leaf, Band band) {
        this.leaf = leaf;
        this.band = band;
        this.model = new DryingModel(leaf);
    }

    public LeafParameters leaf() {
        return leaf;
    }

    public boolean isLoaded() {
        return loaded;
    }

    // ---- what is put in, done to the leaf, and taken out
    // ------------------------------------------------------------------------

    /**
     * Leaf put in: forgets the charge before it.
     *
     * @param moisture wet basis
     */
    public Verdict load(double massKg, double massSdKg, double moisture, double moistureSd) {
        boolean known =
                CHARGE_KG.holds(massKg)
                        && MOISTURE.holds(moisture)
                        && massSdKg >= 0.0
                        && moistureSd >= 0.0
                        && moisture < 0.95;
        if (!known) {
            return Verdict.REFUSED;
        }
        Arrays.fill(p, 0.0);
        double dry = massKg * (1.0 - moisture);
        double water = massKg * moisture;
        layerKg = dry;
        x[DRY] = dry;
        x[BLADE] = water * (1.0 - leaf.stemShare());
        x[STEM] = water * leaf.stemShare();
        x[RATE] = Math.log(leaf.rateFactor());
        x[AIRFLOW] = Math.log(leaf.airflowFactor());
        x[TRANSFER] = Math.log(leaf.transferFactor());
        x[BIAS] = leaf.humidityBias();
        x[AIR] = Double.isNaN(lastRoomW) ? 0.01 : lastRoomW;
        x[ZERO] = 0.0;
        x[REST] = 0.0;
        x[TAKEN] = 0.0;
        // dry = m(1 − w), water = m·w: both follow mass and moisture
        double mass2 = massSdKg * massSdKg;
        double moisture2 = moistureSd * moistureSd;
        double dryByMass = 1.0 - moisture;
        set(DRY, DRY, dryByMass * dryByMass * mass2 + massKg * massKg * moisture2);
        double[] share = {1.0 - leaf.stemShare(), leaf.stemShare()};
        for (int i = 0; i < 2; i++) {
            double byMass = share[i] * moisture;
            double byMoisture = share[i] * massKg;
            set(i, DRY, byMass * dryByMass * mass2 - byMoisture * massKg * moisture2);
            for (int j = 0; j <= i; j++) {
                double otherMass = share[j] * moisture;
                double otherMoisture = share[j] * massKg;
                set(i, j, byMass * otherMass * mass2 + byMoisture * otherMoisture * moisture2);
            }
        }
        toldSdKg = Math.sqrt(get(DRY, DRY));
        // stems of fresh leaf carry more or less water than its blade: 5 % of the stems' water,
        // against the blade
        widenAcross(0.05 * x[STEM]);
        set(RATE, RATE, square(leaf.rateSd()));
        set(AIRFLOW, AIRFLOW, square(leaf.airflowSd()));
        set(TRANSFER, TRANSFER, square(leaf.transferSd()));
        set(BIAS, BIAS, square(leaf.humidityBiasSd()));
        set(AIR, AIR, square(0.003));
        set(ZERO, ZERO, square(leaf.scaleZeroSdKg()));
        set(REST, REST, square(leaf.restSd()));
        loaded = true;
        model.evenedLn = 0.0;
        sampleOpen = false;
        settlingS = AFTER_LOAD_S;
        humidityRefusedS = 0.0;
        scaleRefusedS = 0.0;
        scaleReadS = 0.0;
        scaleDriftKgPerRootH = leaf.drift().scaleKgPerRootH();
        humidityUsed = false;
        scaleUsed = false;
        return Verdict.TAKEN;
    }

    /** Taken out for good. */
    public void unload() {
        loaded = false;
        sampleOpen = false;
    }

    /**
     * Rolled or shaped: dry mass and water are lost, blade and stem even out, the broken cells dry
     * at a new rate.
     *
     * @param dryLoss share of the dry mass lost, about 0.02 ± 0.01 for a rolling
     * @param waterLoss share of the water lost
     * @param evening share of the difference between stems and blade that evens out, 0 to 1
     */
    public void rolled(
            double dryLoss,
            double dryLossSd,
            double waterLoss,
            double waterLossSd,
            double evening) {
        scaleBy(DRY, 1.0 - dryLoss, dryLossSd);
        double water = water();
        double shared = 1.0 - waterLoss;
        double blade = x[BLADE] / water;
        scaleBy(BLADE, shared, 0.0);
        scaleBy(STEM, shared, 0.0);
        double lost = square(waterLossSd * water);
        add(BLADE, BLADE, blade * blade * lost);
        add(STEM, STEM, (1.0 - blade) * (1.0 - blade) * lost);
        add(BLADE, STEM, blade * (1.0 - blade) * lost);
        even(evening);
        model.evened(DryingModel.KNEADED_LN, 1.0);
        add(RATE, RATE, square(KNEADED_RATE_SD));
        add(TRANSFER, TRANSFER, square(0.10));
        settle(AFTER_RETURN_S);
        keepInside();
    }

    /** Trays turned and swapped: the transfer is new, the sensors need a moment. */
    public void turned() {
        add(TRANSFER, TRANSFER, square(0.05));
        settle(AFTER_DOOR_S);
    }

    /**
     * Rested out of the air: stems give to the blade, half the difference in about 40 min
     * (engineering choice).
     */
    public void rested(double elapsedS) {
        if (elapsedS > 0.0) {
            double share = -Math.expm1(-elapsedS / EVENING_S);
            even(share);
            model.evened(DryingModel.RESTED_LN, share);
        }
    }

    /**
     * A share of the leaf is taken away, mixed as it is: split to another charge, or used up as a
     * sample.
     */
    public void taken(double share, double shareSd) {
        double left = 1.0 - Math.clamp(share, 0.0, 1.0);
        double total = square(shareSd);
        double w = x[BLADE];
        double s = x[STEM];
        double d = x[DRY];
        scaleBy(BLADE, left, 0.0);
        scaleBy(STEM, left, 0.0);
        scaleBy(DRY, left, 0.0);
        addOuter(w, s, d, total);
        layerKg *= Math.max(left, 0.01);
        toldSdKg = Math.hypot(toldSdKg * left, shareSd * d);
        keepInside();
    }

    /** Another portion is mixed in. */
    public Verdict merged(double massKg, double massSdKg, double moisture, double moistureSd) {
        boolean known =
                massKg >= 0.0
                        && massKg <= CHARGE_KG.highest()
                        && MOISTURE.holds(moisture)
                        && massSdKg >= 0.0
                        && moistureSd >= 0.0;
        if (!known) {
            return Verdict.REFUSED;
        }
        double stem = leaf.stemShare();
        layerKg += massKg * (1.0 - moisture);
        toldSdKg =
                Math.sqrt(
                        square(toldSdKg)
                                + square((1.0 - moisture) * massSdKg)
                                + square(massKg * moistureSd));
        x[DRY] += massKg * (1.0 - moisture);
        x[BLADE] += massKg * moisture * (1.0 - stem);
        x[STEM] += massKg * moisture * stem;
        addOuter(moisture * (1.0 - stem), moisture * stem, 1.0 - moisture, square(massSdKg));
        addOuter(massKg * (1.0 - stem), massKg * stem, -massKg, square(moistureSd));
        return Verdict.TAKEN;
    }

    /**
     * Time passed that nobody saw, for example a power cut: the leaf may have dried as before for a
     * while, or not at all. Half of that is taken, with the deviation of an even chance. An open
     * hand sample stays open: it is tied to the moment it was taken.
     *
     * @param unseenS length of the gap
     */
    public void gap(double unseenS) {
        if (!loaded || !(unseenS > 0.0)) {
            return;
        }
        double dryingS = Math.min(unseenS, 1_800.0); // a hot box holds its heat for about that long
        useLastAir();
        model.at(x, false);
        double blade =
                possibleLoss(
                        x[BLADE], model.bladeKgPerS * dryingS, (1.0 - leaf.stemShare()) * x[DRY]);
        double stem = possibleLoss(x[STEM], model.stemKgPerS * dryingS, leaf.stemShare() * x[DRY]);
        x[BLADE] -= 0.5 * blade;
        x[STEM] -= 0.5 * stem;
        addOuter(blade, stem, 0.0, 1.0 / 12.0);
        // what the room may have given or taken since
        double rest = 1e-3 * x[DRY] * Math.sqrt(unseenS / 3_600.0) * 5.0;
        addOuter(rest * (1.0 - leaf.stemShare()), rest * leaf.stemShare(), 0.0, 1.0);
        drift(unseenS, p);
        settle(AFTER_RETURN_S);
        keepInside();
    }

    private double possibleLoss(double water, double atThisRate, double dry) {
        double free = Math.max(0.0, water - dry * model.equilibriumKgPerKg);
        return free > 0.0 ? free * -Math.expm1(-Math.max(0.0, atThisRate) / free) : 0.0;
    }

    // ---- what people measure
    // ----------------------------------------------------------------------------------------------------

    /** All the leaf of the charge on a bench scale, trays off. */
    public Verdict weighIn(double massKg, double sdKg) {
        if (!loaded || !CHARGE_KG.holds(massKg) || !(sdKg > 0.0)) {
            return Verdict.REFUSED;
        }
        clearRow();
        h[BLADE] = 1.0;
        h[STEM] = 1.0;
        h[DRY] = 1.0;
        double expected = water() + x[DRY];
        double innovation = massKg - expected;
        if (scaleReadS > 0.0 && Math.abs(innovation) < MOST_DRIFT * expected) {
            doubtScale(innovation, sdKg * sdKg);
        }
        boolean used = update(innovation, sdKg * sdKg, PERSON_GATE);
        scaleReadS = used ? 0.0 : scaleReadS;
        return used ? Verdict.TAKEN : Verdict.QUESTIONED;
    }

    /**
     * The bench scale surprises although the tray scale was read since the last weighing: as likely
     * as lost leaf is a tray scale that drifts. Its zero is as unsure as explains it, and from now
     * on drifts as fast. Row {@link #h} is the weighing's.
     */
    private void doubtScale(double innovation, double noise) {
        double expected = gains(noise);
        double squared = innovation * innovation / expected;
        double doubt = Math.clamp((squared - SURPRISES) / (DRIFTS - SURPRISES), 0.0, 1.0);
        if (doubt > 0.0) {
            double unexplained = doubt * (squared - 1.0) * expected;
            addOuter(x[BLADE], x[STEM], 0.0, unexplained / square(water()));
            double perH = unexplained * 3_600.0 / Math.max(scaleReadS, LEAST_DRIFTING_S);
            scaleDriftKgPerRootH = Math.max(scaleDriftKgPerRootH, Math.sqrt(perH));
            add(ZERO, ZERO, unexplained);
        }
    }

    /**
     * A weigh-in that was questioned and weighed again with the same result: something is lost or
     * added that nobody told of.
     */
    public Verdict weighInConfirmed(double massKg, double sdKg) {
        if (!loaded || !CHARGE_KG.holds(massKg) || !(sdKg > 0.0)) {
            return Verdict.REFUSED;
        }
        double missing = massKg - water() - x[DRY];
        double total = water() + x[DRY];
        addOuter(x[BLADE] / total, x[STEM] / total, x[DRY] / total, missing * missing);
        toldSdKg = Math.hypot(toldSdKg, missing);
        weighIn(massKg, sdKg);
        keepInside();
        return Verdict.TAKEN;
    }

    /**
     * A hand sample is being taken now; its value comes later by {@link #sampleValue}. A new one
     * replaces an open one.
     */
    public void sampleTaken() {
        double total = water() + x[DRY];
        clearRow();
        moistureRow(total);
        x[TAKEN] = water() / total;
        for (int j = 0; j < STATES; j++) {
            double sum = 0.0;
            for (int i = 0; i <= DRY; i++) {
                sum += h[i] * p[i * STATES + j];
            }
            ph[j] = sum;
        }
        double variance = h[BLADE] * ph[BLADE] + h[STEM] * ph[STEM] + h[DRY] * ph[DRY];
        for (int j = 0; j < TAKEN; j++) {
            set(TAKEN, j, ph[j]);
        }
        set(TAKEN, TAKEN, variance);
        sampleOpen = true;
    }

    public boolean hasOpenSample() {
        return sampleOpen;
    }

    /**
     * The value of the open sample, wet basis, with its method's deviation (sampling included).
     * Without an open sample it is taken as of now. A value too far from what is known is
     * questioned and changes nothing; the sample stays open.
     */
    public Verdict sampleValue(double moisture, double sd) {
        if (!loaded || !MOISTURE.holds(moisture) || !(sd > 0.0)) {
            return Verdict.REFUSED;
        }
        if (!sampleOpen) {
            return sampleNow(moisture, sd, PERSON_GATE);
        }
        clearRow();
        h[TAKEN] = 1.0;
        boolean used = update(moisture - x[TAKEN], sd * sd, PERSON_GATE);
        sampleOpen = !used;
        return used ? Verdict.TAKEN : Verdict.QUESTIONED;
    }

    /**
     * A questioned value that a second sample confirmed: the filter was wrong, so its deviation is
     * first widened to the size of the surprise, in what is water and what is dry leaf. Their sum
     * was weighed and stays as sure as it was.
     */
    public Verdict sampleConfirmed(double moisture, double sd) {
        if (!loaded || !MOISTURE.holds(moisture) || !(sd > 0.0)) {
            return Verdict.REFUSED;
        }
        double surprise = moisture * (water() + x[DRY]) - water();
        addOuter(surprise * (1.0 - leaf.stemShare()), surprise * leaf.stemShare(), -surprise, 1.0);
        add(RATE, RATE, square(0.3));
        toldSdKg = Math.hypot(toldSdKg, surprise);
        sampleOpen = false;
        return sampleNow(moisture, sd, Double.POSITIVE_INFINITY);
    }

    /** Iterated update on M = W/(W + d). */
    private Verdict sampleNow(double moisture, double sd, double gate) {
        System.arraycopy(x, 0, before, 0, STATES);
        for (int iteration = 0; iteration < 4; iteration++) {
            double total = water() + x[DRY];
            clearRow();
            moistureRow(total);
            double expected = water() / total;
            for (int i = 0; i <= DRY; i++) {
                expected += h[i] * (before[i] - x[i]);
            }
            double innovation = moisture - expected;
            double s = gains(sd * sd);
            if (iteration == 0 && !(innovation * innovation <= gate * s)) {
                return Verdict.QUESTIONED;
            }
            for (int i = 0; i < STATES; i++) {
                x[i] = before[i] + gain[i] * innovation;
            }
            keepInside();
        }
        joseph(sd * sd);
        return Verdict.TAKEN;
    }

    /** The moisture's derivative to the state into {@link #h}. */
    private void moistureRow(double total) {
        h[BLADE] = x[DRY] / (total * total);
        h[STEM] = h[BLADE];
        h[DRY] = -water() / (total * total);
    }

    // ---- time passes
    // ------------------------------------------------------------------------------------------------------------

    /** One step of time with what was measured in it. Does nothing while nothing is loaded. */
    public void step(OvenAir air, double elapsedS) {
        if (!(elapsedS > 0.0)) {
            throw new IllegalArgumentException("a step takes time; elapsedS = " + elapsedS);
        }
        boolean airGood = inputs(air);
        humidityUsed = false;
        scaleUsed = false;
        if (!loaded) {
            return;
        }
        if (air.doorOpen()) {
            settle(AFTER_DOOR_S);
        } else {
            settlingS = Math.max(0.0, settlingS - elapsedS);
        }
        damperMoved(air);
        predict(elapsedS, evaporationDoubt(air.onBench(), airGood));
        // While the air sets the pace, evaporation says that the leaf's rate is high enough, not
        // how high. The linear update would take it for
        // knowledge, and it did in trials; so the rate learns only as far as it shows (partial
        // update, Joseph form holds for any gain).
        rateGain = Math.clamp((1.0 - model.shareOfLimit) / RATE_SHOWS, 0.0, 1.0);
        if (settlingS == 0.0 && roomGood(air)) {
            humidity(air, elapsedS);
        }
        if (!air.doorOpen()) {
            scale(air, elapsedS);
        }
        rateGain = 1.0;
        wall(RATE, Math.log(leaf.rateFactor()), Math.hypot(leaf.rateSd(), leaf.drift().rateSd()));
        wall(TRANSFER, Math.log(leaf.transferFactor()), Math.max(leaf.transferSd(), 0.3));
        wall(DRY, layerKg, Math.max(toldSdKg, 0.02 * layerKg));
        keepInside();
    }

    /**
     * A factor that left two of its deviations is set back to there, and what is tied to it moves
     * along as after a measurement; the covariance stays as wide as it is. Without it the product
     * of rate and water runs away: a rate near zero can no longer be told from dry leaf.
     */
    private void wall(int i, double centre, double sd) {
        double away = x[i] - centre;
        double most = WALL * sd;
        double variance = get(i, i);
        if (Math.abs(away) > most && variance > 0.0) {
            double back = (Math.copySign(most, away) - away) / variance;
            for (int j = 0; j < STATES; j++) {
                ph[j] = get(j, i) * back;
            }
            for (int j = 0; j < STATES; j++) {
                x[j] += ph[j];
            }
        }
    }

    /**
     * Leaf out of the oven, open on the bench: it dries or takes up water towards the room's air.
     */
    public void onBench(double roomC, double roomRh, double pressureKPa, double elapsedS) {
        double airC = Double.isFinite(roomC) ? roomC : 25.0;
        OvenAir air = OvenAir.bench(airC, roomRh, pressureKPa);
        lastLnFresh = Double.NaN;
        x[AIR] = Double.isNaN(lastRoomW) ? x[AIR] : lastRoomW;
        for (double left = elapsedS; left > 0.0; left -= 5.0) {
            step(air, Math.min(5.0, left));
        }
        lastLnFresh = Double.NaN;
        settle(AFTER_RETURN_S);
    }

    /**
     * As {@link #onBench}, in leaps: for a copy that looks ahead, never for the filter of the leaf
     * itself.
     */
    public void benchAhead(double roomC, double roomRh, double pressureKPa, double elapsedS) {
        double airC = Double.isFinite(roomC) ? roomC : 25.0;
        x[AIR] = Double.isNaN(lastRoomW) ? x[AIR] : lastRoomW;
        inputs(OvenAir.bench(airC, roomRh, pressureKPa));
        double doubt = evaporationDoubt(true, true);
        double stepS = 5.0;
        double left = loaded ? elapsedS : 0.0;
        while (left > 0.0) {
            stepS = Math.min(stepS, left);
            leap(x, p, stepS, doubt);
            greenKept =
                    Chlorophyll.indexAfter(greenKept, Math.clamp(model.leafC, 0.0, 125.0), stepS);
            keepInside();
            left -= stepS;
            stepS = leapS(x);
        }
        lastLnFresh = Double.NaN;
        settle(AFTER_RETURN_S);
    }

    private void settle(double atLeastS) {
        settlingS = Math.max(settlingS, atLeastS);
    }

    private static boolean roomGood(OvenAir air) {
        return Double.isFinite(air.roomC()) && Double.isFinite(air.roomRh());
    }

    /**
     * Takes over good inputs, keeps the last good one of each bad one. True if the air's
     * temperature was good.
     */
    private boolean inputs(OvenAir air) {
        if (Psychrometrics.PRESSURE_KPA.holds(air.pressureKPa())) {
            lastPressureKPa = air.pressureKPa();
        }
        if (roomGood(air)) {
            double roomC = Math.clamp(air.roomC(), 0.0, 60.0);
            double rh = Math.clamp(air.roomRh(), 0.0, 1.0);
            double w = Psychrometrics.humidityRatio(roomC, rh, lastPressureKPa);
            if (Double.isFinite(w)) {
                lastRoomW = w;
                lastRoomVolume = Psychrometrics.volumeM3PerKg(roomC, w, lastPressureKPa);
            }
        }
        if (Double.isNaN(lastRoomW)) {
            lastRoomW = 0.01;
        }
        boolean airGood = Double.isFinite(air.airC());
        if (airGood) {
            lastAirC = Math.clamp(air.airC(), 0.0, 119.0);
        } else if (Double.isNaN(lastAirC)) {
            lastAirC = Double.isFinite(air.roomC()) ? Math.clamp(air.roomC(), 0.0, 60.0) : 25.0;
        }
        double fan = Double.isFinite(air.fanShare()) ? Math.clamp(air.fanShare(), 0.0, 1.5) : 0.0;
        model.air(lastAirC, lastPressureKPa, fan, layerKg);
        double exchange =
                Double.isFinite(air.freshAirM3PerH()) ? Math.max(air.freshAirM3PerH(), 0.0) : 0.0;
        double fresh =
                Math.max(exchange, LEAST_FRESH_M3_PER_H) + (air.doorOpen() ? DOOR_M3_PER_H : 0.0);
        freshKgPerS = fresh * KG_PER_S_PER_M3_PER_H / lastRoomVolume;
        return airGood;
    }

    private void useLastAir() {
        if (Double.isNaN(lastAirC)) {
            lastAirC = 25.0;
        }
        model.air(lastAirC, lastPressureKPa, 1.0, layerKg);
    }

    /** A damper that moves takes part of what was learned of the airflow with it. */
    private void damperMoved(OvenAir air) {
        double exchange =
                Double.isFinite(air.freshAirM3PerH()) ? Math.max(air.freshAirM3PerH(), 0.0) : 0.0;
        double lnFresh = Math.log(Math.max(exchange, LEAST_FRESH_M3_PER_H));
        if (!Double.isNaN(lastLnFresh)) {
            double change = Math.abs(lnFresh - lastLnFresh);
            if (change > 0.0) {
                add(AIRFLOW, AIRFLOW, square(leaf.drift().airflowPerChange()) * change);
            }
        }
        lastLnFresh = lnFresh;
    }

    /** State and covariance {@code elapsedS} later. {@link #inputs} stands. */
    private void predict(double elapsedS, double doubt) {
        model.at(x, true);
        transition(x, elapsedS, 1.0);
        propagate(p);
        spread(x, p, elapsedS, doubt);
        x[BLADE] -= model.bladeKgPerS * elapsedS;
        x[STEM] -= model.stemKgPerS * elapsedS;
        x[AIR] += airChange;
    }

    /**
     * Doubt of the evaporation as if it lasted {@link #EVAPORATION_CORRELATION_S}: in an oven, in
     * one whose leaf or air is cold yet or whose air's temperature is not known, and on the bench,
     * where it lasts half an hour.
     */
    private double evaporationDoubt(boolean onBench, boolean airGood) {
        LeafParameters.Drift drift = leaf.drift();
        return onBench
                ? drift.benchEvaporation() * BENCH_LASTS
                : settlingS > 0.0
                        ? COLD_DOUBT * drift.evaporation()
                        : airGood ? drift.evaporation() : 6.0 * drift.evaporation();
    }

    /**
     * The model's own error in a step: of the evaporation, and of the beliefs behind it.
     *
     * @param doubt of the evaporation, relative
     */
    private void spread(double[] state, double[] covariance, double elapsedS, double doubt) {
        double perStep = square(doubt) * EVAPORATION_CORRELATION_S * elapsedS;
        addTo(covariance, BLADE, BLADE, square(model.bladeKgPerS) * perStep);
        addTo(covariance, STEM, STEM, square(model.stemKgPerS) * perStep);
        addTo(covariance, BLADE, STEM, model.bladeKgPerS * model.stemKgPerS * perStep);
        double aboveRoom = state[AIR] + airChange - lastRoomW;
        addTo(
                covariance,
                AIR,
                AIR,
                square(doubt * 0.2 * aboveRoom) * elapsedS / EVAPORATION_CORRELATION_S);
        double water = state[BLADE] + state[STEM];
        double efolds = Math.abs(model.evaporationKgPerS()) * elapsedS / Math.max(water, 1e-6);
        fade(state, covariance, efolds);
        model.ageEvened(efolds);
        drift(elapsedS, covariance);
    }

    /**
     * State and covariance a long step later, for looking ahead: Heun's method for the water; the
     * oven's air, which follows in seconds, implicit in itself so that no exchange is too small for
     * the step.
     */
    private void leap(double[] state, double[] covariance, double elapsedS) {
        leap(state, covariance, elapsedS, leaf.drift().evaporation());
    }

    private void leap(double[] state, double[] covariance, double elapsedS, double doubt) {
        model.at(state, true);
        double fresh = freshKgPerS * Math.exp(state[AIRFLOW]);
        double share = -Math.expm1(-elapsedS / airTimeS(fresh));
        double byAir = (model.bladeSlope[AIR] + model.stemSlope[AIR]) / fresh;
        transition(state, elapsedS, 1.0 / (1.0 - share * Math.min(0.0, byAir)));
        propagate(covariance);
        spread(state, covariance, elapsedS, doubt);
        leapMean(state, elapsedS);
    }

    /** The mean alone; the model stands at the step's beginning, {@link #airChange} is known. */
    private void leapMean(double[] state, double elapsedS) {
        double bladeKgPerS = model.bladeKgPerS;
        double stemKgPerS = model.stemKgPerS;
        state[BLADE] = Math.max(state[BLADE] - bladeKgPerS * elapsedS, 0.0);
        state[STEM] = Math.max(state[STEM] - stemKgPerS * elapsedS, 0.0);
        state[AIR] = Math.clamp(state[AIR] + airChange, 1e-4, 1.0);
        model.at(state, false);
        state[BLADE] += 0.5 * (bladeKgPerS - model.bladeKgPerS) * elapsedS;
        state[STEM] += 0.5 * (stemKgPerS - model.stemKgPerS) * elapsedS;
    }

    private double airTimeS(double fresh) {
        return leaf.airVolumeM3() / lastRoomVolume / fresh + leaf.sensorLagS();
    }

    /**
     * What was learned of the rate fades while the leaf changes: towards the parameter, with its
     * deviation.
     */
    private void fade(double[] state, double[] covariance, double efolds) {
        LeafParameters.Drift drift = leaf.drift();
        double kept = Math.exp(-efolds / drift.rateMemoryEfolds());
        if (kept == 1.0) {
            return;
        }
        double parameter = leaf.rateComesBackToLn((state[BLADE] + state[STEM]) / state[DRY]);
        state[RATE] = parameter + kept * (state[RATE] - parameter);
        for (int j = 0; j < STATES; j++) {
            covariance[RATE * STATES + j] *= kept;
        }
        for (int j = 0; j < STATES; j++) {
            covariance[j * STATES + RATE] *= kept;
        }
        addTo(covariance, RATE, RATE, square(drift.rateSd()) * (1.0 - kept * kept));
    }

    /**
     * Rows of F − 1 for blade, stem and air into {@link #rows}; the change of the air itself into
     * {@link #airChange}.
     */
    private void transition(double[] state, double elapsedS, double damped) {
        double fresh = freshKgPerS * Math.exp(state[AIRFLOW]);
        double airKg = leaf.airVolumeM3() / lastRoomVolume;
        double tau = airTimeS(fresh);
        double kept = Math.exp(-elapsedS / tau);
        double share = damped * (1.0 - kept);
        double toGo = lastRoomW + model.evaporationKgPerS() / fresh - state[AIR];
        for (int j = 0; j < STATES; j++) {
            rows[j] = -elapsedS * model.bladeSlope[j];
            rows[STATES + j] = -elapsedS * model.stemSlope[j];
            rows[2 * STATES + j] = share / fresh * (model.bladeSlope[j] + model.stemSlope[j]);
        }
        rows[2 * STATES + AIR] -= share;
        double shareByFlow = damped * kept * elapsedS / (tau * tau) * airKg / fresh;
        rows[2 * STATES + AIRFLOW] +=
                shareByFlow * toGo - share * model.evaporationKgPerS() / fresh;
        airChange = share * toGo;
    }

    /** P ← F·P·Fᵀ with F = 1 but for the three rows. */
    private void propagate(double[] covariance) {
        for (int r = 0; r < 3; r++) {
            for (int j = 0; j < STATES; j++) {
                double sum = 0.0;
                for (int k = 0; k < STATES; k++) {
                    sum += rows[r * STATES + k] * covariance[k * STATES + j];
                }
                moved[r * STATES + j] = sum;
            }
        }
        // A·P·Aᵀ among the three rows, from A·P
        double bb = dot(0, 0);
        double bs = dot(0, 1);
        double ba = dot(0, 2);
        double ss = dot(1, 1);
        double sa = dot(1, 2);
        double aa = dot(2, 2);
        for (int r = 0; r < 3; r++) {
            int row = row(r);
            for (int j = 0; j < STATES; j++) {
                covariance[row * STATES + j] += moved[r * STATES + j];
                covariance[j * STATES + row] += moved[r * STATES + j];
            }
        }
        addTo(covariance, BLADE, BLADE, bb);
        addTo(covariance, BLADE, STEM, bs);
        addTo(covariance, BLADE, AIR, ba);
        addTo(covariance, STEM, STEM, ss);
        addTo(covariance, STEM, AIR, sa);
        addTo(covariance, AIR, AIR, aa);
    }

    private double dot(int r, int other) {
        double sum = 0.0;
        for (int k = 0; k < STATES; k++) {
            sum += moved[r * STATES + k] * rows[other * STATES + k];
        }
        return sum;
    }

    private static int row(int r) {
        return r == 2 ? AIR : r; // BLADE and STEM are 0 and 1
    }

    private void drift(double elapsedS, double[] covariance) {
        LeafParameters.Drift drift = leaf.drift();
        double hours = elapsedS / 3_600.0;
        addTo(covariance, RATE, RATE, square(drift.ratePerRootH()) * hours);
        addTo(covariance, AIRFLOW, AIRFLOW, square(drift.airflowPerRootH()) * hours);
        addTo(covariance, TRANSFER, TRANSFER, square(drift.transferPerRootH()) * hours);
        addTo(covariance, BIAS, BIAS, square(drift.biasPerRootH()) * hours);
        addTo(covariance, ZERO, ZERO, square(scaleDriftKgPerRootH) * hours);
    }

    // ---- what sensors measure
    // ---------------------------------------------------------------------------------------------------

    /** φ = pw(a)/pws(Texhaust) + offset. */
    private void humidity(OvenAir air, double elapsedS) {
        double exchange = air.freshAirM3PerH();
        boolean good =
                air.exhaustRh() >= 0.0
                        && air.exhaustRh() <= 1.0
                        && Psychrometrics.TEMPERATURE_C.holds(air.exhaustC())
                        && exchange >= BELIEVABLE_EXCHANGE_M3_PER_H;
        if (!good) {
            return;
        }
        double saturation = Psychrometrics.saturationPressureKPa(air.exhaustC());
        double sum = Psychrometrics.MASS_RATIO + x[AIR];
        double expected = lastPressureKPa * x[AIR] / sum / saturation + x[BIAS];
        clearRow();
        h[AIR] = lastPressureKPa * Psychrometrics.MASS_RATIO / (sum * sum) / saturation;
        h[BIAS] = 1.0;
        double noise =
                square(leaf.humidityNoiseSd()) * correlated(HUMIDITY_CORRELATION_S, elapsedS);
        humidityUsed = update(air.exhaustRh() - expected, noise, SENSOR_GATE);
        humidityRefusedS = humidityUsed ? 0.0 : humidityRefusedS + elapsedS;
        if (humidityRefusedS > DISAGREES_S) {
            // it will not go away: let the offset and the airflow take it
            add(BIAS, BIAS, square(0.01));
            add(AIRFLOW, AIRFLOW, square(0.1));
            humidityRefusedS = 0.5 * DISAGREES_S;
        }
    }

    /** z = blade + stem + dry + zero. */
    private void scale(OvenAir air, double elapsedS) {
        double net = air.scaleKg() - air.tareKg();
        if (!(net >= -1.0 && net <= CHARGE_KG.highest())) {
            return;
        }
        clearRow();
        h[BLADE] = 1.0;
        h[STEM] = 1.0;
        h[DRY] = 1.0;
        h[ZERO] = 1.0;
        double expected = water() + x[DRY] + x[ZERO];
        double noise = square(leaf.scaleNoiseSdKg()) * correlated(SCALE_CORRELATION_S, elapsedS);
        scaleUsed = update(net - expected, noise, SENSOR_GATE);
        scaleRefusedS = scaleUsed ? 0.0 : scaleRefusedS + elapsedS;
        scaleReadS += scaleUsed ? elapsedS : 0.0;
        if (scaleRefusedS > DISAGREES_S) {
            add(ZERO, ZERO, square(0.5 * (net - expected))); // knocked: its zero is elsewhere now
            scaleRefusedS = 0.5 * DISAGREES_S;
        }
    }

    private static double correlated(double correlationS, double elapsedS) {
        return Math.max(1.0, correlationS / elapsedS);
    }

    // ---- linear algebra
    // ---------------------------------------------------------------------------------------------------------

    private void clearRow() {
        Arrays.fill(h, 0.0);
    }

    /**
     * Linear update with row {@link #h}; false, and nothing changed, if the innovation fails the
     * gate or is not a number.
     */
    private boolean update(double innovation, double noise, double gate) {
        double s = gains(noise);
        if (!(innovation * innovation <= gate * s)) {
            return false;
        }
        for (int i = 0; i < STATES; i++) {
            x[i] += gain[i] * innovation;
        }
        gain[RATE] *= rateGain;
        joseph(noise);
        return true;
    }

    /** P·hᵀ and the gain; the innovation's variance. */
    private double gains(double noise) {
        double s = noise;
        for (int i = 0; i < STATES; i++) {
            double sum = 0.0;
            for (int k = 0; k < STATES; k++) {
                sum += p[i * STATES + k] * h[k];
            }
            ph[i] = sum;
        }
        for (int k = 0; k < STATES; k++) {
            s += h[k] * ph[k];
        }
        for (int i = 0; i < STATES; i++) {
            gain[i] = ph[i] / s;
        }
        return s;
    }

    /** P ← (1 − K·h)·P·(1 − K·h)ᵀ + K·r·Kᵀ; h has few places, so this is rank-one work. */
    private void joseph(double noise) {
        double hph = 0.0;
        for (int k = 0; k < STATES; k++) {
            hph += h[k] * ph[k];
        }
        double s = hph + noise;
        for (int i = 0; i < STATES; i++) {
            for (int j = 0; j <= i; j++) {
                double value =
                        p[i * STATES + j]
                                - gain[i] * ph[j]
                                - ph[i] * gain[j]
                                + gain[i] * gain[j] * s;
                p[i * STATES + j] = value;
                p[j * STATES + i] = value;
            }
            if (p[i * STATES + i] < 0.0) {
                p[i * STATES + i] = 0.0;
            }
        }
    }

    private void set(int i, int j, double value) {
        p[i * STATES + j] = value;
        p[j * STATES + i] = value;
    }

    private void add(int i, int j, double value) {
        addTo(p, i, j, value);
    }

    private static void addTo(double[] covariance, int i, int j, double value) {
        covariance[i * STATES + j] += value;
        if (i != j) {
            covariance[j * STATES + i] += value;
        }
    }

    /** Adds v·vᵀ·variance over blade, stem and dry mass. */
    private void addOuter(double blade, double stem, double dry, double variance) {
        add(BLADE, BLADE, blade * blade * variance);
        add(BLADE, STEM, blade * stem * variance);
        add(BLADE, DRY, blade * dry * variance);
        add(STEM, STEM, stem * stem * variance);
        add(STEM, DRY, stem * dry * variance);
        add(DRY, DRY, dry * dry * variance);
    }

    /** Water that may sit in the stems rather than in the blade. */
    private void widenAcross(double sdKg) {
        addOuter(-sdKg, sdKg, 0.0, 1.0);
    }

    /** x_i ← x_i·factor, with a deviation of the factor. */
    private void scaleBy(int i, double factor, double factorSd) {
        double value = x[i];
        x[i] = value * factor;
        for (int j = 0; j < STATES; j++) {
            p[i * STATES + j] *= factor;
        }
        for (int j = 0; j < STATES; j++) {
            p[j * STATES + i] *= factor;
        }
        add(i, i, square(value * factorSd));
    }

    /** A share of the way to the same moisture in stem and blade; total water stays. */
    private void even(double share) {
        double stem = leaf.stemShare();
        double to = Math.clamp(share, 0.0, 1.0);
        // stem' = (1 − to)·stem + to·σ·(blade + stem)
        double own = 1.0 - to + to * stem;
        double other = to * stem;
        double gained = (own - 1.0) * x[STEM] + other * x[BLADE];
        x[STEM] += gained;
        x[BLADE] -= gained;
        for (int j = 0; j < STATES; j++) {
            double b = p[BLADE * STATES + j];
            double s = p[STEM * STATES + j];
            double shift = (own - 1.0) * s + other * b;
            p[STEM * STATES + j] = s + shift;
            p[BLADE * STATES + j] = b - shift;
        }
        for (int j = 0; j < STATES; j++) {
            double b = p[j * STATES + BLADE];
            double s = p[j * STATES + STEM];
            double shift = (own - 1.0) * s + other * b;
            p[j * STATES + STEM] = s + shift;
            p[j * STATES + BLADE] = b - shift;
        }
        widenAcross(0.3 * Math.abs(gained));
    }

    /** Keeps the mean where the model has meaning; the covariance stays as wide as it is. */
    private void keepInside() {
        x[DRY] = Math.max(x[DRY], 0.01);
        x[BLADE] = Math.max(x[BLADE], 1e-3 * x[DRY]);
        x[STEM] = Math.max(x[STEM], 2e-4 * x[DRY]);
        x[RATE] = Math.clamp(x[RATE], -3.0, 3.0);
        x[AIRFLOW] = Math.clamp(x[AIRFLOW], -1.5, 1.5);
        x[TRANSFER] = Math.clamp(x[TRANSFER], -1.5, 1.5);
        x[BIAS] = Math.clamp(x[BIAS], -0.2, 0.2);
        x[REST] = Math.clamp(x[REST], -1.0, 1.0);
        x[AIR] = Math.clamp(x[AIR], 1e-4, 1.0);
    }

    private double water() {
        return x[BLADE] + x[STEM];
    }

    private static double square(double value) {
        return value * value;
    }

    // ---- answers
    // ----------------------------------------------------------------------------------------------------------------

    /** Mean moisture, wet basis; NaN while nothing is loaded. */
    public double moisture() {
        return loaded ? water() / (water() + x[DRY]) : Double.NaN;
    }

    /** Its standard deviation. */
    public double moistureSd() {
        return loaded ? Math.sqrt(moistureVariance(x, p)) : Double.NaN;
    }

    /**
     * Of the moisture, wet basis. Leaf dries towards rest and not below, so what is believed of it
     * is skewed towards wet, which a covariance in kilograms does not know: the variance is taken
     * as that of a log-normal excess over rest, v·(1 + 3/2·v/excess²) to second order.
     */
    private static double moistureVariance(double[] state, double[] covariance) {
        double water = state[BLADE] + state[STEM];
        double total = water + state[DRY];
        double byWater = state[DRY] / (total * total);
        double byDry = -water / (total * total);
        double waterVariance =
                covariance[BLADE * STATES + BLADE]
                        + 2.0 * covariance[BLADE * STATES + STEM]
                        + covariance[STEM * STATES + STEM];
        double cross = covariance[BLADE * STATES + DRY] + covariance[STEM * STATES + DRY];
        double variance =
                byWater * byWater * waterVariance
                        + 2.0 * byWater * byDry * cross
                        + byDry * byDry * covariance[DRY * STATES + DRY];
        double excess = water / total - HOT_REST;
        double skew = excess > 0.0 ? variance / (excess * excess) : 0.0;
        return Math.max(variance * (1.0 + 1.5 * Math.min(skew, MOST_SKEW)), 1e-12);
    }

    /** Everything at once; makes one record. Not while nothing is loaded. */
    public MoistureEstimate estimate() {
        if (!loaded) {
            throw new IllegalStateException("no charge is loaded");
        }
        if (Double.isNaN(lastAirC)) {
            useLastAir();
        }
        model.at(x, false);
        double mean = moisture();
        double sd = moistureSd();
        double stemDry = leaf.stemShare() * x[DRY];
        double stemX = x[STEM] / stemDry;
        double aboveRest = Math.max(0.0, stemX - model.equilibriumKgPerKg);
        double wettestX = Math.max(stemX + leaf.traySpread() * aboveRest, water() / x[DRY]);
        double stemVariance =
                (get(STEM, STEM)
                                - 2.0 * stemX * leaf.stemShare() * get(STEM, DRY)
                                + square(stemX * leaf.stemShare()) * get(DRY, DRY))
                        / square(stemDry);
        // how much slower stems and the wettest tray are is itself only an engineering choice: a
        // quarter of the excess
        double excess = Math.max(0.0, wettestX - water() / x[DRY]);
        double wettestXSd = Math.sqrt(Math.max(0.0, stemVariance) + square(0.5 * excess));
        double wettest = wettestX / (1.0 + wettestX);
        double wettestSd = Math.max(sd, wettestXSd / square(1.0 + wettestX));
        return new MoistureEstimate(
                mean,
                sd,
                wettest,
                wettestSd,
                water(),
                x[DRY],
                Math.sqrt(get(DRY, DRY)),
                model.leafC,
                model.evaporationKgPerS(),
                model.shareOfLimit,
                equilibrium(),
                band.probability(mean, sd),
                Math.exp(x[RATE]),
                Math.sqrt(get(RATE, RATE)),
                Math.exp(x[AIRFLOW]),
                Math.sqrt(get(AIRFLOW, AIRFLOW)),
                Math.exp(x[TRANSFER]),
                Math.sqrt(get(TRANSFER, TRANSFER)),
                x[BIAS],
                Math.sqrt(get(BIAS, BIAS)),
                humidityUsed,
                scaleUsed,
                humidityRefusedS > 0.25 * DISAGREES_S,
                scaleRefusedS > 0.25 * DISAGREES_S);
    }

    private double get(int i, int j) {
        return p[i * STATES + j];
    }

    /**
     * When the mean moisture will be at {@code target} if the air stays as it is, by stepping the
     * same model without measurements. Costs about one step of the filter per four minutes looked
     * ahead: ask every half minute, not every cycle.
     */
    public TimeToTarget lookAhead(double target, OvenAir air, double horizonS) {
        double evenedLn = model.evenedLn;
        TimeToTarget found = lookedAhead(target, air, horizonS);
        model.evenedLn = evenedLn;
        return found;
    }

    private TimeToTarget lookedAhead(double target, OvenAir air, double horizonS) {
        if (!loaded || moisture() <= target) {
            return new TimeToTarget.Reached();
        }
        System.arraycopy(x, 0, aheadX, 0, STATES);
        System.arraycopy(p, 0, aheadP, 0, STATES * STATES);
        inputs(air);
        double elapsed = 0.0;
        double previous = moisture();
        double stepS = 5.0;
        while (elapsed < horizonS) {
            double step = Math.min(stepS, horizonS - elapsed);
            leap(aheadX, aheadP, step);
            double now = moistureOf(aheadX);
            double rest = equilibrium();
            if (now <= target) {
                double share = (previous - target) / (previous - now);
                double slopePerS = (previous - now) / step;
                double sd = Math.sqrt(moistureVariance(aheadX, aheadP));
                return new TimeToTarget.In(elapsed + share * step, sd / slopePerS, sd);
            }
            if (rest >= target && now - rest < 0.02 * Math.max(rest, 0.01)) {
                return new TimeToTarget.NotWithThisAir(rest);
            }
            elapsed += step;
            previous = now;
            stepS = leapS();
        }
        double rest = equilibrium();
        return rest >= target
                ? new TimeToTarget.NotWithThisAir(rest)
                : new TimeToTarget.Later(horizonS, moistureOf(aheadX));
    }

    /**
     * Lets time pass in leaps until the mean is at {@code target}, with what the sensors will tell
     * on the way: for a copy that looks ahead, never for the filter of the leaf itself. The sensors
     * are taken to read what is expected of them, so they only narrow the deviation.
     *
     * @param air its temperature is the set-point; what it measured does not count
     * @param leafMaxC the air gives way so that the leaf stays below; infinite for no limit
     * @param humidity whether the exhaust's humidity will be read
     * @param scale whether the tray scale will be read
     * @return seconds it took; infinite if this air does not get there, or not within {@code
     *     longestS}
     */
    public double goAhead(
            OvenAir air,
            double leafMaxC,
            double target,
            double longestS,
            boolean humidity,
            boolean scale) {
        if (!loaded || !(longestS > 0.0)) {
            return Double.POSITIVE_INFINITY;
        }
        inputs(air);
        double setC = lastAirC;
        double fan = Double.isFinite(air.fanShare()) ? Math.clamp(air.fanShare(), 0.0, 1.5) : 0.0;
        double elapsed = 0.0;
        double stepS = 5.0;
        double now = moisture();
        while (now > target && elapsed < longestS) {
            System.arraycopy(x, 0, aheadX, 0, STATES);
            System.arraycopy(p, 0, aheadP, 0, STATES * STATES);
            double step = Math.min(stepS, longestS - elapsed);
            double evenedLn = model.evenedLn;
            giveWay(setC, leafMaxC, fan);
            leap(x, p, step);
            double then = moisture();
            boolean there = then <= target;
            if (there && now > then) { // again, but only as far as the target
                step *= (now - target) / (now - then);
                System.arraycopy(aheadX, 0, x, 0, STATES);
                System.arraycopy(aheadP, 0, p, 0, STATES * STATES);
                model.evenedLn = evenedLn;
                leap(x, p, Math.max(step, 1e-3));
            }
            greenKept =
                    Chlorophyll.indexAfter(greenKept, Math.clamp(model.leafC, 0.0, 125.0), step);
            rateGain = Math.clamp((1.0 - model.shareOfLimit) / RATE_SHOWS, 0.0, 1.0);
            settlingS = Math.max(0.0, settlingS - step);
            tell(humidity && settlingS == 0.0, scale, step);
            rateGain = 1.0;
            keepInside();
            elapsed += step;
            if (there) {
                return elapsed;
            }
            double rest = equilibrium();
            if (rest >= target && then - rest < 0.02 * Math.max(rest, 0.01)) {
                return Double.POSITIVE_INFINITY;
            }
            now = then;
            stepS = leapS(x);
        }
        return now <= target ? elapsed : Double.POSITIVE_INFINITY;
    }

    /**
     * Share of the green that is left after all that this copy has gone ahead, by {@link
     * Chlorophyll} on the leaf's temperature; 1 for a filter that never did.
     */
    public double greenKept() {
        return greenKept;
    }

    /** The warmest air, at most {@code setC}, under which this leaf stays below its limit. */
    private void giveWay(double setC, double leafMaxC, double fan) {
        double airC = setC;
        for (int i = 0; i < 6; i++) {
            model.air(airC, lastPressureKPa, fan, layerKg);
            lastAirC = airC;
            if (Double.isInfinite(leafMaxC)) {
                return;
            }
            model.at(x, false);
            double over = model.leafC - leafMaxC;
            if (Math.abs(over) < 0.05 || (over < 0.0 && airC >= setC)) {
                return;
            }
            airC = Math.clamp(airC - 1.5 * over, Math.min(leafMaxC, setC), setC);
        }
    }

    /** What readings over a leap are worth, in the covariance alone. */
    private void tell(boolean humidity, boolean scale, double elapsedS) {
        if (humidity) {
            double saturation = Psychrometrics.saturationPressureKPa(lastAirC);
            double sum = Psychrometrics.MASS_RATIO + x[AIR];
            clearRow();
            h[AIR] = lastPressureKPa * Psychrometrics.MASS_RATIO / (sum * sum) / saturation;
            h[BIAS] = 1.0;
            told(square(leaf.humidityNoiseSd()) * HUMIDITY_CORRELATION_S / elapsedS);
        }
        if (scale) {
            clearRow();
            h[BLADE] = 1.0;
            h[STEM] = 1.0;
            h[DRY] = 1.0;
            h[ZERO] = 1.0;
            told(square(leaf.scaleNoiseSdKg()) * SCALE_CORRELATION_S / elapsedS);
        }
    }

    private void told(double noise) {
        gains(noise);
        gain[RATE] *= rateGain;
        joseph(noise);
    }

    /** A leap takes at most a twelfth of the water that is left, and four minutes. */
    private double leapS() {
        return leapS(aheadX);
    }

    private double leapS(double[] state) {
        double pace =
                Math.abs(model.evaporationKgPerS()) / Math.max(state[BLADE] + state[STEM], 1e-6);
        return Math.clamp(LEAP_SHARE / Math.max(pace, 1e-9), 2.0, LEAP_S);
    }

    private static final double LEAP_SHARE = 1.0 / 12.0;
    private static final double LEAP_S = 240.0;

    /** Wet basis, of the air the model stands in. */
    private double equilibrium() {
        return model.equilibriumKgPerKg / (1.0 + model.equilibriumKgPerKg);
    }

    /**
     * Moisture that the leaf will still lose while it cools in the oven with the heater off, in
     * points of one (0.01 is one percent).
     */
    public double carryOver(OvenAir air) {
        if (!loaded) {
            return Double.NaN;
        }
        System.arraycopy(x, 0, aheadX, 0, STATES);
        inputs(air);
        double hotC = lastAirC;
        double roomC = Double.isFinite(air.roomC()) ? air.roomC() : 25.0;
        double before = moistureOf(aheadX);
        double fan = Double.isFinite(air.fanShare()) ? Math.clamp(air.fanShare(), 0.0, 1.5) : 0.0;
        double fresh = freshKgPerS * Math.exp(x[AIRFLOW]);
        double share = -Math.expm1(-COOLING_STEP_S / airTimeS(fresh));
        for (double t = 0.0; t < COOLING_S; t += COOLING_STEP_S) {
            double airC = roomC + (hotC - roomC) * Math.exp(-t / COOLING_TIME_S);
            model.air(Math.clamp(airC, 0.0, 119.0), lastPressureKPa, fan, layerKg);
            model.at(aheadX, false);
            airChange = share * (lastRoomW + model.evaporationKgPerS() / fresh - aheadX[AIR]);
            leapMean(aheadX, COOLING_STEP_S);
        }
        return before - moistureOf(aheadX);
    }

    /**
     * An oven with the heater off and the fan on: time constant and duration that count;
     * engineering choice.
     */
    private static final double COOLING_TIME_S = 240.0;

    private static final double COOLING_S = 600.0;
    private static final double COOLING_STEP_S = 40.0;

    private static double moistureOf(double[] state) {
        double water = state[BLADE] + state[STEM];
        return water / (water + state[DRY]);
    }

    // ---- carried over a restart
    // -------------------------------------------------------------------------------------------------

    public MoistureState state() {
        List<Double> numbers = new ArrayList<>(NUMBERS);
        for (double value : x) {
            numbers.add(value);
        }
        for (int i = 0; i < STATES; i++) {
            for (int j = 0; j <= i; j++) {
                numbers.add(get(i, j));
            }
        }
        numbers.add(loaded ? 1.0 : 0.0);
        numbers.add(sampleOpen ? 1.0 : 0.0);
        numbers.add(lastAirC);
        numbers.add(lastRoomW);
        numbers.add(lastRoomVolume);
        numbers.add(lastPressureKPa);
        numbers.add(lastLnFresh);
        numbers.add(settlingS);
        numbers.add(humidityRefusedS);
        numbers.add(scaleRefusedS);
        numbers.add(scaleReadS);
        numbers.add(scaleDriftKgPerRootH);
        numbers.add(layerKg);
        numbers.add(toldSdKg);
        numbers.add(humidityUsed ? 1.0 : 0.0);
        numbers.add(scaleUsed ? 1.0 : 0.0);
        numbers.add(model.evenedLn);
        return new MoistureState(numbers);
    }

    /**
     * Goes on from a state taken with the same kind of filter or with one of its forerunners. One
     * did not know of evened leaf: it goes on as leaf that has settled. The one before it had no
     * doubt of the isotherm and of a drifting scale either: they begin as for leaf just loaded.
     */
    public void restore(MoistureState state) {
        List<Double> numbers = state.numbers();
        boolean former = numbers.size() == FORMER_NUMBERS;
        if (numbers.size() != NUMBERS && numbers.size() != BEFORE_EVENED_NUMBERS && !former) {
            throw new IllegalArgumentException(
                    "a filter's state has "
                            + NUMBERS
                            + " numbers ("
                            + BEFORE_EVENED_NUMBERS
                            + " before evened leaf, "
                            + FORMER_NUMBERS
                            + " before the isotherm's doubt), not "
                            + numbers.size());
        }
        Arrays.fill(p, 0.0);
        x[REST] = 0.0;
        set(REST, REST, square(leaf.restSd()));
        int n = 0;
        for (int i = 0; i < STATES; i++) {
            x[i] = former && i == REST ? 0.0 : numbers.get(n++);
        }
        for (int i = 0; i < STATES; i++) {
            for (int j = 0; j <= i; j++) {
                if (!former || (i != REST && j != REST)) {
                    set(i, j, numbers.get(n++));
                }
            }
        }
        loaded = numbers.get(n++) != 0.0;
        sampleOpen = numbers.get(n++) != 0.0;
        lastAirC = numbers.get(n++);
        lastRoomW = numbers.get(n++);
        lastRoomVolume = numbers.get(n++);
        lastPressureKPa = numbers.get(n++);
        lastLnFresh = numbers.get(n++);
        settlingS = numbers.get(n++);
        humidityRefusedS = numbers.get(n++);
        scaleRefusedS = numbers.get(n++);
        scaleReadS = former ? 0.0 : numbers.get(n++);
        scaleDriftKgPerRootH = former ? leaf.drift().scaleKgPerRootH() : numbers.get(n++);
        layerKg = numbers.get(n++);
        toldSdKg = numbers.get(n++);
        humidityUsed = numbers.get(n++) != 0.0;
        scaleUsed = numbers.get(n++) != 0.0;
        model.evenedLn = n < numbers.size() ? numbers.get(n) : 0.0;
        if (!Double.isNaN(lastAirC)) {
            useLastAir(); // so that it can be asked before its first step
        }
    }

    /** Makes {@code other}, a filter of the same parameters, an exact copy; allocates nothing. */
    public void copyTo(MoistureFilter other) {
        System.arraycopy(x, 0, other.x, 0, STATES);
        System.arraycopy(p, 0, other.p, 0, STATES * STATES);
        other.greenKept = 1.0;
        other.model.evenedLn = model.evenedLn;
        other.loaded = loaded;
        other.sampleOpen = sampleOpen;
        other.lastAirC = lastAirC;
        other.lastRoomW = lastRoomW;
        other.lastRoomVolume = lastRoomVolume;
        other.lastPressureKPa = lastPressureKPa;
        other.lastLnFresh = lastLnFresh;
        other.settlingS = settlingS;
        other.humidityRefusedS = humidityRefusedS;
        other.scaleRefusedS = scaleRefusedS;
        other.scaleReadS = scaleReadS;
        other.scaleDriftKgPerRootH = scaleDriftKgPerRootH;
        other.layerKg = layerKg;
        other.toldSdKg = toldSdKg;
        other.humidityUsed = humidityUsed;
        other.scaleUsed = scaleUsed;
    }

    // ---- for tests in this package
    // ----------------------------------------------------------------------------------------------

    double mean(int i) {
        return x[i];
    }

    double covariance(int i, int j) {
        return get(i, j);
    }
}
