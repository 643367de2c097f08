package steamleaf.bench;

import java.io.ByteArrayInputStream;
import java.io.InputStream;
import java.nio.file.NoSuchFileException;
import java.util.Arrays;
import java.util.List;
import java.util.TreeMap;
import steamleaf.app.journal.Disk;

/** A journal's folder that can be copied with everything else, and that is never full. */
final class MemoryFolder implements Disk {
    private final TreeMap<String, Content> files = new TreeMap<>();

    @Override
    public List<String> names() {
        return List.copyOf(files.keySet());
    }

    @Override
    public Out open(String name, long keepBytes) {
        Content content = files.computeIfAbsent(name, _ -> new Content());
        content.length = (int) Math.min(content.length, keepBytes);
        return content;
    }

    @Override
    public InputStream read(String name) throws NoSuchFileException {
        Content content = found(name);
        return new ByteArrayInputStream(content.bytes, 0, content.length);
    }

    @Override
    public void rename(String from, String to) throws NoSuchFileException {
        files.put(to, found(from));
        files.remove(from);
    }

    @Override
    public void delete(String name) {
        files.remove(name);
    }

    @Override
    public void syncFolder() {}

    @Override
    public long usableBytes() {
        return Long.MAX_VALUE;
    }

    private Content found(String name) throws NoSuchFileException {
        Content content = files.get(name);
        if (content == null) {
            throw new NoSuchFileException(name);
        }
        return content;
    }

    private static final class Content implements Out {
        private byte[] bytes = new byte[0];
        private int length;

        @Override
        public void write(byte[] more, int offset, int count) {
            if (length + count > bytes.length) {
                bytes = Arrays.copyOf(bytes, Math.max(2 * bytes.length, length + count));
            }
            System.arraycopy(more, offset, bytes, length, count);
            length += count;
        }

        @Override
        public void force() {}

        @Override
        public void close() {}
    }
}
