package steamleaf.bench;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class FinishCommandTest {
    @TempDir private Path folder;

    private final ByteArrayOutputStream said = new ByteArrayOutputStream();

    private int finish(String... args) throws IOException {
        PrintStream to = new PrintStream(said, true, StandardCharsets.UTF_8);
        return FinishCommand.run(args, to, to);
    }

    private JsonNode finish(String name, String trim) throws IOException {
        Path to = folder.resolve(name);
        assertEquals(
                0,
                finish(
                        "--runs",
                        "3",
                        "--sensors",
                        "humidity+scale+sample",
                        "--seed",
                        "4",
                        "--trim",
                        trim,
                        "--out",
                        to.toString()));
        return new ObjectMapper().readTree(Files.readAllBytes(to.resolve("summary.json")));
    }

    @Test
    void aPlanMadeAnewOnTheWayEndsNearerToTheWantedTimeAndInTheBand() throws IOException {
        JsonNode kept = finish("kept", "0");
        JsonNode trimmed = finish("trimmed", "5");
        assertTrue(
                trimmed.get("rmsMin").asDouble() < kept.get("rmsMin").asDouble(),
                trimmed + " against " + kept);
        assertEquals(1.0, trimmed.get("shareInsideBand").asDouble());
        assertEquals(0, trimmed.get("unfinished").asInt());
        JsonNode again = finish("again", "5");
        assertEquals(trimmed, again);
        assertArrayEquals(
                Files.readAllBytes(folder.resolve("trimmed/runs.csv")),
                Files.readAllBytes(folder.resolve("again/runs.csv")));
    }

    @Test
    void whatIsMissingOrWrongIsSaidAndNothingRuns() throws IOException {
        assertEquals(BenchCommand.MISTAKEN, finish("--sensors", "nose", "--runs", "0"));
        String all = said.toString(StandardCharsets.UTF_8);
        assertTrue(all.contains("nose") && all.contains("--out") && all.contains("--runs"), all);
    }
}
