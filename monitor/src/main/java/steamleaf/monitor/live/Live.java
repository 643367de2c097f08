package steamleaf.monitor.live;

import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;
import java.util.function.LongSupplier;
import java.util.function.UnaryOperator;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.AlarmLive;
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
     * @param trouble why the record may be incomplete, null when nothing is known
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
            @Nullable String trouble) {
        static final Now NOTHING =
                new Now(0, 0, false, null, null, Map.of(), Map.of(), Map.of(), null);

        public boolean controllerUp() {
            return brokerUp && status != null && status.up();
        }

        public @Nullable UnitLive unit(String name) {
            Heard heard = units.get(name);
            return heard == null ? null : heard.live();
        }

        private Now next() {
            return new Now(
                    revision + 1, records, brokerUp, status, line, recipes, units, alarms, trouble);
        }
    }

    public void broker(boolean up) {
        change(
                n ->
                        new Now(
                                n.revision,
                                n.records,
                                up,
                                n.status,
                                n.line,
                                n.recipes,
                                n.units,
                                n.alarms,
                                n.trouble));
    }

    public void status(@Nullable Status status) {
        change(
                n ->
                        new Now(
                                n.revision,
                                n.records,
                                n.brokerUp,
                                status,
                                n.line,
                                n.recipes,
                                n.units,
                                n.alarms,
                                n.trouble));
    }

    public void line(@Nullable LineDescription line) {
        change(
                n ->
                        new Now(
                                n.revision,
                                n.records,
                                n.brokerUp,
                                n.status,
                                line,
                                n.recipes,
                                n.units,
                                n.alarms,
                                n.trouble));
    }

    public void recipe(String name, @Nullable RecipeDescription recipe) {
        change(
                n ->
                        new Now(
                                n.revision,
                                n.records,
                                n.brokerUp,
                                n.status,
                                n.line,
                                with(n.recipes, name, recipe),
                                n.units,
                                n.alarms,
                                n.trouble));
    }

    /** {@code retained}: an old message that the broker kept, whose age nobody knows. */
    public void unit(String name, @Nullable UnitLive unit, boolean retained) {
        Heard heard = unit == null ? null : new Heard(unit, retained ? null : nowNs());
        change(
                n ->
                        new Now(
                                n.revision,
                                n.records,
                                n.brokerUp,
                                n.status,
                                n.line,
                                n.recipes,
                                with(n.units, name, heard),
                                n.alarms,
                                n.trouble));
    }

    public void alarm(String id, @Nullable AlarmLive alarm) {
        change(
                n ->
                        new Now(
                                n.revision,
                                n.records,
                                n.brokerUp,
                                n.status,
                                n.line,
                                n.recipes,
                                n.units,
                                with(n.alarms, id, alarm),
                                n.trouble));
    }

    /** Events have been committed to the store. */
    public void recorded() {
        change(
                n ->
                        new Now(
                                n.revision,
                                n.records + 1,
                                n.brokerUp,
                                n.status,
                                n.line,
                                n.recipes,
                                n.units,
                                n.alarms,
                                n.trouble));
    }

    public void trouble(@Nullable String sentence) {
        if (java.util.Objects.equals(now.trouble, sentence)) {
            return;
        }
        change(
                n ->
                        new Now(
                                n.revision,
                                n.records,
                                n.brokerUp,
                                n.status,
                                n.line,
                                n.recipes,
                                n.units,
                                n.alarms,
                                sentence));
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

    private void change(UnaryOperator<Now> how) {
        lock.lock();
        try {
            now = how.apply(now).next();
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
