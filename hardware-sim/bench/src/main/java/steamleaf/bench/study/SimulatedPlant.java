package steamleaf.bench.study;

import steamleaf.core.cycle.LoopSettings;
import steamleaf.core.estimate.OvenAir;
import steamleaf.core.loop.OutputLimits;
import steamleaf.core.loop.Pid;
import steamleaf.core.loop.PidState;
import steamleaf.core.loop.PidTuning;
import steamleaf.core.loop.TimeProportioning;
import steamleaf.sim.plant.Actuation;
import steamleaf.sim.plant.Button;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.Sensing;

/**
 * The simulator's plant with one oven, driven at its screws: the elements are read as they are,
 * without chips; the air is held by the controller's own loop, without guard.
 *
 * <p>Steamed leaf is brought in at the moisture of the fresh leaf: on the whole simulated line the
 * condensate had gone again when the leaf was cool (78.6 % at loading of seed 1).
 */
final class SimulatedPlant implements StudyPlant {
    private static final double STEP_S = 0.1;
    private static final int STEPS_PER_S = 10;
    private static final double LEAF_C = 30.0;
    private static final double LOADING_S = 60.0;
    private static final double LONGEST_WARMING_S = 3_600.0;
    private static final double WARM_WITHIN_K = 3.0;

    /** Places of a hand sample. */
    private static final int PLACES = 5;

    // as the line's loop: core.cycle.OvenLoop
    private static final double SETPOINT_WEIGHT = 0.6;
    private static final double HASTE = 4.0;

    private final Plant plant;
    private final Actuation at = new Actuation(1);
    private final PidTuning tuning;
    private final TimeProportioning pulses;
    private final double reachKPerS;
    private final double tareKg;
    private PidState pid = PidState.at(0.0);
    private TimeProportioning.State pulse;
    private double targetC = Double.NaN;
    private int charge;
    private boolean outside;

    SimulatedPlant(long seed, LoopSettings loop) {
        this(PlantSettings.drawn(seed), seed, loop);
    }

    /** This oven with another lot of its leaf, on another day. */
    static SimulatedPlant otherBatch(long ovenSeed, long daySeed, LoopSettings loop) {
        PlantSettings oven = PlantSettings.drawn(ovenSeed);
        PlantSettings day = PlantSettings.drawn(daySeed);
        PlantSettings both =
                new PlantSettings(
                        1,
                        day.leaf(),
                        oven.sorption(),
                        oven.rolling(),
                        oven.bench(),
                        oven.oven(),
                        oven.steamer(),
                        day.room(),
                        oven.electric(),
                        oven.sensors());
        return new SimulatedPlant(both, daySeed, loop);
    }

    private SimulatedPlant(PlantSettings drawn, long seed, LoopSettings loop) {
        PlantSettings settings =
                new PlantSettings(
                        1,
                        drawn.leaf(),
                        drawn.sorption(),
                        drawn.rolling(),
                        drawn.bench(),
                        drawn.oven(),
                        drawn.steamer(),
                        drawn.room(),
                        drawn.electric(),
                        drawn.sensors());
        plant = new Plant(settings, seed);
        tareKg = settings.oven().tareKg();
        tuning =
                PidTuning.isa(
                        loop.gainDutyPerK(), loop.integralS(), loop.derivativeS(), SETPOINT_WEIGHT);
        long leastMs = Math.round(loop.leastOnS() * 1_000.0);
        pulses = new TimeProportioning(Math.round(loop.windowS() * 1_000.0), leastMs, leastMs);
        pulse = pulses.start();
        reachKPerS = HASTE * loop.rampKPerMin() / 60.0;
        at.contactorCoil = true;
        at.watchdogEdges = 1;
        at.fan[0] = true;
    }

    @Override
    public double load(double airC, double damper) {
        for (int t = 0; t < 5; t++) {
            run(1.0, Double.NaN, damper); // the watchdog relay wants steady pulses first
        }
        plant.hold(Button.RESET, true);
        run(1.0, Double.NaN, damper);
        plant.hold(Button.RESET, false);
        double warmingS = 0.0;
        while (plant.sensing().airC[0] < airC - WARM_WITHIN_K) {
            run(1.0, airC, damper);
            warmingS++;
            if (warmingS > LONGEST_WARMING_S) {
                throw new IllegalStateException("the oven does not warm up to " + airC + " °C");
            }
        }
        PlantSettings.Leaf leaf = plant.settings().leaf();
        charge = plant.bringIn(leaf.lotKg(), leaf.initialMoistureWb(), LEAF_C).charge();
        double toldKg = plant.weigh(charge).value();
        plant.openDoor(1);
        plant.putIntoOven(charge, 1).charge();
        for (int t = 0; t < LOADING_S; t++) {
            run(1.0, Double.NaN, damper);
        }
        plant.closeDoor(1);
        return toldKg;
    }

    @Override
    public OvenAir second(double airC, double damper, boolean doorOpen) {
        if (doorOpen) {
            plant.openDoor(1);
        } else {
            plant.closeDoor(1);
        }
        run(1.0, doorOpen ? Double.NaN : airC, damper);
        Sensing seen = plant.sensing();
        return new OvenAir(
                seen.airC[0],
                seen.exhaustC[0],
                seen.exhaustRh[0],
                seen.roomC,
                seen.roomRh,
                seen.roomPressureKPa,
                StudyBatch.freshM3PerH(damper),
                seen.airflowProven[0] ? 1.0 : 0.0,
                doorOpen,
                seen.scaleKg[0],
                tareKg);
    }

    private void run(double elapsedS, double airC, double damper) {
        at.damper[0] = damper;
        double measuredC = plant.sensing().airC[0];
        if (Double.isNaN(airC)) {
            targetC = Double.NaN;
            pid = new PidState(0.0, pid.integral(), 0.0, Double.NaN);
        } else {
            double from = !Double.isNaN(targetC) ? targetC : measuredC;
            double reach = reachKPerS * elapsedS;
            targetC = Math.clamp(airC, from - reach, from + reach);
            pid = Pid.step(tuning, OutputLimits.SHARE, pid, targetC, measuredC, 0.0, elapsedS);
        }
        int steps = (int) Math.round(elapsedS * STEPS_PER_S);
        for (int i = 0; i < steps; i++) {
            pulse =
                    Double.isNaN(airC)
                            ? pulses.off(pulse, 100)
                            : pulses.step(pulse, pid.output(), 100);
            at.heater[0] = pulse.on();
            plant.step(STEP_S, at);
        }
    }

    @Override
    public void turn() {
        plant.swapTrays(1).charge();
    }

    @Override
    public void takeOut(Work work, double forS) {
        plant.takeOut(1).charge();
        outside = true;
        plant.closeDoor(1);
        switch (work) {
            case ROLL -> plant.roll(charge, forS / 60.0).charge();
            case SHAPE -> plant.shape(charge, forS / 60.0).charge();
            case REST -> plant.rest(charge).charge();
        }
    }

    @Override
    public OvenAir bench(double elapsedS, double ovenC, double damper) {
        run(elapsedS, ovenC, damper);
        Sensing seen = plant.sensing();
        return OvenAir.bench(seen.roomC, seen.roomRh, seen.roomPressureKPa);
    }

    @Override
    public double workedAndWeighed(Work work, double forS) {
        plant.layOnBench(charge).charge();
        return plant.weigh(charge).value();
    }

    @Override
    public void putBack() {
        outside = false;
        plant.openDoor(1);
        plant.putIntoOven(charge, 1).charge();
    }

    @Override
    public double sample(double sd) {
        return outside
                ? plant.handSample(charge, PLACES).value()
                : plant.handSampleFromOven(1, PLACES).value();
    }

    @Override
    public double moisture() {
        return plant.charge(charge).moistureWb;
    }
}
