package steamleaf.app.journal;

import java.io.ByteArrayOutputStream;
import java.io.Closeable;
import java.io.EOFException;
import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.util.zip.ZipException;
import org.jspecify.annotations.Nullable;

/**
 * Reads the journal in order from a number on, following it as it grows. Every number between first
 * and last comes exactly once; one whose line can't be read any more comes as a record that says
 * so. Used by one thread at a time.
 */
public final class Cursor implements Closeable {
    private final Journal journal;
    private final Frame frame;
    private long next;
    private @Nullable Segment segment;
    private @Nullable LineReader reader;
    private byte @Nullable [] ahead;
    private long aheadN;

    Cursor(Journal journal, long next) {
        this.journal = journal;
        this.frame = journal.newFrame();
        this.next = next;
    }

    /** Number of the record that {@link #next()} gives next. */
    public long position() {
        return next;
    }

    /** The next durable line without its line feed, or null when none waits. */
    public byte @Nullable [] next() throws IOException {
        if (next > journal.last()) {
            return null;
        }
        Segment of = journal.segmentOf(next);
        if (of == null) { // given up to make room: the journal now begins later
            next = journal.first();
            of = journal.segmentOf(next);
            if (of == null) {
                return null;
            }
        }
        if (of != segment) {
            enter(of);
        }
        byte[] line = seek();
        next++;
        return line == null ? substitute(next - 1, of.hour()) : line;
    }

    /** The line numbered {@code next} of the current segment, or null when it is not there. */
    private byte @Nullable [] seek() throws IOException {
        while (true) {
            if (ahead == null) {
                byte[] line = readLine();
                if (line == null) {
                    return null;
                }
                aheadN = frame.numberOf(line, 0, line.length);
                ahead = line;
            }
            if (aheadN > next) {
                return null;
            }
            byte[] line = ahead;
            ahead = null;
            if (aheadN == next) {
                return line;
            }
        }
    }

    private byte @Nullable [] readLine() throws IOException {
        try {
            return reader == null ? null : reader.next();
        } catch (EOFException | ZipException e) { // a damaged compressed file ends here
            closeReader();
            return null;
        }
    }

    private void enter(Segment of) throws IOException {
        close();
        segment = of;
        try {
            reader = journal.read(of);
        } catch (NoSuchFileException e) { // compressed in this moment, or gone
            reader = of.packed ? retry(of) : null;
        } catch (EOFException | ZipException e) {
            reader = null;
        }
    }

    private @Nullable LineReader retry(Segment of) throws IOException {
        try {
            return journal.read(of);
        } catch (NoSuchFileException | EOFException | ZipException e) {
            return null;
        }
    }

    private byte[] substitute(long n, long hour) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        frame.write(n, journal.lostObject("damaged", 1, hour), out);
        byte[] line = out.toByteArray();
        return java.util.Arrays.copyOf(line, line.length - 1);
    }

    @Override
    public void close() throws IOException {
        segment = null;
        ahead = null;
        closeReader();
    }

    private void closeReader() throws IOException {
        LineReader open = reader;
        reader = null;
        if (open != null) {
            open.close();
        }
    }
}
