package steamleaf.app.main;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import steamleaf.app.journal.Journal;
import steamleaf.app.link.Link;
import steamleaf.app.recall.Recall;

/**
 * The threads beside the control cycle: one makes journal and recollection durable, one keeps the
 * link. Neither can stop the other or the cycle.
 */
public final class Workers implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(Workers.class);
    private static final long JOURNAL_WAIT_MS = 500;
    private static final long LINK_WAIT_MS = 100;
    private static final long AFTER_FAILURE_MS = 1_000;
    private static final long ACKNOWLEDGED_NS = TimeUnit.MINUTES.toNanos(1);
    private static final long JOIN_MS = 5_000;

    private final Journal journal;
    private final @Nullable Recall recall;
    private final @Nullable Link link;
    private final List<Thread> threads = new ArrayList<>();
    private volatile boolean ending;

    private Workers(Journal journal, @Nullable Recall recall, @Nullable Link link) {
        this.journal = journal;
        this.recall = recall;
        this.link = link;
    }

    /** Starts them. */
    public static Workers start(Journal journal, @Nullable Recall recall, @Nullable Link link) {
        Workers workers = new Workers(journal, recall, link);
        workers.run("journal", workers::keepWriting);
        if (link != null) {
            workers.run("link", () -> workers.keepLinked(link));
        }
        return workers;
    }

    private interface Work {
        void run() throws InterruptedException;
    }

    private void run(String name, Work work) {
        threads.add(
                Thread.ofPlatform()
                        .name("steamleaf-" + name)
                        .daemon()
                        .start(
                                () -> {
                                    try {
                                        work.run();
                                    } catch (InterruptedException e) {
                                        Thread.currentThread().interrupt();
                                    }
                                }));
    }

    private void keepWriting() throws InterruptedException {
        long keptNs = System.nanoTime();
        String said = null;
        while (!ending) {
            journal.awaitWork(JOURNAL_WAIT_MS);
            String trouble = write();
            if (trouble != null && !trouble.equals(said)) {
                LOG.error("journal: {}", trouble);
            }
            said = trouble;
            if (link != null) {
                link.wake();
            }
            if (System.nanoTime() - keptNs > ACKNOWLEDGED_NS) {
                keptNs = System.nanoTime();
                journal.keepAcknowledged();
            }
        }
        write();
    }

    private @Nullable String write() {
        String trouble = journal.writeOut();
        if (recall != null) {
            try {
                recall.writeOut();
            } catch (IOException e) {
                return trouble == null ? "recollection: " + e.getMessage() : trouble;
            }
        }
        return trouble;
    }

    private void keepLinked(Link on) throws InterruptedException {
        while (!ending) {
            try {
                on.turn(System.nanoTime());
                on.await(LINK_WAIT_MS);
            } catch (RuntimeException e) {
                LOG.error("link", e);
                on.await(AFTER_FAILURE_MS);
            }
        }
        on.close();
    }

    /** Ends both: what is queued is written, the broker hears that the controller is down. */
    @Override
    public void close() {
        ending = true;
        if (link != null) {
            link.wake();
        }
        for (Thread thread : threads) {
            try {
                thread.join(JOIN_MS);
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
                return;
            }
        }
    }
}
