package steamleaf.app.journal;

/** Makes the record that says what could not be kept; the journal knows no kinds. */
@FunctionalInterface
public interface LostLine {
    /**
     * @param what {@code seconds}, {@code events}, {@code torn-tail} or {@code damaged}
     * @param count of records; of bytes for a torn tail
     * @param hour hours of line time since 1970 in which it was lost
     * @return one JSON object without {@code journal}, {@code n} and {@code crc}
     */
    byte[] object(String what, long count, long hour);
}
