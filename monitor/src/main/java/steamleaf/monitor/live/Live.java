package steamleaf.monitor.live;

import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.LearnedLive;
import steamleaf.contract.LineDescription;
import steamleaf.contract.RecipeDescription;
import steamleaf.contract.Status;
import steamleaf.contract.UnitLive;

/**
 * The latest of each live message. Intake writes, pages read an unchangeable {@link Now} and wait
 * for the next one; a slow page skips states instead of queueing them.
 */
public final class Live {
    private final ReentrantLock lock = new ReentrantLock();
    private final Condition changed = lock.newCondition();
    private final LongSupplier nanoClock;
    private volatile Now now = Now.NOTHING;
    private volatile boolean closed;

    /** The clock is monotonic, in nanoseconds. */
    public Live(LongSupplier nanoClock) {
        this.nanoClock = nanoClock;
    }

    public Now now() {
        return now;
    }

    public long nowNs() {
        return nanoClock.getAsLong();
    }

    /** A unit's state and when it came; null when it came retained, so its age is not known. */
    public record Heard(UnitLive live, @Nullable Long arrivedNs) {}

    /**
     * Everything the line says at one moment.
     *
     * @param revision goes up with every change
     * @param records goes up with every committed batch of journal records that held an event
     * @param learned what finished batches taught, by oven; empty when the line does not say
     * @param trouble why the record may be incomplete, null when nothing is known
     * @param helper what the simulated helper did or read last, null on a real line
     */
    public record Now(
            long revision,
            long records,
            boolean brokerUp,
            @Nullable Status status,
            @Nullable LineDescription line,
            Map<String, RecipeDescription> recipes,
            Map<String, Heard> units,
            Map<String, AlarmLive> alarms,
            Map<String, LearnedLive> learned,
            @Nullable String trouble,
            @Nullable String helper) {
        static final Now NOTHING =
                new Now(
                        0, 0, false, null, null, Map.of(), Map.of(), Map.of(), Map.of(), null,
                        null);

        public boolean controllerUp() {
            return brokerUp && status != null && status.up();
        }

        public @Nullable UnitLive unit(String name) {
            Heard heard = units.get(name);
            return heard == null ? null : heard.live();
        }
    }

    /** The next moment while it is being made. */
    private static final class Draft {
        private long records;
        private boolean brokerUp;
        private @Nullable Status status;
        private @Nullable LineDescription line;
        private Map<String, RecipeDescription> recipes;
        private Map<String, Heard> units;
        private Map<String, AlarmLive> alarms;
        private Map<String, LearnedLive> learned;
        private @Nullable String trouble;
        private @Nullable String helper;

        Draft(Now now) {
            records = now.records;
            brokerUp = now.brokerUp;
            status = now.status;
            line = now.line;
            recipes = now.recipes;
            units = now.units;
            alarms = now.alarms;
            learned = now.learned;
            trouble = now.trouble;
            helper = now.helper;
        }

        Now made(long revision) {
            return new Now(
                    revision, records, brokerUp, status, line, recipes, units, alarms, learned,
                    trouble, helper);
        }
    }

    public void broker(boolean up) {
        change(draft -> draft.brokerUp = up);
    }

    public void status(@Nullable Status status) {
        change(draft -> draft.status = status);
    }

    public void line(@Nullable LineDescription line) {
        change(draft -> draft.line = line);
    }

    public void recipe(String name, @Nullable RecipeDescription recipe) {
        change(draft -> draft.recipes = with(draft.recipes, name, recipe));
    }

    /** {@code retained}: an old message that the broker kept, whose age nobody knows. */
    public void unit(String name, @Nullable UnitLive unit, boolean retained) {
        Heard heard = unit == null ? null : new Heard(unit, retained ? null : nowNs());
        change(draft -> draft.units = with(draft.units, name, heard));
    }

    public void alarm(String id, @Nullable AlarmLive alarm) {
        change(draft -> draft.alarms = with(draft.alarms, id, alarm));
    }

    public void learned(String oven, @Nullable LearnedLive learned) {
        change(draft -> draft.learned = with(draft.learned, oven, learned));
    }

    /** What the simulated helper says; null when the broker has forgotten it. */
    public void helper(@Nullable String words) {
        change(draft -> draft.helper = words);
    }

    /** Events have been committed to the store. */
    public void recorded() {
        change(draft -> draft.records++);
    }

    public void trouble(@Nullable String sentence) {
        if (!java.util.Objects.equals(now.trouble, sentence)) {
            change(draft -> draft.trouble = sentence);
        }
    }

    /**
     * Waits until there is something newer than {@code revision}, for at most {@code timeoutMs}.
     *
     * @return what is now, changed or not; check {@link #isClosed()}
     */
    public Now awaitAfter(long revision, long timeoutMs) throws InterruptedException {
        long leftNs = TimeUnit.MILLISECONDS.toNanos(timeoutMs);
        lock.lock();
        try {
            while (now.revision <= revision && !closed && leftNs > 0) {
                leftNs = changed.awaitNanos(leftNs);
            }
            return now;
        } finally {
            lock.unlock();
        }
    }

    /** Lets everyone go who waits. */
    public void close() {
        lock.lock();
        try {
            closed = true;
            changed.signalAll();
        } finally {
            lock.unlock();
        }
    }

    public boolean isClosed() {
        return closed;
    }

    private void change(Consumer<Draft> how) {
        lock.lock();
        try {
            Draft draft = new Draft(now);
            how.accept(draft);
            now = draft.made(now.revision + 1);
            changed.signalAll();
        } finally {
            lock.unlock();
        }
    }

    private static <T> Map<String, T> with(Map<String, T> map, String key, @Nullable T value) {
        Map<String, T> copy = new TreeMap<>(map);
        if (value == null) {
            copy.remove(key);
        } else {
            copy.put(key, value);
        }
        return java.util.Collections.unmodifiableMap(copy);
    }
}
