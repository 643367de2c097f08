package steamleaf.bench;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import java.util.zip.GZIPInputStream;
import steamleaf.contract.Codec;
import steamleaf.contract.JournalRecord;
import steamleaf.monitor.store.Questions;
import steamleaf.monitor.store.Rows;
import steamleaf.monitor.store.Store;

/**
 * How large the monitor's store of a journal is, and how long one batch's curve takes to be read and
 * reduced to 1,000 points of ten channels. {@code StoreOfSixHours JOURNAL DIR}.
 */
public final class StoreOfSixHours {
    private static final int AT_ONCE = 100;
    private static final int READS = 300;
    private static final int POINTS = 1_000;

    private StoreOfSixHours() {}

    public static void main(String[] args) throws IOException {
        Quiet.logs();
        List<JournalRecord> records = records(Path.of(args[0]));
        Path file = Path.of(args[1]).resolve("records.db");
        Files.createDirectories(file.getParent());
        Files.deleteIfExists(file);
        long beganNs = System.nanoTime();
        try (Store store = Store.open(file)) {
            for (int i = 0; i < records.size(); i += AT_ONCE) {
                store.append(
                        "ridge-house",
                        records.subList(i, Math.min(records.size(), i + AT_ONCE)),
                        1);
            }
            double tookS = (System.nanoTime() - beganNs) / 1e9;
            read(store.questions("ridge-house"), records.size(), tookS);
        }
        System.out.printf(Locale.ROOT, "store: %,d bytes after closing%n", Files.size(file));
    }

    private static void read(Questions questions, int records, double tookS) {
        Rows.BatchRow batch = questions.batches(1).getFirst();
        ThreadMXBean cpu = ManagementFactory.getThreadMXBean();
        long[] wallNs = new long[READS];
        long[] cpuNs = new long[READS];
        int points = 0;
        for (int i = 0; i < READS; i++) {
            long cpuBegan = cpu.getCurrentThreadCpuTime();
            long began = System.nanoTime();
            points = questions.curve(batch.id(), POINTS).size();
            wallNs[i] = System.nanoTime() - began;
            cpuNs[i] = cpu.getCurrentThreadCpuTime() - cpuBegan;
        }
        wallNs = Arrays.copyOfRange(wallNs, READS / 3, READS); // the first ones warm the machine
        cpuNs = Arrays.copyOfRange(cpuNs, READS / 3, READS);
        Arrays.sort(wallNs);
        Arrays.sort(cpuNs);
        System.out.printf(
                Locale.ROOT,
                "%,d records taken in within %.1f s; %d points of ten channels: CPU time %.1f ms"
                        + " (median), wall time %.1f ms (median), %.1f ms (99 %%)%n",
                records,
                tookS,
                points,
                cpuNs[cpuNs.length / 2] / 1e6,
                wallNs[wallNs.length / 2] / 1e6,
                wallNs[wallNs.length * 99 / 100] / 1e6);
    }

    private static List<JournalRecord> records(Path folder) throws IOException {
        List<Path> files;
        try (Stream<Path> all = Files.list(folder)) {
            files = all.filter(file -> file.toString().contains(".jsonl")).sorted().toList();
        }
        List<JournalRecord> records = new ArrayList<>();
        for (Path file : files) {
            byte[] bytes = Files.readAllBytes(file);
            if (file.toString().endsWith(".gz")) {
                bytes = new GZIPInputStream(new ByteArrayInputStream(bytes)).readAllBytes();
            }
            for (String line : new String(bytes, StandardCharsets.UTF_8).lines().toList()) {
                try {
                    records.add(
                            Codec.read(line.getBytes(StandardCharsets.UTF_8), JournalRecord.class));
                } catch (Codec.Malformed e) {
                    throw new IOException(file + ": " + line, e);
                }
            }
        }
        return records;
    }
}
