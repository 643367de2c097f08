package steamleaf.monitor.page;

import java.util.List;
import steamleaf.contract.Language;

/** How a reading is written, by its name on the wire. */
final class Readings {
    private static final List<String> ORDER =
            List.of(
                    "chestAC",
                    "chestBC",
                    "boilingC",
                    "airC",
                    "exhaustC",
                    "exhaustRh",
                    "scaleKg",
                    "doorClosed",
                    "airflow",
                    "highLimitHealthy",
                    "heaterCurrent",
                    "hoodClosed",
                    "hoodLocked",
                    "roomC",
                    "roomRh",
                    "pressureKPa",
                    "emergencyStopHealthy",
                    "permitKeyOn",
                    "contactorClosed");
    private static final double YES = 0.5;

    private Readings() {}

    static int order(String reading) {
        int at = ORDER.indexOf(reading);
        return at < 0 ? ORDER.size() + reading.charAt(0) : at;
    }

    static String text(Language language, String reading, double value) {
        boolean yes = value > YES;
        return switch (reading) {
            case "doorClosed", "hoodClosed", "hoodLocked" ->
                    Words.say(language, yes ? "state.shut" : "state.open");
            case "airflow", "extractorProven" ->
                    Words.say(language, yes ? "state.proven" : "state.not-proven");
            case "contactorClosed", "heaterCurrent", "permitKeyOn" ->
                    Words.say(language, yes ? "state.on" : "state.off");
            case "startButton", "resetButton", "confirmButton", "silenceButton" ->
                    Words.say(language, yes ? "state.pressed" : "state.not-pressed");
            case "steamAvailable" ->
                    Words.say(language, yes ? "state.available" : "state.not-available");
            default -> number(language, reading, value);
        };
    }

    private static String number(Language language, String reading, double value) {
        if (reading.endsWith("Rh")) {
            return Figures.percent(value, 0);
        }
        if (reading.endsWith("KPa")) {
            return Figures.kPa(value);
        }
        if (reading.endsWith("Kg")) {
            return Figures.kg(value);
        }
        if (reading.endsWith("MmPerS")) {
            return Figures.plain(value, 0) + "\u00a0mm/s";
        }
        if (reading.endsWith("Healthy")) {
            return Words.say(language, value > YES ? "state.healthy" : "state.not-healthy");
        }
        if (reading.endsWith("C")) {
            return Figures.celsius(value);
        }
        return Figures.plain(value, 2);
    }
}
