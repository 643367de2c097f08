package steamleaf.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.alarm.AlarmKey;
import steamleaf.core.alarm.AlarmStage;
import steamleaf.core.alarm.AlarmStatus;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Floor;
import steamleaf.core.batch.HeldCause;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Prompt;
import steamleaf.core.batch.PromptKind;
import steamleaf.core.batch.Tuning;
import steamleaf.core.cycle.LineState;
import steamleaf.core.cycle.MoistureView;
import steamleaf.core.cycle.UnitView;
import steamleaf.core.interlock.GuardState;
import steamleaf.core.reading.UnitId;

/** What a controller knew in its last cycle, to be found again in the next one's first. */
record Known(
        Floor floor,
        List<GuardState.KeptTrip> trips,
        List<AlarmStatus> alarms,
        double alarmsNowS,
        List<@Nullable MoistureView> leaves,
        List<Double> heatOnS) {
    /** A recollection is at most so old: what came after it is part of the gap. */
    static final double RECOLLECTED_EVERY_S = 60;

    /**
     * Leaf in an oven loses less than this a minute, wet basis, in the second drying, just after it
     * was rolled, where it loses most: six points in ten minutes on the simulated line.
     */
    private static final double MOST_DRIED_PER_S = 0.008 / 60;

    private static final double ROUNDING = 1e-9;

    /**
     * The deviation grows by less than this share in the minute that was not recollected.
     * Engineering choice; 0.00013 was seen.
     */
    private static final double GROWTH = 0.01;

    /** The first cycle counts in the gap and by itself. */
    private static final double CLOCK_S = 0.25;

    static Known of(Rig rig) {
        LineState state = rig.result().state();
        List<@Nullable MoistureView> leaves = new ArrayList<>();
        List<Double> heatOnS = new ArrayList<>();
        for (int n = 1; n <= state.floor().slots().size(); n++) {
            UnitView view = rig.controller().view(UnitId.oven(n));
            leaves.add(view == null ? null : view.moisture());
            heatOnS.add(state.guard().heatOnS(UnitId.oven(n)));
        }
        return new Known(
                state.floor(),
                state.guard().kept().trips(),
                state.alarms().standing(),
                state.alarms().nowS(),
                leaves,
                heatOnS);
    }

    /**
     * Compares with the first cycle of the next controller.
     *
     * @param awayS how long there was none
     * @param lostS age of what was recollected beyond the usual: a torn file was passed over
     * @param recollected oven 1's leaf
     */
    void isFoundAgainBy(Rig rig, double awayS, double lostS, @Nullable MoistureView recollected) {
        LineState now = rig.result().state();
        assertEquals(0, rig.controller().failures(), "cycles that failed");
        assertEquals(floor.stock(), now.floor().stock(), "lots and packed lots");
        assertEquals(floor.numbers().batch(), now.floor().numbers().batch());
        assertEquals(floor.numbers().sample(), now.floor().numbers().sample());
        assertNull(now.floor().armed(), "what was armed before");
        for (int i = 0; i < floor.slots().size(); i++) {
            UnitView view = rig.controller().view(UnitId.oven(i + 1));
            assertNotNull(view);
            slot(floor.slots().get(i), now.floor().slots().get(i), view);
            leaf(leaves.get(i), view.moisture(), awayS, lostS, i == 0 ? recollected : null);
            double heatOn = now.guard().heatOnS(UnitId.oven(i + 1));
            assertTrue(
                    heatOn >= heatOnS.get(i) - RECOLLECTED_EVERY_S - lostS,
                    () -> "heat-on time was " + heatOnS + ", is " + heatOn);
        }
        tripsStand(now.guard());
        for (AlarmStatus before : alarms) {
            alarm(before, now, awayS);
        }
        assertFalse(now.guard().hoodMayUnlock(), "the hood counts as not vented");
        assertFalse(rig.result().outputs().hoodUnlock(), "hood");
    }

    private static void slot(OvenSlot before, OvenSlot now, UnitView view) {
        assertEquals(before.accepted(), now.accepted(), "accepted loop settings");
        assertEquals(
                before.tuning() instanceof Tuning.Running ? null : before.tuning(),
                now.tuning(),
                "a tuning that ran has ended, a proposal waits on");
        Batch was = before.batch();
        Batch is = now.batch();
        if (was == null) {
            assertNull(is);
            return;
        }
        assertNotNull(is, () -> was.id() + " is gone");
        boolean ran = was.isIn(ProcedureState.RUNNING);
        assertEquals(ran ? ProcedureState.HELD : was.state(), is.state(), was.id());
        assertEquals(
                ran ? HeldCause.RESTARTED : was.procedure().heldCause(),
                is.procedure().heldCause(),
                was.id());
        assertEquals(was.id(), is.id());
        assertEquals(was.number(), is.number());
        assertEquals(was.oven(), is.oven());
        assertEquals(was.recipe(), is.recipe());
        assertEquals(was.charge(), is.charge());
        assertEquals(was.samples(), is.samples());
        assertEquals(was.sampleAskedIn(), is.sampleAskedIn());
        assertEquals(was.dwellS(), is.dwellS());
        assertEquals(was.belowFloor(), is.belowFloor());
        assertEquals(was.procedure().operation(), is.procedure().operation());
        assertEquals(was.procedure().operationSinceS(), is.procedure().operationSinceS());
        assertEquals(was.phase().getClass(), is.phase().getClass());
        assertEquals(was.phase().sinceS(), is.phase().sinceS());
        for (Prompt asked : was.prompts()) {
            boolean press =
                    asked.kind() == PromptKind.PRESS_CONFIRM
                            || asked.kind() == PromptKind.PRESS_RESET;
            boolean still = is.prompts().stream().anyMatch(p -> p.id().equals(asked.id()));
            assertTrue(still || (press && ran), () -> "no longer asked: " + asked);
        }
        if (is.isIn(ProcedureState.HELD)) {
            assertTrue(
                    view.prompts().stream()
                            .anyMatch(p -> p.kind() == PromptKind.RESUME_OR_ABORT && !p.overdue()),
                    () -> "nobody is asked: " + view.prompts());
        }
    }

    private static void leaf(
            @Nullable MoistureView was,
            @Nullable MoistureView is,
            double awayS,
            double lostS,
            @Nullable MoistureView recollected) {
        if (was == null) {
            assertNull(is);
            return;
        }
        assertNotNull(is, "the estimate is gone");
        assertNotNull(recollected, "no recollection of the leaf");
        assertTrue(
                is.deviation() >= recollected.deviation() - ROUNDING,
                () -> "surer than it was: ±" + recollected.deviation() + ", ±" + is.deviation());
        assertTrue(
                is.deviation() >= (1 - GROWTH) * was.deviation(),
                () -> "surer than before: ±" + was.deviation() + ", now ±" + is.deviation());
        double recollectedS = RECOLLECTED_EVERY_S + lostS;
        double driest = was.mean() - MOST_DRIED_PER_S * (awayS + recollectedS);
        double wettest = was.mean() + MOST_DRIED_PER_S * recollectedS;
        assertTrue(
                driest <= is.mean() && is.mean() <= wettest,
                () -> "moisture was " + was.mean() + ", is " + is.mean() + " after " + awayS);
        assertEquals(was.dryKg(), is.dryKg(), 0.02 * was.dryKg(), "dry leaf");
    }

    private void tripsStand(GuardState guard) {
        List<GuardState.KeptTrip> now = guard.kept().trips();
        for (GuardState.KeptTrip trip : trips) {
            assertTrue(now.contains(trip), () -> trip + " is not among " + now);
            assertTrue(guard.tripped(trip.unit()), () -> trip + " holds nothing");
        }
        for (GuardState.KeptTrip trip : now) {
            boolean unknown = trips.stream().noneMatch(trip::equals);
            assertFalse(unknown && trip.firstOut(), () -> trip + " became the first");
        }
    }

    private void alarm(AlarmStatus before, LineState now, double awayS) {
        AlarmStatus is = find(now.alarms().standing(), before.alarm());
        switch (before.stage()) {
            case SHELVED -> {
                assertNotNull(is, () -> before + " is gone");
                assertEquals(AlarmStage.SHELVED, is.stage(), () -> "shelved: " + is);
                assertEquals(before.by() + before.reason(), is.by() + is.reason());
                double leftBefore = before.untilS() - alarmsNowS;
                double left = is.untilS() - now.alarms().nowS();
                assertEquals(leftBefore - awayS, left, CLOCK_S, "time left on the shelf");
            }
            case OUT_OF_SERVICE -> {
                assertNotNull(is, () -> before + " is gone");
                assertEquals(before, is);
            }
            case ACKNOWLEDGED -> // or its cause is gone
                    assertTrue(
                            is == null || is.stage() == AlarmStage.ACKNOWLEDGED,
                            () -> "acknowledged, now " + is);
            case UNACKNOWLEDGED, RETURNED_UNACKNOWLEDGED -> {
                assertNotNull(is, () -> before + " was never acknowledged and is gone");
                assertEquals(before.raisedCycle(), is.raisedCycle(), "its place in the flood");
            }
            case SUPPRESSED_BY_DESIGN, NORMAL -> {}
        }
    }

    private static @Nullable AlarmStatus find(List<AlarmStatus> all, AlarmKey alarm) {
        return all.stream().filter(status -> status.alarm().equals(alarm)).findFirst().orElse(null);
    }

    /** The alarms of this stage, as in messages. */
    List<String> alarmsIn(AlarmStage stage) {
        return alarms.stream()
                .filter(status -> status.stage() == stage)
                .map(status -> status.alarm().label())
                .toList();
    }
}
