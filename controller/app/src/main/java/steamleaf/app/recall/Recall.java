package steamleaf.app.recall;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.atomic.AtomicReference;
import java.util.zip.CRC32C;
import org.jspecify.annotations.Nullable;

/**
 * Keeps the last two recollections in a folder, each in a file of its own, replaced in one step: a
 * power cut in the middle of a writing leaves at least the one before.
 *
 * <p>First line: {@code steamleaf-recall 1 SERIAL CRC}, with the CRC-32C of version, serial and
 * everything after the line.
 */
public final class Recall {
    /** Changes when what is kept changes so that older files can't be read. */
    static final int VERSION = 1;

    private static final String MAGIC = "steamleaf-recall";
    private static final List<String> NAMES = List.of("recall-a.json", "recall-b.json");
    private static final JsonMapper JSON = new JsonMapper();

    private final Path folder;
    private final boolean synced;
    private final AtomicReference<@Nullable Recalled> waiting = new AtomicReference<>();
    private long serial;
    private int next;
    private final List<String> complaints = new ArrayList<>();
    private final @Nullable Recalled found;

    private record Read(long serial, Recalled recalled) {}

    /**
     * @param synced whether each writing shall survive a power cut
     */
    public Recall(Path folder, boolean synced) throws IOException {
        this.folder = folder;
        this.synced = synced;
        Files.createDirectories(folder);
        Recalled newest = null;
        for (int i = 0; i < NAMES.size(); i++) {
            Read read = read(folder.resolve(NAMES.get(i)));
            if (read != null && (newest == null || read.serial > serial)) {
                newest = read.recalled;
                serial = read.serial;
                next = 1 - i;
            }
        }
        found = newest;
    }

    /** The newest whole recollection, or null when there is none. */
    public @Nullable Recalled found() {
        return found;
    }

    /** What was there and could not be used, and why. */
    public List<String> complaints() {
        return List.copyOf(complaints);
    }

    /**
     * Hands over what shall be kept; never waits. A newer one takes the place of one not written.
     */
    public void offer(Recalled recalled) {
        waiting.set(recalled);
    }

    /** Writes what waits, if anything does; on whichever thread does the slow things. */
    public void writeOut() throws IOException {
        Recalled recalled = waiting.getAndSet(null);
        if (recalled == null) {
            return;
        }
        try {
            write(recalled);
        } catch (IOException e) {
            waiting.compareAndSet(null, recalled);
            throw e;
        }
    }

    private void write(Recalled recalled) throws IOException {
        byte[] body = JSON.writeValueAsBytes(RecordJson.write(recalled));
        String name = MAGIC + " " + VERSION + " " + (serial + 1);
        String head = name + " " + Long.toHexString(crc(name, body, 0)) + "\n";
        Path file = folder.resolve(NAMES.get(next));
        Path temporary = folder.resolve(NAMES.get(next) + ".tmp");
        try (FileChannel out =
                FileChannel.open(
                        temporary,
                        StandardOpenOption.CREATE,
                        StandardOpenOption.WRITE,
                        StandardOpenOption.TRUNCATE_EXISTING)) {
            writeAll(out, head.getBytes(StandardCharsets.US_ASCII));
            writeAll(out, body);
            if (synced) {
                out.force(true);
            }
        }
        Files.move(
                temporary,
                file,
                StandardCopyOption.ATOMIC_MOVE,
                StandardCopyOption.REPLACE_EXISTING);
        if (synced) {
            try (FileChannel directory = FileChannel.open(folder, StandardOpenOption.READ)) {
                directory.force(true);
            }
        }
        serial++;
        next = 1 - next;
    }

    private static void writeAll(FileChannel out, byte[] bytes) throws IOException {
        ByteBuffer buffer = ByteBuffer.wrap(bytes);
        while (buffer.hasRemaining()) {
            out.write(buffer);
        }
    }

    private @Nullable Read read(Path file) throws IOException {
        if (!Files.exists(file)) {
            return null;
        }
        byte[] bytes = Files.readAllBytes(file);
        int lineEnd = 0;
        while (lineEnd < bytes.length && bytes[lineEnd] != '\n') {
            lineEnd++;
        }
        String[] head = new String(bytes, 0, lineEnd, StandardCharsets.US_ASCII).split(" ", -1);
        if (head.length != 4 || !head[0].equals(MAGIC) || !head[2].matches("\\d{1,18}")) {
            complaints.add(file.getFileName() + ": not a recollection");
            return null;
        }
        if (!head[1].equals(Integer.toString(VERSION))) {
            complaints.add(file.getFileName() + ": of version " + head[1]);
            return null;
        }
        String name = head[0] + " " + head[1] + " " + head[2];
        if (!head[3].equals(Long.toHexString(crc(name, bytes, lineEnd + 1)))) {
            complaints.add(file.getFileName() + ": checksum is wrong");
            return null;
        }
        try {
            JsonNode tree = JSON.readTree(bytes, lineEnd + 1, bytes.length - lineEnd - 1);
            return new Read(Long.parseLong(head[2]), RecordJson.read(tree, Recalled.class));
        } catch (JsonProcessingException | RecordJson.Unfit e) {
            complaints.add(file.getFileName() + ": " + e.getMessage());
            return null;
        }
    }

    private static long crc(String name, byte[] bytes, int from) {
        CRC32C crc = new CRC32C();
        crc.update(name.getBytes(StandardCharsets.US_ASCII));
        if (from < bytes.length) {
            crc.update(bytes, from, bytes.length - from);
        }
        return crc.getValue();
    }
}
