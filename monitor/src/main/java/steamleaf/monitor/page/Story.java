package steamleaf.monitor.page;

import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.AnswerMessage;
import steamleaf.contract.Because;
import steamleaf.contract.Bodies;
import steamleaf.contract.Codec;
import steamleaf.contract.CommandMessage;
import steamleaf.contract.Kinds;
import steamleaf.contract.Language;
import steamleaf.monitor.store.Rows;

/** Journal records told in sentences. */
public final class Story {
    private static final List<String> DOWN_TO_THE_POINT =
            List.of(
                    "hold",
                    "stop",
                    "abort",
                    "acknowledge",
                    "shelve",
                    "unshelve",
                    "take-out-of-service",
                    "put-in-service");

    private Story() {}

    /**
     * One line of what happened.
     *
     * @param tone {@code ab} for what is abnormal, empty otherwise
     */
    public record Told(Instant at, String sentence, String tone, String rule) {}

    /** The events of a batch, oldest first; what says nothing to people is left out. */
    static List<Told> tell(Language language, ZoneId zone, List<Rows.EventRow> events) {
        List<Told> told = new ArrayList<>();
        for (Rows.EventRow event : events) {
            Told line = tell(language, zone, event);
            if (line != null) {
                told.add(line);
            }
        }
        return told;
    }

    /**
     * The same with what was told several times told once, where it was told last: an alarm that
     * chatters leaves room for the others.
     *
     * @param told the youngest first
     */
    static List<Told> calm(Language language, ZoneId zone, List<Told> told, int most) {
        Map<String, Integer> times = new java.util.LinkedHashMap<>();
        Map<String, Told> last = new java.util.LinkedHashMap<>();
        Map<String, Instant> first = new java.util.HashMap<>();
        for (Told line : told) {
            times.merge(line.sentence(), 1, Integer::sum);
            last.putIfAbsent(line.sentence(), line);
            first.put(line.sentence(), line.at());
        }
        return last.values().stream()
                .limit(most)
                .map(
                        line -> {
                            int n = times.getOrDefault(line.sentence(), 1);
                            return n == 1
                                    ? line
                                    : new Told(
                                            line.at(),
                                            Opening.join(
                                                    language,
                                                    line.sentence(),
                                                    Words.say(
                                                            language,
                                                            "alarms.times-since",
                                                            n,
                                                            Figures.when(
                                                                    language,
                                                                    first.get(line.sentence()),
                                                                    zone))),
                                            line.tone(),
                                            line.rule());
                        })
                .toList();
    }

    /** Changes that are told by other lines already, or are nobody's news. */
    private static final Set<String> LEFT_OUT =
            Set.of("phase", "operation-ended", "door-closed", "armed", "arming-lapsed");

    private static final Set<String> GUARD_LEFT_OUT =
            Set.of("started", "stopped", "contactor-moved");

    private static @Nullable Told tell(Language language, ZoneId zone, Rows.EventRow event) {
        Instant at = event.record().at();
        try {
            return switch (event.record().kind()) {
                case Kinds.CHANGED -> {
                    Bodies.Changed changed =
                            Codec.read(event.record().body(), Bodies.Changed.class);
                    yield LEFT_OUT.contains(changed.what()) ? null : changed(language, at, changed);
                }
                case Kinds.GUARD -> {
                    Bodies.Guard guard = Codec.read(event.record().body(), Bodies.Guard.class);
                    if (GUARD_LEFT_OUT.contains(guard.event())) {
                        yield null;
                    }
                    String key = "event.guard-" + guard.event();
                    String reason = Words.reason(language, guard.reason());
                    yield new Told(
                            at,
                            Words.has(key) ? Words.say(language, key, reason) : reason,
                            guard.event().equals("caused") ? "ab" : "",
                            guard.rule());
                }
                case Kinds.ALARM -> {
                    Bodies.Alarm alarm = Codec.read(event.record().body(), Bodies.Alarm.class);
                    String sentence =
                            Words.say(
                                    language,
                                    "event.alarm",
                                    ended(language, Words.reason(language, alarm.what())),
                                    Words.orName(language, "alarm.", alarm.to()));
                    String why =
                            alarm.reason() == null
                                    ? ""
                                    : Words.say(language, "event.alarm-reason", alarm.reason());
                    yield new Told(
                            at,
                            Opening.join(language, by(language, sentence, alarm.by()), why),
                            alarm.to().equals("unacknowledged") ? "ab" : "",
                            alarm.definition());
                }
                case Kinds.PROMPT -> {
                    Bodies.Prompted prompt =
                            Codec.read(event.record().body(), Bodies.Prompted.class);
                    String key = "event.prompt-" + prompt.event();
                    String text = Words.reason(language, prompt.text());
                    String mass = prompt.massKg() == null ? "" : Figures.kg(prompt.massKg()) + ".";
                    yield new Told(
                            at,
                            by(
                                    language,
                                    Opening.join(
                                            language,
                                            Words.has(key) ? Words.say(language, key, text) : text,
                                            mass),
                                    prompt.by()),
                            prompt.event().equals("overdue") ? "ab" : "",
                            "");
                }
                case Kinds.SAMPLE ->
                        sample(
                                language,
                                at,
                                Codec.read(event.record().body(), Bodies.Sample.class));
                case Kinds.LOT -> {
                    Bodies.Lot lot = Codec.read(event.record().body(), Bodies.Lot.class);
                    String key = "event.lot-" + lot.event();
                    yield Words.has(key)
                            ? new Told(
                                    at,
                                    by(
                                            language,
                                            Words.say(
                                                    language,
                                                    key,
                                                    lot.label(),
                                                    Figures.kg(lot.massKg())),
                                            lot.by()),
                                    "",
                                    "")
                            : null;
                }
                case Kinds.STARTED ->
                        new Told(at, Words.say(language, "event.restarted"), "ab", "");
                case Kinds.LOST -> {
                    Bodies.Lost lost = Codec.read(event.record().body(), Bodies.Lost.class);
                    yield new Told(
                            at,
                            Words.say(language, "event.lost", lost.what(), lost.count()),
                            "ab",
                            "");
                }
                case Kinds.CLOCK -> {
                    Bodies.Clock clock = Codec.read(event.record().body(), Bodies.Clock.class);
                    yield new Told(
                            at,
                            Words.say(
                                    language,
                                    "event.clock",
                                    Figures.clockS(clock.before(), zone),
                                    Figures.clockS(clock.after(), zone)),
                            "",
                            "");
                }
                case Kinds.COMMAND -> {
                    Bodies.Commanded told =
                            Codec.read(event.record().body(), Bodies.Commanded.class);
                    yield DOWN_TO_THE_POINT.contains(told.command().kind())
                                    || !told.answer().moved()
                            ? new Told(at, command(language, told), "", "")
                            : null;
                }
                default -> null;
            };
        } catch (Codec.Malformed e) {
            return new Told(
                    at, Words.say(language, "event.other", event.record().kind() + " (?)"), "", "");
        }
    }

    private static Told changed(Language language, Instant at, Bodies.Changed changed) {
        String sentence =
                switch (changed.what()) {
                    case "planned" ->
                            Words.say(
                                    language,
                                    "event.planned",
                                    Words.orName(
                                            language,
                                            "recipe.",
                                            changed.recipe() == null
                                                    ? Figures.DASH
                                                    : changed.recipe()));
                    case "operation" ->
                            Words.say(
                                    language,
                                    "event.operation",
                                    capital(
                                            Words.doing(
                                                    language,
                                                    changed.operation() == null
                                                            ? Figures.DASH
                                                            : changed.operation())),
                                    changed.step() == null ? Figures.DASH : changed.step());
                    case "weighed" ->
                            Words.say(language, "event.weighed", Figures.kg(changed.massKg()));
                    default -> {
                        String key = "event." + changed.what();
                        yield Words.has(key)
                                ? Words.say(language, key)
                                : changed.because() == null
                                        ? Words.say(language, "event.other", changed.what())
                                        : "";
                    }
                };
        Because because = changed.because();
        String whole =
                because == null
                        ? sentence
                        : Opening.join(
                                language,
                                sentence,
                                ended(language, Words.reason(language, because)));
        boolean abnormal =
                switch (changed.what()) {
                    case "held", "stopped", "aborted", "gap", "humidity-not-zeroed" -> true;
                    default -> false;
                };
        return new Told(at, by(language, whole, changed.by()), abnormal ? "ab" : "", "");
    }

    private static Told sample(Language language, Instant at, Bodies.Sample sample) {
        String sentence =
                switch (sample.event()) {
                    case "taken" ->
                            Words.say(
                                    language,
                                    "event.sample-taken",
                                    Figures.percent(
                                            sample.estimateBefore(), sample.estimateSdBefore()));
                    case "valued" ->
                            Words.say(
                                    language,
                                    "event.sample-valued",
                                    Figures.percent(sample.moisture(), sample.sd()),
                                    word(language, "sample.", sample.method()),
                                    word(language, "sample.", sample.basis()));
                    case "questioned" -> Words.say(language, "event.sample-questioned");
                    default -> Words.say(language, "event.other", sample.event());
                };
        return new Told(
                at,
                by(language, sentence, sample.by()),
                sample.event().equals("questioned") ? "ab" : "",
                "");
    }

    /** Who asked for what, and what came of it. */
    static String command(Language language, Bodies.Commanded told) {
        CommandMessage command = told.command();
        AnswerMessage answer = told.answer();
        String asked = Words.orName(language, "command.", command.kind());
        String what =
                command.unit().equals("line")
                        ? asked
                        : asked + " (" + Words.unit(language, command.unit()) + ")";
        if (answer.moved()) {
            return Words.say(language, "event.command-moved", command.by(), what);
        }
        Because because = answer.because();
        return Words.say(
                language,
                "event.command-refused",
                command.by(),
                what,
                because == null ? "" : ended(language, Words.reason(language, because)));
    }

    static String word(Language language, String prefix, @Nullable String name) {
        return name == null ? Figures.DASH : Words.orName(language, prefix, name);
    }

    private static String by(Language language, String sentence, @Nullable String person) {
        if (person == null || person.isBlank()) {
            return sentence;
        }
        String end = language == Language.JAPANESE ? "。" : ".";
        return Words.clause(sentence)
                + (language == Language.JAPANESE ? "、" : ", ")
                + (person.equals("machine")
                        ? Words.say(language, "event.by-machine")
                        : Words.say(language, "event.by", person))
                + end;
    }

    static String ended(Language language, String sentence) {
        String text = sentence.strip();
        if (text.isEmpty() || text.endsWith(".") || text.endsWith("。") || text.endsWith("!")) {
            return text;
        }
        return text + (language == Language.JAPANESE ? "。" : ".");
    }

    static String capital(String word) {
        return word.isEmpty() ? word : Character.toUpperCase(word.charAt(0)) + word.substring(1);
    }

    /** Stages of a batch from its changes: each operation until the next begins. */
    static List<Picture.Stage> stages(List<Rows.EventRow> events, double endS) {
        List<Picture.Stage> stages = new ArrayList<>();
        String operation = null;
        double from = 0;
        for (Rows.EventRow event : events) {
            if (!event.record().kind().equals(Kinds.CHANGED)) {
                continue;
            }
            String next = event.record().body().path("operation").asText("");
            String what = event.record().body().path("what").asText("");
            double at = event.record().at().getEpochSecond();
            boolean begins = !next.isEmpty() && !what.equals("planned") && !next.equals(operation);
            boolean ends = Map.of("completed", 1, "aborted", 1).containsKey(what);
            if (begins || ends) {
                if (operation != null) {
                    stages.add(new Picture.Stage(operation, from, at));
                }
                operation = ends ? null : next;
                from = at;
            }
        }
        if (operation != null && endS > from) {
            stages.add(new Picture.Stage(operation, from, endS));
        }
        return stages;
    }
}
