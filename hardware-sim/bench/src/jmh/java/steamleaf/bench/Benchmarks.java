package steamleaf.bench;

import java.util.Collection;
import org.openjdk.jmh.results.Result;
import org.openjdk.jmh.results.RunResult;
import org.openjdk.jmh.runner.Runner;
import org.openjdk.jmh.runner.RunnerException;
import org.openjdk.jmh.runner.options.CommandLineOptionException;
import org.openjdk.jmh.runner.options.CommandLineOptions;
import org.openjdk.jmh.runner.options.OptionsBuilder;

/**
 * Runs the benchmarks whose names fit the arguments, all without any; takes JMH's options. Ends with
 * one line each.
 */
public final class Benchmarks {
    private Benchmarks() {}

    public static void main(String[] args) throws RunnerException, CommandLineOptionException {
        Collection<RunResult> results =
                new Runner(
                                new OptionsBuilder()
                                        .parent(new CommandLineOptions(args))
                                        .addProfiler(Shot.class)
                                        .build())
                        .run();
        System.out.printf(
                "%n%-34s %6s %18s %16s %10s%n", "", "ovens", "wall µs", "CPU µs", "bytes");
        for (RunResult result : results) {
            String name = result.getParams().getBenchmark();
            String ovens = result.getParams().getParam("ovensAndDrying");
            Result<?> wall = result.getPrimaryResult();
            Result<?> cpu = result.getSecondaryResults().get("cpu");
            Result<?> bytes = result.getSecondaryResults().get("allocated");
            System.out.printf(
                    "%-34s %6s %10.2f ± %5.2f %8.2f ± %5.2f %10.0f%n",
                    name.substring("steamleaf.bench.".length()).replace("Benchmark", ""),
                    ovens == null ? "" : ovens,
                    wall.getScore(),
                    wall.getScoreError(),
                    cpu.getScore(),
                    cpu.getScoreError(),
                    bytes.getScore());
        }
    }
}
