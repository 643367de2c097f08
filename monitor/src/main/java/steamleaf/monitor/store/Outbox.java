package steamleaf.monitor.store;

import java.nio.charset.StandardCharsets;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Codec;

/** What people elsewhere are told, on its way and after; survives a restart. */
public final class Outbox {
    private static final String COLUMNS =
            "id, kind, person, channel, target, alarms, urgent, title, body, made_s, attempts, next_s";

    private final Jdbi jdbi;
    private final String site;

    Outbox(Jdbi jdbi, String site) {
        this.jdbi = jdbi;
        this.site = site;
    }

    /**
     * @param cases JSON of what is being told
     */
    public record Saved(
            double nowS,
            long wallMs,
            @Nullable String watch,
            @Nullable Instant watchSince,
            String cases) {}

    /**
     * @param target address, endpoint or name of the webhook
     * @param nextS not before
     * @param insteadOf one that waits and is in this one, null if none
     */
    public record New(
            String kind,
            String person,
            String channel,
            String target,
            List<String> alarms,
            boolean urgent,
            String title,
            String text,
            double nextS,
            @Nullable Long insteadOf) {}

    public record Waiting(
            long id,
            String kind,
            String person,
            String channel,
            String target,
            List<String> alarms,
            boolean urgent,
            String title,
            String text,
            double madeS,
            int attempts,
            double nextS) {}

    /** As a line on the page; the target is left out, it may be a secret. */
    public record Told(
            @Nullable Instant at,
            String kind,
            String person,
            String channel,
            String title,
            String state,
            int attempts,
            @Nullable String why) {}

    public record Phone(String endpoint, String person, String p256dh, String auth) {}

    public Optional<Saved> saved() {
        return jdbi.withHandle(
                h ->
                        h.createQuery("select * from notice_state where site = :site")
                                .bind("site", site)
                                .map(
                                        (row, _) -> {
                                            long since = row.getLong("watch_since_ms");
                                            return new Saved(
                                                    row.getDouble("now_s"),
                                                    row.getLong("wall_ms"),
                                                    row.getString("watch"),
                                                    row.wasNull()
                                                            ? null
                                                            : Instant.ofEpochMilli(since),
                                                    row.getString("cases"));
                                        })
                                .findFirst());
    }

    /**
     * Keeps the state and what it gave rise to in one durable step.
     *
     * @param open alarms that nobody has: waiting calls that tell of none of them are not needed
     *     any more; null when no fewer are open than before
     * @param at line time
     */
    public void keep(
            Saved state, List<New> notices, @Nullable List<String> open, @Nullable Instant at) {
        jdbi.useTransaction(
                h -> {
                    h.createUpdate(
                                    """
                                    insert into notice_state (site, now_s, wall_ms, watch, watch_since_ms, cases)
                                    values (:site, :now, :wall, :watch, :since, :cases)
                                    on conflict (site) do update set now_s = :now, wall_ms = :wall, watch = :watch,
                                      watch_since_ms = :since, cases = :cases
                                    """)
                            .bind("site", site)
                            .bind("now", state.nowS())
                            .bind("wall", state.wallMs())
                            .bind("watch", state.watch())
                            .bind("since", ms(state.watchSince()))
                            .bind("cases", state.cases())
                            .execute();
                    if (open != null) {
                        withdraw(h, Set.copyOf(open));
                    }
                    notices.forEach(notice -> insert(h, notice, state.nowS(), at));
                });
    }

    private static @Nullable Long ms(@Nullable Instant at) {
        return at == null ? null : at.toEpochMilli();
    }

    /** Calls that tell of nothing that is still open. */
    private void withdraw(Handle h, Set<String> open) {
        record Call(long id, List<String> alarms) {}
        List<Call> calls =
                h.createQuery(
                                "select id, alarms from notice where site = :site and state = 'waiting'"
                                        + " and kind in ('raised', 'still')")
                        .bind("site", site)
                        .map((row, _) -> new Call(row.getLong(1), names(row.getString(2))))
                        .list();
        for (Call call : calls) {
            if (call.alarms().stream().noneMatch(open::contains)) {
                h.execute("update notice set state = 'withdrawn' where id = ?", call.id());
            }
        }
    }

    private static String json(List<String> names) {
        return Codec.text(Codec.write(names));
    }

    private void insert(Handle h, New notice, double nowS, @Nullable Instant at) {
        if (notice.insteadOf() != null) {
            h.execute(
                    "update notice set state = 'merged' where id = ? and state = 'waiting'",
                    notice.insteadOf());
        }
        h.createUpdate(
                        """
                        insert into notice (site, made_s, at_ms, kind, person, channel, target, alarms, urgent, title, body, state, next_s)
                        values (:site, :made, :at, :kind, :person, :channel, :target, :alarms, :urgent, :title, :body, 'waiting', :next)
                        """)
                .bind("site", site)
                .bind("made", nowS)
                .bind("at", ms(at))
                .bind("kind", notice.kind())
                .bind("person", notice.person())
                .bind("channel", notice.channel())
                .bind("target", notice.target())
                .bind("alarms", json(notice.alarms()))
                .bind("urgent", notice.urgent() ? 1 : 0)
                .bind("title", notice.title())
                .bind("body", notice.text())
                .bind("next", notice.nextS())
                .execute();
    }

    /** The oldest notice of a way that may go now. */
    public Optional<Waiting> next(String channel, double nowS) {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        "select "
                                                + COLUMNS
                                                + " from notice where site = :site and channel = :channel and state = 'waiting'"
                                                + " and next_s <= :now order by urgent desc, id limit 1")
                                .bind("site", site)
                                .bind("channel", channel)
                                .bind("now", nowS)
                                .map((row, _) -> waiting(row))
                                .findFirst());
    }

    private static Waiting waiting(ResultSet row) throws SQLException {
        return new Waiting(
                row.getLong(1),
                row.getString(2),
                row.getString(3),
                row.getString(4),
                row.getString(5),
                names(row.getString(6)),
                row.getInt(7) != 0,
                row.getString(8),
                row.getString(9),
                row.getDouble(10),
                row.getInt(11),
                row.getDouble(12));
    }

    /** The call that waits because of the hourly limit and has not been tried. */
    public Optional<Waiting> putOff(String channel, String target, double nowS) {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        "select "
                                                + COLUMNS
                                                + " from notice where site = :site and channel = :channel and target = :target"
                                                + " and state = 'waiting' and kind in ('raised', 'still') and attempts = 0"
                                                + " and next_s > :now order by next_s limit 1")
                                .bind("site", site)
                                .bind("channel", channel)
                                .bind("target", target)
                                .bind("now", nowS)
                                .map((row, _) -> waiting(row))
                                .findFirst());
    }

    private static List<String> names(String json) {
        try {
            return List.of(Codec.read(json.getBytes(StandardCharsets.UTF_8), String[].class));
        } catch (Codec.Malformed e) {
            throw new IllegalStateException("the store holds names that are not JSON", e);
        }
    }

    /**
     * What came of an attempt.
     *
     * @param state the notice's from now on
     */
    public void attempted(
            Waiting notice,
            double nowS,
            String outcome,
            @Nullable String why,
            String state,
            double nextS) {
        jdbi.useTransaction(
                h -> {
                    h.execute(
                            "insert into notice_attempt (notice, n, at_s, outcome, why) values (?, ?, ?, ?, ?)",
                            notice.id(),
                            notice.attempts() + 1,
                            nowS,
                            outcome,
                            why);
                    h.execute(
                            "update notice set attempts = ?, why = ?, next_s = ?,"
                                    + " state = case when state = 'waiting' then ? else state end where id = ?",
                            notice.attempts() + 1,
                            why,
                            nextS,
                            state,
                            notice.id());
                });
    }

    /** When notices to this person by this way were or are to be sent, the youngest first. */
    public List<Double> sendingTimes(String person, String channel, double sinceS) {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        "select max(made_s, next_s) from notice where site = :site and person = :person"
                                                + " and channel = :channel and state not in ('withdrawn', 'merged') and max(made_s, next_s) > :since order by 1 desc")
                                .bind("site", site)
                                .bind("person", person)
                                .bind("channel", channel)
                                .bind("since", sinceS)
                                .mapTo(Double.class)
                                .list());
    }

    /** The latest notices, the youngest first. */
    public List<Told> told(int limit) {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        "select at_ms, kind, person, channel, title, state, attempts, why from notice"
                                                + " where site = :site order by id desc limit :limit")
                                .bind("site", site)
                                .bind("limit", limit)
                                .map(
                                        (row, _) -> {
                                            long at = row.getLong(1);
                                            return new Told(
                                                    row.wasNull() ? null : Instant.ofEpochMilli(at),
                                                    row.getString(2),
                                                    row.getString(3),
                                                    row.getString(4),
                                                    row.getString(5),
                                                    row.getString(6),
                                                    row.getInt(7),
                                                    row.getString(8));
                                        })
                                .list());
    }

    /** Who was reached about an alarm since then. */
    public List<String> reached(String alarm, double sinceS) {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        "select distinct person from notice where site = :site and state = 'delivered'"
                                                + " and kind in ('raised', 'still') and made_s >= :since and instr(alarms, :alarm) > 0")
                                .bind("site", site)
                                .bind("since", sinceS)
                                .bind("alarm", "\"" + alarm + "\"")
                                .mapTo(String.class)
                                .list());
    }

    public void register(Phone phone, @Nullable Instant at) {
        jdbi.useHandle(
                h ->
                        h.execute(
                                "insert or replace into phone (site, endpoint, person, p256dh, auth, since_ms) values (?, ?, ?, ?, ?, ?)",
                                site,
                                phone.endpoint(),
                                phone.person(),
                                phone.p256dh(),
                                phone.auth(),
                                ms(at)));
    }

    public void forget(String endpoint) {
        jdbi.useHandle(
                h ->
                        h.execute(
                                "delete from phone where site = ? and endpoint = ?",
                                site,
                                endpoint));
    }

    public Optional<Phone> phone(String endpoint) {
        return phones().stream().filter(p -> p.endpoint().equals(endpoint)).findFirst();
    }

    public List<Phone> phones() {
        return jdbi.withHandle(
                h ->
                        h.createQuery(
                                        "select endpoint, person, p256dh, auth from phone where site = :site order by endpoint")
                                .bind("site", site)
                                .map(
                                        (row, _) ->
                                                new Phone(
                                                        row.getString(1),
                                                        row.getString(2),
                                                        row.getString(3),
                                                        row.getString(4)))
                                .list());
    }
}
