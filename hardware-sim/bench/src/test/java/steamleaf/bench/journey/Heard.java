package steamleaf.bench.journey;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/** What another thread hears, in order. Whoever waits for something is woken by each new thing. */
final class Heard<T> {
    private static final int MOST_SHOWN = 300;
    private final List<T> all = new ArrayList<>();

    synchronized void add(T next) {
        all.add(next);
        notifyAll();
    }

    synchronized int count() {
        return all.size();
    }

    synchronized List<T> all() {
        return List.copyOf(all);
    }

    /**
     * Waits until {@code look} finds something in what was heard so far.
     *
     * @param what said when it does not come
     */
    synchronized <R> R await(String what, Duration patience, Function<List<T>, @Nullable R> look) {
        long untilNs = System.nanoTime() + patience.toNanos();
        while (true) {
            R found = look.apply(all);
            if (found != null) {
                return found;
            }
            long leftMs = TimeUnit.NANOSECONDS.toMillis(untilNs - System.nanoTime());
            if (leftMs <= 0) {
                throw new AssertionError(
                        what
                                + " did not come within "
                                + patience.toSeconds()
                                + " s; the last that was heard: "
                                + all.subList(Math.max(0, all.size() - 12), all.size()).stream()
                                        .map(String::valueOf)
                                        .map(s -> s.substring(0, Math.min(MOST_SHOWN, s.length())))
                                        .toList());
            }
            try {
                wait(leftMs);
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
                throw new AssertionError(e);
            }
        }
    }
}
