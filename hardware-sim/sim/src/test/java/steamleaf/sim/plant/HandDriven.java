package steamleaf.sim.plant;

/**
 * A plant driven by a simple thermostat that reads the truth, so that the plant can be tried
 * without any program. Not a controller: it holds the leaf's limit and the air's temperature
 * because the lumped figures of the design assume so.
 */
final class HandDriven {
    static final double STEP_S = 0.1;
    final Plant plant;
    final Actuation in;
    double airSetC = Double.NaN;
    double leafLimitC = Double.NaN;
    private double[] integral;

    HandDriven(PlantSettings settings, long seed) {
        plant = new Plant(settings, seed);
        in = new Actuation(settings.ovens());
        integral = new double[settings.ovens()];
    }

    /** Powers up: edges, one press of reset, contactor. */
    HandDriven ready() {
        plant.permitKey(true);
        run(2.5);
        plant.hold(Button.RESET, true);
        run(0.2);
        plant.hold(Button.RESET, false);
        in.contactorCoil = true;
        run(0.5);
        return this;
    }

    void run(double seconds) {
        long steps = Math.round(seconds / STEP_S);
        for (long i = 0; i < steps; i++) {
            step();
        }
    }

    void step() {
        in.watchdogEdges = 1;
        if (!Double.isNaN(airSetC)) {
            thermostat(1);
        }
        plant.step(STEP_S, in);
    }

    /** Time-proportioned over 2 s; the limit on the leaf lowers the set-point. */
    private void thermostat(int oven) {
        long tick = Math.round(plant.timeS() / STEP_S);
        if (tick % 20 == 0) {
            UnitTruth truth = plant.truth(oven);
            double set = airSetC;
            if (!Double.isNaN(leafLimitC) && truth.leaf.present) {
                set = Math.min(set, truth.airC + 4 * (leafLimitC - 0.3 - truth.leaf.temperatureC));
            }
            double error = set - truth.airC;
            integral[oven - 1] = Math.clamp(integral[oven - 1] + error * 2 / 300 * 0.15, 0, 1);
            duty = Math.clamp(0.15 * error + integral[oven - 1], 0, 1);
        }
        in.heater[oven - 1] = (tick % 20) < Math.round(20 * duty) && !plant.truth(oven).doorOpen;
    }

    private double duty;

    /** Steams a lot and puts it on the bench. */
    int steam(double massKg, double dwellS) {
        PlantSettings settings = plant.settings();
        in.extractor = true;
        in.steamValve = true;
        in.secondSteamValve = true;
        in.beltRun = true;
        in.beltSpeed =
                settings.steamer().beltLengthM() / dwellS / settings.steamer().beltFullMPerS();
        run(180);
        int charge = plant.loadSteamer(massKg, LeafSpec.of(settings.leaf())).charge();
        while (plant.steamerBusy()) {
            step();
        }
        in.steamValve = false;
        in.secondSteamValve = false;
        in.beltRun = false;
        plant.takeFromSteamer();
        return charge;
    }

    /**
     * Dries in oven 1 down to a moisture, turning every ten minutes; answers with the minutes it
     * took.
     */
    double dry(
            int charge, double airC, double damper, double leafC, double untilWb, double maxMin) {
        in.fan[0] = true;
        in.damper[0] = damper;
        plant.openDoor(1);
        plant.putIntoOven(charge, 1);
        plant.closeDoor(1);
        airSetC = airC;
        leafLimitC = leafC;
        double start = plant.timeS();
        long next = 10;
        while (plant.charge(charge).moistureWb > untilWb && plant.timeS() - start < 60 * maxMin) {
            run(1);
            if (plant.timeS() - start > 60.0 * next) {
                next += 10;
                plant.openDoor(1);
                in.heater[0] = false;
                run(15);
                plant.swapTrays(1);
                plant.closeDoor(1);
            }
        }
        double minutes = (plant.timeS() - start) / 60;
        plant.openDoor(1);
        run(5);
        plant.takeOut(1);
        plant.closeDoor(1);
        airSetC = Double.NaN;
        in.heater[0] = false;
        return minutes;
    }
}
