package steamleaf.sim.plant;

/** Prints the lumped figures of one hand-driven stock batch. Run by hand. */
final class Tuning {
    private Tuning() {}

    public static void main(String[] args) {
        PlantSettings settings =
                switch (PlantYaml.read(
                        args.length > 0 ? args[0] : "", "override", PlantSettings.stock())) {
                    case PlantYaml.Read(PlantSettings read) -> read;
                    case PlantYaml.Refused(var mistakes) ->
                            throw new IllegalArgumentException(String.join("\n", mistakes));
                };
        HandDriven line = new HandDriven(settings, 1);
        double[] before = {
            line.plant.energyInsideJ(), line.plant.waterInsideKg(), line.plant.dryInsideKg()
        };
        line.ready();
        line.in.fan[0] = true;
        line.in.damper[0] = 1;
        line.airSetC = 80;
        line.run(900);
        System.out.printf(
                "empty oven: air %.1f exhaust %.1f wall %.1f W %.0f flow %.0f kWh %.2f%n",
                line.plant.truth(1).airC,
                line.plant.truth(1).exhaustC,
                line.plant.truth(1).wallC,
                line.plant.truth(1).heaterW,
                line.plant.truth(1).airflowM3PerH,
                line.plant.ledger().electricJ / 3.6e6);
        int charge = line.steam(3.85, 45);
        show(line, charge, "steamed");
        line.plant.spreadOnCoolingTable(charge);
        double t = line.plant.timeS();
        while (line.plant.charge(charge).temperatureC > 34 && line.plant.timeS() < t + 1200) {
            line.run(1);
        }
        System.out.printf("cooled in %.0f s%n", line.plant.timeS() - t);
        show(line, charge, "cooled");
        double kwh = line.plant.ledger().electricJ;
        stage(line, charge, 80, 1, 38, 0.50);
        line.plant.roll(charge, 30);
        line.run(1801);
        show(line, charge, "rolled");
        stage(line, charge, 70, damper(settings, 150), Double.NaN, 0.25);
        line.plant.shape(charge, 15);
        line.run(901);
        show(line, charge, "shaped");
        stage(line, charge, 60, damper(settings, 120), Double.NaN, 0.13);
        line.plant.rest(charge);
        line.run(1800);
        show(line, charge, "rested");
        stage(line, charge, 75, damper(settings, 60), Double.NaN, 0.05);
        line.plant.spreadOnCoolingTable(charge);
        line.run(600);
        show(line, charge, "cooled");
        System.out.printf(
                "kWh after steaming %.2f, all %.2f, steam %.2f kg, hours %.2f%n",
                (line.plant.ledger().electricJ - kwh) / 3.6e6,
                line.plant.ledger().electricJ / 3.6e6,
                line.plant.ledger().steamKg,
                line.plant.timeS() / 3600);
        line.plant.layOnBench(charge);
        line.run(1800);
        show(line, charge, "30 min bench");
        Ledger l = line.plant.ledger();
        System.out.printf(
                "energy residual %.3e water %.3e dry %.3e%n",
                line.plant.energyInsideJ() - before[0] - l.energyInJ + l.energyOutJ,
                line.plant.waterInsideKg() - before[1] - l.waterInKg + l.waterOutKg,
                line.plant.dryInsideKg() - l.dryInKg + l.dryOutKg);
        if (args.length < 1) {
            speed(settings);
        }
    }

    static double damper(PlantSettings s, double m3PerH) {
        double share =
                (m3PerH - s.oven().freshClosedM3PerH())
                        / (s.oven().freshOpenM3PerH() - s.oven().freshClosedM3PerH());
        return Math.pow(share, 1 / s.oven().damperExponent());
    }

    static void stage(
            HandDriven line, int charge, double air, double damper, double leaf, double until) {
        double kwh = line.plant.ledger().electricJ;
        double minutes = line.dry(charge, air, damper, leaf, until, 240);
        System.out.printf(
                "stage %.0f C damper %.2f to %.2f: %.1f min, %.2f kWh%n",
                air, damper, until, minutes, (line.plant.ledger().electricJ - kwh) / 3.6e6);
        show(line, charge, "dried");
    }

    static void show(HandDriven line, int charge, String what) {
        LeafTruth t = line.plant.charge(charge);
        System.out.printf(
                "  %-12s %.1f C, m %.3f (blade %.3f stem %.3f sd %.4f trays %.3f-%.3f wettest %.3f) water %.3f dry %.4f mass %.3f enzyme %.2e dwell %.1f%n",
                what,
                t.temperatureC,
                t.moistureWb,
                t.bladeWb,
                t.stemWb,
                t.spreadWb,
                t.driestTrayWb,
                t.wettestTrayWb,
                t.wettestWb,
                t.waterKg,
                t.dryKg,
                t.waterKg + t.dryKg,
                t.enzymeLeft,
                t.dwellS);
    }

    static void speed(PlantSettings settings) {
        HandDriven line = new HandDriven(settings, 2).ready();
        int charge = line.steam(3.6, 45);
        line.in.fan[0] = true;
        line.in.damper[0] = 0.5;
        line.plant.openDoor(1);
        line.plant.putIntoOven(charge, 1);
        line.plant.closeDoor(1);
        int second = line.steam(3.6, 45);
        line.in.fan[1] = true;
        line.in.damper[1] = 0.5;
        line.plant.openDoor(2);
        line.plant.putIntoOven(second, 2);
        line.plant.closeDoor(2);
        line.in.heater[0] = false;
        for (int r = 0; r < 6; r++) {
            long start = System.nanoTime();
            for (int i = 0; i < 200_000; i++) {
                line.in.watchdogEdges = 1;
                line.in.heater[0] = i % 20 < 8;
                line.in.heater[1] = i % 20 < 8;
                line.plant.step(0.1, line.in);
            }
            System.out.printf(
                    "%.2f us per step (2 loaded)  leaf %.3f%n",
                    (System.nanoTime() - start) / 200_000.0 / 1000.0,
                    line.plant.charge(charge).moistureWb);
        }
    }
}
