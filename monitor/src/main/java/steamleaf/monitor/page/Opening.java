package steamleaf.monitor.page;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.Because;
import steamleaf.contract.Language;
import steamleaf.contract.LineDescription;
import steamleaf.contract.RecipeDescription;
import steamleaf.contract.Sentences;
import steamleaf.contract.UnitLive;
import steamleaf.monitor.alarm.AlarmOrder;
import steamleaf.monitor.live.Live;
import steamleaf.monitor.store.Rows;

/**
 * The sentence with which each page opens, made from the same state as its numbers. Nothing here
 * asks a clock or a store.
 */
public final class Opening {
    private static final double BAND_FROM = 0.04;
    private static final double BAND_TO = 0.07;
    private static final double LITTLE_KG = 0.0005;

    /** Phases in which the operation itself goes on; in the others it is prepared or waits. */
    private static final Set<String> WORKING = Set.of("drying", "feeding", "steaming", "working");

    private Opening() {}

    /** What is going on in one unit. */
    static String unit(
            Language language, ZoneId zone, String unit, @Nullable UnitLive live, Freshness fresh) {
        String name = Words.unit(language, unit);
        if (live == null) {
            return Words.say(language, "opening.never", name, fresh.why());
        }
        if (!fresh.fresh()) {
            return Words.say(language, "opening.stale", name, fresh.why());
        }
        UnitLive.Armed armed = live.armed();
        if (armed != null) {
            return armed(language, name, armed);
        }
        Optional<UnitLive.Cause> cause = firstCause(live);
        if (cause.isPresent()) {
            return cause(language, unit, name, cause.get());
        }
        if (live.prompt() == null && live.state().equals("running") && !live.causes().isEmpty()) {
            return waitsForPress(language, name, live.causes().getFirst());
        }
        return state(language, zone, unit, name, live);
    }

    static String armed(Language language, String unitName, UnitLive.Armed armed) {
        String key = "opening.armed-" + armed.action();
        return Words.has(key)
                ? Words.say(language, key, unitName, seconds(armed.leftS()))
                : Words.say(language, "opening.other", unitName, armed.action());
    }

    static String seconds(double seconds) {
        return Figures.plain(Math.ceil(Math.max(0, seconds)), 0);
    }

    private static String cause(Language language, String unit, String name, UnitLive.Cause cause) {
        if (!cause.present()) {
            return waitsForPress(language, name, cause);
        }
        String reason = Words.clause(Words.reason(language, cause.reason()));
        return unit.equals("line")
                ? Words.say(language, "opening.cause-line", reason)
                : Words.say(language, "opening.cause", name, reason);
    }

    /** What was wrong is gone; only the press is missing. */
    private static String waitsForPress(Language language, String name, UnitLive.Cause cause) {
        String button = "button." + cause.resetBy();
        return Words.say(
                language,
                "opening.latched",
                name,
                Words.clause(Words.reason(language, cause.reason())),
                Words.say(language, Words.has(button) ? button : "button.reset"));
    }

    /** Something is wrong now, or a trip waits; an interlock that only waits for a start is not. */
    static boolean matters(UnitLive.Cause cause) {
        return cause.present() || cause.latch().equals("trip");
    }

    /** The cause to name: the first-out one that matters, or else the first that does. */
    static Optional<UnitLive.Cause> firstCause(UnitLive live) {
        return live.causes().stream()
                .filter(Opening::matters)
                .filter(UnitLive.Cause::firstOut)
                .findFirst()
                .or(() -> live.causes().stream().filter(Opening::matters).findFirst());
    }

    private static String state(
            Language language, ZoneId zone, String unit, String name, UnitLive live) {
        return switch (live.state()) {
            case "idle" -> idle(language, unit, name, live);
            case "planned" ->
                    Words.say(
                            language,
                            "opening.planned",
                            name,
                            lots(live),
                            Words.orName(language, "recipe.", orDash(live.recipe())));
            case "running" -> running(language, zone, name, live);
            case "held" -> {
                Because note = live.note();
                yield Words.say(
                        language,
                        "opening.held",
                        name,
                        note == null
                                ? Words.say(language, "opening.held-plain")
                                : Words.clause(Words.reason(language, note)));
            }
            case "stopped" -> Words.say(language, "opening.stopped", name);
            case "aborted" -> Words.say(language, "opening.aborted", name);
            case "ready", "not-ready" -> lineState(language, live);
            default ->
                    Words.say(language, "opening.other", name, Words.state(language, live.state()));
        };
    }

    private static String lineState(Language language, UnitLive live) {
        if (live.state().equals("ready")) {
            return Words.say(
                    language,
                    "opening.other",
                    Words.unit(language, "line"),
                    Words.state(language, "ready"));
        }
        return Words.say(language, "line.not-ready", firstBad(language, live));
    }

    private static String firstBad(Language language, UnitLive live) {
        return live.permissives().stream()
                .filter(Sheet::inTheWay)
                .findFirst()
                .map(p -> Words.clause(Words.reason(language, p.reason())))
                .orElseGet(() -> Words.state(language, live.state()));
    }

    private static String idle(Language language, String unit, String name, UnitLive live) {
        if (unit.equals("steamer")) {
            Double chest = value(live, "chestAC");
            return chest == null
                    ? Words.say(language, "opening.idle-steamer-blind")
                    : Words.say(language, "opening.idle-steamer", Figures.celsiusRound(chest));
        }
        Double air = value(live, "airC");
        return air == null
                ? Words.say(language, "opening.idle-blind", name)
                : Words.say(language, "opening.idle", name, Figures.celsiusRound(air));
    }

    private static String running(Language language, ZoneId zone, String name, UnitLive live) {
        if (live.prompt() != null) {
            return Words.say(language, "opening.wanted", name, lots(live));
        }
        String operation = orDash(live.operation());
        String phase = live.phase();
        if (phase != null && !WORKING.contains(phase) && Sentences.has("phase." + phase)) {
            return inOperation(language, name, live, Sentences.say(language, "phase." + phase));
        }
        UnitLive.Moisture moisture = live.moisture();
        if (operation.equals("dry")) {
            if (moisture == null) {
                return Words.say(language, "opening.dry-blind", name);
            }
            if (moisture.landsInS() != null && moisture.target() != null) {
                return Words.say(
                        language,
                        "opening.dry-lands",
                        name,
                        Figures.percent(moisture.mean(), 1),
                        Figures.percent(moisture.target(), 1),
                        Figures.clock(lands(live.at(), moisture.landsInS()), zone));
            }
            return Words.say(
                    language, "opening.dry", name, Figures.percent(moisture.mean(), moisture.sd()));
        }
        if (operation.equals("steam")) {
            return Words.say(language, "opening.steam", name, lots(live));
        }
        return inOperation(language, name, live, Words.doing(language, operation));
    }

    private static String inOperation(Language language, String name, UnitLive live, String doing) {
        return Words.say(
                language,
                "opening.operation",
                name,
                lots(live),
                doing,
                number(live.stepNumber()),
                number(live.stepCount()));
    }

    /** The word for what a unit does now: the phase where it says more than the operation. */
    static String doing(Language language, UnitLive live) {
        String phase = live.phase();
        boolean more = phase != null && !WORKING.contains(phase) && Sentences.has("phase." + phase);
        return more
                ? Sentences.say(language, "phase." + phase)
                : Words.doing(language, orDash(live.operation()));
    }

    static Instant lands(Instant at, double inS) {
        return at.plus(Duration.ofMillis(Math.round(inS * 1_000)));
    }

    private static String lots(UnitLive live) {
        String lots = live.lots();
        return lots != null ? lots : orDash(live.batch());
    }

    private static String orDash(@Nullable String text) {
        return text == null ? Figures.DASH : text;
    }

    private static String number(@Nullable Integer number) {
        return number == null ? Figures.DASH : String.valueOf(number);
    }

    /** A reading that may be believed, or null. */
    static @Nullable Double value(UnitLive live, String reading) {
        UnitLive.Value value = live.readings().get(reading);
        return value != null && value.quality().equals("good") ? value.value() : null;
    }

    /** The second sentence under a unit's: how sure, and what would help. */
    static String second(
            Language language, @Nullable UnitLive live, boolean fresh, boolean openSample) {
        if (live == null || !fresh) {
            return live == null ? "" : Words.say(language, "fresh.since", "").strip();
        }
        StringBuilder text = new StringBuilder();
        UnitLive.Moisture moisture = live.moisture();
        if (moisture != null && moisture.aim() != null) {
            append(language, text, sentence(language, Words.reason(language, moisture.aim())));
        } else if (moisture != null && moisture.bandProbability() != null) {
            append(
                    language,
                    text,
                    Words.say(
                            language, "sub.sure", Figures.percent(moisture.bandProbability(), 0)));
        }
        if (moisture != null) {
            append(
                    language,
                    text,
                    Words.say(language, "sub.wettest", Figures.percent(moisture.wettest(), 1)));
        }
        if (openSample) {
            append(language, text, Words.say(language, "sub.samples"));
        }
        Double elapsed = live.stepElapsedS();
        if (elapsed != null && live.state().equals("running")) {
            append(
                    language,
                    text,
                    Words.say(language, "sub.elapsed", Figures.duration(language, elapsed)));
        }
        return text.toString();
    }

    /** With its full stop. */
    private static String sentence(Language language, String text) {
        return Words.clause(text) + (language == Language.ENGLISH ? "." : "。");
    }

    private static void append(Language language, StringBuilder text, String sentence) {
        if (!text.isEmpty() && language == Language.ENGLISH) {
            text.append(' ');
        }
        text.append(sentence);
    }

    static String join(Language language, String... sentences) {
        StringBuilder text = new StringBuilder();
        for (String sentence : sentences) {
            if (!sentence.isEmpty()) {
                append(language, text, sentence);
            }
        }
        return text.toString();
    }

    /** The whole line. */
    static String line(Language language, ZoneId zone, Live.Now now, Freshness lineFresh) {
        if (!lineFresh.fresh()) {
            return Words.say(language, "line.nothing", lineFresh.why());
        }
        UnitLive line = now.unit("line");
        List<UnitLive> ovens =
                now.units().values().stream()
                        .map(Live.Heard::live)
                        .filter(u -> u.unit().startsWith("oven"))
                        .toList();
        String first = lineFirst(language, line, ovens);
        Optional<UnitLive> wanted = ovens.stream().filter(u -> u.prompt() != null).findFirst();
        if (wanted.isPresent()) {
            return join(
                    language,
                    first,
                    Words.say(language, "line.wanted", Words.unit(language, wanted.get().unit())));
        }
        return join(language, first, landsNext(language, zone, ovens));
    }

    private static String lineFirst(
            Language language, @Nullable UnitLive line, List<UnitLive> ovens) {
        if (line != null && firstCause(line).isPresent()) {
            return unit(
                    language,
                    java.time.ZoneOffset.UTC,
                    "line",
                    line,
                    new Freshness(true, "", null));
        }
        if (line != null && line.state().equals("not-ready")) {
            return lineState(language, line);
        }
        long working = ovens.stream().filter(u -> u.state().equals("running")).count();
        return Words.say(language, "line.ready", working, ovens.size());
    }

    private static String landsNext(Language language, ZoneId zone, List<UnitLive> ovens) {
        record Landing(UnitLive unit, Instant at) {}
        return ovens.stream()
                .flatMap(
                        u -> {
                            UnitLive.Moisture m = u.moisture();
                            return m == null || m.landsInS() == null
                                    ? java.util.stream.Stream.<Landing>empty()
                                    : java.util.stream.Stream.of(
                                            new Landing(u, lands(u.at(), m.landsInS())));
                        })
                .min(Comparator.comparing(Landing::at))
                .map(
                        l ->
                                Words.say(
                                        language,
                                        "line.lands-next",
                                        Words.unit(language, l.unit().unit()),
                                        Figures.clock(l.at(), zone)))
                .orElse("");
    }

    /** Alarms that stand, in the order of {@link AlarmOrder}. */
    static List<AlarmLive> standing(Live.Now now) {
        return AlarmOrder.of(now.alarms().values()).stream().map(AlarmOrder.Placed::alarm).toList();
    }

    /** Put aside by a person: shelved or out of service. */
    static boolean isAside(AlarmLive alarm) {
        return alarm.state().equals("shelved") || alarm.state().equals("out-of-service");
    }

    static String alarms(Language language, Live.Now now) {
        if (!now.brokerUp()) {
            return Words.say(language, "alarms.blind", Words.say(language, "fresh.broker-down"));
        }
        if (!now.controllerUp()) {
            return Words.say(
                    language, "alarms.blind", Words.say(language, "fresh.controller-down"));
        }
        List<AlarmOrder.Placed> standing = AlarmOrder.of(now.alarms().values());
        long aside = now.alarms().values().stream().filter(Opening::isAside).count();
        String put = aside == 0 ? "" : Words.say(language, "alarms.aside-count", aside);
        if (standing.isEmpty()) {
            return join(language, Words.say(language, "alarms.none"), put);
        }
        AlarmOrder.Placed top = standing.getFirst();
        String most = Words.reason(language, top.alarm().what());
        String first =
                standing.size() == 1
                        ? Words.say(language, "alarms.one", most)
                        : Words.say(
                                language,
                                top.causeOf() > 0 ? "alarms.storm" : "alarms.many",
                                standing.size(),
                                most);
        long open = standing.stream().filter(p -> AlarmOrder.unacknowledged(p.alarm())).count();
        return join(
                language,
                first,
                open == 0 ? "" : Words.say(language, "alarms.unacknowledged", open),
                put);
    }

    static String batches(
            Language language,
            ZoneId zone,
            List<Rows.BatchRow> batches,
            java.util.function.Function<Rows.BatchRow, String> name) {
        if (batches.isEmpty()) {
            return Words.say(language, "batches.none");
        }
        String count =
                batches.size() == 1
                        ? Words.say(language, "batches.one")
                        : Words.say(language, "batches.many", batches.size());
        return batches.stream()
                .filter(b -> b.landedAt() != null)
                .max(Comparator.comparing(b -> java.util.Objects.requireNonNull(b.landedAt())))
                .map(
                        b ->
                                Words.say(
                                        language,
                                        "batches.last",
                                        count,
                                        lowerFirst(name.apply(b)),
                                        Figures.percent(b.moisture(), 1),
                                        Figures.day(language, b.landedAt(), zone)))
                .orElseGet(() -> Words.say(language, "batches.running", count));
    }

    private static String lowerFirst(String name) {
        return name.startsWith("Lot ") || name.startsWith("Batch ")
                ? Character.toLowerCase(name.charAt(0)) + name.substring(1)
                : name;
    }

    /**
     * How one batch went.
     *
     * @param firstAlarm the first alarm on its way and when, or null
     */
    static String batch(
            Language language,
            ZoneId zone,
            String name,
            Rows.BatchRow batch,
            int alarms,
            @Nullable Instant firstAlarmAt,
            @Nullable String firstAlarm) {
        String how;
        String outside = "";
        if (batch.landedAt() != null) {
            String end = Figures.percent(batch.moisture(), 1);
            how =
                    batch.startedAt() == null
                            ? Words.say(language, "batch.landed-short", name, end)
                            : Words.say(
                                    language,
                                    "batch.landed",
                                    name,
                                    end,
                                    Figures.duration(
                                            language,
                                            (double)
                                                    Duration.between(
                                                                    batch.startedAt(),
                                                                    batch.landedAt())
                                                            .toSeconds()));
            Double moisture = batch.moisture();
            if (moisture != null && (moisture < BAND_FROM || moisture > BAND_TO)) {
                outside = Words.say(language, "batch.outside");
            }
        } else if (batch.isOver() || batch.state().equals("aborted")) {
            how = Words.say(language, "batch.ended", name, Words.state(language, batch.state()));
        } else if (batch.startedAt() == null) {
            how = Words.say(language, "batch.planned", name, Words.unit(language, batch.oven()));
        } else {
            how =
                    Words.say(
                            language,
                            "batch.running",
                            name,
                            Words.unit(language, batch.oven()),
                            Words.state(language, batch.state()));
        }
        String trouble = "";
        if (firstAlarm != null && firstAlarmAt != null) {
            trouble =
                    Words.say(
                            language,
                            "batch.alarm-first",
                            Figures.clock(firstAlarmAt, zone),
                            firstAlarm);
            if (alarms > 1) {
                trouble = join(language, Words.say(language, "batch.alarms", alarms), trouble);
            }
        } else if (batch.landedAt() != null) {
            trouble = Words.say(language, "batch.clean");
        }
        return join(language, how, outside, trouble);
    }

    /**
     * Leaf that waits, and how long it has.
     *
     * @param lineAt what time it is at the line, null when unknown
     */
    static String lots(
            Language language,
            List<Rows.LotRow> lots,
            @Nullable Instant lineAt,
            @Nullable LineDescription line) {
        List<Rows.LotRow> waiting = lots.stream().filter(Opening::waits).toList();
        if (waiting.isEmpty()) {
            return Words.say(language, "lots.none");
        }
        double total =
                waiting.stream()
                        .mapToDouble(l -> l.remainingKg() == null ? 0 : l.remainingKg())
                        .sum();
        String count =
                waiting.size() == 1
                        ? Words.say(language, "lots.one")
                        : Words.say(language, "lots.many", waiting.size());
        Optional<Rows.LotRow> oldest =
                waiting.stream()
                        .filter(l -> l.pluckedAt() != null)
                        .min(
                                Comparator.comparing(
                                        l -> java.util.Objects.requireNonNull(l.pluckedAt())));
        Instant plucked = oldest.map(Rows.LotRow::pluckedAt).orElse(null);
        if (plucked == null || lineAt == null) {
            return Words.say(language, "lots.waiting-plain", Figures.kg(total), count);
        }
        double ageS = (double) Duration.between(plucked, lineAt).toSeconds();
        String first =
                Words.say(
                        language,
                        "lots.waiting",
                        Figures.kg(total),
                        count,
                        Figures.duration(language, ageS));
        return join(language, first, freshness(language, oldest.orElseThrow().label(), ageS, line));
    }

    static String freshness(
            Language language, String label, double ageS, @Nullable LineDescription line) {
        if (line == null) {
            return "";
        }
        double hours = ageS / Duration.ofHours(1).toSeconds();
        String key =
                hours >= line.freshnessLimitH()
                        ? "lots.limit"
                        : hours >= line.freshnessWarningH() ? "lots.warning" : "";
        return key.isEmpty()
                ? ""
                : Words.say(
                        language,
                        key,
                        label,
                        Figures.duration(language, ageS),
                        Figures.hours(language, line.freshnessLimitH()));
    }

    static boolean waits(Rows.LotRow lot) {
        Double left = lot.remainingKg();
        return !lot.packed() && left != null && left > LITTLE_KG;
    }

    /** Whether a batch can be planned for this unit. */
    static String plan(
            Language language,
            String unit,
            @Nullable UnitLive live,
            Freshness fresh,
            boolean leafWaits) {
        String name = Words.unit(language, unit);
        if (live == null || !fresh.fresh()) {
            return Words.say(language, "plan.not-free", name, fresh.why());
        }
        if (!isFree(live)) {
            return Words.say(language, "plan.not-free", name, Words.state(language, live.state()));
        }
        return Words.say(language, leafWaits ? "plan.free" : "plan.no-leaf", name);
    }

    /** An aborted batch has the oven until its leaf is out. */
    static boolean isFree(UnitLive live) {
        return live.state().equals("idle");
    }

    /** Whether the start may be armed, and the first thing in the way. */
    static String start(
            Language language,
            String unit,
            @Nullable UnitLive live,
            Freshness fresh,
            List<UnitLive.Permissive> permissives) {
        String name = Words.unit(language, unit);
        if (live == null || !fresh.fresh()) {
            return Words.say(language, "start.not-ready", name, fresh.why());
        }
        if (live.armed() != null) {
            return armed(language, name, live.armed());
        }
        List<UnitLive.Permissive> bad = permissives.stream().filter(Sheet::inTheWay).toList();
        if (bad.isEmpty()) {
            return permissives.isEmpty()
                    ? Words.say(
                            language, "start.not-ready", name, Words.say(language, "start.none"))
                    : Words.say(language, "start.ready");
        }
        String first =
                Words.say(
                        language,
                        "start.not-ready",
                        name,
                        Words.clause(Words.reason(language, bad.getFirst().reason())));
        return bad.size() == 1
                ? first
                : join(language, first, Words.say(language, "start.more", bad.size()));
    }

    static String recipes(Language language, List<RecipeDescription> recipes) {
        if (recipes.isEmpty()) {
            return Words.say(language, "recipes.none");
        }
        return Words.say(
                language,
                "recipes.opening",
                recipes.size(),
                String.join(
                        language == Language.JAPANESE ? "、" : ", ",
                        recipes.stream()
                                .map(r -> Words.orName(language, "recipe.", r.name()))
                                .toList()));
    }
}
