package steamleaf.bench;

import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Level;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OperationsPerInvocation;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.TearDown;
import org.openjdk.jmh.annotations.Warmup;
import steamleaf.app.io.Hardware;
import steamleaf.core.cycle.CycleResult;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.plant.Actuation;
import steamleaf.sim.plant.Plant;

/**
 * The parts around the control cycle in ten minutes of drying: the plant, the simulated chips, scan
 * and drive on them, and everything together.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.SingleShotTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Warmup(iterations = 8)
@Measurement(iterations = 12)
@Fork(2)
public class LineBenchmark {
    /** Ovens, and how many of them dry. */
    @Param({"3/3", "8/6"})
    public String ovensAndDrying = "";

    private WideLine wide;
    private SimulatedLine line;
    private Hardware hardware;
    private CycleResult result;
    private Actuation levels;
    private long cycle;

    @Setup(Level.Invocation)
    public void begin() {
        String[] both = ovensAndDrying.split("/");
        wide = WideLine.withDrying(Integer.parseInt(both[0]), Integer.parseInt(both[1]));
        line = wide.rig().line();
        hardware = wide.rig().hardware();
        result = wide.rig().result();
        cycle = wide.rig().controller().cycleNumber();
        levels = new Actuation(wide.ovens());
        line.circuit().carryOut(levels);
    }

    @TearDown(Level.Invocation)
    public void end() {
        wide.close();
    }

    /** Plant, chips, controller, journal. */
    @Benchmark
    @OperationsPerInvocation(Shot.CYCLES)
    public CycleResult closedLoop() {
        Shot.begins();
        for (int i = 0; i < Shot.CYCLES; i++) {
            wide.rig().cycle();
        }
        Shot.ends(Shot.CYCLES);
        return wide.rig().result();
    }

    /** The differential equations alone, with the levels as they stood. */
    @Benchmark
    @OperationsPerInvocation(Shot.CYCLES)
    public double plant() {
        Shot.begins();
        Plant plant = line.plant();
        for (int i = 0; i < Shot.CYCLES; i++) {
            plant.step(Rig.CYCLE_S, levels);
        }
        Shot.ends(Shot.CYCLES);
        return plant.timeS();
    }

    /** Levels to the plant, sensing elements to the chips, the chips' conversions; no plant. */
    @Benchmark
    @OperationsPerInvocation(Shot.CYCLES)
    public Actuation chips() {
        Shot.begins();
        for (int i = 0; i < Shot.CYCLES; i++) {
            line.circuit().carryOut(levels);
            line.circuit().carryIn(line.plant().sensing(), Rig.CYCLE_S);
        }
        Shot.ends(Shot.CYCLES);
        return levels;
    }

    /** As {@link #chips}, read and driven by the controller's drivers as in a cycle. */
    @Benchmark
    @OperationsPerInvocation(Shot.CYCLES)
    public long chipsScanAndDrive() {
        Shot.begins();
        long good = 0;
        for (int i = 0; i < Shot.CYCLES; i++) {
            line.circuit().carryOut(levels);
            line.circuit().carryIn(line.plant().sensing(), Rig.CYCLE_S);
            good += hardware.scan().scan(cycle + i + 1).hashCode() & 1;
            hardware.drive().apply(result.outputs(), result.annunciation());
            hardware.drive().pulse();
        }
        Shot.ends(Shot.CYCLES);
        return good;
    }
}
