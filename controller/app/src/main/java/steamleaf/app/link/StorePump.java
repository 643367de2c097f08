package steamleaf.app.link;

import java.io.IOException;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import steamleaf.app.journal.Cursor;
import steamleaf.app.journal.Journal;

/**
 * Decides which record one store gets next. The store says what it has; records follow from there,
 * at most {@link #AHEAD} beyond what it last said. When it falls silent, or says the same again, or
 * less, the records after what it has are sent again: nothing is lost, and what comes twice has the
 * same number. Used by the link's thread only.
 */
final class StorePump {
    /** Records sent beyond what the store has acknowledged. Engineering choice. */
    static final int AHEAD = 2_000;

    /** Records sent to a store that did not answer, to see whether it is there again. */
    static final int PROBE = 8;

    static final long FIRST_RETRY_NS = TimeUnit.SECONDS.toNanos(10);
    static final long LAST_RETRY_NS = TimeUnit.SECONDS.toNanos(60);
    private static final long ASKED_AGAIN_NS = TimeUnit.SECONDS.toNanos(1);

    private final Journal journal;
    private @Nullable Cursor cursor;
    private boolean asked;
    private long has;
    private long sentTo;
    private long lastHeardNs;
    private long lastRewindNs;
    private long retryNs = FIRST_RETRY_NS;
    private boolean probing;
    private boolean ahead;
    private long resent;
    private long highest;

    /**
     * @param ahead the store was found ahead of the journal before, in this start
     */
    StorePump(Journal journal, boolean ahead) {
        this.journal = journal;
        this.ahead = ahead;
    }

    /** The store says what it has: it acknowledges and asks. */
    void have(@Nullable String ofJournal, long n, long nowNs) {
        boolean ours = journal.id().equals(ofJournal);
        long now = ours ? Math.max(n, 0) : Math.max(journal.first() - 1, 0);
        ahead |= ours && n > journal.last();
        boolean progress = asked && now > has;
        boolean again = asked && now == has && sentTo > has;
        if (!asked || now < has || now > sentTo) {
            has = now;
            rewind(nowNs);
        } else if (again && nowNs - lastRewindNs > ASKED_AGAIN_NS) {
            rewind(nowNs);
        }
        has = now;
        if (!asked || progress) {
            retryNs = FIRST_RETRY_NS;
            probing = false;
        }
        asked = true;
        lastHeardNs = nowNs;
    }

    /** The next record to send, or null when none is due. */
    byte @Nullable [] due(long nowNs) throws IOException {
        if (!asked || ahead) {
            return null;
        }
        if (sentTo > has && nowNs - lastHeardNs > retryNs) {
            retryNs = Math.min(2 * retryNs, LAST_RETRY_NS);
            lastHeardNs = nowNs;
            probing = true;
            rewind(nowNs);
        }
        if (sentTo - has >= (probing ? PROBE : AHEAD)) {
            return null;
        }
        Cursor from = cursor;
        if (from == null) {
            from = journal.from(has + 1);
            cursor = from;
        }
        byte[] line = from.next();
        if (line != null) {
            if (sentTo == has) {
                lastHeardNs = nowNs; // nothing was owed before: the silence begins now
            }
            sentTo = from.position() - 1;
            if (sentTo <= highest) {
                resent++;
            }
            highest = Math.max(highest, sentTo);
        }
        return line;
    }

    /** Something sent did not arrive at the broker: from what the store has, once more. */
    void failed(long nowNs) {
        rewind(nowNs);
    }

    private void rewind(long nowNs) {
        close();
        sentTo = has;
        lastRewindNs = nowNs;
    }

    /** What the store has of this journal. */
    long has() {
        return has;
    }

    long resent() {
        return resent;
    }

    /** The store claims more than this journal holds: a journal put back from an older copy. */
    boolean isAheadOfJournal() {
        return ahead;
    }

    void close() {
        Cursor open = cursor;
        cursor = null;
        if (open != null) {
            try {
                open.close();
            } catch (IOException e) {
                // it was only read; the next one opens afresh
                return;
            }
        }
    }
}
