package steamleaf.sim.plant;

import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;

/**
 * Measures the processor time of a plant step: steamer and three ovens, none, one and two of them
 * with leaf. Run by hand:
 *
 * <pre>
 *   mvn -o -q -pl hardware-sim/sim -am test-compile
 *   java -cp hardware-sim/sim/target/classes:hardware-sim/sim/target/test-classes steamleaf.sim.plant.PlantSpeed
 * </pre>
 */
final class PlantSpeed {
    private static final int STEPS = 300_000; // 8 h 20 min

    private static final ThreadMXBean THREADS = ManagementFactory.getThreadMXBean();

    private PlantSpeed() {}

    public static void main(String[] args) {
        for (int loaded = 0; loaded <= 2; loaded++) {
            HandDriven line = line(loaded);
            double best = Double.POSITIVE_INFINITY;
            for (int run = 0; run < 8; run++) {
                Plant plant = line.plant.copy();
                long start = THREADS.getCurrentThreadCpuTime();
                for (int i = 0; i < STEPS; i++) {
                    line.in.heater[0] = i % 20 < 10;
                    line.in.heater[1] = i % 20 < 10;
                    plant.step(0.1, line.in);
                }
                best = Math.min(best, (THREADS.getCurrentThreadCpuTime() - start) / (double) STEPS);
            }
            System.out.printf(
                    "%d of %d ovens loaded: %.0f ns per step of 0.1 s, %.0f times real time%n",
                    loaded, line.plant.ovens(), best, 1e8 / best);
        }
    }

    private static HandDriven line(int loaded) {
        HandDriven line = new HandDriven(PlantSettings.stock(), 2).ready();
        for (int oven = 1; oven <= loaded; oven++) {
            int charge = line.steam(3.85, 45);
            line.in.fan[oven - 1] = true;
            line.in.damper[oven - 1] = 0.5;
            line.plant.openDoor(oven);
            line.plant.putIntoOven(charge, oven);
            line.plant.closeDoor(oven);
        }
        line.in.watchdogEdges = 1;
        return line;
    }
}
