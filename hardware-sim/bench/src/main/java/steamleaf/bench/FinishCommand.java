package steamleaf.bench;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import steamleaf.bench.study.FinishStudy;
import steamleaf.bench.study.Sensors;
import steamleaf.bench.study.Structure;
import steamleaf.contract.Codec;

/**
 * {@code finish}: how near to a wanted time random batches end; writes {@code summary.json} and
 * {@code runs.csv}.
 */
public final class FinishCommand {
    private static final int MOST_RUNS = 100_000;
    private static final int MOST_MIN = 600;

    private FinishCommand() {}

    public static void main(String[] args) throws IOException {
        Quiet.logs();
        System.exit(run(args, System.out, System.err));
    }

    static int run(String[] args, PrintStream out, PrintStream err) throws IOException {
        Options options =
                new Options(
                        args,
                        List.of("runs", "sensors", "structure", "seed", "ahead", "trim", "out"),
                        List.of());
        long runs = options.whole("runs", 60, 1, MOST_RUNS);
        long seed = options.whole("seed", 1, 0, Long.MAX_VALUE);
        long aheadMin = options.whole("ahead", 120, 5, MOST_MIN);
        long trimMin = options.whole("trim", 5, 0, MOST_MIN);
        String folder = options.required("out", "the folder to write to");
        String sensorsWord = options.required("sensors", "one of " + Sensors.words());
        Sensors sensors = Sensors.of(sensorsWord);
        if (sensors == null && !sensorsWord.isEmpty()) {
            options.mistake("--sensors " + sensorsWord + ", allowed: " + Sensors.words());
        }
        String structureWord = options.text("structure", Structure.DIFFUSING.word());
        Structure structure = Structure.of(structureWord);
        if (structure == null) {
            options.mistake("--structure " + structureWord + ", allowed: " + Structure.words());
        }
        if (!options.mistakes().isEmpty() || sensors == null || structure == null) {
            options.mistakes().forEach(err::println);
            return BenchCommand.MISTAKEN;
        }
        FinishStudy study =
                FinishStudy.of(
                        new FinishStudy.Order(
                                (int) runs,
                                sensors,
                                structure,
                                seed,
                                BenchCommand.stock().line().ovenLoops().getFirst(),
                                aheadMin,
                                trimMin));
        Path to = Path.of(folder);
        Files.createDirectories(to);
        FinishStudy.Summary summary = study.summary();
        Files.write(to.resolve("summary.json"), Codec.pretty(summary));
        Files.writeString(to.resolve("runs.csv"), study.csv());
        out.println(sentence(summary, to));
        return BenchCommand.COMPLETE;
    }

    private static String sentence(FinishStudy.Summary s, Path to) {
        return String.format(
                Locale.ROOT,
                "%d %s plants, %s, asked %.0f min ahead (%d as asked, the others as near as promised): off by %.1f min rms (bias %+.1f, worst"
                        + " %.1f), %.0f %% within 5 min; %s",
                s.runs(),
                s.structure(),
                s.sensors(),
                s.aheadMin(),
                s.promised(),
                s.rmsMin(),
                s.biasMin(),
                s.worstMin(),
                100.0 * s.shareWithin5Min(),
                to);
    }
}
