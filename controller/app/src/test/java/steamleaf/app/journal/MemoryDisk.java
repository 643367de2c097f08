package steamleaf.app.journal;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.NoSuchFileException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.TreeMap;

/**
 * A folder in memory whose operations can be made to fail, and which forgets on a power cut what
 * was not made durable. Fault model: a failing write may have written any part; a power cut keeps
 * any part of what was written since the last force (the beginning of it), and created, renamed or
 * deleted names only if the folder was synced since, or by luck.
 */
final class MemoryDisk implements Disk {
    /** A file's bytes and how many of them survive a power cut. */
    private static final class Content {
        byte[] bytes = new byte[0];
        int durable;
    }

    private TreeMap<String, Content> files = new TreeMap<>();
    private TreeMap<String, Content> durableNames = new TreeMap<>();
    private final Random random;
    private long operation;
    private long failAt = Long.MAX_VALUE;
    private long failUntil = Long.MAX_VALUE;
    long usable = Long.MAX_VALUE;
    final List<String> story = new ArrayList<>();

    MemoryDisk(long seed) {
        random = new Random(seed);
    }

    /**
     * Operations from the {@code first}th to the {@code last}th from now on fail, counting from 1.
     */
    void failFrom(long first, long last) {
        failAt = operation + first;
        failUntil = last == Long.MAX_VALUE ? last : operation + last;
    }

    void heal() {
        failAt = Long.MAX_VALUE;
    }

    long operations() {
        return operation;
    }

    private boolean fails(String what) {
        operation++;
        boolean fails = operation >= failAt && operation <= failUntil;
        if (fails) {
            story.add("operation " + operation + " fails: " + what);
        }
        return fails;
    }

    private void failOr(String what) throws IOException {
        if (fails(what)) {
            throw new IOException("disk says no: " + what);
        }
    }

    void powerCut() {
        TreeMap<String, Content> after = new TreeMap<>(random.nextBoolean() ? files : durableNames);
        for (Content content : after.values()) {
            int kept = content.durable + random.nextInt(content.bytes.length - content.durable + 1);
            content.bytes = Arrays.copyOf(content.bytes, kept);
            content.durable = kept;
        }
        files = after;
        durableNames = new TreeMap<>(after);
        heal();
    }

    byte[] content(String name) {
        Content content = files.get(name);
        if (content == null) {
            throw new AssertionError(name + " is not among " + files.keySet());
        }
        return content.bytes.clone();
    }

    void put(String name, byte[] bytes) {
        Content content = new Content();
        content.bytes = bytes.clone();
        content.durable = bytes.length;
        files.put(name, content);
        durableNames.put(name, content);
    }

    @Override
    public List<String> names() throws IOException {
        return List.copyOf(files.keySet());
    }

    @Override
    public Out open(String name, long keepBytes) throws IOException {
        failOr("open " + name);
        Content content = files.computeIfAbsent(name, _ -> new Content());
        content.bytes = Arrays.copyOf(content.bytes, (int) keepBytes);
        content.durable = Math.min(content.durable, (int) keepBytes);
        return new Out() {
            @Override
            public void write(byte[] bytes, int offset, int length) throws IOException {
                boolean fails = fails("write " + name);
                int count = fails ? random.nextInt(length) : length;
                int before = content.bytes.length;
                byte[] longer = Arrays.copyOf(content.bytes, before + count);
                System.arraycopy(bytes, offset, longer, before, count);
                content.bytes = longer;
                if (fails) {
                    throw new IOException("disk says no: write " + name);
                }
            }

            @Override
            public void force() throws IOException {
                failOr("force " + name);
                content.durable = content.bytes.length;
            }

            @Override
            public void close() throws IOException {
                failOr("close " + name);
            }
        };
    }

    @Override
    public InputStream read(String name) throws IOException {
        Content content = files.get(name);
        if (content == null) {
            throw new NoSuchFileException(name);
        }
        return new InputStream() {
            private int at;

            @Override
            public int read() {
                return at < content.bytes.length ? content.bytes[at++] & 0xFF : -1;
            }

            @Override
            public int read(byte[] into, int offset, int length) {
                int count = Math.min(length, content.bytes.length - at);
                if (count <= 0) {
                    return length == 0 ? 0 : -1;
                }
                System.arraycopy(content.bytes, at, into, offset, count);
                at += count;
                return count;
            }
        };
    }

    @Override
    public void rename(String from, String to) throws IOException {
        failOr("rename " + from);
        Content content = files.remove(from);
        if (content == null) {
            throw new NoSuchFileException(from);
        }
        files.put(to, content);
    }

    @Override
    public void delete(String name) throws IOException {
        failOr("delete " + name);
        files.remove(name);
    }

    @Override
    public void syncFolder() throws IOException {
        failOr("sync folder");
        durableNames = new TreeMap<>(files);
    }

    @Override
    public long usableBytes() throws IOException {
        failOr("usable bytes");
        return usable;
    }

    static byte[] unpacked(byte[] gzip) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (InputStream in = new java.util.zip.GZIPInputStream(new ByteArrayInputStream(gzip))) {
            in.transferTo(out);
        }
        return out.toByteArray();
    }
}
