package steamleaf.app.main;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/** Whether this machine's wall clock may be believed. */
final class WallClock {
    /** Either is enough: a battery-backed clock, or a time service that has reported success. */
    private static final List<Path> SIGNS =
            List.of(Path.of("/dev/rtc0"), Path.of("/run/systemd/timesync/synchronized"));

    private static final int ASK_EVERY = 10;

    private final List<Path> signs;
    private boolean doubtful = true;
    private int asked;

    WallClock() {
        this(SIGNS);
    }

    WallClock(List<Path> signs) {
        this.signs = signs;
    }

    /** Until set, times are marked; once set, they stay believed. */
    boolean isDoubtful() {
        if (doubtful && asked++ % ASK_EVERY == 0) {
            doubtful = signs.stream().noneMatch(Files::exists);
        }
        return doubtful;
    }
}
