package steamleaf.bench;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Locale;
import java.util.logging.Level;
import java.util.logging.Logger;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.fault.FaultKind;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;

/**
 * How long from a bad value in an air chip's register to the heater's pin off: cycles of line time
 * between, and CPU time of the cycle that does it, plant step to watchdog edge. {@code Reaction N DIR}.
 */
public final class Reaction {
    private static final UnitId OVEN = UnitId.oven(1);

    private Reaction() {}

    public static void main(String[] args) throws IOException {
        Quiet.logs();
        Logger.getLogger("steamleaf").setLevel(Level.SEVERE);
        ThreadMXBean cpu = ManagementFactory.getThreadMXBean();
        int times = Integer.parseInt(args[0]);
        Path folder = Path.of(args[1]);
        long[] cpuNs = new long[times];
        int mostCycles = 0;
        for (int i = 0; i < times; i++) {
            Path journal = folder.resolve("journal");
            BenchCommand.remove(journal);
            Files.createDirectories(folder);
            PlantSettings settings = PlantSettings.drawn(i);
            try (SimulatedLine line = SimulatedLine.open(settings, Board.stock(), i);
                    Rig rig =
                            Rig.alone(
                                    line,
                                    BenchCommand.stock(),
                                    journal,
                                    "j-reaction",
                                    BenchRun.BEGUN)) {
                warm(rig, settings, i);
                line.faults().inject("oven-1.air", FaultKind.OPEN, 60);
                int cycles = 0;
                while (heats(rig)) {
                    long beganNs = cpu.getCurrentThreadCpuTime();
                    rig.cycle();
                    cpuNs[i] = cpu.getCurrentThreadCpuTime() - beganNs;
                    cycles++;
                }
                mostCycles = Math.max(mostCycles, cycles);
            }
        }
        cpuNs = Arrays.copyOfRange(cpuNs, times / 10, times); // the first ones warm the machine
        Arrays.sort(cpuNs);
        System.out.printf(
                Locale.ROOT,
                "%d times: pin off in cycle %d at most after the register changed; that cycle, plant"
                        + " step included, took %.3f ms of CPU time (median), %.3f ms (longest)%n",
                times,
                mostCycles,
                cpuNs[cpuNs.length / 2] / 1e6,
                cpuNs[cpuNs.length - 1] / 1e6);
    }

    private static void warm(Rig rig, PlantSettings settings, int odd) {
        Plant plant = rig.line().plant();
        Hands hands = new Hands(plant, rig, Hands.Help.ALL, _ -> {});
        rig.cycle();
        hands.beginDay();
        hands.runBatch(BenchRun.lot(settings), "light", OVEN, BenchRun.chargeKg(settings));
        int heated = 0;
        for (long cycle = 2; heated < 50 + odd % 40 || !heats(rig); cycle++) {
            rig.cycle();
            heated += heats(rig) ? 1 : 0;
            if (cycle % 5 == 0) {
                hands.look();
            }
        }
    }

    private static boolean heats(Rig rig) {
        return rig.result().outputs().ovens().getFirst().heater();
    }
}
