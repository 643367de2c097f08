package steamleaf.bench.campaign;

import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Sets of faults that software cannot cover, by name. Each stands in {@code docs/limits.md} under
 * the same name, with what remains; a test holds the two together.
 */
public enum Uncovered {
    WELDED_CONTACTOR_AND_SHORTED_RELAY(
            heat(), "contactor stuck-on", "UNIT\\.heater-relay stuck-on"),
    WELDED_CONTACTOR_SHORTED_RELAY_AND_HIGH_LIMIT_DEAD(
            Set.of(Check.HEAT_ABOVE_HIGH_LIMIT),
            "contactor stuck-on",
            "UNIT\\.heater-relay stuck-on",
            "UNIT\\.high-limit stuck-on"),
    WELDED_CONTACTOR_AND_STOP_NOT_SEEN(
            Set.of(Check.HEAT_STOP_PRESSED, Check.STEAM_STOP_PRESSED),
            "contactor stuck-on",
            "emergency-stop (stuck-on|frozen)"),
    WATCHDOG_RELAY_STUCK_AND_BELT_OUT_OF_REACH(
            Set.of(Check.BELT_AFTER_TRIP),
            "watchdog-relay stuck-on",
            "i2c-\\d+ hung|inputs-.* (missing|garbage|frozen)"),
    BOTH_STEAM_VALVES_STUCK_OPEN(steam(), "steam-valve stuck-on", "second-steam-valve stuck-on"),
    CURRENT_CONTACT_DEAD_AND_SHORTED_RELAY(
            heat(), "UNIT\\.heater-current (open|frozen)", "UNIT\\.heater-relay stuck-on"),
    DOOR_CONTACT_STUCK_CLOSED(Set.of(Check.HEAT_DOOR_OPEN), "UNIT\\.door-switch (stuck-on|frozen)"),
    AIRFLOW_CONTACT_STUCK_AND_NO_AIR(
            Set.of(Check.HEAT_WITHOUT_AIR),
            "UNIT\\.airflow (stuck-on|frozen)",
            "UNIT\\.(fan stuck-off|filter blocked)"),
    CONFIRM_BUTTON_CLOSES_BY_ITSELF(
            Set.of(Check.HEAT_AFTER_INTERLOCK), "(confirm|start)-button stuck-on" + Watch.CLOSED),
    AIR_PROBE_WRONG_AND_HIGH_LIMIT_DEAD(
            Set.of(Check.HEAT_ABOVE_HIGH_LIMIT), "UNIT\\.air .*", "UNIT\\.high-limit stuck-on"),
    AIR_PROBE_WRONG(Set.of(Check.HEAT_ABOVE_LIMIT), "UNIT\\.air .*");

    private final Set<Check> checks;
    private final List<String> faults;

    Uncovered(Set<Check> checks, String... faults) {
        this.checks = checks;
        this.faults = List.of(faults);
    }

    private static Set<Check> heat() {
        return Set.of(
                Check.HEAT_DOOR_OPEN,
                Check.HEAT_WITHOUT_AIR,
                Check.HEAT_ABOVE_LIMIT,
                Check.HEAT_LONG_ABOVE_LIMIT,
                Check.HEAT_STOP_PRESSED,
                Check.HEAT_AFTER_TRIP,
                Check.HEAT_AFTER_INTERLOCK);
    }

    private static Set<Check> steam() {
        return Set.of(Check.STEAM_AFTER_TRIP, Check.STEAM_STOP_PRESSED, Check.STEAM_HOOD_OPEN);
    }

    /** As in the document: {@code both-steam-valves-stuck-open}. */
    public String word() {
        return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    /** The first set that explains it; null when none does. */
    public static @Nullable Uncovered of(Finding finding) {
        for (Uncovered set : values()) {
            if (set.covers(finding)) {
                return set;
            }
        }
        return null;
    }

    boolean covers(Finding finding) {
        if (!checks.contains(finding.check())) {
            return false;
        }
        for (String fault : faults) {
            Pattern pattern = Pattern.compile(fault.replace("UNIT", Pattern.quote(finding.unit())));
            if (finding.broken().stream().noneMatch(b -> pattern.matcher(b).matches())) {
                return false;
            }
        }
        return true;
    }
}
