package steamleaf.bench;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import steamleaf.bench.study.Sensors;
import steamleaf.bench.study.Structure;
import steamleaf.bench.study.Study;
import steamleaf.bench.study.StudySummary;
import steamleaf.contract.Codec;

/**
 * {@code study}: the moisture estimate on random plants; writes {@code summary.json}, {@code
 * runs.csv} and {@code plot.svg}.
 */
public final class StudyCommand {
    private static final int MOST_RUNS = 100_000;
    private static final int MOST_LEARNED = 24;

    private StudyCommand() {}

    public static void main(String[] args) throws IOException {
        Quiet.logs();
        System.exit(run(args, System.out, System.err));
    }

    static int run(String[] args, PrintStream out, PrintStream err) throws IOException {
        Options options =
                new Options(
                        args,
                        List.of("runs", "sensors", "structure", "seed", "learned", "out"),
                        List.of());
        long runs = options.whole("runs", 60, 1, MOST_RUNS);
        long seed = options.whole("seed", 1, 0, Long.MAX_VALUE);
        long learned = options.whole("learned", 0, 0, MOST_LEARNED);
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
        Study study =
                Study.of(
                        new Study.Order(
                                (int) runs,
                                sensors,
                                structure,
                                seed,
                                (int) learned,
                                BenchCommand.stock().line().ovenLoops().getFirst()));
        Path to = Path.of(folder);
        Files.createDirectories(to);
        StudySummary summary = study.summary();
        Files.write(to.resolve("summary.json"), Codec.pretty(summary));
        Files.writeString(to.resolve("runs.csv"), study.csv());
        Files.writeString(to.resolve("plot.svg"), study.svg());
        out.println(sentence(summary, to));
        return BenchCommand.COMPLETE;
    }

    private static String sentence(StudySummary s, Path to) {
        return String.format(
                Locale.ROOT,
                "%d %s plants, %s: error %.2f points rms (bias %+.2f), bound %.2f, ratio %.2f, squared error %.2f"
                        + " of the stated variance, %.1f %% inside the band; %s",
                s.runs(),
                s.structure(),
                s.sensors(),
                s.rmsErrorPoints(),
                s.biasPoints(),
                s.cramerRaoPoints(),
                s.ratio(),
                s.meanNees(),
                100.0 * s.shareInsideBand(),
                to);
    }
}
