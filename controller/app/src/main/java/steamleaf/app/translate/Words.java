package steamleaf.app.translate;

import java.util.Locale;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Because;
import steamleaf.core.alarm.AlarmStage;
import steamleaf.core.batch.HeldCause;
import steamleaf.core.batch.OperationKind;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.PromptKind;
import steamleaf.core.batch.Ripeness;
import steamleaf.core.interlock.Reason;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.UnitId;

/** The words of the wire for the core's constants. */
public final class Words {
    private Words() {}

    /** {@code AIR_ABOVE_OVEN_LIMIT} becomes {@code air-above-oven-limit}. */
    public static String word(Enum<?> constant) {
        return constant.name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    /** {@code CoolingInOven} becomes {@code cooling-in-oven}. */
    public static String phase(String simpleName) {
        StringBuilder word = new StringBuilder(simpleName.length() + 4);
        for (int i = 0; i < simpleName.length(); i++) {
            char c = simpleName.charAt(i);
            if (Character.isUpperCase(c)) {
                if (i > 0) {
                    word.append('-');
                }
                word.append(Character.toLowerCase(c));
            } else {
                word.append(c);
            }
        }
        return word.toString();
    }

    /** The state's word in IEC 61512; {@code planned} is ours. */
    public static String state(ProcedureState state) {
        return switch (state) {
            case IDLE -> "idle";
            case PLANNED -> "planned";
            case RUNNING -> "running";
            case HELD -> "held";
            case STOPPED -> "stopped";
            case ABORTED -> "aborted";
        };
    }

    static String operation(OperationKind kind) {
        return switch (kind) {
            case STEAM -> "steam";
            case COOL -> "cool";
            case DRY -> "dry";
            case TURN -> "turn";
            case ROLL -> "roll";
            case SHAPE -> "shape";
            case REST -> "rest";
            case WEIGH -> "weigh";
            case PACK -> "pack";
        };
    }

    static String ripeness(Ripeness ripeness) {
        return switch (ripeness) {
            case TENDER -> "tender";
            case MEDIUM -> "medium";
            case MATURE -> "mature";
        };
    }

    static @Nullable Ripeness ripeness(String word) {
        return switch (word) {
            case "tender" -> Ripeness.TENDER;
            case "medium" -> Ripeness.MEDIUM;
            case "mature" -> Ripeness.MATURE;
            default -> null;
        };
    }

    static String stage(AlarmStage stage) {
        return switch (stage) {
            case NORMAL -> "normal";
            case UNACKNOWLEDGED -> "unacknowledged";
            case ACKNOWLEDGED -> "acknowledged";
            case RETURNED_UNACKNOWLEDGED -> "returned-unacknowledged";
            case SHELVED -> "shelved";
            case SUPPRESSED_BY_DESIGN -> "suppressed";
            case OUT_OF_SERVICE -> "out-of-service";
        };
    }

    static String quality(Quality quality) {
        return switch (quality) {
            case GOOD -> "good";
            case NOT_YET_READ -> "not-yet-read";
            case NOT_FITTED -> "not-fitted";
            case STALE -> "stale";
            case NO_ANSWER -> "no-answer";
            case GARBLED -> "garbled";
            case FAULT -> "fault";
            case OUT_OF_RANGE -> "out-of-range";
            case FROZEN -> "frozen";
            case DISAGREES -> "disagrees";
        };
    }

    /** Key of a prompt's text. */
    public static String promptKey(PromptKind kind) {
        return "prompt." + word(kind);
    }

    /** Key of the text that says why a batch is held. */
    public static String heldKey(HeldCause cause) {
        return "held." + word(cause);
    }

    static Because because(Reason reason, UnitId unit) {
        return Because.of(reason.key(), unit.label());
    }

    /** The unit by its label, or null when it is none. */
    public static @Nullable UnitId unit(String label) {
        if (label.equals(UnitId.LINE.label())) {
            return UnitId.LINE;
        }
        if (label.equals(UnitId.STEAMER.label())) {
            return UnitId.STEAMER;
        }
        for (int n = 1; n <= UnitId.MOST_OVENS; n++) {
            if (label.equals(UnitId.oven(n).label())) {
                return UnitId.oven(n);
            }
        }
        return null;
    }

    /** At most {@code decimals} of them, without trailing zeros; a dash for no number. */
    static String number(double value, int decimals) {
        if (!Double.isFinite(value)) {
            return "–";
        }
        String text = String.format(Locale.ROOT, "%." + decimals + "f", value);
        if (text.indexOf('.') >= 0) {
            text = text.replaceFirst("\\.?0+$", "");
        }
        return text.equals("-0") ? "0" : text;
    }

    /** The value, or null where there is none: JSON has no NaN. */
    static @Nullable Double orNull(double value) {
        return Double.isFinite(value) ? value : null;
    }

    /** As {@link #orNull}, to so many decimals. */
    static @Nullable Double rounded(double value, double perUnit) {
        return Double.isFinite(value) ? Math.rint(value * perUnit) / perUnit : null;
    }
}
