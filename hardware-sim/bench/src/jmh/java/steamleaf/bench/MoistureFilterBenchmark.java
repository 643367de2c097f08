package steamleaf.bench;

import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OperationsPerInvocation;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.estimate.OvenAir;

/**
 * One step of the moisture filter with humidity and scale, over and over the first half hour of a
 * drying, each time from the same loaded filter.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.SingleShotTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Warmup(iterations = 8)
@Measurement(iterations = 12)
@Fork(2)
public class MoistureFilterBenchmark {
    private static final int STEPS = 1800;
    private static final int TIMES = 100;

    private final MoistureFilter fresh = new MoistureFilter(LeafParameters.STOCK, Band.GREEN_TEA);
    private final MoistureFilter filter = new MoistureFilter(LeafParameters.STOCK, Band.GREEN_TEA);
    private final OvenAir[] air = new OvenAir[STEPS];

    /** Leaf that loses 40 % of its mass in half an hour; a damper at three quarters. */
    @Setup
    public void load() {
        fresh.load(4.0, 0.01, 0.78, 0.015);
        for (int i = 0; i < STEPS; i++) {
            double scaleKg = 6.0 + 4.0 * (1.0 - 0.4 * i / STEPS);
            air[i] = new OvenAir(75, 70, 0.2, 24, 0.55, 99, 150, 1, false, scaleKg, 6.0);
        }
    }

    @Benchmark
    @OperationsPerInvocation(TIMES * STEPS)
    public double halfHour() {
        Shot.begins();
        for (int time = 0; time < TIMES; time++) {
            fresh.copyTo(filter);
            for (int i = 0; i < STEPS; i++) {
                filter.step(air[i], 1.0);
            }
        }
        Shot.ends(TIMES * STEPS);
        return filter.moisture();
    }
}
