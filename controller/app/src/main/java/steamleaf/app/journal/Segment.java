package steamleaf.app.journal;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * One file: the records of one hour of line time, from {@code first} on. Record {@code n} stands in
 * the last segment whose {@code first} is not above {@code n}.
 */
final class Segment {
    static final String PLAIN = ".jsonl";
    static final String PACKED = ".jsonl.gz";
    private static final DateTimeFormatter HOUR =
            DateTimeFormatter.ofPattern("yyyyMMdd'T'HH", Locale.ROOT).withZone(ZoneOffset.UTC);
    private static final int DIGITS = 12;

    final long first;
    final String stem;

    /** Set once, when the compressed file is in its place. */
    volatile boolean packed;

    /** Of the plain file; what lies beyond is not there yet. */
    volatile long durableBytes;

    private Segment(long first, String stem, boolean packed) {
        this.first = first;
        this.stem = stem;
        this.packed = packed;
    }

    void grewTo(long bytes) {
        durableBytes = bytes;
    }

    static Segment starting(long first, long hour) {
        String at = HOUR.format(Instant.ofEpochSecond(hour * 3600));
        return new Segment(
                first, String.format(Locale.ROOT, "%0" + DIGITS + "d-%s", first, at), false);
    }

    /** The segment a file name stands for, or null for other files. */
    static @Nullable Segment named(String name) {
        boolean packed = name.endsWith(PACKED);
        if (!packed && !name.endsWith(PLAIN)) {
            return null;
        }
        String stem = name.substring(0, name.length() - (packed ? PACKED : PLAIN).length());
        return stem.matches("\\d{" + DIGITS + "}-\\d{8}T\\d{2}")
                ? new Segment(Long.parseLong(stem.substring(0, DIGITS)), stem, packed)
                : null;
    }

    boolean isOfHour(long hour) {
        return stem.endsWith(HOUR.format(Instant.ofEpochSecond(hour * 3600)));
    }

    /** Hours of line time since 1970. */
    long hour() {
        return Instant.parse(
                                stem.substring(DIGITS + 1, DIGITS + 5)
                                        + "-"
                                        + stem.substring(DIGITS + 5, DIGITS + 7)
                                        + "-"
                                        + stem.substring(DIGITS + 7)
                                        + ":00:00Z")
                        .getEpochSecond()
                / 3600;
    }

    String fileName() {
        return stem + (packed ? PACKED : PLAIN);
    }
}
