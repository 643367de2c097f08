package steamleaf.app.journal;

import java.io.Closeable;
import java.io.IOException;
import java.io.InputStream;
import java.util.List;

/**
 * The folder as the journal sees it, so that each single operation can fail in a test, and a line
 * in handed-in time needs no files.
 */
public interface Disk {
    List<String> names() throws IOException;

    /** Opens for appending; creates it when absent, cuts it to {@code keepBytes} when longer. */
    Out open(String name, long keepBytes) throws IOException;

    InputStream read(String name) throws IOException;

    /** Replaces {@code to} in one step. */
    void rename(String from, String to) throws IOException;

    void delete(String name) throws IOException;

    /** Makes created, renamed and deleted names survive a power cut. */
    void syncFolder() throws IOException;

    long usableBytes() throws IOException;

    /** A file being appended to. */
    interface Out extends Closeable {
        void write(byte[] bytes, int offset, int length) throws IOException;

        /** Makes what was written survive a power cut. */
        void force() throws IOException;
    }
}
