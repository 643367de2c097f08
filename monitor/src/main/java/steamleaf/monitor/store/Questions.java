package steamleaf.monitor.store;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.charset.StandardCharsets;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Bodies;
import steamleaf.contract.Codec;
import steamleaf.contract.JournalRecord;
import steamleaf.contract.Kinds;
import steamleaf.contract.RecipeDescription;
import steamleaf.monitor.store.Rows.BatchRow;
import steamleaf.monitor.store.Rows.EventRow;
import steamleaf.monitor.store.Rows.LotRow;
import steamleaf.monitor.store.Rows.Missing;
import steamleaf.monitor.store.Rows.Point;
import steamleaf.monitor.store.Rows.SampleRow;

/** What pages ask, for one site. Each question has a connection of its own. */
public final class Questions {
    private static final String EVENT =
            "select g.name, e.n, e.cycle, e.at_ms, e.doubtful, e.kind, e.body, e.unit, e.batch"
                    + " from event e join journal g on g.j = e.j where g.site = :site ";

    private final Jdbi jdbi;
    private final String site;

    Questions(Jdbi jdbi, String site) {
        this.jdbi = jdbi;
        this.site = site;
    }

    /** Batches, the youngest first. */
    public List<BatchRow> batches(int limit) {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        "select * from batch where site = :site"
                                                + " order by coalesce(started_ms, planned_ms, last_ms) desc, id desc limit :limit")
                                .bind("site", site)
                                .bind("limit", limit)
                                .map((row, _) -> batchRow(row))
                                .list());
    }

    public Optional<BatchRow> batch(String id) {
        return jdbi.withHandle(
                h ->
                        h.createQuery("select * from batch where site = :site and id = :id")
                                .bind("site", site)
                                .bind("id", id)
                                .map((row, _) -> batchRow(row))
                                .findFirst());
    }

    /** Lots with leaf left first, then the youngest first. */
    public List<LotRow> lots(int limit) {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        "select * from lot where site = :site"
                                                + " order by (coalesce(remaining_kg, 0) <= 0.0005 or packed), taken_in_ms desc, id desc limit :limit")
                                .bind("site", site)
                                .bind("limit", limit)
                                .map((row, _) -> lotRow(row))
                                .list());
    }

    public List<SampleRow> samples(String batch) {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        "select * from sample where site = :site and batch = :batch order by taken_ms")
                                .bind("site", site)
                                .bind("batch", batch)
                                .map((row, _) -> sampleRow(row))
                                .list());
    }

    /**
     * What happened to a batch, in order: its own events, and the guard's and alarms of the units
     * it was in and of the line while it was there.
     */
    public List<EventRow> eventsOf(String batch) {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        EVENT
                                                + """
                                                and (e.batch = :batch
                                                  or e.kind in ('guard', 'alarm', 'lost', 'started', 'clock', 'command') and exists
                                                    (select 1 from stay s where s.batch = :batch and s.j = e.j
                                                      and e.n between s.n_from and s.n_to and (e.unit is null or e.unit = 'line' or e.unit = s.unit)))
                                                order by e.j, e.n
                                                """)
                                .bind("site", site)
                                .bind("batch", batch)
                                .map((row, _) -> eventRow(row))
                                .list());
    }

    /** The batch's own changes, in order. */
    public List<EventRow> changes(String batch) {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        EVENT
                                                + "and e.batch = :batch and e.kind = 'changed' order by e.j, e.n")
                                .bind("site", site)
                                .bind("batch", batch)
                                .map((row, _) -> eventRow(row))
                                .list());
    }

    /** The latest events of these kinds, the youngest first. */
    public List<EventRow> latest(List<String> kinds, int limit) {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        EVENT
                                                + "and e.kind in (<kinds>) order by e.j desc, e.n desc limit :limit")
                                .bind("site", site)
                                .bindList("kinds", kinds)
                                .bind("limit", limit)
                                .map((row, _) -> eventRow(row))
                                .list());
    }

    /**
     * Changes of alarms from then on, in the order of their recording, and before them those of
     * each alarm since it came for the last time before that moment: what stands was raised some
     * time, and often acknowledged long ago.
     */
    public List<EventRow> alarmsSince(Instant from) {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        EVENT
                                                + """
                                                and e.kind = 'alarm' and (e.at_ms >= :from or e.n >=
                                                  (select max(x.n) from event x
                                                    where x.j = e.j and x.kind = 'alarm' and x.subject = e.subject and x.at_ms < :from
                                                      and json_extract(x.body, '$.to') = 'unacknowledged'))
                                                order by e.j, e.n
                                                """)
                                .bind("site", site)
                                .bind("from", from.toEpochMilli())
                                .map((row, _) -> eventRow(row))
                                .list());
    }

    /** When the first and the last event of the record happened, as the line labels them. */
    public Optional<Instant> firstEventAt() {
        return eventAt("min");
    }

    public Optional<Instant> lastEventAt() {
        return eventAt("max");
    }

    private Optional<Instant> eventAt(String which) {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        "select "
                                                + which
                                                + "(e.at_ms) from event e join journal g on g.j = e.j where g.site = :site")
                                .bind("site", site)
                                .mapTo(Long.class)
                                .findFirst()
                                .map(Instant::ofEpochMilli));
    }

    /** Commands with their answers, the youngest first. */
    public List<EventRow> commands(int limit) {
        return latest(List.of(Kinds.COMMAND), limit);
    }

    /** A recipe in the version that a batch ran, as far as the journal told it. */
    public Optional<RecipeDescription> recipe(String name, int version) {
        List<EventRow> rows =
                jdbi.withHandle(
                        h ->
                                h.createQuery(
                                                EVENT
                                                        + "and e.kind = 'recipe' and e.subject = :name order by e.j desc, e.n desc")
                                        .bind("site", site)
                                        .bind("name", name)
                                        .map((row, _) -> eventRow(row))
                                        .list());
        for (EventRow row : rows) {
            try {
                RecipeDescription recipe = Codec.read(row.record().body(), RecipeDescription.class);
                if (recipe.version() == version) {
                    return Optional.of(recipe);
                }
            } catch (Codec.Malformed _) {
                // kept raw by the store, of no use as a recipe
            }
        }
        return Optional.empty();
    }

    public List<Missing> missing() {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        "select g.name, m.n_from, m.n_to from missing m join journal g on g.j = m.j"
                                                + " where g.site = :site order by m.j, m.n_from")
                                .bind("site", site)
                                .map(
                                        (row, _) ->
                                                new Missing(
                                                        row.getString(1),
                                                        row.getLong(2),
                                                        row.getLong(3)))
                                .list());
    }

    private record Span(int j, String unit, long from, long to) {
        long length() {
            return to - from + 1;
        }
    }

    /**
     * The batch's way through the ovens, reduced to at most {@code most} points by means over
     * stretches of equal length.
     */
    public List<Point> curve(String batch, int most) {
        return jdbi.withHandle(
                h -> {
                    List<Span> spans = spans(h, batch);
                    long total = spans.stream().mapToLong(Span::length).sum();
                    int room = Math.max(1, most - spans.size());
                    long step = Math.max(1, (total + room - 1) / room);
                    List<Point> points = new ArrayList<>();
                    for (Span span : spans) {
                        points.addAll(stretch(h, span, step));
                    }
                    return List.copyOf(points);
                });
    }

    private List<Span> spans(Handle h, String batch) {
        return h.createQuery(
                        """
                        select s.j, s.unit, s.n_from, s.n_to from stay s join journal g on g.j = s.j
                        where g.site = :site and s.batch = :batch and s.unit like 'oven%' order by s.j, s.n_from
                        """)
                .bind("site", site)
                .bind("batch", batch)
                .map(
                        (row, _) ->
                                new Span(
                                        row.getInt(1),
                                        row.getString(2),
                                        row.getLong(3),
                                        row.getLong(4)))
                .list();
    }

    private static List<Point> stretch(Handle h, Span span, long step) {
        return h.createQuery(
                        """
                        select avg(at_s), avg(moisture), avg(moisture_sd), avg(wettest), avg(leaf), avg(air), avg(set_air),
                          avg(exhaust), avg(exhaust_rh), avg(scale), avg(heater)
                        from oven_second
                        where j = :j and unit = (select id from name where text = :unit) and n between :from and :to
                        group by (n - :from) / :step order by n
                        """)
                .bind("j", span.j())
                .bind("unit", span.unit())
                .bind("from", span.from())
                .bind("to", span.to())
                .bind("step", step)
                .map(
                        (row, _) ->
                                new Point(
                                        row.getDouble(1),
                                        span.unit(),
                                        value(row, 2, "moisture"),
                                        value(row, 3, "moistureSd"),
                                        value(row, 4, "wettest"),
                                        value(row, 5, "leafC"),
                                        value(row, 6, "airC"),
                                        value(row, 7, "setAirC"),
                                        value(row, 8, "exhaustC"),
                                        value(row, 9, "exhaustRh"),
                                        value(row, 10, "scaleKg"),
                                        value(row, 11, "heater")))
                .list();
    }

    private static double value(ResultSet row, int index, String reading) throws SQLException {
        double scaled = row.getDouble(index);
        return row.wasNull() ? Double.NaN : scaled / Column.ovenSteps(reading);
    }

    private static BatchRow batchRow(ResultSet row) throws SQLException {
        return new BatchRow(
                row.getString("id"),
                row.getString("oven"),
                row.getString("state"),
                row.getString("recipe"),
                integer(row, "recipe_version"),
                portions(row.getString("lots")),
                instant(row, "planned_ms"),
                instant(row, "started_ms"),
                instant(row, "landed_ms"),
                instant(row, "ended_ms"),
                real(row, "moisture"),
                real(row, "moisture_sd"),
                real(row, "end_mass_kg"),
                Instant.ofEpochMilli(row.getLong("last_ms")));
    }

    private static LotRow lotRow(ResultSet row) throws SQLException {
        Integer wet = integer(row, "wet_by_rain");
        return new LotRow(
                row.getString("id"),
                row.getString("label"),
                row.getString("field"),
                row.getString("cultivar"),
                integer(row, "shading_days"),
                row.getString("ripeness"),
                wet == null ? null : wet != 0,
                instant(row, "plucked_ms"),
                real(row, "mass_kg"),
                real(row, "remaining_kg"),
                real(row, "heap_c"),
                instant(row, "taken_in_ms"),
                row.getInt("packed") != 0,
                row.getString("batch"));
    }

    private static SampleRow sampleRow(ResultSet row) throws SQLException {
        return new SampleRow(
                row.getString("id"),
                row.getString("unit"),
                row.getString("batch"),
                Instant.ofEpochMilli(row.getLong("taken_ms")),
                row.getString("taken_by"),
                real(row, "estimate"),
                real(row, "estimate_sd"),
                real(row, "value"),
                real(row, "sd"),
                row.getString("method"),
                row.getString("basis"),
                instant(row, "valued_ms"),
                row.getInt("questioned") != 0);
    }

    private static EventRow eventRow(ResultSet row) throws SQLException {
        return new EventRow(
                new JournalRecord(
                        row.getString(1),
                        row.getLong(2),
                        row.getLong(3),
                        Instant.ofEpochMilli(row.getLong(4)),
                        row.getInt(5) != 0,
                        row.getString(6),
                        tree(row.getString(7))),
                row.getString(8),
                row.getString(9));
    }

    private static JsonNode tree(String json) {
        try {
            return Codec.read(json.getBytes(StandardCharsets.UTF_8), JsonNode.class);
        } catch (Codec.Malformed e) {
            throw new IllegalStateException("the store holds a body that is not JSON", e);
        }
    }

    private static List<Bodies.Portion> portions(@Nullable String json) {
        if (json == null) {
            return List.of();
        }
        try {
            return List.of(
                    Codec.read(json.getBytes(StandardCharsets.UTF_8), Bodies.Portion[].class));
        } catch (Codec.Malformed e) {
            throw new IllegalStateException("the store holds portions that are not JSON", e);
        }
    }

    private static @Nullable Instant instant(ResultSet row, String column) throws SQLException {
        long ms = row.getLong(column);
        return row.wasNull() ? null : Instant.ofEpochMilli(ms);
    }

    private static @Nullable Double real(ResultSet row, String column) throws SQLException {
        double value = row.getDouble(column);
        return row.wasNull() ? null : value;
    }

    private static @Nullable Integer integer(ResultSet row, String column) throws SQLException {
        int value = row.getInt(column);
        return row.wasNull() ? null : value;
    }
}
