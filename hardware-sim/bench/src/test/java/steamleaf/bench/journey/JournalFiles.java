package steamleaf.bench.journey;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Stream;
import java.util.zip.CRC32C;
import java.util.zip.GZIPInputStream;

/** A journal's folder read without the program that wrote it, as {@code zcat} would. */
final class JournalFiles {
    private JournalFiles() {}

    /** All whole lines in order; what stands behind the last line feed is left out. */
    static List<String> lines(Path folder) throws IOException {
        List<Path> files;
        try (Stream<Path> all = Files.list(folder)) {
            files = all.filter(file -> file.toString().contains(".jsonl")).sorted().toList();
        }
        List<String> lines = new ArrayList<>();
        for (Path file : files) {
            byte[] bytes = Files.readAllBytes(file);
            if (file.toString().endsWith(".gz")) {
                bytes = new GZIPInputStream(new ByteArrayInputStream(bytes)).readAllBytes();
            }
            String text = new String(bytes, UTF_8);
            lines.addAll(text.substring(0, text.lastIndexOf('\n') + 1).lines().toList());
        }
        return lines;
    }

    /** The records, after checking that none is missing, none twice, and each as it was written. */
    static List<JsonNode> checked(Path folder) throws IOException {
        List<JsonNode> records = new ArrayList<>();
        for (String line : lines(folder)) {
            JsonNode record = Outside.json(line);
            records.add(record);
            assertEquals(records.size(), record.path("n").longValue(), "number of " + line);
            assertEquals(crc(line), record.path("crc").asText(), "checksum of " + line);
        }
        assertTrue(!records.isEmpty(), "the journal is empty");
        return records;
    }

    /** CRC-32C of the bytes before {@code ,"crc"}, as {@code docs/mqtt.md} says. */
    private static String crc(String line) {
        CRC32C crc = new CRC32C();
        crc.update(line.substring(0, line.lastIndexOf(",\"crc\"")).getBytes(UTF_8));
        return HexFormat.of().toHexDigits((int) crc.getValue());
    }

    static List<JsonNode> ofKind(List<JsonNode> records, String kind) {
        return records.stream()
                .filter(record -> record.path("kind").asText().equals(kind))
                .toList();
    }
}
