package steamleaf.app.journal;

import java.io.ByteArrayOutputStream;
import java.io.Closeable;
import java.io.IOException;
import java.io.InputStream;
import java.util.zip.GZIPInputStream;
import org.jspecify.annotations.Nullable;

/** Lines of one segment, never beyond what is durable. */
final class LineReader implements Closeable {
    private static final int BUFFER = 1 << 14;

    private final InputStream in;
    private final Segment segment;
    private final boolean packed;
    private final byte[] buffer = new byte[BUFFER];
    private final ByteArrayOutputStream partial = new ByteArrayOutputStream();
    private int at;
    private int end;
    private long taken;

    LineReader(Disk disk, Segment segment) throws IOException {
        this.segment = segment;
        this.packed = segment.packed;
        InputStream file = disk.read(segment.fileName());
        try {
            this.in = packed ? new GZIPInputStream(file, BUFFER) : file;
        } catch (IOException e) {
            file.close();
            throw e;
        }
    }

    /** The next whole line without its line feed, or null when no more is there (yet). */
    byte @Nullable [] next() throws IOException {
        while (true) {
            for (int i = at; i < end; i++) {
                if (buffer[i] == '\n') {
                    partial.write(buffer, at, i - at);
                    at = i + 1;
                    byte[] line = partial.toByteArray();
                    partial.reset();
                    return line;
                }
            }
            partial.write(buffer, at, end - at);
            at = 0;
            end = 0;
            int most = packed ? BUFFER : (int) Math.min(BUFFER, segment.durableBytes - taken);
            int count = most <= 0 ? -1 : in.read(buffer, 0, most);
            if (count <= 0) {
                return null;
            }
            end = count;
            taken += count;
        }
    }

    @Override
    public void close() throws IOException {
        in.close();
    }
}
