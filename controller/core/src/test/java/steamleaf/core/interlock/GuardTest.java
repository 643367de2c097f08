package steamleaf.core.interlock;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import steamleaf.core.reading.UnitId;

class GuardTest {
    static final UnitId OVEN_1 = UnitId.oven(1);

    @Test
    void aHealthyLineHeatsAndSteamsAfterContactorTestResetAndStart() {
        Rig rig = new Rig(3).running();
        assertEquals(java.util.List.of(), rig.state.causes(), rig::story);
        assertEquals(ContactorPhase.CLOSED, rig.state.contactor(), rig::story);
        for (int n = 1; n <= 3; n++) {
            assertTrue(rig.heater(n), rig::story);
            assertTrue(rig.state.heatAllowed(UnitId.oven(n)), rig::story);
        }
        assertTrue(rig.out.steamValve() && rig.out.secondSteamValve() && rig.out.beltRun());
        assertFalse(rig.state.evacuate());
    }
}
