package steamleaf.monitor.page;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Language;

/**
 * Numbers as people read them: a unit at each, a space before it that no line breaks at, a dash for
 * what is not known.
 */
public final class Figures {
    public static final String DASH = "–";

    private static final double PERCENT = 100.0;
    private static final int MINUTE_S = 60;
    private static final int HOUR_S = 3_600;
    private static final DateTimeFormatter CLOCK =
            DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);
    private static final DateTimeFormatter CLOCK_S =
            DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);
    private static final DateTimeFormatter DAY =
            DateTimeFormatter.ofPattern("d MMM", Locale.ENGLISH);
    private static final DateTimeFormatter DAY_JAPANESE =
            DateTimeFormatter.ofPattern("M月d日", Locale.JAPANESE);

    private Figures() {}

    /** What is not known is not a number. */
    private static double orNaN(@Nullable Double value) {
        return value == null ? Double.NaN : value;
    }

    private static boolean known(@Nullable Double value) {
        return Double.isFinite(orNaN(value));
    }

    private static String fixed(double value, int decimals) {
        String text = String.format(Locale.ROOT, "%." + decimals + "f", value);
        return text.startsWith("-") && text.matches("-0(\\.0+)?") ? text.substring(1) : text;
    }

    /** {@code 8.1 %} of a fraction. */
    public static String percent(@Nullable Double fraction, int decimals) {
        return known(fraction) ? fixed(orNaN(fraction) * PERCENT, decimals) + "\u00a0%" : DASH;
    }

    /** {@code 8.1 ± 0.6 %} of fractions. */
    public static String percent(@Nullable Double fraction, @Nullable Double deviation) {
        if (!known(fraction)) {
            return DASH;
        }
        return known(deviation)
                ? fixed(orNaN(fraction) * PERCENT, 1)
                        + "\u00a0±\u00a0"
                        + fixed(orNaN(deviation) * PERCENT, 1)
                        + "\u00a0%"
                : percent(fraction, 1);
    }

    public static String celsius(@Nullable Double celsius) {
        return known(celsius) ? fixed(orNaN(celsius), 1) + "\u00a0°C" : DASH;
    }

    public static String celsiusRound(@Nullable Double celsius) {
        return known(celsius) ? fixed(orNaN(celsius), 0) + "\u00a0°C" : DASH;
    }

    /** Grams matter below ten kilograms. */
    public static String kg(@Nullable Double kg) {
        return known(kg) ? fixed(orNaN(kg), 2) + "\u00a0kg" : DASH;
    }

    public static String kPa(@Nullable Double kPa) {
        return known(kPa) ? fixed(orNaN(kPa), 1) + "\u00a0kPa" : DASH;
    }

    public static String plain(@Nullable Double value, int decimals) {
        return known(value) ? fixed(orNaN(value), decimals) : DASH;
    }

    /** {@code 4 h 35 min}, {@code 12 min}, {@code 40 s}. */
    public static String duration(Language language, double seconds) {
        if (!Double.isFinite(seconds)) {
            return DASH;
        }
        boolean japanese = language == Language.JAPANESE;
        long s = Math.round(Math.abs(seconds));
        if (s < MINUTE_S) {
            return s + (japanese ? "秒" : "\u00a0s");
        }
        long min = Math.round(s / (double) MINUTE_S);
        if (min < MINUTE_S) {
            return min + (japanese ? "分" : "\u00a0min");
        }
        long hours = min / MINUTE_S;
        long rest = min % MINUTE_S;
        if (rest == 0) {
            return hours + (japanese ? "時間" : "\u00a0h");
        }
        return japanese ? hours + "時間" + rest + "分" : hours + "\u00a0h " + rest + "\u00a0min";
    }

    public static String hours(Language language, double hours) {
        return duration(language, hours * HOUR_S);
    }

    /** Hours and minutes where the line is. */
    public static String clock(@Nullable Instant at, ZoneId zone) {
        return at == null ? DASH : CLOCK.format(at.atZone(zone));
    }

    public static String clockS(@Nullable Instant at, ZoneId zone) {
        return at == null ? DASH : CLOCK_S.format(at.atZone(zone));
    }

    public static String day(Language language, @Nullable Instant at, ZoneId zone) {
        if (at == null) {
            return DASH;
        }
        return (language == Language.JAPANESE ? DAY_JAPANESE : DAY).format(at.atZone(zone));
    }

    /** Day and time. */
    public static String when(Language language, @Nullable Instant at, ZoneId zone) {
        return at == null ? DASH : day(language, at, zone) + " " + clock(at, zone);
    }
}
