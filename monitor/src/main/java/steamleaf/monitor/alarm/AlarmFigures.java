package steamleaf.monitor.alarm;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Because;

/**
 * The figures that IEC 62682 asks for, of one stretch of time and one operator's place: the line.
 *
 * <p>An <em>alarm</em> is counted when it becomes unacknowledged (it is annunciated), not when it
 * is acknowledged or goes. Times are the line's labels; ten minutes slide over the stretch, so a
 * burst is not cut in two by a full hour.
 *
 * <p>Benchmarks: table of performance metrics per operator position in IEC 62682:2014 and
 * ANSI/ISA-18.2-2016 (as recalled; the texts were not opened), except where a line says
 * <em>seen</em>.
 *
 * @param perTenMinutes mean over the stretch
 * @param mostInTenMinutes the most within any ten minutes
 * @param floodShare part of the stretch that was in a flood, 0 to 1
 * @param stale alarms that stood longer than {@link #STALE}
 * @param doubtful alarms whose time the controller itself doubted
 */
public record AlarmFigures(
        Instant from,
        Instant to,
        int alarms,
        double perTenMinutes,
        double perDay,
        int mostInTenMinutes,
        @Nullable Instant mostFrom,
        List<Flood> floods,
        double floodShare,
        List<Frequent> mostFrequent,
        List<Stood> longest,
        List<Chattering> chattering,
        int stale,
        Map<String, Integer> byPriority,
        int doubtful) {
    /** Likely acceptable, as recalled. */
    public static final double ACCEPTABLE_PER_TEN_MINUTES = 1;

    /** The most that can be managed, as recalled. */
    public static final double MANAGEABLE_PER_TEN_MINUTES = 2;

    /** Likely acceptable in a day, as recalled: about 150. */
    public static final double ACCEPTABLE_PER_DAY = 150;

    /**
     * A flood begins with more than this within ten minutes (seen: definition of ISA-18.2 as quoted
     * on prosys.com, "Eliminate alarm floods").
     */
    public static final int FLOOD_ABOVE = 10;

    /** A flood ends with fewer than this within ten minutes (seen, same place). */
    public static final int FLOOD_ENDS_BELOW = 5;

    /** Part of the time that may be flood (seen, same place). */
    public static final double FLOOD_SHARE = 0.01;

    /** The same alarm this often within {@link #CHATTER} chatters; as recalled from ISA-18.2. */
    public static final int CHATTERS_FROM = 3;

    static final Duration CHATTER = Duration.ofMinutes(1);

    /** An alarm that stands longer is stale; as recalled, with fewer than five on any day. */
    static final Duration STALE = Duration.ofHours(24);

    /** Stale alarms that may be there, as recalled. */
    public static final int STALE_BELOW = 5;

    /** Low, medium and high (seen: 80/15/5 on a page of a vendor of reports). */
    public static final Map<String, Integer> PRIORITY_PERCENT =
            Map.of("low", 80, "medium", 15, "high", 5);

    static final Duration TEN_MINUTES = Duration.ofMinutes(10);
    private static final double TEN_MINUTES_S = 600;
    private static final double DAY_S = 86_400;

    public AlarmFigures {
        floods = List.copyOf(floods);
        mostFrequent = List.copyOf(mostFrequent);
        longest = List.copyOf(longest);
        chattering = List.copyOf(chattering);
        byPriority = Map.copyOf(byPriority);
    }

    /** One change of one alarm, as recorded. */
    public record Change(
            Instant at,
            boolean doubtful,
            String id,
            String unit,
            String to,
            String priority,
            Because what) {}

    /** Which alarm. */
    public record Which(String id, String unit, String priority, Because what) {}

    /**
     * @param until when fewer than {@value #FLOOD_ENDS_BELOW} were left within ten minutes, or the
     *     end of the stretch
     * @param most the most within ten minutes of it
     */
    public record Flood(Instant from, Instant until, int alarms, int most) {}

    public record Frequent(Which which, int times) {}

    /**
     * @param until null while it stands
     */
    public record Stood(Which which, Instant from, @Nullable Instant until, Duration length) {}

    /**
     * @param most the most within one minute
     */
    public record Chattering(Which which, int most, Instant from) {}

    public Duration stretch() {
        return Duration.between(from, to);
    }

    /**
     * Counts.
     *
     * @param changes in the order in which they were recorded; what lies before {@code from} only
     *     tells since when an alarm stood
     * @param most how many of each list
     */
    public static AlarmFigures of(List<Change> changes, Instant from, Instant to, int most) {
        List<Change> raised =
                changes.stream()
                        .filter(c -> c.to().equals("unacknowledged"))
                        .filter(c -> !c.at().isBefore(from) && !c.at().isAfter(to))
                        .sorted(Comparator.comparing(Change::at))
                        .toList();
        double seconds = Math.max(TEN_MINUTES_S, (double) Duration.between(from, to).toSeconds());
        List<Flood> floods = floods(raised, to);
        Busiest busiest = busiest(raised, TEN_MINUTES);
        double floodS =
                floods.stream()
                        .mapToDouble(f -> (double) Duration.between(f.from(), f.until()).toMillis())
                        .map(ms -> ms / 1_000)
                        .sum();
        List<Stood> stood = stood(changes, from, to);
        return new AlarmFigures(
                from,
                to,
                raised.size(),
                raised.size() * TEN_MINUTES_S / seconds,
                raised.size() * DAY_S / Math.max(seconds, DAY_S),
                busiest.count(),
                busiest.from(),
                floods,
                Math.min(1, floodS / seconds),
                frequent(raised, most),
                stood.stream().limit(most).toList(),
                chattering(raised),
                (int) stood.stream().filter(s -> s.length().compareTo(STALE) > 0).count(),
                priorities(raised),
                (int) raised.stream().filter(Change::doubtful).count());
    }

    private static Which which(Change change) {
        return new Which(change.id(), change.unit(), change.priority(), change.what());
    }

    private record Busiest(int count, @Nullable Instant from) {}

    /** The stretch of this length that holds the most. */
    private static Busiest busiest(List<Change> raised, Duration length) {
        Busiest best = new Busiest(0, null);
        int first = 0;
        for (int i = 0; i < raised.size(); i++) {
            while (!raised.get(first).at().plus(length).isAfter(raised.get(i).at())) {
                first++;
            }
            int count = i - first + 1;
            if (count > best.count()) {
                best = new Busiest(count, raised.get(first).at());
            }
        }
        return best;
    }

    /** Alarms come in and, ten minutes later, drop out of the count again. */
    private static List<Flood> floods(List<Change> raised, Instant to) {
        List<Flood> floods = new ArrayList<>();
        int out = 0;
        int begun = -1;
        int most = 0;
        for (int in = 0; in <= raised.size(); in++) {
            Instant next = in < raised.size() ? raised.get(in).at() : Instant.MAX;
            while (out < in && !raised.get(out).at().plus(TEN_MINUTES).isAfter(next)) {
                out++;
                if (begun >= 0 && in - out < FLOOD_ENDS_BELOW) {
                    Instant end = raised.get(out - 1).at().plus(TEN_MINUTES);
                    floods.add(
                            new Flood(
                                    raised.get(begun).at(),
                                    end.isAfter(to) ? to : end,
                                    in - begun,
                                    most));
                    begun = -1;
                }
            }
            if (in < raised.size()) {
                int count = in + 1 - out;
                if (begun < 0 && count > FLOOD_ABOVE) {
                    begun = out;
                    most = 0;
                }
                most = Math.max(most, count);
            }
        }
        return floods;
    }

    private static List<Frequent> frequent(List<Change> raised, int most) {
        Map<String, Integer> times = new LinkedHashMap<>();
        Map<String, Which> which = new LinkedHashMap<>();
        for (Change change : raised) {
            times.merge(change.id(), 1, Integer::sum);
            which.putIfAbsent(change.id(), which(change));
        }
        return which.values().stream()
                .map(w -> new Frequent(w, times.getOrDefault(w.id(), 0)))
                .sorted(Comparator.comparingInt(Frequent::times).reversed())
                .limit(most)
                .toList();
    }

    /** From annunciation until the condition went, was shelved or was suppressed; longest first. */
    private static List<Stood> stood(List<Change> changes, Instant from, Instant to) {
        Map<String, Change> standing = new LinkedHashMap<>();
        List<Stood> all = new ArrayList<>();
        for (Change change : changes) {
            switch (change.to()) {
                case "unacknowledged" -> standing.putIfAbsent(change.id(), change);
                case "acknowledged" -> {}
                default -> {
                    Change begun = standing.remove(change.id());
                    if (begun != null && !change.at().isBefore(from)) {
                        all.add(length(begun, change.at(), change.at()));
                    }
                }
            }
        }
        standing.values().forEach(begun -> all.add(length(begun, null, to)));
        all.sort(Comparator.comparing(Stood::length).reversed());
        return all;
    }

    private static Stood length(Change begun, @Nullable Instant until, Instant end) {
        Duration length = Duration.between(begun.at(), end);
        return new Stood(
                which(begun), begun.at(), until, length.isNegative() ? Duration.ZERO : length);
    }

    private static List<Chattering> chattering(List<Change> raised) {
        Map<String, List<Change>> byId = new LinkedHashMap<>();
        raised.forEach(c -> byId.computeIfAbsent(c.id(), _ -> new ArrayList<>()).add(c));
        List<Chattering> chattering = new ArrayList<>();
        for (List<Change> times : byId.values()) {
            Busiest busiest = busiest(times, CHATTER);
            if (busiest.count() >= CHATTERS_FROM && busiest.from() != null) {
                chattering.add(
                        new Chattering(which(times.getFirst()), busiest.count(), busiest.from()));
            }
        }
        chattering.sort(Comparator.comparingInt(Chattering::most).reversed());
        return chattering;
    }

    private static Map<String, Integer> priorities(List<Change> raised) {
        Map<String, Integer> counts = new LinkedHashMap<>();
        raised.forEach(c -> counts.merge(c.priority(), 1, Integer::sum));
        return counts;
    }
}
