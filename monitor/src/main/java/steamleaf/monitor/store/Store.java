package steamleaf.monitor.store;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.logging.Level;
import java.util.logging.Logger;
import org.flywaydb.core.Flyway;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.statement.PreparedBatch;
import org.jspecify.annotations.Nullable;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteDataSource;
import steamleaf.contract.Bodies;
import steamleaf.contract.Codec;
import steamleaf.contract.Have;
import steamleaf.contract.JournalRecord;
import steamleaf.contract.Kinds;
import steamleaf.monitor.store.Rows.Appended;

/**
 * Keeps each record once. Records of a journal are taken in the order of their numbers: one that
 * was had before changes nothing, one that comes too early is left out and asked for again. What
 * {@link #append} has returned for is on the disk.
 */
public final class Store implements AutoCloseable {
    /** Held on to, or the level set below would be forgotten. */
    private static final Logger MIGRATIONS = Logger.getLogger("org.flywaydb");

    private final Jdbi jdbi;
    private final Handle writer;
    private final Map<String, Integer> names = new HashMap<>();

    private Store(Jdbi jdbi) {
        this.jdbi = jdbi;
        this.writer = jdbi.open();
    }

    /** Opens the file, makes it when there is none, and brings its tables up to date. */
    public static Store open(Path file) {
        SQLiteConfig config = new SQLiteConfig();
        config.setJournalMode(SQLiteConfig.JournalMode.WAL);
        config.setSynchronous(SQLiteConfig.SynchronousMode.FULL);
        config.setBusyTimeout(5_000);
        // two writers: whoever begins a transaction waits for the other one at its begin, not in
        // its middle
        config.setTransactionMode(SQLiteConfig.TransactionMode.IMMEDIATE);
        SQLiteDataSource source = new SQLiteDataSource(config);
        source.setUrl("jdbc:sqlite:" + file);
        MIGRATIONS.setLevel(Level.WARNING);
        Flyway.configure()
                .dataSource(source)
                .locations("classpath:steamleaf/monitor/store")
                .load()
                .migrate();
        return new Store(Jdbi.create(source));
    }

    /** The questions that pages ask. */
    public Questions questions(String site) {
        return new Questions(jdbi, site);
    }

    /** What people elsewhere are told. */
    public Outbox outbox(String site) {
        return new Outbox(jdbi, site);
    }

    /**
     * What there is of a journal: the number up to which nothing is missing.
     *
     * @param journal null when the controller's journal is not known yet: the one heard of last
     */
    public synchronized Have have(String site, @Nullable String journal) {
        if (journal == null) {
            return writer.createQuery(
                            "select name, have_n from journal where site = :site order by j desc limit 1")
                    .bind("site", site)
                    .map((row, _) -> new Have(row.getString(1), row.getLong(2)))
                    .findFirst()
                    .orElse(new Have(null, 0));
        }
        long n =
                writer.createQuery(
                                "select have_n from journal where site = :site and name = :journal")
                        .bind("site", site)
                        .bind("journal", journal)
                        .mapTo(Long.class)
                        .findFirst()
                        .orElse(0L);
        return new Have(journal, n);
    }

    /**
     * Keeps what is new, in one durable step.
     *
     * @param records of one journal, in the order in which they came, not empty
     * @param firstHeld lowest number that the journal still holds: what lies before it can't be had
     *     any more and is noted as missing
     */
    public synchronized Appended append(String site, List<JournalRecord> records, long firstHeld) {
        String journal = records.getFirst().journal();
        Map<String, Integer> namesBefore = Map.copyOf(names);
        try {
            return writer.inTransaction(_ -> append(site, journal, records, firstHeld));
        } catch (RuntimeException e) {
            names.clear();
            names.putAll(namesBefore);
            throw e;
        }
    }

    private Appended append(
            String site, String journal, List<JournalRecord> records, long firstHeld) {
        int j = journalNumber(site, journal);
        long have = haveOf(j);
        int repeated = 0;
        int events = 0;
        boolean gap = false;
        Seconds seconds = new Seconds();
        List<JournalRecord> taken = new ArrayList<>();
        for (JournalRecord record : records) {
            boolean beginsLater = record.n() > have + 1 && record.n() == firstHeld;
            if (record.n() <= have) {
                repeated++;
                gap = false;
            } else if (record.n() == have + 1 || beginsLater) {
                if (beginsLater) {
                    writer.execute(
                            "insert or ignore into missing (j, n_from, n_to) values (?, ?, ?)",
                            j,
                            have + 1,
                            record.n() - 1);
                }
                have = record.n();
                gap = false;
                taken.add(record);
            } else {
                gap = true;
            }
        }
        Events projection = new Events(writer, site, j);
        for (JournalRecord record : taken) {
            if (!record.kind().equals(Kinds.SECOND) || !seconds.add(j, record)) {
                projection.keep(record);
                events++;
            }
        }
        seconds.write();
        writer.execute("update journal set have_n = ? where j = ?", have, j);
        return new Appended(journal, have, taken.size(), repeated, gap, events);
    }

    private int journalNumber(String site, String journal) {
        writer.execute("insert or ignore into journal (site, name) values (?, ?)", site, journal);
        return writer.createQuery("select j from journal where site = :site and name = :journal")
                .bind("site", site)
                .bind("journal", journal)
                .mapTo(Integer.class)
                .one();
    }

    private long haveOf(int j) {
        return writer.createQuery("select have_n from journal where j = :j")
                .bind("j", j)
                .mapTo(Long.class)
                .one();
    }

    private int nameNumber(String text) {
        Integer known = names.get(text);
        if (known != null) {
            return known;
        }
        writer.execute("insert or ignore into name (text) values (?)", text);
        int id =
                writer.createQuery("select id from name where text = :text")
                        .bind("text", text)
                        .mapTo(Integer.class)
                        .one();
        names.put(text, id);
        return id;
    }

    /** The readings of one append, gathered into one statement per table. */
    private final class Seconds {
        private final Map<Column.Table, PreparedBatch> inserts = new HashMap<>();
        private final Map<String, Stay> stays = new TreeMap<>();

        /** False when the body is not the readings we know: then it is kept as an event. */
        boolean add(int j, JournalRecord record) {
            Bodies.Second second;
            try {
                second = Codec.read(record.body(), Bodies.Second.class);
            } catch (Codec.Malformed _) {
                return false;
            }
            second.units()
                    .forEach(
                            (unit, values) ->
                                    add(j, record, unit, values, second.batches().get(unit)));
            return true;
        }

        private void add(
                int j,
                JournalRecord record,
                String unit,
                Map<String, Double> values,
                @Nullable String batch) {
            Column.Table table = Column.tableFor(unit);
            PreparedBatch insert =
                    inserts.computeIfAbsent(table, t -> writer.prepareBatch(t.insert()));
            int at = 0;
            insert.bind(at++, j)
                    .bind(at++, nameNumber(unit))
                    .bind(at++, record.n())
                    .bind(at++, record.at().getEpochSecond())
                    .bind(at++, batch == null ? null : nameNumber(batch));
            Map<String, Double> rest = new TreeMap<>(values);
            for (Column column : table.columns()) {
                Double value = rest.remove(column.reading());
                insert.bind(at++, value == null ? null : column.scaled(value));
            }
            insert.bind(at, rest.isEmpty() ? null : Codec.text(Codec.write(rest)));
            insert.add();
            if (batch != null) {
                stay(j, unit, batch, record.n());
            }
        }

        private void stay(int j, String unit, String batch, long n) {
            Stay open = stays.get(unit);
            if (open != null && !open.batch().equals(batch)) {
                write(open);
                open = null;
            }
            stays.put(unit, new Stay(j, unit, batch, open == null ? n : open.from(), n));
        }

        void write() {
            inserts.values().forEach(PreparedBatch::execute);
            stays.values().forEach(this::write);
        }

        private void write(Stay stay) {
            int extended =
                    writer.execute(
                            """
                            update stay set n_to = ? where id =
                              (select id from stay where j = ? and unit = ? order by n_to desc limit 1)
                              and batch = ?
                            """,
                            stay.to(),
                            stay.j(),
                            stay.unit(),
                            stay.batch());
            if (extended == 0) {
                writer.execute(
                        "insert into stay (j, batch, unit, n_from, n_to) values (?, ?, ?, ?, ?)",
                        stay.j(),
                        stay.batch(),
                        stay.unit(),
                        stay.from(),
                        stay.to());
            }
        }
    }

    private record Stay(int j, String unit, String batch, long from, long to) {}

    @Override
    public synchronized void close() {
        writer.close();
    }
}
