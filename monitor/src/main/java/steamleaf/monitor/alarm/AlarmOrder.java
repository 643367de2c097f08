package steamleaf.monitor.alarm;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import steamleaf.contract.AlarmLive;

/**
 * The order in which alarms are read, so that a storm stays readable: what nobody has acknowledged
 * before the rest, the more urgent first, among equals the oldest first. The first cause of what
 * came together stands before its consequences, however low its own priority.
 */
public final class AlarmOrder {
    /**
     * Alarms that follow one another within this many cycles came together. Engineering choice: ten
     * seconds at ten cycles a second, more than the on-delays of what one power failure brings.
     */
    static final long TOGETHER_CYCLES = 100;

    private AlarmOrder() {}

    /**
     * An alarm at its place.
     *
     * @param causeOf how many came together of which it was the first; 0 when it was alone or not
     *     the first
     */
    public record Placed(AlarmLive alarm, int causeOf) {}

    /** Those that are told to people: neither normal nor put aside nor suppressed. */
    public static boolean stands(AlarmLive alarm) {
        return switch (alarm.state()) {
            case "unacknowledged", "acknowledged", "returned-unacknowledged" -> true;
            default -> false;
        };
    }

    public static boolean unacknowledged(AlarmLive alarm) {
        return alarm.state().equals("unacknowledged")
                || alarm.state().equals("returned-unacknowledged");
    }

    /** Smaller is more urgent. */
    public static int urgency(String priority) {
        return switch (priority) {
            case "high" -> 0;
            case "medium" -> 1;
            default -> 2;
        };
    }

    /** All that stand, in order. */
    public static List<Placed> of(Collection<AlarmLive> alarms) {
        List<AlarmLive> cameSo =
                alarms.stream()
                        .filter(AlarmOrder::stands)
                        .sorted(
                                Comparator.comparingLong(AlarmOrder::raised)
                                        .thenComparingInt(AlarmOrder::rank)
                                        .thenComparing(AlarmLive::id))
                        .toList();
        record Keyed(Placed placed, int urgency) {}
        List<Keyed> keyed = new ArrayList<>();
        int from = 0;
        while (from < cameSo.size()) {
            int to = from + 1;
            while (to < cameSo.size()
                    && raised(cameSo.get(to)) - raised(cameSo.get(to - 1)) <= TOGETHER_CYCLES) {
                to++;
            }
            List<AlarmLive> together = cameSo.subList(from, to);
            int worst = together.stream().mapToInt(a -> urgency(a.priority())).min().orElse(0);
            for (AlarmLive alarm : together) {
                boolean cause = alarm == together.getFirst() && together.size() > 1;
                keyed.add(
                        new Keyed(
                                new Placed(alarm, cause ? together.size() : 0),
                                cause ? worst : urgency(alarm.priority())));
            }
            from = to;
        }
        // stable: what is equal stays in the order in which it came
        keyed.sort(
                Comparator.comparing((Keyed k) -> !unacknowledged(k.placed().alarm()))
                        .thenComparingInt(Keyed::urgency));
        return keyed.stream().map(Keyed::placed).toList();
    }

    private static long raised(AlarmLive alarm) {
        return alarm.raised() == null ? alarm.cycle() : alarm.raised();
    }

    private static int rank(AlarmLive alarm) {
        return alarm.rank() == null ? Integer.MAX_VALUE : alarm.rank();
    }
}
