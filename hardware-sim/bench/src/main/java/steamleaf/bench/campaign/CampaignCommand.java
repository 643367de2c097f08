package steamleaf.bench.campaign;

import java.io.IOException;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import steamleaf.bench.BenchCommand;
import steamleaf.bench.Options;
import steamleaf.bench.Quiet;
import steamleaf.contract.Codec;

/**
 * {@code campaign}: breaks things in copies of many batches and looks at every cycle; writes {@code
 * summary.json}, and for each failure a fault file that {@code bench --faults} replays.
 */
public final class CampaignCommand {
    static final int CLEAN = 0;
    static final int FAILED = 1;
    static final int MISTAKEN = 2;
    private static final int MOST_FILES = 200;

    private CampaignCommand() {}

    public static void main(String[] args) throws IOException, InterruptedException {
        Quiet.logs();
        Quiet.broken();
        System.exit(run(args, System.out, System.err));
    }

    static int run(String[] args, PrintStream out, PrintStream err)
            throws IOException, InterruptedException {
        Options options = new Options(args, List.of("runs", "seed", "out", "threads"), List.of());
        int runs = (int) options.whole("runs", 300, 1, 1_000_000);
        long seed = options.whole("seed", 1, 0, 1L << 40);
        int processors = Runtime.getRuntime().availableProcessors();
        int threads = (int) options.whole("threads", processors, 1, 256);
        String folder = options.folder("out", "the folder to write to");
        if (!options.mistakes().isEmpty()) {
            options.mistakes().forEach(err::println);
            return MISTAKEN;
        }
        Path to = Path.of(folder);
        Path failures = to.resolve("failures");
        BenchCommand.remove(failures);
        Files.createDirectories(failures);
        Path people = to.resolve("people");
        BenchCommand.remove(people);
        Files.createDirectories(people);
        long beganNs = System.nanoTime();
        int[] number = {0, 0};
        Campaign.Outcome outcome =
                new Campaign(
                                BenchCommand.stock(),
                                seed,
                                threads,
                                out::println,
                                window -> {
                                    if (++number[0] <= MOST_FILES) {
                                        Path file = failures.resolve(number[0] + ".yaml");
                                        tell("FAILED", window, file, out);
                                    }
                                },
                                window -> {
                                    if (++number[1] <= MOST_FILES) {
                                        Path file = people.resolve(number[1] + ".yaml");
                                        tell("the scripted people failed:", window, file, out);
                                    }
                                })
                        .run(runs);
        double wallS = (System.nanoTime() - beganNs) / 1e9;
        Files.write(to.resolve("summary.json"), Codec.pretty(Report.of(runs, seed, outcome)));
        out.println(sentence(outcome, wallS));
        return outcome.failed().isEmpty() ? CLEAN : FAILED;
    }

    private static void tell(String head, Shift.Window window, Path file, PrintStream out) {
        StringBuilder text = new StringBuilder();
        text.append("# ").append(window.story()).append('\n');
        for (Finding finding : window.findings()) {
            text.append("# ").append(finding).append('\n');
        }
        text.append("# ").append(replay(window, file)).append('\n');
        text.append(window.faults());
        try {
            Files.writeString(file, text);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        out.println(head + " " + window.story());
        for (Finding finding : window.findings()) {
            out.println("  " + finding);
        }
        out.println("  " + replay(window, file));
    }

    private static String replay(Shift.Window window, Path file) {
        return "./steamleaf bench --recipe "
                + window.recipe()
                + " --seed "
                + window.seed()
                + " --faults "
                + file
                + " --out out/replay";
    }

    private static String sentence(Campaign.Outcome o, double wallS) {
        StringBuilder text = new StringBuilder();
        text.append(
                String.format(
                        Locale.ROOT,
                        "%d windows and %d whole batches in %d batches, %.0f h of line time in"
                                + " %.0f s: %d failed; %d of %d cells (component, kind, stage), %d"
                                + " cells and %d pairs not reached; %d faults never began, %d when"
                                + " their batch was over; the scripted people failed in %d; a snapshot"
                                + " took %.0f ms",
                        o.windows(),
                        o.wholeBatches(),
                        o.batches(),
                        o.simulatedH(),
                        wallS,
                        o.failed().size(),
                        o.cellsTold(),
                        o.cells(),
                        o.notReached().size(),
                        o.pairsNotReached(),
                        o.faultsNotBegun(),
                        o.faultsAfterBatch(),
                        o.peopleFailed(),
                        o.snapshotMs()));
        o.byCheck()
                .forEach(
                        (check, count) ->
                                text.append("\n  ").append(count).append(" × ").append(check));
        o.uncovered()
                .forEach(
                        (set, count) ->
                                text.append("\n  left to hard wiring: ")
                                        .append(count)
                                        .append(" × ")
                                        .append(set));
        o.peopleFailedBy()
                .forEach(
                        (what, count) ->
                                text.append("\n  the scripted people: ")
                                        .append(count)
                                        .append(" × ")
                                        .append(what));
        return text.toString();
    }
}
