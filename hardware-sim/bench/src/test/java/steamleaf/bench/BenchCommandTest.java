package steamleaf.bench;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import java.util.zip.GZIPInputStream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.contract.Codec;

/** The bench as its command line offers it; whole batches, so few of them. */
final class BenchCommandTest {
    /** The packed leaf's allowed moisture, percent wet basis: common practice, no source. */
    private static final double DRIEST = 4;

    private static final double WETTEST = 7;
    private static final String SEED = "5";
    private static final String LEARNED = "\"kind\":\"learned\"";
    private static final String HEADER =
            "time_s,unit,air_c,leaf_c,moisture_wb,water_kg,door_open,fan_on,damper,heater_on,valve_on,contactor_on";

    @TempDir static Path folder;
    private static final Map<String, Integer> CODES = new LinkedHashMap<>();

    @BeforeAll
    @Timeout(value = 5, unit = TimeUnit.MINUTES)
    static void everyStockRecipeIsRunAndOneOfThemTwice()
            throws InterruptedException, ExecutionException {
        Quiet.logs();
        try (ExecutorService both = Executors.newFixedThreadPool(2)) {
            Map<String, Future<Integer>> runs = new LinkedHashMap<>();
            for (String name : List.of("light", "standard", "deep", "light-again")) {
                runs.put(name, both.submit(() -> run(name)));
            }
            for (var run : runs.entrySet()) {
                CODES.put(run.getKey(), run.getValue().get());
            }
        }
    }

    private static int run(String name) throws IOException {
        Said said =
                bench(
                        "--recipe",
                        name.replace("-again", ""),
                        "--seed",
                        SEED,
                        "--out",
                        folder.resolve(name).toString());
        return said.code();
    }

    private record Said(int code, List<String> out, List<String> err) {}

    private static Said bench(String... arguments) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        ByteArrayOutputStream err = new ByteArrayOutputStream();
        int code =
                BenchCommand.run(
                        arguments,
                        new PrintStream(out, true, StandardCharsets.UTF_8),
                        new PrintStream(err, true, StandardCharsets.UTF_8));
        return new Said(code, lines(out), lines(err));
    }

    private static List<String> lines(ByteArrayOutputStream said) {
        return said.toString(StandardCharsets.UTF_8).lines().toList();
    }

    private static JsonNode summary(String name) throws IOException, Codec.Malformed {
        return Codec.read(
                Files.readAllBytes(folder.resolve(name).resolve("summary.json")), JsonNode.class);
    }

    @ParameterizedTest
    @ValueSource(strings = {"light", "standard", "deep"})
    void aStockRecipeEndsInsideTheBandWithoutATripAndWithoutDanger(String recipe) throws Exception {
        JsonNode summary = summary(recipe);
        assertEquals(0, CODES.get(recipe));
        assertEquals("complete", summary.path("outcome").asText());
        assertEquals(recipe, summary.path("recipe").asText());
        assertEquals(SEED, summary.path("seed").asText());
        double moisture = summary.path("trueMoisturePercentWetBasis").doubleValue();
        assertTrue(moisture >= DRIEST && moisture <= WETTEST, "true moisture " + moisture);
        assertTrue(summary.path("estimateStandardDeviation").doubleValue() > 0);
        for (String none : List.of("trips", "unsafe", "faults")) {
            assertTrue(summary.path(none).isArray(), none);
            assertEquals(0, summary.path(none).size(), summary.path(none).toString());
        }
        assertEquals(12, summary.path("stages").size(), "stages");
        assertTrue(summary.path("timesRealTime").doubleValue() > 1);
    }

    @Test
    void theTraceHasEachUnitsTruthOncePerSecond() throws Exception {
        List<String> rows = Files.readAllLines(folder.resolve("light").resolve("trace.csv"));
        assertTrue(rows.getFirst().startsWith(HEADER), rows.getFirst());
        int columns = rows.getFirst().split(",", -1).length;
        Map<String, Long> seen = new TreeMap<>();
        for (String row : rows.subList(1, rows.size())) {
            String[] cells = row.split(",", -1);
            assertEquals(columns, cells.length, row);
            long timeS = Long.parseLong(cells[0]);
            Long before = seen.put(cells[1], timeS);
            assertTrue(before == null || timeS == before + 1, row);
        }
        assertEquals(Set.of("steamer", "oven-1", "oven-2", "oven-3"), seen.keySet());
        assertEquals(1, new HashSet<>(seen.values()).size(), "all end together: " + seen);
    }

    @Test
    void aPackedBatchLeavesOneLessonInTheJournal() throws Exception {
        List<JsonNode> lessons = new ArrayList<>();
        for (Map.Entry<String, byte[]> file : files("light").entrySet()) {
            InputStream in = new ByteArrayInputStream(file.getValue());
            try (InputStream plain = file.getKey().endsWith(".gz") ? new GZIPInputStream(in) : in) {
                String text = new String(plain.readAllBytes(), StandardCharsets.UTF_8);
                for (String line : text.lines().filter(l -> l.contains(LEARNED)).toList()) {
                    lessons.add(Codec.read(line.getBytes(StandardCharsets.UTF_8), JsonNode.class));
                }
            }
        }
        assertEquals(1, lessons.size(), lessons.toString());
        JsonNode body = lessons.getFirst().path("body");
        assertEquals("lesson", body.path("what").asText());
        assertEquals("medium", body.path("grade").asText());
        assertFalse(body.path("lesson").path("rate").path("worth").asText().isEmpty());
        // the oven's airflow as it is, within what the simulator draws (6 %) and the lesson's own
        // 10
        double airflow = body.path("lesson").path("airflow").path("factor").doubleValue();
        assertTrue(airflow > 0.7 && airflow < 1.3, "airflow " + airflow);
    }

    @Test
    void theSameSeedGivesTheSameTraceAndTheSameJournalToTheLastByte() throws Exception {
        Map<String, byte[]> first = files("light");
        Map<String, byte[]> second = files("light-again");
        assertEquals(first.keySet(), second.keySet());
        assertTrue(first.size() > 2, first.keySet().toString());
        for (var file : first.entrySet()) {
            assertArrayEquals(file.getValue(), second.get(file.getKey()), file.getKey());
        }
    }

    /** Trace and journal; a summary has the machine's speed in it. */
    private static Map<String, byte[]> files(String name) throws IOException {
        Map<String, byte[]> files = new TreeMap<>();
        Path at = folder.resolve(name);
        List<Path> all = new ArrayList<>(List.of(at.resolve("trace.csv")));
        try (Stream<Path> journal = Files.list(at.resolve("journal"))) {
            journal.forEach(all::add);
        }
        for (Path file : all) {
            files.put(at.relativize(file).toString(), Files.readAllBytes(file));
        }
        return files;
    }

    @Test
    void aRecipeNobodyKnowsIsRefusedWithTheOnesThereAre() throws Exception {
        Said said = bench("--recipe", "medium", "--seed", "1", "--out", out());
        assertEquals(2, said.code());
        assertEquals(List.of("--recipe medium, allowed: light, standard, deep"), said.err());
        assertEquals(List.of(), said.out());
    }

    @Test
    void allMistakesOfTheCommandLineAreSaidAtOnce() throws Exception {
        Said said = bench("--seed", "many", "--flavour", "sweet");
        assertEquals(2, said.code());
        String all = String.join("\n", said.err());
        for (String part : List.of("--seed = many, allowed: ", "--flavour", "--recipe", "--out")) {
            assertTrue(all.contains(part), part + " in " + all);
        }
    }

    @Test
    void aPlantFilesMistakesAreNamedByFileAndLineWithWhatIsAllowed() throws Exception {
        Path plant = folder.resolve("wet.yaml");
        Files.writeString(plant, "leaf:\n  ripeness: 4\n  sugar: 1\n");
        Said said = bench("--recipe", "light", "--plant", plant.toString(), "--out", out());
        assertEquals(2, said.code());
        assertSaid(said, plant + ":2", "allowed");
        assertSaid(said, plant + ":3", "sugar");
    }

    @Test
    void aFaultFilesMistakesAreNamedByFileAndLineWithWhatIsAllowed() throws Exception {
        Path faults = folder.resolve("bad.yaml");
        Files.writeString(
                faults,
                """
                - {at: 100 s, component: oven-1.air, kind: melted, duration: rest}
                - {at: 100 s, component: oven-7.air, kind: short, duration: rest}
                """);
        Said said = bench("--recipe", "light", "--faults", faults.toString(), "--out", out());
        assertEquals(2, said.code());
        assertSaid(said, faults + ":1", "melted");
        assertSaid(said, faults + ":2", "oven-7.air");
        assertTrue(said.err().toString().contains("allowed"), said.err().toString());
    }

    @Test
    void aFileThatIsNotThereIsNamed() throws Exception {
        String missing = folder.resolve("missing.yaml").toString();
        Said said = bench("--recipe", "light", "--plant", missing, "--out", out());
        assertEquals(2, said.code());
        assertSaid(said, missing, "can't be read");
    }

    private static void assertSaid(Said said, String... parts) {
        assertTrue(
                said.err().stream().anyMatch(line -> Stream.of(parts).allMatch(line::contains)),
                List.of(parts) + " in " + said.err());
    }

    private static String out() {
        return folder.resolve("unused").toString();
    }
}
