package steamleaf.bench;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import steamleaf.app.config.Config;
import steamleaf.app.config.ConfigFile;
import steamleaf.app.config.Misconfigured;
import steamleaf.contract.Codec;
import steamleaf.core.batch.Recipe;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.PlantYaml;
import steamleaf.sim.text.FileMistakes;

/**
 * {@code bench}: one batch in handed-in time; writes {@code summary.json}, {@code trace.csv} and
 * {@code journal/}.
 */
public final class BenchCommand {
    static final int COMPLETE = 0;
    static final int NOT_COMPLETE = 1;
    static final int MISTAKEN = 2;

    private BenchCommand() {}

    public static void main(String[] args) throws IOException {
        Quiet.logs();
        System.exit(run(args, System.out, System.err));
    }

    static int run(String[] args, PrintStream out, PrintStream err) throws IOException {
        Options options =
                new Options(
                        args,
                        List.of("recipe", "seed", "plant", "faults", "out", "warm"),
                        List.of());
        long seed = options.whole("seed", 1, 0, Long.MAX_VALUE);
        long warm = options.whole("warm", 0, 0, 1000);
        String recipe = options.required("recipe", "the recipe's name");
        String folder = options.folder("out", "the folder to write to");
        Config config = stock();
        if (!recipe.isEmpty()
                && config.line().batch().recipes().stream()
                        .noneMatch(r -> r.name().equals(recipe))) {
            options.mistake(
                    "--recipe "
                            + recipe
                            + ", allowed: "
                            + String.join(
                                    ", ",
                                    config.line().batch().recipes().stream()
                                            .map(Recipe::name)
                                            .toList()));
        }
        PlantSettings plant = plant(options, seed);
        BenchRun.FaultFile faults = faults(options, plant);
        if (!options.mistakes().isEmpty()) {
            options.mistakes().forEach(err::println);
            return MISTAKEN;
        }
        Path to = Path.of(folder);
        Path journal = to.resolve("journal");
        Files.createDirectories(to);
        BenchRun.Order order = new BenchRun.Order(config, recipe, seed, plant, faults);
        for (long i = 0; i < warm; i++) {
            Path scrap = to.resolve("warming");
            remove(scrap); // of a run that was broken off
            BenchRun.run(order, scrap, to.resolve("warming.csv"));
            remove(scrap);
            Files.delete(to.resolve("warming.csv"));
        }
        remove(journal);
        if (faults != null) {
            Quiet.broken();
        }
        Summary summary = BenchRun.run(order, journal, to.resolve("trace.csv"));
        Files.write(to.resolve("summary.json"), Codec.pretty(summary));
        out.println(sentence(summary, to));
        details(summary).forEach(line -> out.println("  " + line));
        return summary.complete() && summary.unexplained() == 0 ? COMPLETE : NOT_COMPLETE;
    }

    /** What nobody should have to look for in a file. */
    private static List<String> details(Summary s) {
        Map<String, Integer> times = new LinkedHashMap<>();
        Map<String, String> first = new HashMap<>();
        for (Summary.Unsafe one : s.unsafe()) {
            String set = one.leftToHardWiring();
            String head =
                    set == null
                            ? "UNSAFE, not explained: "
                            : "left to hard wiring (" + set + ", docs/limits.md): ";
            String same = head + one.what().substring(one.what().indexOf(" s: "));
            times.merge(same, 1, Integer::sum);
            first.putIfAbsent(same, head + one.what());
        }
        List<String> lines = new ArrayList<>();
        times.forEach((same, n) -> lines.add(first.get(same) + (n > 1 ? ", " + n + " times" : "")));
        s.peopleFailed().forEach(one -> lines.add("scripted people: " + one));
        s.neverBegan().forEach(one -> lines.add("the run ended before " + one));
        return lines;
    }

    private static String sentence(Summary s, Path to) {
        String moisture =
                s.trueMoisturePercentWetBasis() == null
                        ? ""
                        : String.format(
                                Locale.ROOT,
                                ", true moisture %.2f %%, estimate %.2f ± %.2f %%",
                                s.trueMoisturePercentWetBasis(),
                                s.estimatedMoisturePercentWetBasis(),
                                s.estimateStandardDeviation());
        return String.format(
                Locale.ROOT,
                "%s, seed %d: %s%s, %d trips, %d unsafe, %d of them not explained; %.0f s in %.1f s,"
                        + " %.0f times real time; %s",
                s.recipe(),
                s.seed(),
                s.outcome(),
                moisture,
                s.trips().size(),
                s.unsafe().size(),
                s.unexplained(),
                s.simulatedSeconds(),
                s.wallSeconds(),
                s.timesRealTime(),
                to);
    }

    /** The stock line's configuration. */
    public static Config stock() {
        try {
            return ConfigFile.parse("stock configuration", ConfigFile.stock(), Path.of("."));
        } catch (Misconfigured e) {
            throw new IllegalStateException(
                    "the stock configuration has mistakes: " + e.problems(), e);
        }
    }

    private static PlantSettings plant(Options options, long seed) {
        PlantSettings drawn = PlantSettings.drawn(seed);
        String file = options.text("plant");
        String text = file == null ? null : read(options, "plant", file);
        if (file == null || text == null) {
            return drawn;
        }
        return switch (PlantYaml.read(text, file, drawn)) {
            case PlantYaml.Read(PlantSettings settings) -> settings;
            case PlantYaml.Refused(List<String> mistakes) -> {
                mistakes.forEach(options::mistake);
                yield drawn;
            }
        };
    }

    /** The file's components are those of a line, so a line is opened to check it. */
    private static BenchRun.@Nullable FaultFile faults(Options options, PlantSettings plant) {
        String file = options.text("faults");
        String text = file == null ? null : read(options, "faults", file);
        if (file == null || text == null) {
            return null;
        }
        BenchRun.FaultFile faults = new BenchRun.FaultFile(file, text);
        try (SimulatedLine line = SimulatedLine.open(plant, Board.stock(), 0)) {
            faults.timeline(line);
            return faults;
        } catch (FileMistakes e) {
            e.lines().forEach(options::mistake);
            return null;
        }
    }

    private static @Nullable String read(Options options, String name, String file) {
        try {
            return Files.readString(Path.of(file), StandardCharsets.UTF_8);
        } catch (IOException e) {
            options.mistake("--" + name + " " + file + " can't be read: " + because(e));
            return null;
        }
    }

    private static String because(IOException e) {
        return switch (e) {
            case NoSuchFileException _ -> "there is no such file";
            case AccessDeniedException _ -> "it may not be read";
            case CharacterCodingException _ -> "not text in UTF-8";
            default -> String.valueOf(e.getMessage());
        };
    }

    /** Deletes a folder of ours with all that is in it. */
    public static void remove(Path folder) throws IOException {
        if (!Files.exists(folder)) {
            return;
        }
        Files.walkFileTree(
                folder,
                new SimpleFileVisitor<>() {
                    @Override
                    public FileVisitResult visitFile(Path file, BasicFileAttributes attributes)
                            throws IOException {
                        Files.delete(file);
                        return FileVisitResult.CONTINUE;
                    }

                    @Override
                    public FileVisitResult postVisitDirectory(
                            Path dir, @Nullable IOException failed) throws IOException {
                        Files.delete(dir);
                        return FileVisitResult.CONTINUE;
                    }
                });
    }
}
