package steamleaf.bench.study;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.batch.EndPoint;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.Promise;
import steamleaf.core.batch.Recipe;
import steamleaf.core.cycle.OvenLeaf;
import steamleaf.core.cycle.RestOfRecipe;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.MoistureEstimate;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.estimate.OvenAir;
import steamleaf.core.estimate.TimeToTarget;
import steamleaf.core.estimate.Verdict;
import steamleaf.core.learn.Taught;

/**
 * One batch by a recipe from the loaded oven to the cooled leaf, plant and filter side by side: the
 * filter decides when a drying ends (carry-over included), the plant is the truth.
 *
 * <p>People do as asked at once. The recipe's longest times are not kept, so that slow leaf shows
 * in the estimate and not in the clock; after eight hours a drying is given up.
 */
final class StudyBatch {
    /**
     * How it ended, when the leaf had cooled in the oven. Moistures are wet basis, 0 to 1.
     *
     * @param seconds from the loaded oven to the end
     * @param finishErrorShare at half the time: finish as told then, less the true one, over the
     *     time that remained; NaN if no time was told
     * @param unfinished a drying was given up
     * @param taught what it says of its oven and leaf
     */
    record Outcome(
            double truth,
            double mean,
            double sd,
            double seconds,
            double finishErrorShare,
            boolean unfinished,
            Taught taught) {
        double error() {
            return mean - truth;
        }

        double squaredNormalisedError() {
            return error() * error() / (sd * sd);
        }
    }

    private record Told(double atS, double endsAtS) {}

    // as the controller does: core.cycle.Line, OvenLeaf, OvenLoop, core.batch.Progress
    private static final double FLOW_M3_PER_H = 200.0;
    private static final double LEAST_FLOW_SHARE = 0.02;
    private static final double SETTLING_S = 600.0;
    private static final double LEAST_DRYING_S = 300.0;
    private static final double LEAF_MARGIN_K = 2.0;
    private static final double AIR_PER_LEAF = 3.0;
    private static final double LEAF_IN_THE_WAY_K = 4.0;
    private static final int AHEAD_EVERY_S = 30;
    private static final int CARRY_OVER_EVERY_S = 10;
    private static final int FORESEEN_EVERY_S = 120;
    private static final RestOfRecipe REST = new RestOfRecipe(StudyBatch::freshM3PerH);
    private static final double HORIZON_S = 6 * 3_600.0;
    private static final double NO_TURN_BEFORE_END_S = 300.0;
    private static final double LAST_BELOW = 0.10;

    /** Engineering choice. */
    private static final double GIVEN_UP_S = 8 * 3_600.0;

    // people; common practice, no source
    private static final int DOOR_OPEN_S = 39;
    private static final int SPREAD_S = 60;
    private static final double METER_S = 300.0;

    /** A method that is right to 0.3 points, as the simulator's is, and is said to be. */
    private static final double METER_SD = 0.003;

    /** A value that was questioned is asked for once more, as often as this; engineering choice. */
    private static final int MOST_SAMPLES = 3;

    /** Two surprises that differ by no more agree, in deviations; as core.cycle.OvenLeaf. */
    private static final double AGREE_DEVIATIONS = 3.0;

    /** An oven that is new to the leaf is taught by a sample at this moisture, as estimated. */
    private static final double TEACHES_BELOW = 0.09;

    private static final Band BAND = Band.GREEN_TEA;

    private final boolean teaches;
    private final List<Operation> recipe;
    private final StudyPlant plant;
    private final MoistureFilter filter;
    private final MoistureFilter scout;
    private final Sensors sensors;
    private final List<Told> told = new ArrayList<>();
    private List<Operation> rest = List.of();
    private double seconds;
    private boolean unfinished;
    private Taught taught = Taught.NOTHING;
    private double meanWhenTaken = Double.NaN;
    private double questionedBy = Double.NaN;
    private @Nullable Promise promise;
    private OvenAir air = OvenAir.bench(25.0, 0.5, 101.325);
    private final @Nullable FinishTrial trial;

    private StudyBatch(
            StudyPlant plant,
            MoistureFilter filter,
            Sensors sensors,
            Recipe recipe,
            @Nullable FinishTrial trial,
            boolean teaches) {
        this.teaches = teaches;
        this.recipe = recipe.procedure();
        this.trial = trial;
        this.plant = plant;
        this.filter = filter;
        this.scout = new MoistureFilter(filter.leaf(), BAND);
        this.sensors = sensors;
    }

    static double freshM3PerH(double damper) {
        return FLOW_M3_PER_H * Math.max(LEAST_FLOW_SHARE, damper);
    }

    static Outcome run(StudyPlant plant, MoistureFilter filter, Sensors sensors, Recipe recipe) {
        return run(plant, filter, sensors, recipe, null, false);
    }

    /** One whose last drying is sampled too, for what that teaches. */
    static Outcome teaching(
            StudyPlant plant, MoistureFilter filter, Sensors sensors, Recipe recipe) {
        return run(plant, filter, sensors, recipe, null, true);
    }

    static Outcome run(
            StudyPlant plant,
            MoistureFilter filter,
            Sensors sensors,
            Recipe recipe,
            FinishTrial trial) {
        return run(plant, filter, sensors, recipe, trial, false);
    }

    /**
     * @param trial somebody who wants it done at a certain time; null for nobody
     */
    private static Outcome run(
            StudyPlant plant,
            MoistureFilter filter,
            Sensors sensors,
            Recipe recipe,
            @Nullable FinishTrial trial,
            boolean teaches) {
        StudyBatch batch = new StudyBatch(plant, filter, sensors, recipe, trial, teaches);
        List<Operation> operations = new ArrayList<>(recipe.procedure());
        for (int i = 0; i < operations.size() && !batch.unfinished; i++) {
            Operation next = i + 1 < operations.size() ? operations.get(i + 1) : operations.get(i);
            batch.rest = operations.subList(i, operations.size());
            batch.operation(operations.get(i), next);
        }
        MoistureEstimate end = filter.estimate();
        return new Outcome(
                plant.moisture(),
                end.mean(),
                end.sd(),
                batch.seconds,
                batch.finishErrorShare(),
                batch.unfinished,
                batch.taught);
    }

    private void operation(Operation operation, Operation next) {
        switch (operation) {
            case Operation.CoolOnBench _ -> load(next);
            case Operation.Dry dry -> dry(dry);
            case Operation.Roll roll -> work(Work.ROLL, roll.forS(), next);
            case Operation.Shape shape -> work(Work.SHAPE, shape.forS(), next);
            case Operation.Rest rest -> work(Work.REST, rest.forS(), next);
            case Operation.CoolInOven cool -> cool(cool);
            case Operation.Steam _, Operation.Weigh _, Operation.Pack _, Operation.Turn _ -> {}
        }
    }

    private void load(Operation next) {
        double airC = next instanceof Operation.Dry dry ? dry.airC() : Double.NaN;
        double toldKg = plant.load(airC, 1.0);
        air = plant.second(airC, 1.0, false);
        seconds++;
        filter.step(air, 1.0); // knows the room; nothing is loaded yet
        filter.load(
                toldKg,
                OvenLeaf.WEIGHING_SD_KG,
                OvenLeaf.STEAMED_MOISTURE,
                OvenLeaf.STEAMED_MOISTURE_SD);
    }

    /** One second in the oven for both. */
    private void second(double airC, double damper, boolean doorOpen, double inOperationS) {
        OvenAir all = plant.second(airC, damper, doorOpen);
        boolean humidity = sensors.humidity() && inOperationS > SETTLING_S;
        air =
                new OvenAir(
                        all.airC(),
                        all.exhaustC(),
                        humidity ? all.exhaustRh() : Double.NaN,
                        all.roomC(),
                        all.roomRh(),
                        all.pressureKPa(),
                        all.freshAirM3PerH(),
                        all.fanShare(),
                        all.doorOpen(),
                        sensors.scale() ? all.scaleKg() : Double.NaN,
                        all.tareKg());
        filter.step(air, 1.0);
        seconds++;
    }

    private void dry(Operation.Dry by) {
        Operation.Dry dry = by;
        boolean last = dry.endMoisture() < LAST_BELOW;
        double end = dry.endMoisture();
        double value = Double.NaN;
        double valueDueS = Double.NaN;
        double carryOver = 0.0;
        double landsInS = Double.NaN;
        double turnedS = 0.0;
        double leafC = filter.estimate().leafC();
        int t = 0;
        while (true) {
            double wanted = wantedC(dry, leafC);
            second(wanted, dry.damper(), false, ++t);
            MoistureEstimate now = filter.estimate();
            leafC = now.leafC();
            taught = taught.seen(now);
            if (t % CARRY_OVER_EVERY_S == 0) {
                carryOver = filter.carryOver(air);
            }
            if (t % AHEAD_EVERY_S == 0) {
                if (last) {
                    end = aim(dry, end, carryOver, leafC);
                }
                landsInS = landsInS(dry, end + carryOver, leafC);
            }
            if (trial != null && t % AHEAD_EVERY_S == 0) {
                trial.look(filter, air, rest, seconds, t, sensors);
                dry = (Operation.Dry) rest.getFirst(); // as planned anew
            }
            if (t % FORESEEN_EVERY_S == 0) {
                told.add(new Told(seconds, toldS(t)));
            }
            if (last && teaches && Double.isNaN(value) && filter.moisture() < TEACHES_BELOW) {
                t = doorOpen(dry, t);
                value = sampled();
                valueDueS = t + METER_S;
            }
            if (t >= valueDueS) {
                enter(value, sampleSd(meanWhenTaken));
                valueDueS = Double.NaN;
            }
            boolean dryEnough = filter.moisture() - carryOver <= end;
            if (dryEnough && t >= LEAST_DRYING_S && Double.isNaN(valueDueS)) {
                return;
            }
            if (t > GIVEN_UP_S) {
                unfinished = true;
                return;
            }
            boolean soonDone = landsInS < NO_TURN_BEFORE_END_S;
            if (t - turnedS >= dry.turn().everyS() && !soonDone) {
                t = doorOpen(dry, t);
                plant.turn();
                filter.turned();
                turnedS = t;
            }
        }
    }

    /** Until the leaf has cooled, as looked ahead now. */
    private double secondsLeft(List<Operation> ahead, double driedS) {
        filter.copyTo(scout);
        return REST.secondsLeft(scout, air, ahead, driedS, sensors.humidity(), sensors.scale());
    }

    /** When it will be done, as people are told in a drying. */
    private double toldS(double driedS) {
        double foreseenS = seconds + secondsLeft(rest, driedS);
        int operation = recipe.size() - rest.size();
        boolean settled = driedS >= Promise.SETTLED_S && Promise.canBeMade(recipe, operation);
        if (promise == null && settled && trial == null && !Double.isNaN(foreseenS)) {
            promise = new Promise(foreseenS);
        }
        return promise == null ? foreseenS : promise.told(recipe, operation, foreseenS);
    }

    /** When a rest that runs ends: it keeps what people were told. */
    private double restUntilS(Operation.Rest planned, double sinceS, double untilS) {
        if (promise == null) {
            return untilS;
        }
        List<Operation> ahead = new ArrayList<>(rest);
        ahead.set(0, new Operation.Rest(untilS - seconds, planned.patienceS()));
        double foreseenS = seconds + secondsLeft(ahead, 0.0);
        return promise.restUntilS(planned, sinceS, untilS, foreseenS);
    }

    /** Of a meter and of five places. */
    private static double sampleSd(double wet) {
        return Math.hypot(METER_SD, OvenLeaf.PLACES_SPREAD * wet * (1.0 - wet));
    }

    /** A sample is taken now; its value, which is known later. */
    private double sampled() {
        meanWhenTaken = filter.moisture();
        filter.sampleTaken();
        return plant.sample(sampleSd(meanWhenTaken));
    }

    /**
     * The value is known, and what it moved is noted, as the controller does.
     *
     * @return whether it was believed
     */
    private boolean enter(double value, double sd) {
        MoistureEstimate before = filter.estimate();
        boolean believed = believed(value, sd);
        taught = believed ? taught.sampled(meanWhenTaken, before, filter.estimate()) : taught;
        return believed;
    }

    /**
     * A questioned one is compared with the next, as the controller does: two that surprise by the
     * same are right.
     */
    private boolean believed(double value, double sd) {
        if (filter.sampleValue(value, sd) != Verdict.QUESTIONED) {
            return true;
        }
        double surprise = value - meanWhenTaken;
        boolean saidBefore =
                Math.abs(surprise - questionedBy) <= AGREE_DEVIATIONS * Math.hypot(sd, sd);
        questionedBy = surprise;
        if (saidBefore) {
            double dried = meanWhenTaken - filter.moisture();
            filter.sampleConfirmed(value - dried, sd);
        }
        return saidBefore;
    }

    /** Where 4–7 % is most probable with what is known when it lands. */
    private double aim(Operation.Dry dry, double before, double carryOver, double leafC) {
        filter.copyTo(scout);
        double inS =
                scout.goAhead(
                        expected(dry, leafC),
                        Double.POSITIVE_INFINITY,
                        before + carryOver,
                        HORIZON_S,
                        sensors.humidity(),
                        sensors.scale());
        MoistureEstimate then = Double.isFinite(inS) ? scout.estimate() : filter.estimate();
        @Nullable EndPoint found =
                EndPoint.of(
                        BAND,
                        dry.endMoisture(),
                        then.sd(),
                        then.wettest() - then.mean(),
                        then.wettestSd());
        return found != null ? found.aim() : dry.endMoisture();
    }

    private int doorOpen(Operation.Dry dry, int from) {
        int t = from;
        for (int i = 0; i < DOOR_OPEN_S; i++) {
            second(Double.NaN, dry.damper(), true, ++t);
        }
        return t;
    }

    /** The air gives way to the leaf while it is wet. */
    private double wantedC(Operation.Dry dry, double leafC) {
        double limitC = dry.leafMaxC() - LEAF_MARGIN_K;
        double airC = air.airC();
        return limitC >= dry.airC()
                ? dry.airC()
                : Math.clamp(airC + AIR_PER_LEAF * (limitC - leafC), limitC, dry.airC());
    }

    private double landsInS(Operation.Dry dry, double target, double leafC) {
        return switch (filter.lookAhead(target, expected(dry, leafC), HORIZON_S)) {
            case TimeToTarget.Reached _ -> 0.0;
            case TimeToTarget.In(double inS, double _, double _) -> inS;
            case TimeToTarget.NotWithThisAir _, TimeToTarget.Later _ -> Double.NaN;
        };
    }

    private OvenAir expected(Operation.Dry dry, double leafC) {
        boolean warmingUp = air.airC() < dry.airC() && leafC < dry.leafMaxC() - LEAF_IN_THE_WAY_K;
        return warmingUp ? air.settled(dry.airC()) : air.unmeasured();
    }

    private void work(Work work, double forS, Operation next) {
        double airC = next instanceof Operation.Dry dry ? dry.airC() : Double.NaN;
        double damper = next instanceof Operation.Dry dry ? dry.damper() : 1.0;
        for (int i = 0; i < DOOR_OPEN_S; i++) {
            second(Double.NaN, damper, true, i);
        }
        plant.takeOut(work, forS);
        // as the controller asks: in the rest, and who wants a certain time earlier too
        boolean sampled =
                sensors.sample() && (work == Work.REST || (work == Work.SHAPE && trial != null));
        int samplesLeft = sampled ? MOST_SAMPLES : 0;
        double value = Double.NaN;
        double valueDueS = samplesLeft > 0 ? seconds : Double.NaN; // of none yet
        double foreseenDueS = seconds;
        double sinceS = seconds;
        double untilS = seconds + forS;
        while (seconds < untilS) {
            if (seconds >= valueDueS) {
                boolean believed = !Double.isNaN(value) && enter(value, sampleSd(meanWhenTaken));
                boolean again = !believed && samplesLeft-- > 0;
                value = again ? sampled() : Double.NaN;
                valueDueS = again ? seconds + METER_S : Double.NaN;
                foreseenDueS = seconds;
            }
            if (seconds >= foreseenDueS && rest.getFirst() instanceof Operation.Rest planned) {
                untilS = Math.max(seconds + 1.0, restUntilS(planned, sinceS, untilS));
                foreseenDueS = seconds + FORESEEN_EVERY_S;
            }
            double step = Math.min(5.0, untilS - seconds);
            OvenAir room = plant.bench(step, airC, damper);
            filter.onBench(room.roomC(), room.roomRh(), room.pressureKPa(), step);
            seconds += step;
        }
        double lastedS = seconds - sinceS;
        double weighedKg = plant.workedAndWeighed(work, lastedS);
        switch (work) {
            case ROLL, SHAPE ->
                    filter.rolled(
                            work.dryLoss,
                            work.dryLossSd,
                            work.waterLoss,
                            work.waterLossSd,
                            work.evening);
            case REST -> filter.rested(lastedS);
        }
        filter.turned(); // new places on the trays
        filter.weighIn(weighedKg, OvenLeaf.WEIGHING_SD_KG);
        plant.putBack();
        for (int i = 0; i < SPREAD_S; i++) {
            second(Double.NaN, damper, true, i);
        }
    }

    private void cool(Operation.CoolInOven cool) {
        int t = 0;
        while (t < cool.longestS() && !(air.airC() < cool.belowC())) {
            second(Double.NaN, 1.0, false, SETTLING_S + ++t);
        }
    }

    private double finishErrorShare() {
        double share = Double.NaN;
        for (Told one : told) {
            if (one.atS() <= 0.5 * seconds) {
                share = (one.endsAtS() - seconds) / (seconds - one.atS());
            }
        }
        return share;
    }
}
