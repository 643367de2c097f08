package steamleaf.core.cycle;

import java.util.List;
import java.util.function.BiFunction;
import org.jspecify.annotations.Nullable;
import steamleaf.core.batch.EndPoint;
import steamleaf.core.batch.FinishPlan;
import steamleaf.core.batch.LeafAction;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.OperationKind;
import steamleaf.core.batch.OvenWish;
import steamleaf.core.batch.SampleHelp;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureEstimate;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.estimate.MoistureState;
import steamleaf.core.estimate.OvenAir;
import steamleaf.core.estimate.TimeToTarget;
import steamleaf.core.estimate.Verdict;
import steamleaf.core.learn.Applied;
import steamleaf.core.learn.Lesson;
import steamleaf.core.learn.Taught;

/**
 * What one oven knows of its leaf, and of its own humidity sensor while it is hot and empty.
 *
 * <p>Mutable, because the filter is (it must not allocate): it belongs to one {@link LineState}
 * after the other and is stepped once a second.
 */
public final class OvenLeaf {
    // Rolling loses about 2 % of the dry mass: common practice; the rest: engineering choice.
    public static final double ROLL_DRY_LOSS = 0.02;
    public static final double ROLL_DRY_LOSS_SD = 0.01;
    public static final double ROLL_WATER_LOSS = 0.02;
    public static final double ROLL_WATER_LOSS_SD = 0.02;
    public static final double ROLL_EVENING = 0.5;
    public static final double SHAPE_DRY_LOSS = 0.005;
    public static final double SHAPE_DRY_LOSS_SD = 0.005;
    public static final double SHAPE_EVENING = 0.3;

    /** A bench scale with leaf on it. Engineering choice. */
    public static final double WEIGHING_SD_KG = 0.01;

    /** Nobody weighed the steamed leaf: condensate and losses. Engineering choice. */
    private static final double UNWEIGHED_SD = 0.08;

    /**
     * Five places are not the whole charge: the moisture of what was picked differs by this share,
     * dry basis, because stems are wetter than blades. Engineering choice.
     */
    public static final double PLACES_SPREAD = 0.02;

    /** A usual method's deviation, wet basis, before one is chosen. Engineering choice. */
    private static final double SAMPLE_SD = 0.005;

    /**
     * From asking for a sample to having used its value: somebody comes, five places, the method's
     * own minutes. Engineering choice.
     */
    private static final double SAMPLE_LEAD_S = 15 * 60.0;

    /** Steamed, cooled leaf, wet basis: 72 to 85 % at two deviations. Engineering choice. */
    public static final double STEAMED_MOISTURE = 0.785;

    public static final double STEAMED_MOISTURE_SD = 0.03;

    /** Leaf wet by rain is wetter by this, and less is known of it. Engineering choice. */
    private static final double RAIN_MOISTURE = 0.015;

    private static final double RAIN_MOISTURE_SD = 0.043;

    /** The humidity sensor is zeroed on this much of hot, empty, closed oven. */
    private static final double ZERO_AFTER_S = 60.0;

    private static final double ZERO_AVERAGED_S = 60.0;

    /** A zeroed humidity sensor is still this wrong, 0 to 1. Engineering choice. */
    private static final double ZEROED_SD = 0.005;

    /** No sensor that works is off by more. Engineering choice. */
    private static final double MOST_BIAS = 0.10;

    /**
     * Two questioned samples that differ from the estimate by the same are right, and the estimate
     * is wrong. In deviations of their difference; engineering choice.
     */
    private static final double AGREE_DEVIATIONS = 3.0;

    /**
     * Wetter leaf that is not being dried is on its way, not at its end; wet basis. Engineering
     * choice.
     */
    private static final double NEAR_BAND = 0.10;

    private static final double AHEAD_EVERY_S = 30.0;
    private static final double CARRY_OVER_EVERY_S = 10.0;

    /**
     * Closer than this to its limit the leaf keeps the air from its set-point. Engineering choice.
     */
    private static final double LEAF_IN_THE_WAY_K = 4.0;

    private static final double HORIZON_S = 6 * 3600.0;

    private static final double PACK_EVERY_S = 60.0;
    private static final double PACK_STEP_S = 120.0;
    private static final double PACK_HORIZON_S = 12 * 3_600.0;

    /** Since the leaf came out of the oven, and how wet it was then. */
    private double outS;

    private double moistureOut = Double.NaN;
    private double sincePackS = PACK_EVERY_S;
    private double packInS = Double.NaN;

    /** Dried leaf lay outside while nobody watched: so much is still to be caught up. */
    private double unseenS;

    /** So much in a second: 120 steps of the filter can't make a cycle late. Engineering choice. */
    private static final double CATCH_UP_S = 600.0;

    private MoistureView.@Nullable Bench bench;

    private final Band band;
    private final LeafParameters oven;
    private MoistureFilter filter;
    private @Nullable String openSample;

    /** How far the last sample was off that was questioned; NaN if none was. */
    private double questionedBy = Double.NaN;

    /** Of this oven and grade, from the batches before: what the filter begins with. */
    private Applied learned;

    private Taught taught = Taught.NOTHING;

    private double zeroBias = Double.NaN;
    private double zeroS;

    /** How far off the sensor was that could not be zeroed, NaN if it could. */
    private double zeroRefusedBy = Double.NaN;

    private double zeroRefusedS;
    private double sinceAheadS = AHEAD_EVERY_S;
    private double sinceWorthS = AHEAD_EVERY_S;
    private double sinceCarryOverS = CARRY_OVER_EVERY_S;
    private double carryOver;

    /** A copy of the filter that looks ahead. */
    private MoistureFilter scout;

    /** Where the last drying shall end; null in all others. */
    private @Nullable EndPoint endPoint;

    /** Null where {@link #endPoint} is, and while the value of a sample is awaited. */
    private @Nullable SampleHelp sampleHelp;

    private TimeToTarget ahead = new TimeToTarget.Later(0.0, Double.NaN);
    private @Nullable MoistureView view;
    private double evaporationKgPerS = Double.NaN;

    OvenLeaf(LeafParameters oven, Band band) {
        this.oven = oven;
        this.learned = Applied.nothing(oven);
        this.band = band;
        this.filter = new MoistureFilter(oven, band);
        this.scout = new MoistureFilter(oven, band);
    }

    /** What must survive a restart. */
    LeafSnapshot snapshot() {
        return new LeafSnapshot(
                zeroBias,
                filter.isLoaded() ? filter.state() : null,
                openSample,
                filter.isLoaded() ? learned : null,
                filter.isLoaded() ? taught : null,
                Double.isNaN(zeroRefusedBy) ? null : zeroRefusedBy,
                filter.isLoaded() && !Double.isNaN(moistureOut)
                        ? new LeafSnapshot.Bench(outS, moistureOut, unseenS)
                        : null);
    }

    static OvenLeaf restored(LeafParameters oven, Band band, LeafSnapshot kept, double gapS) {
        OvenLeaf leaf = new OvenLeaf(oven, band);
        MoistureState state = kept.filter();
        boolean neverZeroed = state != null && kept.zeroBias() == 0.0; // as older versions kept it
        leaf.zeroBias = neverZeroed ? Double.NaN : kept.zeroBias();
        leaf.zeroRefusedBy = kept.zeroRefusedBy() != null ? kept.zeroRefusedBy() : Double.NaN;
        if (state != null) {
            leaf.learned = kept.learned() != null ? kept.learned() : leaf.learned;
            leaf.taught = kept.taught() != null ? kept.taught() : leaf.taught;
            leaf.newFilters();
            leaf.filter.restore(state);
            leaf.filter.gap(gapS);
            leaf.openSample = kept.openSample();
            LeafSnapshot.Bench bench = kept.bench();
            if (bench != null) {
                leaf.outS = bench.outS();
                leaf.moistureOut = bench.moistureOut();
                leaf.unseenS = bench.unseenS() + gapS;
            }
            leaf.look(Double.NaN, null, OvenWish.NOTHING, 1.0);
        }
        return leaf;
    }

    @Nullable MoistureView view() {
        return view;
    }

    /** What the leaf gives to the air now, NaN where there is none. */
    double evaporationKgPerS() {
        return evaporationKgPerS;
    }

    /** What batches before taught; for the charge that comes next. */
    void knows(Applied known) {
        learned = known;
    }

    /** What this batch teaches; null where no leaf is known. */
    @Nullable Lesson lesson(String batchId) {
        return filter.isLoaded() ? taught.lesson(batchId, filter.leaf()) : null;
    }

    /** Takes note of what was done to the leaf; what it made of an entered value. */
    Verdict take(LeafAction action) {
        return switch (action) {
            case LeafAction.Fed _ -> Verdict.TAKEN;
            case LeafAction.Loaded loaded -> load(loaded);
            case LeafAction.Turned _ -> {
                filter.turned();
                yield Verdict.TAKEN;
            }
            case LeafAction.TakenOut _ -> {
                outS = 0.0;
                unseenS = 0.0;
                moistureOut = filter.isLoaded() ? filter.moisture() : Double.NaN;
                sincePackS = PACK_EVERY_S;
                yield Verdict.TAKEN;
            }
            case LeafAction.Worked(_, OperationKind kind, double forS) -> worked(kind, forS);
            case LeafAction.PutBack(_, double massKg) -> {
                filter.turned(); // new places on the trays, and a door that was open
                yield weighed(massKg);
            }
            case LeafAction.Weighed(_, double massKg) -> {
                double before = filter.moisture();
                Verdict verdict = weighed(massKg);
                moistureOut += filter.moisture() - before; // known better, not taken up
                yield verdict;
            }
            case LeafAction.SampleOut(_, String sampleId) -> {
                filter.sampleTaken();
                openSample = sampleId;
                yield Verdict.TAKEN;
            }
            case LeafAction.Sampled sampled -> {
                MoistureEstimate before = filter.estimate();
                Verdict verdict = sampled(sampled);
                moistureOut += filter.moisture() - before.mean();
                if (verdict == Verdict.TAKEN) {
                    double whenTaken = sampled.sample().estimateWhenTaken();
                    taught = taught.sampled(whenTaken, before, filter.estimate());
                }
                sinceForeseenS = FORESEEN_EVERY_S; // the leaf is known better
                yield verdict;
            }
            case LeafAction.Gone _ -> {
                bench = null;
                moistureOut = Double.NaN;
                filter.unload();
                foreseesNothing();
                openSample = null;
                questionedBy = Double.NaN;
                zeroS = 0.0;
                zeroBias = Double.NaN;
                zeroRefusedS = 0.0;
                zeroRefusedBy = Double.NaN;
                view = null;
                yield Verdict.TAKEN;
            }
        };
    }

    private Verdict load(LeafAction.Loaded loaded) {
        newFilters();
        double massKg = loaded.massKg();
        double freshKg = loaded.batch().charge().freshKg();
        boolean weighed = !Double.isNaN(massKg);
        boolean rain = loaded.batch().charge().wetByRain();
        Verdict verdict =
                filter.load(
                        weighed ? massKg : freshKg,
                        weighed ? WEIGHING_SD_KG : UNWEIGHED_SD * freshKg,
                        STEAMED_MOISTURE + (rain ? RAIN_MOISTURE : 0.0),
                        rain ? RAIN_MOISTURE_SD : STEAMED_MOISTURE_SD);
        openSample = null;
        taught = Taught.NOTHING;
        sinceAheadS = AHEAD_EVERY_S;
        look(Double.NaN, null, OvenWish.NOTHING, 1.0);
        return verdict;
    }

    private void newFilters() {
        LeafParameters begun = learned.on(oven);
        LeafParameters known = !Double.isNaN(zeroBias) ? begun.zeroed(zeroBias, ZEROED_SD) : begun;
        filter = new MoistureFilter(known, band);
        scout = new MoistureFilter(known, band);
    }

    private Verdict worked(OperationKind kind, double forS) {
        switch (kind) {
            case ROLL ->
                    filter.rolled(
                            ROLL_DRY_LOSS,
                            ROLL_DRY_LOSS_SD,
                            ROLL_WATER_LOSS,
                            ROLL_WATER_LOSS_SD,
                            ROLL_EVENING);
            case SHAPE ->
                    filter.rolled(
                            SHAPE_DRY_LOSS,
                            SHAPE_DRY_LOSS_SD,
                            SHAPE_DRY_LOSS,
                            SHAPE_DRY_LOSS_SD,
                            SHAPE_EVENING);
            case REST -> filter.rested(forS);
            case STEAM, COOL, DRY, TURN, WEIGH, PACK -> {}
        }
        return Verdict.TAKEN;
    }

    private Verdict weighed(double massKg) {
        return !Double.isNaN(massKg) ? filter.weighIn(massKg, WEIGHING_SD_KG) : Verdict.TAKEN;
    }

    /** Of several open samples only the one taken last can still be compared with its moment. */
    private Verdict sampled(LeafAction.Sampled sampled) {
        if (!sampled.sample().id().equals(openSample)) {
            return Verdict.QUESTIONED;
        }
        openSample = null;
        double wet = sampled.sample().valueWet();
        double sd = Math.hypot(sampled.sample().deviationWet(), ofPlaces(wet));
        Verdict verdict = filter.sampleValue(wet, sd);
        if (verdict != Verdict.QUESTIONED) {
            questionedBy = Double.NaN;
            return verdict;
        }
        double whenTaken = sampled.sample().estimateWhenTaken();
        double surprise = wet - whenTaken;
        boolean saidBefore =
                Math.abs(surprise - questionedBy) <= AGREE_DEVIATIONS * Math.hypot(sd, sd);
        questionedBy = saidBefore ? Double.NaN : surprise;
        double dried = whenTaken - filter.estimate().mean(); // since it was taken
        return saidBefore ? filter.sampleConfirmed(wet - dried, sd) : verdict;
    }

    /**
     * Leaf is in the oven.
     *
     * @param wish what the air is on its way to
     */
    void dry(OvenAir air, double endMoisture, OvenWish wish, double elapsedS) {
        bench = null;
        unseenS = 0.0;
        filter.step(air, elapsedS);
        look(endMoisture, air, wish, elapsedS);
    }

    /**
     * The leaf is worked or rests nearly to the end, and a sample of it would cost nothing: what
     * one is worth for the landing, through all that is left.
     *
     * @param air the oven's as it will be, its fan running
     * @param rest the operation that runs and all that follow
     */
    void worth(
            RestOfRecipe forecast,
            OvenAir air,
            List<Operation> rest,
            boolean humidity,
            boolean scale,
            double elapsedS) {
        sinceWorthS += elapsedS;
        if (!filter.isLoaded() || openSample != null || sinceWorthS < AHEAD_EVERY_S) {
            return;
        }
        sinceWorthS = 0.0;
        filter.copyTo(scout);
        double without = landing(forecast, air, rest, humidity, scale);
        filter.copyTo(scout);
        sampled(scout);
        double now = landing(forecast, air, rest, humidity, scale);
        sampleHelp =
                Double.isNaN(without) || Double.isNaN(now)
                        ? null
                        : new SampleHelp(without, now, now);
        view = view == null ? null : view.with(sampleHelp);
    }

    /** Nobody is going to be asked for a sample now. */
    void noWorth() {
        sampleHelp = null;
        sinceWorthS = AHEAD_EVERY_S;
    }

    // ---- the end of the batch, as foreseen

    /** Engineering choice: what is learned of the leaf moves the end slowly. */
    private static final double FORESEEN_EVERY_S = 300.0;

    /** On the line's time axis; work that runs ends at {@link #workUntilS}. */
    private double doneS = Double.NaN;

    private double workUntilS = Double.NaN;
    private double sinceForeseenS = FORESEEN_EVERY_S;
    private int foreseenIn = -1;

    /**
     * Whether to look ahead to the end of the batch now.
     *
     * @param operation of the recipe, which runs
     * @param untilS when work that runs ends, NaN if none does: when it begins, all is new
     */
    boolean isForesightDue(int operation, double untilS, double elapsedS) {
        sinceForeseenS += elapsedS;
        boolean other = operation != foreseenIn || Double.isNaN(untilS) != Double.isNaN(workUntilS);
        return filter.isLoaded() && (other || sinceForeseenS >= FORESEEN_EVERY_S);
    }

    /**
     * Looks ahead to the end of the batch.
     *
     * @param standing of the filter and another to go ahead with
     * @param untilS when work that runs ends, NaN if none does
     */
    void foresee(
            FinishPlanner planner,
            double nowS,
            int operation,
            double untilS,
            BiFunction<MoistureFilter, MoistureFilter, FinishPlanner.Standing> standing) {
        doneS = nowS + planner.recipeInS(standing.apply(filter, scout));
        workUntilS = untilS;
        foreseenIn = operation;
        sinceForeseenS = 0.0;
    }

    /** Nobody can tell the end now. */
    void foreseesNothing() {
        doneS = Double.NaN;
        workUntilS = Double.NaN;
        foreseenIn = -1;
    }

    /**
     * The end of the batch, on the line's time axis, the leaf cooled; NaN when unknown.
     *
     * @param untilS when work that runs ends, NaN if none does
     */
    double doneS(double untilS) {
        return Double.isNaN(untilS) || Double.isNaN(workUntilS)
                ? doneS
                : doneS + untilS - workUntilS;
    }

    // ---- an end at a wanted time

    /** Forecasts in a second: none may make a cycle late. Engineering choice. */
    private static final int FORECASTS_EVERY_S = 3;

    private FinishPlanner.@Nullable Search search;

    /** What is looked for, on the line's time axis; NaN for nothing. */
    private double searchedS = Double.NaN;

    /**
     * Works on at a plan for that time, from how the leaf is now.
     *
     * @param standing of a copy of the filter and another to go ahead with
     * @param promise see {@link FinishPlanner#finishIn}
     */
    void plan(
            FinishPlanner planner,
            double wantedS,
            double nowS,
            boolean promise,
            BiFunction<MoistureFilter, MoistureFilter, FinishPlanner.Standing> standing) {
        FinishPlanner.Search running = search;
        if (!filter.isLoaded()) {
            return;
        }
        if (running == null || searchedS != wantedS) {
            MoistureFilter copy = new MoistureFilter(filter.leaf(), band);
            filter.copyTo(copy);
            running =
                    planner.search(
                            standing.apply(copy, new MoistureFilter(filter.leaf(), band)),
                            wantedS - nowS,
                            promise);
            search = running;
            searchedS = wantedS;
        }
        for (int i = 0; i < FORECASTS_EVERY_S && running.plan() == null; i++) {
            running.step();
        }
    }

    /** Nobody wants a plan now. */
    void noPlan() {
        search = null;
        searchedS = Double.NaN;
    }

    /** The plan for that time; null while it is being looked for. */
    @Nullable FinishPlan finishPlan(double wantedS) {
        return search == null || searchedS != wantedS ? null : search.plan();
    }

    /** Probability of the band where the scout lands, NaN if it never does. */
    private double landing(
            RestOfRecipe forecast,
            OvenAir air,
            List<Operation> rest,
            boolean humidity,
            boolean scale) {
        double leftS = forecast.secondsLeft(scout, air, rest, 0.0, humidity, scale);
        EndPoint end = Double.isNaN(leftS) ? null : endPoint(target(rest), scout.estimate());
        return end == null ? Double.NaN : end.probability();
    }

    /** Where the last drying shall end. */
    private double target(List<Operation> rest) {
        double target = band.target();
        for (Operation operation : rest) {
            target = operation instanceof Operation.Dry dry ? dry.endMoisture() : target;
        }
        return target;
    }

    /**
     * Leaf is on the bench.
     *
     * @param dried nothing is left but to weigh and pack it
     */
    void rest(double roomC, double roomRh, double pressureKPa, boolean dried, double elapsedS) {
        if (filter.isLoaded()) {
            unseenS = dried ? unseenS : 0.0; // wetter leaf dries: see the filter's gap
            double caughtUpS = caughtUpS(roomC, roomRh);
            filter.onBench(roomC, roomRh, pressureKPa, elapsedS + caughtUpS);
            outS += elapsedS + caughtUpS;
            sincePackS += elapsedS;
            boolean told = dried && unseenS == 0.0 && !Double.isNaN(moistureOut);
            if (told && sincePackS >= PACK_EVERY_S) {
                packInS = packInS(roomC, roomRh, pressureKPa);
                sincePackS = 0.0;
            }
            bench =
                    told
                            ? new MoistureView.Bench(
                                    outS,
                                    filter.moisture() - moistureOut,
                                    Math.max(0.0, packInS - sincePackS))
                            : null;
            look(Double.NaN, null, OvenWish.NOTHING, elapsedS);
        }
    }

    /** Of the time nobody watched: the room is taken to have been as it is now. */
    private double caughtUpS(double roomC, double roomRh) {
        boolean roomKnown = Double.isFinite(roomC) && Double.isFinite(roomRh);
        double nowS = roomKnown ? Math.min(unseenS, CATCH_UP_S) : 0.0;
        unseenS -= nowS;
        return nowS;
    }

    /** Until the mean is at the band's upper edge in this room, by the same model; NaN if never. */
    private double packInS(double roomC, double roomRh, double pressureKPa) {
        filter.copyTo(scout);
        for (double aheadS = 0.0; aheadS < PACK_HORIZON_S; aheadS += PACK_STEP_S) {
            if (scout.moisture() >= band.highest()) {
                return aheadS;
            }
            scout.benchAhead(roomC, roomRh, pressureKPa, PACK_STEP_S);
        }
        return Double.NaN;
    }

    /**
     * The oven is hot, closed and empty: what its exhaust humidity shows beyond the room's is the
     * sensor's own error.
     *
     * @param expectedRh of the room's air at the exhaust's temperature
     */
    void zero(double exhaustRh, double expectedRh, double elapsedS) {
        double error = exhaustRh - expectedRh;
        if (!(Math.abs(error) <= MOST_BIAS)) {
            zeroS = 0.0; // not steady, not empty, or not a working sensor
            zeroRefusedS = Double.isNaN(error) ? 0.0 : zeroRefusedS + elapsedS;
            if (zeroRefusedS >= ZERO_AFTER_S) {
                zeroRefusedBy = error;
                zeroBias = Double.NaN;
            }
            return;
        }
        zeroS += elapsedS;
        zeroRefusedS = 0.0;
        if (zeroS >= ZERO_AFTER_S) {
            zeroBias =
                    !Double.isNaN(zeroBias)
                            ? zeroBias
                                    - Math.expm1(-elapsedS / ZERO_AVERAGED_S) * (error - zeroBias)
                            : error;
            zeroRefusedBy = Double.NaN;
        }
    }

    /**
     * The humidity sensor's offset as it was found before this charge, 0 to 1; NaN if it was not.
     */
    double zeroFound() {
        return zeroBias;
    }

    /**
     * How far off the sensor was, where that was too far to be its offset; NaN where it was not.
     */
    double zeroRefusedBy() {
        return zeroRefusedBy;
    }

    /** The same for people; null while the oven has said nothing of its sensor. */
    @Nullable HotZero hotZero() {
        if (!Double.isNaN(zeroRefusedBy)) {
            return new HotZero.Refused(zeroRefusedBy, oven.humidityBiasSd());
        }
        if (!Double.isNaN(zeroBias)) {
            return new HotZero.Zeroed(zeroBias, ZEROED_SD);
        }
        return zeroS > 0.0 || zeroRefusedS > 0.0 ? new HotZero.UnderWay() : null;
    }

    void notEmptyOrNotHot() {
        zeroS = 0.0;
        zeroRefusedS = 0.0;
    }

    private void look(double endMoisture, @Nullable OvenAir air, OvenWish wish, double elapsedS) {
        if (!filter.isLoaded()) {
            view = null;
            evaporationKgPerS = Double.NaN;
            return;
        }
        MoistureEstimate now = filter.estimate();
        evaporationKgPerS = now.evaporationKgPerS();
        taught = air == null ? taught : taught.seen(now);
        sinceAheadS += elapsedS;
        sinceCarryOverS += elapsedS;
        if (air == null || Double.isNaN(endMoisture)) {
            carryOver = 0.0;
            endPoint = null;
            sampleHelp = air == null ? sampleHelp : null; // out of the oven: see worth
            ahead = new TimeToTarget.Later(0.0, Double.NaN);
            sinceAheadS = AHEAD_EVERY_S;
            sinceCarryOverS = CARRY_OVER_EVERY_S;
        } else {
            if (sinceCarryOverS >= CARRY_OVER_EVERY_S) {
                carryOver = filter.carryOver(air);
                sinceCarryOverS = 0.0;
            }
            if (sinceAheadS >= AHEAD_EVERY_S) {
                OvenAir expected = expected(air, wish, now.leafC());
                endPoint = endPoint(endMoisture, now, air, expected);
                double end = endPoint != null ? endPoint.aim() : endMoisture;
                ahead = filter.lookAhead(end + carryOver, expected, HORIZON_S);
                sampleHelp = sampleHelp(air, expected);
                sinceAheadS = 0.0;
            }
        }
        view = made(now, endPoint != null ? endPoint.aim() : endMoisture);
    }

    /**
     * In the last drying the aim depends on how sure the estimate will be when it lands, sensors on
     * the way included.
     */
    private @Nullable EndPoint endPoint(
            double endMoisture, MoistureEstimate now, OvenAir air, OvenAir expected) {
        if (!(endMoisture < band.highest())) {
            return null;
        }
        filter.copyTo(scout);
        double near = endPoint != null ? endPoint.aim() : band.middle();
        double inS =
                scout.goAhead(
                        expected,
                        Double.POSITIVE_INFINITY,
                        near + carryOver,
                        HORIZON_S,
                        Double.isFinite(air.exhaustRh()),
                        Double.isFinite(air.scaleKg()));
        MoistureEstimate then = Double.isFinite(inS) ? scout.estimate() : now;
        return endPoint(endMoisture, then);
    }

    /** What one hand sample would be worth, taken now, and as late as its value can be used. */
    private @Nullable SampleHelp sampleHelp(OvenAir air, OvenAir expected) {
        EndPoint end = endPoint;
        if (end == null || openSample != null) {
            return null;
        }
        double waitS =
                ahead instanceof TimeToTarget.In(double secondsS, _, _)
                        ? secondsS - SAMPLE_LEAD_S
                        : 0.0;
        double now = withSampleIn(0.0, end, air, expected);
        double later = waitS > 0.0 ? withSampleIn(waitS, end, air, expected) : now;
        return new SampleHelp(end.probability(), now, later);
    }

    /** Probability of the band when a sample is taken in that many seconds. */
    private double withSampleIn(double waitS, EndPoint end, OvenAir air, OvenAir expected) {
        boolean humidity = Double.isFinite(air.exhaustRh());
        boolean scale = Double.isFinite(air.scaleKg());
        double landing = end.aim() + carryOver;
        filter.copyTo(scout);
        scout.goAhead(expected, Double.POSITIVE_INFINITY, landing, waitS, humidity, scale);
        sampled(scout);
        scout.goAhead(expected, Double.POSITIVE_INFINITY, landing, HORIZON_S, humidity, scale);
        EndPoint with = endPoint(end.target(), scout.estimate());
        return with == null ? end.probability() : with.probability();
    }

    /** A copy that looks ahead learns what a sample of what it believes would tell. */
    private static void sampled(MoistureFilter scout) {
        double wet = scout.moisture();
        scout.sampleTaken();
        scout.sampleValue(wet, Math.hypot(SAMPLE_SD, ofPlaces(wet)));
    }

    private @Nullable EndPoint endPoint(double target, MoistureEstimate then) {
        return EndPoint.of(band, target, then.sd(), then.wettest() - then.mean(), then.wettestSd());
    }

    /** What five places differ from the charge, wet basis: dw = w·(1 − w)·dX/X. */
    private static double ofPlaces(double wet) {
        return PLACES_SPREAD * wet * (1.0 - wet);
    }

    /**
     * Air that is still warming up is expected to arrive; air that gives way to the leaf stays as
     * it is.
     */
    private static OvenAir expected(OvenAir air, OvenWish wish, double leafC) {
        boolean warmingUp = air.airC() < wish.airC() && leafC < wish.leafMaxC() - LEAF_IN_THE_WAY_K;
        return warmingUp ? air.settled(wish.airC()) : air.unmeasured();
    }

    private MoistureView made(MoistureEstimate now, double endMoisture) {
        double landsInS = Double.NaN;
        double landsInSdS = Double.NaN;
        double landsSd = now.sd();
        boolean outOfReach = false;
        switch (ahead) {
            case TimeToTarget.Reached _ -> landsInS = 0.0;
            case TimeToTarget.In(double secondsS, double sdS, double moistureSd) -> {
                landsInS = Math.max(0.0, secondsS - sinceAheadS);
                landsInSdS = sdS;
                landsSd = moistureSd;
            }
            case TimeToTarget.NotWithThisAir _ -> outOfReach = true;
            case TimeToTarget.Later _ -> {}
        }
        boolean landed = Double.isNaN(endMoisture) && now.mean() < NEAR_BAND;
        double probability =
                endPoint != null
                        ? endPoint.probability()
                        : endMoisture < band.highest()
                                ? band.probability(endMoisture, landsSd)
                                : landed ? now.inBandProbability() : Double.NaN;
        return new MoistureView(
                now.mean(),
                now.sd(),
                now.wettest(),
                now.waterKg(),
                now.dryKg(),
                now.leafC(),
                now.mean() - carryOver,
                endMoisture,
                endPoint,
                sampleHelp,
                landsInS,
                landsInSdS,
                probability,
                outOfReach,
                now.humidityDisagrees(),
                now.scaleDisagrees(),
                bench);
    }
}
