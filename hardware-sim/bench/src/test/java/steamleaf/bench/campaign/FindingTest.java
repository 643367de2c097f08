package steamleaf.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import steamleaf.sim.fault.Fault;
import steamleaf.sim.fault.FaultCase;
import steamleaf.sim.fault.FaultKind;

class FindingTest {
    private static Fault fault(FaultKind kind, String with) {
        return new Fault(0, new FaultCase("chest-a", kind, "", null, List.of()), 1, 0, with);
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
