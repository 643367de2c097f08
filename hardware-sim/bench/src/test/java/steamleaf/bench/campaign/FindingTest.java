package steamleaf.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import steamleaf.sim.fault.Fault;
import steamleaf.sim.fault.FaultCase;
import steamleaf.sim.fault.FaultKind;

class FindingTest {
    private static Fault fault(FaultKind kind, String with) {
        return new Fault(0, new FaultCase("chest-a", kind, "", null, List.of()), 1, 0, with);
    }

    private static Finding found(Check check, String... broken) {
        return new Finding(1, check, "oven-1", "", List.of(broken));
    }

    /** Each of these was first met by a fault file made by hand. */
    @Test
    void aSetExplainsWhatItNamesAndNothingOfWhichAFaultIsMissing() {
        Map<Uncovered, Finding> met =
                Map.of(
                        Uncovered.WELDED_CONTACTOR_SHORTED_RELAY_AND_HIGH_LIMIT_DEAD,
                        found(
                                Check.HEAT_ABOVE_HIGH_LIMIT,
                                "contactor stuck-on",
                                "oven-1.heater-relay stuck-on",
                                "oven-1.high-limit stuck-on"),
                        Uncovered.WELDED_CONTACTOR_AND_STOP_NOT_SEEN,
                        found(
                                Check.HEAT_STOP_PRESSED,
                                "contactor stuck-on",
                                "emergency-stop frozen",
                                "emergency-stop pressed"),
                        Uncovered.WATCHDOG_RELAY_STUCK_AND_BELT_OUT_OF_REACH,
                        found(Check.BELT_AFTER_TRIP, "watchdog-relay stuck-on", "i2c-1 hung"),
                        Uncovered.CONFIRM_BUTTON_CLOSES_BY_ITSELF,
                        found(
                                Check.HEAT_AFTER_INTERLOCK,
                                "confirm-button stuck-on after the interlock"));
        met.forEach(
                (set, finding) -> {
                    assertEquals(set, Uncovered.of(finding));
                    int wanted = set == Uncovered.WELDED_CONTACTOR_AND_STOP_NOT_SEEN ? 2 : 0;
                    for (int i = 0; i < finding.broken().size(); i++) {
                        List<String> fewer = new ArrayList<>(finding.broken());
                        fewer.remove(i);
                        String[] rest = fewer.toArray(new String[0]);
                        boolean counts = wanted == 0 || i < wanted;
                        assertEquals(
                                counts ? null : set,
                                Uncovered.of(found(finding.check(), rest)),
                                set + " without its fault " + i);
                    }
                });
    }

    @Test
    void anExchangeBreaksBothOfItsProbes() {
        assertEquals(List.of("chest-a lost"), Finding.names(fault(FaultKind.LOST, null)));
        List<String> both = Finding.names(fault(FaultKind.SWAPPED, "oven-1.air"));
        assertEquals(List.of("chest-a swapped", "oven-1.air swapped"), both);
        assertTrue(
                Uncovered.AIR_PROBE_WRONG.covers(
                        new Finding(1, Check.HEAT_ABOVE_LIMIT, "oven-1", "", both)));
        assertFalse(
                Uncovered.AIR_PROBE_WRONG.covers(
                        new Finding(1, Check.HEAT_ABOVE_LIMIT, "oven-2", "", both)),
                "the other oven's probe is where it belongs");
        assertFalse(
                Uncovered.AIR_PROBE_WRONG.covers(
                        new Finding(1, Check.HEAT_LONG_ABOVE_LIMIT, "oven-1", "", both)),
                "not for longer than the rules behind it take");
    }
}
