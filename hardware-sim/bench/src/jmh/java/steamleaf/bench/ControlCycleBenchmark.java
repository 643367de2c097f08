package steamleaf.bench;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
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
import steamleaf.core.cycle.CycleInput;
import steamleaf.core.cycle.CycleResult;
import steamleaf.core.cycle.Line;
import steamleaf.core.cycle.LineState;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/**
 * The control cycle alone, from readings to allowed outputs: estimates, batch, loops, guard and
 * alarms. Ten minutes of readings are recorded on the simulated line once; every shot starts from a
 * line that was brought to the same moment anew, because the estimate is changed in place.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.SingleShotTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Warmup(iterations = 8)
@Measurement(iterations = 12)
@Fork(2)
public class ControlCycleBenchmark {
    /** Ovens, and how many of them dry. */
    @Param({"3/3", "8/6"})
    public String ovensAndDrying = "";

    private final List<Readings> recorded = new ArrayList<>();
    private CycleResult recordedEnd;
    private Line line;
    private LineState state;
    private long cycle;
    private CycleResult end;

    @Setup(Level.Trial)
    public void record() {
        try (WideLine wide = begin()) {
            Rig rig = wide.rig();
            for (int i = 0; i < Shot.CYCLES; i++) {
                rig.cycle();
                recorded.add(Objects.requireNonNull(rig.controller().lastReadings()));
            }
            recordedEnd = rig.result();
        }
    }

    @Setup(Level.Invocation)
    public void back() {
        try (WideLine wide = begin()) {
            line = new Line(wide.config().line(), wide.config().guard());
            state = wide.rig().result().state();
            cycle = wide.rig().controller().cycleNumber();
        }
    }

    private WideLine begin() {
        String[] both = ovensAndDrying.split("/");
        return WideLine.withDrying(Integer.parseInt(both[0]), Integer.parseInt(both[1]));
    }

    @Benchmark
    @OperationsPerInvocation(Shot.CYCLES)
    public CycleResult tenMinutes() {
        Shot.begins();
        LineState now = state;
        CycleResult result = null;
        for (int i = 0; i < Shot.CYCLES; i++) {
            result =
                    line.step(
                            now,
                            new CycleInput(
                                    cycle + i + 1,
                                    Rig.CYCLE_S,
                                    false,
                                    recorded.get(i),
                                    List.of(),
                                    List.of()));
            now = result.state();
        }
        Shot.ends(Shot.CYCLES);
        end = result;
        return result;
    }

    /** The replay has to end where the recording did, or something else was measured. */
    @TearDown(Level.Invocation)
    public void check() {
        Readings last = recorded.getLast();
        for (int n = 1; n <= end.outputs().ovens().size(); n++) {
            UnitId oven = UnitId.oven(n);
            var replayed = line.view(end, oven, last).moisture();
            var lived = line.view(recordedEnd, oven, last).moisture();
            if (!Objects.equals(replayed, lived) || !end.outputs().ovens().equals(recordedEnd.outputs().ovens())) {
                throw new IllegalStateException(
                        oven.label() + ": replayed " + replayed + ", recorded " + lived);
            }
        }
    }
}
