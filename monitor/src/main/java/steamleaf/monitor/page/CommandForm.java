package steamleaf.monitor.page;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Bodies;
import steamleaf.contract.CommandMessage;
import steamleaf.contract.CommandMessage.Args;
import steamleaf.contract.Language;

/**
 * The fields of a form as a command's arguments. Only what a form can get wrong is checked here
 * (missing, not a number, out of any sense); whether it may be done is the line's to say.
 */
final class CommandForm {
    /** Field names before the lot's id in the plan. */
    static final String PORTION = "kg.";

    private static final int DAY_S = 86_400;
    private static final double PERCENT = 100.0;
    private static final double MOST_KG = 1_000.0;
    private static final double MOST_HOURS = 240.0;
    private static final double MOST_DAYS = 200.0;
    private static final double MOST_C = 100.0;
    private static final double MOST_MINUTES = 480.0;

    private final Language language;
    private final Map<String, String> fields;
    private @Nullable String wrong;

    private CommandForm(Language language, Map<String, String> fields) {
        this.language = language;
        this.fields = fields;
    }

    /** What a form says. */
    sealed interface Said {
        record Right(Args args) implements Said {}

        record Wrong(String sentence) implements Said {}
    }

    static Said read(Language language, String kind, Map<String, String> fields) {
        CommandForm form = new CommandForm(language, fields);
        Args args = form.args(kind);
        return form.wrong == null
                ? new Said.Right(args)
                : new Said.Wrong(Words.say(language, "answer.wrong-field", form.wrong));
    }

    private Args args(String kind) {
        return switch (kind) {
            case "arm" ->
                    Args.action(
                            choice(
                                    "action",
                                    Set.of("start", "resume", "reset", "confirm", "tune")));
            case "forget-learned" ->
                    fields.containsKey("action")
                            ? Args.action(choice("action", Set.of("tender", "medium", "mature")))
                            : Args.NONE;
            case "judge-steaming" ->
                    Args.action(choice("action", Set.of("red-stems", "right", "mush")));
            case "answer-prompt" ->
                    Args.prompt(text("prompt"), optional("massKg", "weigh.mass", 0, MOST_KG));
            case "sample-value" ->
                    Args.sample(
                            text("sample"),
                            number("moisture", "sample.value", 0, PERCENT) / PERCENT,
                            choice("basis", Set.of("wet", "dry")),
                            choice("method", Set.of("oven", "meter", "hand")));
            case "plan-finish" -> Args.inS(untilS(clock("at"), clock("now")));
            case "weigh-in" -> Args.mass(number("massKg", "weigh.mass", 0, MOST_KG));
            case "acknowledge", "unshelve", "put-in-service" ->
                    Args.alarm(text("alarm"), null, null);
            case "shelve" ->
                    Args.alarm(
                            text("alarm"),
                            number("minutes", "alarms.minutes", 1, MOST_MINUTES),
                            named("reason", "alarms.reason"));
            case "take-out-of-service" ->
                    Args.alarm(text("alarm"), null, named("reason", "alarms.reason"));
            case "plan-batch" -> plan();
            case "take-in-lot" -> Args.lot(lot());
            case "write-off" -> Args.lots(portions());
            default -> Args.NONE;
        };
    }

    private List<Bodies.Portion> portions() {
        List<Bodies.Portion> portions = new ArrayList<>();
        fields.keySet().stream()
                .filter(name -> name.startsWith(PORTION))
                .sorted()
                .forEach(
                        name -> {
                            Double kg = optional(name, "lots.mass", 0, MOST_KG);
                            if (kg != null && kg > 0) {
                                portions.add(
                                        new Bodies.Portion(name.substring(PORTION.length()), kg));
                            }
                        });
        if (portions.isEmpty() && wrong == null) {
            wrong = Words.say(language, "field.no-leaf");
        }
        return portions;
    }

    private Args plan() {
        List<Bodies.Portion> portions = portions();
        String reason = fields.getOrDefault("reason", "").strip();
        return Args.batch(text("recipe"), portions, reason.isEmpty() ? null : reason);
    }

    private CommandMessage.LotDraft lot() {
        return new CommandMessage.LotDraft(
                named("label", "lots.label"),
                named("field", "lots.field"),
                named("cultivar", "lots.cultivar"),
                (int) Math.round(number("shadingDays", "lots.shading", 0, MOST_DAYS)),
                choice("ripeness", Set.of("tender", "medium", "mature")),
                fields.containsKey("wetByRain"),
                number("pluckedAgoH", "lots.plucked-ago", 0, MOST_HOURS),
                number("massKg", "lots.mass", 0, MOST_KG),
                optional("heapC", "lots.heap", 0, MOST_C));
    }

    /** The next time that the clock shows this, s. */
    private static double untilS(int atS, int nowS) {
        return Math.floorMod(atS - nowS, DAY_S);
    }

    /** HH:MM or HH:MM:SS as seconds of the day. */
    private int clock(String field) {
        String text = fields.getOrDefault(field, "").strip();
        if (!text.matches("([01]?\\d|2[0-3]):[0-5]\\d(:[0-5]\\d)?")) {
            say(Words.say(language, "field.clock", Words.say(language, "finish.at"), text));
            return 0;
        }
        String[] parts = text.split(":", -1);
        int seconds = parts.length > 2 ? Integer.parseInt(parts[2]) : 0;
        return Integer.parseInt(parts[0]) * 3_600 + Integer.parseInt(parts[1]) * 60 + seconds;
    }

    private String text(String field) {
        String value = fields.getOrDefault(field, "").strip();
        if (value.isEmpty()) {
            say(Words.say(language, "field.missing", field));
        }
        return value;
    }

    private String named(String field, String wordKey) {
        String value = fields.getOrDefault(field, "").strip();
        if (value.isEmpty()) {
            say(Words.say(language, "field.missing", Words.say(language, wordKey)));
        }
        return value;
    }

    private String choice(String field, Set<String> allowed) {
        String value = fields.getOrDefault(field, "");
        if (!allowed.contains(value)) {
            say(
                    Words.say(
                            language,
                            "field.choice",
                            field,
                            value,
                            String.join(", ", allowed.stream().sorted().toList())));
        }
        return value;
    }

    private double number(String field, String wordKey, double from, double to) {
        Double value = optional(field, wordKey, from, to);
        if (value == null) {
            say(Words.say(language, "field.missing", Words.say(language, wordKey)));
            return 0;
        }
        return value;
    }

    private @Nullable Double optional(String field, String wordKey, double from, double to) {
        String text = fields.getOrDefault(field, "").strip().replace(',', '.');
        if (text.isEmpty()) {
            return null;
        }
        String name = Words.say(language, wordKey);
        if (!text.matches("[+-]?\\d{1,9}(\\.\\d{0,9})?")) {
            say(Words.say(language, "field.number", name, text));
            return null;
        }
        double value = Double.parseDouble(text);
        if (value < from || value > to) {
            say(
                    Words.say(
                            language,
                            "field.range",
                            name,
                            text,
                            Figures.plain(from, 0),
                            Figures.plain(to, 0)));
            return null;
        }
        return value;
    }

    /** The first mistake is named. */
    private void say(String sentence) {
        if (wrong == null) {
            wrong = sentence;
        }
    }
}
