package steamleaf.core.cycle;

import java.util.List;
import java.util.function.DoubleUnaryOperator;
import steamleaf.core.batch.EndPoint;
import steamleaf.core.batch.Operation;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.MoistureEstimate;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.estimate.OvenAir;
import steamleaf.core.estimate.TimeToTarget;

/**
 * How long the rest of a recipe takes until the leaf has cooled in the oven: the leaf as the filter
 * believes it to be, dried by the filter's own model through every drying that is left, with the
 * work in between. People are taken to do as asked at once.
 *
 * @param freshAirM3PerH nominal exchange with the room at a damper position from 0 to 1
 */
public record RestOfRecipe(DoubleUnaryOperator freshAirM3PerH) {
    // Engineering choices, close to the simulated oven's.
    private static final double DOOR_OPEN_S = 40.0;
    private static final double REHEATED_AFTER_DOOR_S = 20.0;
    private static final double REHEATED_AFTER_WORK_S = 90.0;
    private static final double COOLING_TIME_S = 130.0;

    /** Nobody turns leaf that is nearly done. */
    private static final double NO_TURN_BEFORE_END_S = 300.0;

    private static final double LONGEST_DRYING_S = 8 * 3_600.0;

    /** Nearly at the end, where what the leaf loses in cooling is asked for. */
    private static final double NEARLY = 0.01;

    private static final Band BAND = Band.GREEN_TEA;

    /**
     * As {@link #secondsLeft(MoistureFilter, OvenAir, List, double, boolean, boolean)}, unmeasured.
     */
    public double secondsLeft(
            MoistureFilter scout, OvenAir air, List<Operation> rest, double dried) {
        return secondsLeft(scout, air, rest, dried, false, false);
    }

    /**
     * @param scout a copy of the filter of the leaf; it goes ahead, and is where the leaf lands
     *     afterwards
     * @param air as it is now; of the measurements only room and pressure count
     * @param rest the operation that runs and all that follow
     * @param dried seconds that the drying which runs has taken so far, 0 if none runs
     * @param humidity the exhaust's humidity will be measured on the way
     * @param scale the tray scale will be
     * @return seconds, not negative; NaN if a drying does not get to its end with this air
     */
    public double secondsLeft(
            MoistureFilter scout,
            OvenAir air,
            List<Operation> rest,
            double dried,
            boolean humidity,
            boolean scale) {
        return left(scout, air, rest, dried, humidity, scale, false).inS();
    }

    /**
     * @param inS seconds, NaN if a drying does not get to its end with this air
     * @param sdS deviation of that, NaN where it was not asked for
     * @param byTime a drying would be ended by its longest time before the leaf is dry enough
     */
    record Left(double inS, double sdS, boolean byTime) {
        private static final Left NEVER = new Left(Double.NaN, Double.NaN, false);
    }

    /**
     * As {@link #secondsLeft(MoistureFilter, OvenAir, List, double, boolean, boolean)}, with its
     * deviation if {@code doubt}.
     *
     * <p>A drying ends when the estimate says so, so its end is as uncertain as what will be
     * learned on the way moves the estimate: the deviation of the moisture then without
     * measurements, less what is still unknown then with them, over the slope. Stages add up as
     * squares (engineering choice: what is learned of the rate in one fades before the next).
     */
    Left left(
            MoistureFilter scout,
            OvenAir air,
            List<Operation> rest,
            double dried,
            boolean humidity,
            boolean scale,
            boolean doubt) {
        double leftS = 0.0;
        double variance = doubt ? 0.0 : Double.NaN;
        boolean byTime = false;
        double sinceTurnS = dried;
        double hotC = air.airC();
        for (int i = 0; i < rest.size(); i++) {
            switch (rest.get(i)) {
                case Operation.Dry dry -> {
                    TimeToTarget blind =
                            doubt
                                    ? scout.lookAhead(
                                            dry.endMoisture(), set(air, dry), LONGEST_DRYING_S)
                                    : new TimeToTarget.Reached();
                    double inOvenS = dry(scout, air, dry, humidity, scale);
                    if (!Double.isFinite(inOvenS)) {
                        return Left.NEVER;
                    }
                    double ownSdS = endSdS(blind, inOvenS, scout.moistureSd());
                    variance += ownSdS * ownSdS;
                    byTime |= inOvenS + sinceTurnS > dry.longestS();
                    double everyS = dry.turn().everyS();
                    double turnableS = inOvenS + sinceTurnS % everyS - NO_TURN_BEFORE_END_S;
                    leftS += inOvenS;
                    leftS +=
                            Math.max(0.0, Math.floor(turnableS / everyS))
                                    * (DOOR_OPEN_S + REHEATED_AFTER_DOOR_S);
                    leftS += i > 0 ? REHEATED_AFTER_WORK_S : 0.0;
                    sinceTurnS = 0.0;
                    hotC = dry.airC();
                }
                case Operation.Roll roll -> {
                    leftS += bench(scout, air, roll.forS(), i == 0);
                    scout.rolled(
                            OvenLeaf.ROLL_DRY_LOSS,
                            OvenLeaf.ROLL_DRY_LOSS_SD,
                            OvenLeaf.ROLL_WATER_LOSS,
                            OvenLeaf.ROLL_WATER_LOSS_SD,
                            OvenLeaf.ROLL_EVENING);
                }
                case Operation.Shape shape -> {
                    leftS += bench(scout, air, shape.forS(), i == 0);
                    scout.rolled(
                            OvenLeaf.SHAPE_DRY_LOSS,
                            OvenLeaf.SHAPE_DRY_LOSS_SD,
                            OvenLeaf.SHAPE_DRY_LOSS,
                            OvenLeaf.SHAPE_DRY_LOSS_SD,
                            OvenLeaf.SHAPE_EVENING);
                }
                case Operation.Rest pause -> {
                    leftS += bench(scout, air, pause.forS(), i == 0);
                    scout.rested(pause.forS());
                }
                case Operation.CoolInOven cool -> leftS += coolS(hotC, cool.belowC(), air.roomC());
                case Operation.Steam _,
                        Operation.CoolOnBench _,
                        Operation.Turn _,
                        Operation.Weigh _,
                        Operation.Pack _ -> {}
            }
        }
        return new Left(leftS, Math.sqrt(variance), byTime);
    }

    private static double endSdS(TimeToTarget blind, double inOvenS, double knownSd) {
        if (!(blind instanceof TimeToTarget.In(double inS, double sdS, double blindSd))) {
            return 0.0;
        }
        double learned = Math.sqrt(Math.max(0.0, 1.0 - Math.pow(knownSd / blindSd, 2)));
        return sdS * learned * inOvenS / inS; // slower air than looked at: as much slower
    }

    private OvenAir set(OvenAir air, Operation.Dry dry) {
        return air.settled(dry.airC()).with(dry.airC(), freshAirM3PerH.applyAsDouble(dry.damper()));
    }

    private double dry(
            MoistureFilter scout, OvenAir air, Operation.Dry dry, boolean humidity, boolean scale) {
        OvenAir set = set(air, dry);
        double end = dry.endMoisture();
        double nearlyS = ahead(scout, set, dry, end + NEARLY, humidity, scale);
        MoistureEstimate then = scout.estimate();
        EndPoint endPoint =
                EndPoint.of(BAND, end, then.sd(), then.wettest() - then.mean(), then.wettestSd());
        if (endPoint != null) { // the last drying aims by what is known when it lands
            end = endPoint.aim();
        }
        double carryOver = Math.clamp(scout.carryOver(set), 0.0, NEARLY);
        return nearlyS + ahead(scout, set, dry, end + carryOver, humidity, scale);
    }

    private static double ahead(
            MoistureFilter scout,
            OvenAir set,
            Operation.Dry dry,
            double target,
            boolean humidity,
            boolean scale) {
        return scout.goAhead(set, dry.leafMaxC(), target, LONGEST_DRYING_S, humidity, scale);
    }

    /** Taken out, unless it is out already, worked and put back. */
    private static double bench(MoistureFilter scout, OvenAir air, double forS, boolean isOut) {
        scout.benchAhead(air.roomC(), air.roomRh(), air.pressureKPa(), forS);
        return forS + (isOut ? 1.0 : 2.0) * DOOR_OPEN_S;
    }

    private static double coolS(double hotC, double belowC, double roomC) {
        return hotC > belowC && belowC > roomC
                ? COOLING_TIME_S * Math.log((hotC - roomC) / (belowC - roomC))
                : 0.0;
    }
}
