package steamleaf.bench;

import java.lang.management.ManagementFactory;
import java.util.Collection;
import java.util.List;
import org.openjdk.jmh.infra.BenchmarkParams;
import org.openjdk.jmh.infra.IterationParams;
import org.openjdk.jmh.profile.InternalProfiler;
import org.openjdk.jmh.results.AggregationPolicy;
import org.openjdk.jmh.results.IterationResult;
import org.openjdk.jmh.results.Result;
import org.openjdk.jmh.results.ScalarResult;

/**
 * What one shot takes in CPU time and allocates, beside the wall time that JMH shows. The thread's
 * own counters are read around the measured loop: they know nothing of the setting up, and CPU time
 * does not count who else is on the machine.
 */
public final class Shot implements InternalProfiler {
    /** Ten minutes of line time. */
    static final int CYCLES = 6000;

    private static final com.sun.management.ThreadMXBean THREADS =
            (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();

    private static volatile double cpuMicros;
    private static volatile double bytes;

    private static long bytesBefore;
    private static long cpuBeforeNs;

    static void begins() {
        bytesBefore = THREADS.getCurrentThreadAllocatedBytes();
        cpuBeforeNs = THREADS.getCurrentThreadCpuTime();
    }

    static void ends(int operations) {
        cpuMicros = (THREADS.getCurrentThreadCpuTime() - cpuBeforeNs) / 1e3 / operations;
        bytes = (THREADS.getCurrentThreadAllocatedBytes() - bytesBefore) / (double) operations;
    }

    @Override
    public String getDescription() {
        return "CPU time and bytes of the measured loop's own thread";
    }

    @Override
    public void beforeIteration(BenchmarkParams benchmark, IterationParams iteration) {
        cpuMicros = Double.NaN;
        bytes = Double.NaN;
    }

    @Override
    public Collection<? extends Result<?>> afterIteration(
            BenchmarkParams benchmark, IterationParams iteration, IterationResult result) {
        return List.of(
                new ScalarResult("cpu", cpuMicros, "us/op", AggregationPolicy.AVG),
                new ScalarResult("allocated", bytes, "B/op", AggregationPolicy.AVG));
    }
}
