package steamleaf.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The same seed gives the same bytes. The second run is in a process of its own and compiled
 * otherwise, so that nothing hangs on what differs from process to process (identity hashes, the
 * order of immutable sets and maps) nor on how far the compiler has come.
 */
final class SameSeedSameBytesTest {
    /** Generous: a batch takes seconds, several builds may share two cores. */
    private static final long PATIENCE_S = 300;

    /** A hung bus and a broken wire, so that the record tells of trips and resumes too. */
    private static final String FAULTS =
            """
            - {at: 25 min, component: i2c-1, kind: hung, duration: 3 s}
            - {at: 70 min, component: oven-1.air, kind: open, duration: 20 s}
            """;

    @TempDir Path folder;

    @Test
    void twoProcessesWriteTheSameTraceAndTheSameJournal() throws Exception {
        Path faults = Files.writeString(folder.resolve("faults.yaml"), FAULTS);
        Path here = folder.resolve("here");
        Path there = folder.resolve("there");
        PrintStream nowhere = new PrintStream(PrintStream.nullOutputStream());
        int code =
                BenchCommand.run(arguments(faults, here).toArray(new String[0]), nowhere, nowhere);
        assertEquals(code, elsewhere(arguments(faults, there)));

        assertTrue(Files.size(here.resolve("trace.csv")) > 1_000_000, "a whole batch");
        assertEquals(-1, Files.mismatch(here.resolve("trace.csv"), there.resolve("trace.csv")));
        SortedMap<String, Path> journal = files(here.resolve("journal"));
        SortedMap<String, Path> other = files(there.resolve("journal"));
        assertEquals(journal.keySet(), other.keySet());
        for (String name : journal.keySet()) {
            assertEquals(-1, Files.mismatch(journal.get(name), other.get(name)), name);
        }
    }

    private static List<String> arguments(Path faults, Path out) {
        return List.of(
                "--recipe",
                "light",
                "--seed",
                "5",
                "--faults",
                faults.toString(),
                "--out",
                out.toString());
    }

    private int elsewhere(List<String> arguments) throws IOException, InterruptedException {
        List<String> command =
                new ArrayList<>(
                        List.of(
                                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                                "--enable-native-access=ALL-UNNAMED",
                                "-XX:TieredStopAtLevel=1",
                                "-cp",
                                System.getProperty(
                                        "surefire.test.class.path",
                                        System.getProperty("java.class.path")),
                                BenchCommand.class.getName()));
        command.addAll(arguments);
        Path said = folder.resolve("said");
        Process process =
                new ProcessBuilder(command)
                        .redirectErrorStream(true)
                        .redirectOutput(said.toFile())
                        .start();
        try {
            boolean ended = process.waitFor(PATIENCE_S, TimeUnit.SECONDS);
            assertTrue(ended, () -> "does not end; it said " + text(said));
            return process.exitValue();
        } finally {
            process.destroyForcibly();
        }
    }

    private static String text(Path file) {
        try {
            return Files.readString(file);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static SortedMap<String, Path> files(Path folder) throws IOException {
        SortedMap<String, Path> files = new TreeMap<>();
        try (Stream<Path> all = Files.walk(folder)) {
            all.filter(Files::isRegularFile)
                    .forEach(file -> files.put(folder.relativize(file).toString(), file));
        }
        return files;
    }
}
