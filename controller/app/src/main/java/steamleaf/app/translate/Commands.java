package steamleaf.app.translate;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Because;
import steamleaf.contract.Bodies;
import steamleaf.contract.CommandMessage;
import steamleaf.core.batch.ArmedAction;
import steamleaf.core.batch.Basis;
import steamleaf.core.batch.Command;
import steamleaf.core.batch.Portion;
import steamleaf.core.batch.Ripeness;
import steamleaf.core.batch.Stamp;
import steamleaf.core.batch.SteamVerdict;
import steamleaf.core.reading.UnitId;

/** From the wire to the core: a command, or what is wrong with its arguments. */
public final class Commands {
    /**
     * Standard deviation of a hand sample's value by its method, a fraction on the value's basis.
     * Engineering choices: an oven sample of a few grams on a 0.01 g balance, a halogen balance,
     * and a trained hand; what the five places differ among themselves is in them.
     */
    private enum Method {
        OVEN("oven", 0.003),
        METER("meter", 0.005),
        HAND("hand", 0.020);

        final String word;
        final double deviation;

        Method(String word, double deviation) {
            this.word = word;
            this.deviation = deviation;
        }
    }

    private static final int LONGEST_TEXT = 200;

    /** A command, or why there is none. */
    public sealed interface Read {
        record Good(Command command) implements Read {}

        record Bad(Because because) implements Read {}
    }

    /** Thrown and caught here only. */
    private static final class Wrong extends Exception {
        private static final long serialVersionUID = 1L;
        private final transient Because because;

        Wrong(Because because) {
            this.because = because;
        }
    }

    private Commands() {}

    /**
     * @param stamp who sent it and what they saw, made by the caller who knows the states
     */
    public static Read read(CommandMessage message, Stamp stamp) {
        UnitId unit = Words.unit(message.unit());
        if (unit == null && message.kind().equals("stop")) {
            unit = UnitId.LINE; // off is never refused: a stop of nothing we know stops everything
        }
        if (unit == null) {
            return new Read.Bad(Because.of("refused.unknown-unit", shortened(message.unit())));
        }
        try {
            return new Read.Good(command(message, stamp, unit));
        } catch (Wrong e) {
            return new Read.Bad(e.because);
        }
    }

    private static Command command(CommandMessage message, Stamp stamp, UnitId unit) throws Wrong {
        CommandMessage.Args args = message.args();
        return switch (message.kind()) {
            case "take-in-lot" -> lot(stamp, require(args.lot(), "lot"));
            case "write-off" -> new Command.WriteOff(stamp, portions(require(args.lots(), "lots")));
            case "plan-batch" ->
                    new Command.PlanBatch(
                            stamp,
                            unit,
                            text(args.recipe(), "recipe"),
                            portions(require(args.lots(), "lots")),
                            args.reason() == null || args.reason().isBlank()
                                    ? null
                                    : text(args.reason(), "reason"));
            case "cancel-plan" -> new Command.CancelPlan(stamp, unit);
            case "arm" -> new Command.Arm(stamp, unit, action(text(args.action(), "action")));
            case "answer-prompt" ->
                    new Command.AnswerPrompt(stamp, text(args.prompt(), "prompt"), args.massKg());
            case "sample-taken" -> new Command.SampleTaken(stamp, unit);
            case "sample-value" -> sample(stamp, args);
            case "weigh-in" -> new Command.WeighIn(stamp, unit, require(args.massKg(), "massKg"));
            case "judge-steaming" ->
                    new Command.JudgeSteaming(stamp, unit, verdict(text(args.action(), "action")));
            case "accept-tuning" -> new Command.AcceptTuning(stamp, unit);
            case "forget-learned" -> new Command.ForgetLearned(stamp, unit, grade(args.action()));
            case "discard-tuning" -> new Command.DiscardTuning(stamp, unit);
            case "plan-finish" -> new Command.PlanFinish(stamp, unit, require(args.inS(), "inS"));
            case "accept-finish" -> new Command.AcceptFinish(stamp, unit);
            case "discard-finish" -> new Command.DiscardFinish(stamp, unit);
            case "hold" -> new Command.Hold(stamp, unit);
            case "stop" -> new Command.Stop(stamp, unit);
            case "abort" -> new Command.Abort(stamp, unit);
            case "acknowledge" -> new Command.Acknowledge(stamp, text(args.alarm(), "alarm"));
            case "shelve" ->
                    new Command.Shelve(
                            stamp,
                            text(args.alarm(), "alarm"),
                            require(args.minutes(), "minutes"),
                            text(args.reason(), "reason"));
            case "unshelve" -> new Command.Unshelve(stamp, text(args.alarm(), "alarm"));
            case "take-out-of-service" ->
                    new Command.TakeOutOfService(
                            stamp, text(args.alarm(), "alarm"), text(args.reason(), "reason"));
            case "put-in-service" -> new Command.PutInService(stamp, text(args.alarm(), "alarm"));
            default ->
                    throw new Wrong(Because.of("command-unknown-kind", shortened(message.kind())));
        };
    }

    private static Command lot(Stamp stamp, CommandMessage.LotDraft draft) throws Wrong {
        Ripeness ripeness = Words.ripeness(draft.ripeness());
        if (ripeness == null) {
            throw notOneOf("lot.ripeness", draft.ripeness(), "tender, medium, mature");
        }
        Double heapC = draft.heapC();
        return new Command.TakeInLot(
                stamp,
                text(draft.label(), "lot.label"),
                text(draft.field(), "lot.field"),
                text(draft.cultivar(), "lot.cultivar"),
                draft.shadingDays(),
                ripeness,
                draft.wetByRain(),
                draft.pluckedAgoH(),
                draft.massKg(),
                heapC == null ? Double.NaN : heapC);
    }

    private static List<Portion> portions(List<Bodies.Portion> lots) {
        List<Portion> portions = new ArrayList<>();
        for (Bodies.Portion lot : lots) {
            portions.add(new Portion(lot.lot(), lot.massKg()));
        }
        return portions;
    }

    private static ArmedAction action(String word) throws Wrong {
        return switch (word) {
            case "start" -> ArmedAction.START;
            case "resume" -> ArmedAction.RESUME;
            case "reset" -> ArmedAction.RESET;
            case "tune" -> ArmedAction.TUNE;
            case "confirm" -> ArmedAction.CONFIRM;
            default -> throw notOneOf("action", word, "start, resume, reset, confirm, tune");
        };
    }

    private static @Nullable Ripeness grade(@Nullable String word) throws Wrong {
        Ripeness grade = word == null ? null : Words.ripeness(word);
        if (word != null && grade == null) {
            throw notOneOf("action", word, "tender, medium, mature");
        }
        return grade;
    }

    private static SteamVerdict verdict(String word) throws Wrong {
        return switch (word) {
            case "red-stems" -> SteamVerdict.RED_STEMS;
            case "right" -> SteamVerdict.RIGHT;
            case "mush" -> SteamVerdict.MUSH;
            default -> throw notOneOf("action", word, "red-stems, right, mush");
        };
    }

    private static Command sample(Stamp stamp, CommandMessage.Args args) throws Wrong {
        String method = text(args.method(), "method");
        String basis = args.basis() == null ? "wet" : args.basis();
        Basis on =
                switch (basis) {
                    case "wet" -> Basis.WET;
                    case "dry" -> Basis.DRY;
                    default -> throw notOneOf("basis", basis, "wet, dry");
                };
        for (Method known : Method.values()) {
            if (known.word.equals(method)) {
                return new Command.SampleValue(
                        stamp,
                        text(args.sample(), "sample"),
                        require(args.moisture(), "moisture"),
                        on,
                        method,
                        known.deviation);
            }
        }
        throw notOneOf("method", method, "oven, meter, hand");
    }

    private static <T> T require(@Nullable T value, String name) throws Wrong {
        if (value == null) {
            throw new Wrong(Because.of("command-malformed", "args." + name + " is missing"));
        }
        return value;
    }

    private static String text(@Nullable String value, String name) throws Wrong {
        String text = require(value, name).strip();
        if (text.isEmpty() || text.length() > LONGEST_TEXT) {
            throw new Wrong(
                    Because.of(
                            "command-malformed",
                            "args." + name + ": 1 to " + LONGEST_TEXT + " characters"));
        }
        return text;
    }

    private static Wrong notOneOf(String name, String value, String allowed) {
        return new Wrong(
                Because.of(
                        "command-malformed",
                        "args." + name + " = " + shortened(value) + ", allowed: " + allowed));
    }

    private static String shortened(String text) {
        return text.length() <= 64 ? text : text.substring(0, 64);
    }
}
