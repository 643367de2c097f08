package steamleaf.bench.study;

import java.util.SplittableRandom;
import steamleaf.core.cycle.OvenLeaf;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.ModelledCharge;
import steamleaf.core.estimate.OvenAir;
import steamleaf.core.science.Psychrometrics;

/**
 * A plant of the filter's own structure: leaf, oven, sensors, rolling and all noise drawn as the
 * filter believes them to be, the filter's doubts about its model included. Air follows its
 * set-point, the room is measured without error. Carries the bound along.
 */
final class MatchedPlant implements StudyPlant {
    // the room as in the simulator's stock plant; mass as there
    private static final double ROOM_C = 22.0;
    private static final double ROOM_SD_K = 2.5;
    private static final double ROOM_RH = 0.60;
    private static final double ROOM_RH_SD = 0.07;
    private static final double PRESSURE_KPA = 99.9;
    private static final double PRESSURE_SD_KPA = 0.7;
    private static final double MASS_KG = 3.85;
    private static final double MASS_SD_KG = 0.04;

    /** Air of the oven towards its set-point, share per second. */
    private static final double HEATING_PER_S = 0.01;

    private static final double COOLING_PER_S = 1.0 / 240.0;
    private static final double DOOR_PER_S = 0.02;
    private static final double DOOR_C = 40.0;
    private static final double EXHAUST_BELOW_K = 6.0;
    private static final double TARE_KG = 6.0;

    private final Sensors sensors;
    private final SplittableRandom random;
    private final ModelledCharge charge;
    private final Bound bound = new Bound(ModelledCharge.STATES);
    private final double[] x = new double[ModelledCharge.STATES];
    private final double roomC;
    private final double roomRh;
    private final double roomW;
    private final double pressureKPa;
    private final double toldKg;
    private double airC;
    private double beforeM3PerH = Double.NaN;

    MatchedPlant(long seed, LeafParameters prior, Sensors sensors) {
        this.sensors = sensors;
        random = new SplittableRandom(seed);
        charge = new ModelledCharge(prior);
        roomC = ROOM_C + ROOM_SD_K * random.nextGaussian();
        roomRh = Math.clamp(ROOM_RH + ROOM_RH_SD * random.nextGaussian(), 0.1, 0.95);
        pressureKPa = PRESSURE_KPA + PRESSURE_SD_KPA * random.nextGaussian();
        roomW = Psychrometrics.humidityRatio(roomC, roomRh, pressureKPa);
        toldKg = MASS_KG + MASS_SD_KG * random.nextGaussian();
    }

    private void move(Bound.Move move, int noises) {
        bound.move(x, move, noises);
        double[] w = new double[noises];
        for (int i = 0; i < noises; i++) {
            w[i] = random.nextGaussian();
        }
        move.make(x, w);
    }

    @Override
    public double load(double wantedC, double damper) {
        airC = wantedC;
        move(
                (y, w) ->
                        charge.load(
                                y,
                                toldKg,
                                OvenLeaf.WEIGHING_SD_KG,
                                OvenLeaf.STEAMED_MOISTURE,
                                OvenLeaf.STEAMED_MOISTURE_SD,
                                roomW,
                                w),
                ModelledCharge.LOAD_NOISES);
        return toldKg;
    }

    @Override
    public OvenAir second(double wantedC, double damper, boolean doorOpen) {
        if (doorOpen) {
            airC += DOOR_PER_S * (DOOR_C - airC);
        } else if (Double.isNaN(wantedC)) {
            airC += COOLING_PER_S * (roomC - airC);
        } else {
            airC += HEATING_PER_S * (wantedC - airC);
        }
        double freshM3PerH = StudyBatch.freshM3PerH(damper);
        double exhaustC = Math.max(airC - EXHAUST_BELOW_K, roomC);
        OvenAir air = air(exhaustC, Double.NaN, freshM3PerH, doorOpen, Double.NaN);
        double before = beforeM3PerH;
        move((y, w) -> charge.step(y, air, before, 1.0, w), ModelledCharge.STEP_NOISES);
        charge.stepped();
        beforeM3PerH = freshM3PerH;

        Bound.Seen humidity = y -> ModelledCharge.exhaustRh(y, exhaustC, pressureKPa);
        double rhSd = charge.exhaustRhSd(1.0);
        double rh = humidity.of(x) + rhSd * random.nextGaussian();
        double scaleSdKg = charge.scaleSdKg(1.0);
        double scaleKg = ModelledCharge.scaleKg(x) + scaleSdKg * random.nextGaussian();
        // readings that the filter chooses not to believe count for the bound
        if (!doorOpen && sensors.humidity() && rh >= 0.0 && rh <= 1.0) {
            bound.measured(x, humidity, rhSd);
        }
        if (!doorOpen && sensors.scale()) {
            bound.measured(x, ModelledCharge::scaleKg, scaleSdKg);
        }
        return air(exhaustC, rh, freshM3PerH, doorOpen, scaleKg + TARE_KG);
    }

    private OvenAir air(
            double exhaustC,
            double exhaustRh,
            double freshM3PerH,
            boolean doorOpen,
            double scaleKg) {
        return new OvenAir(
                airC,
                exhaustC,
                exhaustRh,
                roomC,
                roomRh,
                pressureKPa,
                freshM3PerH,
                1.0,
                doorOpen,
                scaleKg,
                TARE_KG);
    }

    @Override
    public void turn() {
        move(charge::turn, ModelledCharge.TURN_NOISES);
    }

    @Override
    public void takeOut(Work work, double forS) {
        charge.takeOut(x, roomW);
        beforeM3PerH = Double.NaN;
    }

    @Override
    public OvenAir bench(double elapsedS, double ovenC, double damper) {
        OvenAir room = OvenAir.bench(roomC, roomRh, pressureKPa);
        move((y, w) -> charge.step(y, room, Double.NaN, elapsedS, w), ModelledCharge.STEP_NOISES);
        charge.stepped();
        return room;
    }

    @Override
    public double workedAndWeighed(Work work, double forS) {
        switch (work) {
            case ROLL, SHAPE -> {
                charge.kneaded();
                move(
                        (y, w) ->
                                charge.roll(
                                        y,
                                        work.dryLoss,
                                        work.dryLossSd,
                                        work.waterLoss,
                                        work.waterLossSd,
                                        work.evening,
                                        w),
                        ModelledCharge.ROLL_NOISES);
            }
            case REST -> {
                charge.rested(forS);
                move((y, w) -> charge.rest(y, forS, w), ModelledCharge.REST_NOISES);
            }
        }
        turn(); // new places on the trays, as the filter is told
        bound.measured(x, ModelledCharge::massKg, OvenLeaf.WEIGHING_SD_KG);
        return ModelledCharge.massKg(x) + OvenLeaf.WEIGHING_SD_KG * random.nextGaussian();
    }

    @Override
    public void putBack() {
        beforeM3PerH = Double.NaN;
    }

    @Override
    public double sample(double sd) {
        bound.measured(x, ModelledCharge::moisture, sd);
        return moisture() + sd * random.nextGaussian();
    }

    @Override
    public double moisture() {
        return ModelledCharge.moisture(x);
    }

    /** The least deviation that an estimate of the moisture can have now. */
    double boundSd() {
        return bound.sd(x, ModelledCharge::moisture);
    }
}
