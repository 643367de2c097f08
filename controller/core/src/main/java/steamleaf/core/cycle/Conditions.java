package steamleaf.core.cycle;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import steamleaf.core.alarm.AlarmCondition;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.BatchSettings;
import steamleaf.core.batch.Floor;
import steamleaf.core.batch.Lot;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.Place;
import steamleaf.core.batch.Portion;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Prompt;
import steamleaf.core.batch.PromptKind;
import steamleaf.core.estimate.FreshnessClock;
import steamleaf.core.interlock.Cause;
import steamleaf.core.interlock.GuardState;
import steamleaf.core.reading.UnitId;
import steamleaf.core.science.Isotherm;
import steamleaf.core.science.Psychrometrics;

/** Everything that is wrong now, for the alarms. */
final class Conditions {
    /** Leaf this far above its limit is an alarm. Engineering choice. */
    private static final double LEAF_OVER_K = 2.0;

    /** Close to the end an estimate this unsure is an alarm, wet basis. Engineering choice. */
    private static final double UNSURE_DEVIATION = 0.012;

    private static final double NEAR_THE_END = 0.08;

    private Conditions() {}

    static List<AlarmCondition> of(
            LineSettings settings,
            Floor floor,
            GuardState guard,
            List<OvenLeaf> leaves,
            List<AlarmCondition> shells,
            double roomC,
            double roomRh,
            double nowS) {
        List<AlarmCondition> found = new ArrayList<>();
        for (Cause cause : guard.causes()) {
            AlarmKind kind = AlarmKind.of(cause.reason().key());
            if (kind != null && cause.isStanding()) {
                found.add(new AlarmCondition(cause.unit(), kind));
            }
        }
        for (int n = 1; n <= settings.ovens(); n++) {
            Batch batch = floor.batch(UnitId.oven(n));
            if (batch != null) {
                ofBatch(settings.batch(), batch, leaves.get(n - 1), nowS, found);
                if (cannotEndDry(batch, roomC, roomRh)) {
                    found.add(new AlarmCondition(batch.oven(), AlarmKind.TARGET_OUT_OF_REACH));
                }
            }
        }
        ofLots(settings.batch(), floor, nowS, found);
        found.addAll(shells);
        return found.isEmpty() ? List.of() : found;
    }

    /** Units that have a batch or run. */
    static Set<UnitId> inUse(Floor floor) {
        Set<UnitId> units = new HashSet<>();
        for (int i = 0; i < floor.slots().size(); i++) {
            OvenSlot slot = floor.slots().get(i);
            Batch batch = slot.batch();
            if (batch != null || slot.tunes()) {
                units.add(UnitId.oven(i + 1));
                units.add(UnitId.LINE);
            }
            if (batch != null && needsSteamer(batch)) {
                units.add(UnitId.STEAMER);
            }
        }
        return units.isEmpty() ? Set.of() : units;
    }

    /** While leaf is only planned the hood unlocks by itself and may stand open. */
    private static boolean needsSteamer(Batch batch) {
        boolean onItsWay =
                batch.charge().place() == Place.HEAP && batch.isIn(ProcedureState.RUNNING);
        return batch.hasSteamer() || onItsWay;
    }

    private static void ofBatch(
            BatchSettings settings,
            Batch batch,
            OvenLeaf inside,
            double nowS,
            List<AlarmCondition> found) {
        UnitId oven = batch.oven();
        MoistureView leaf = inside.view();
        if (!Double.isNaN(inside.zeroRefusedBy())) {
            found.add(new AlarmCondition(oven, AlarmKind.EXHAUST_HUMIDITY_BAD));
        }
        for (Prompt prompt : batch.prompts()) {
            boolean asks = prompt.kind() != PromptKind.HAND_SAMPLE;
            if (prompt.overdue() && asks) {
                found.add(new AlarmCondition(prompt.unit(), AlarmKind.NOBODY_ANSWERED));
                break;
            }
        }
        if (batch.belowFloor() && isCooledOnBench(batch)) {
            found.add(new AlarmCondition(UnitId.STEAMER, AlarmKind.STEAM_FLOOR_MISSED));
        }
        boolean waits = batch.isIn(ProcedureState.HELD) || batch.isIn(ProcedureState.STOPPED);
        double inStateS = nowS - batch.procedure().stateSinceS();
        if (waits && inStateS >= settings.spreadAfterS()) {
            switch (batch.charge().place()) {
                case OVEN -> found.add(new AlarmCondition(oven, AlarmKind.HELD_TOO_LONG));
                case BELT -> found.add(new AlarmCondition(UnitId.STEAMER, AlarmKind.HELD_TOO_LONG));
                case HEAP, BENCH, GONE -> {}
            }
        }
        if (leaf == null || !isDrying(batch) || !(batch.operation() instanceof Operation.Dry dry)) {
            return;
        }
        if (leaf.leafC() > dry.leafMaxC() + LEAF_OVER_K) {
            found.add(new AlarmCondition(oven, AlarmKind.LEAF_TOO_WARM));
        }
        if (leaf.outOfReach()) {
            found.add(new AlarmCondition(oven, AlarmKind.TARGET_OUT_OF_REACH));
        }
        boolean near = dry.endMoisture() < NEAR_THE_END && leaf.mean() < NEAR_THE_END;
        if (near && leaf.deviation() > UNSURE_DEVIATION) {
            found.add(new AlarmCondition(oven, AlarmKind.MOISTURE_UNSURE));
        }
    }

    /**
     * Said before hours are wasted: the room's air, warmed to the set-point of a drying that is
     * still to come, leaves the leaf wetter than that drying shall end. The drying that runs is
     * judged by the look-ahead.
     */
    private static boolean cannotEndDry(Batch batch, double roomC, double roomRh) {
        if (!batch.isIn(ProcedureState.RUNNING)) {
            return false;
        }
        List<Operation> procedure = batch.recipe().procedure();
        for (int i = batch.procedure().operation() + 1; i < procedure.size(); i++) {
            if (procedure.get(i) instanceof Operation.Dry dry
                    && restMoisture(dry.airC(), roomC, roomRh) >= dry.endMoisture()) {
                return true;
            }
        }
        return false;
    }

    /**
     * Where leaf comes to rest in the room's air warmed to {@code airC}, wet basis: the oven's air
     * when the leaf gives no more water.
     *
     * <pre>
     *   a = φ·pws(Troom)/pws(Tair)     Xe = isotherm(Tair, a)     M = Xe/(1 + Xe)
     * </pre>
     *
     * @return NaN where the room is not known or the isotherm does not hold
     */
    static double restMoisture(double airC, double roomC, double roomRh) {
        double activity =
                roomRh
                        * Psychrometrics.saturationPressureKPa(roomC)
                        / Psychrometrics.saturationPressureKPa(airC);
        double rest = Isotherm.GREEN_TEA.equilibriumMoistureKgPerKg(airC, activity);
        return rest / (1.0 + rest);
    }

    /** Just out of the steam, when something can still be done about it. */
    private static boolean isCooledOnBench(Batch batch) {
        return batch.operation() instanceof Operation.CoolOnBench
                && !batch.isIn(ProcedureState.ABORTED);
    }

    private static boolean isDrying(Batch batch) {
        return batch.isIn(ProcedureState.RUNNING)
                && (batch.phase() instanceof Phase.Drying
                        || batch.phase() instanceof Phase.Turning);
    }

    /** Leaf that waits in its lot, and leaf planned but not yet steamed. */
    private static void ofLots(
            BatchSettings settings, Floor floor, double nowS, List<AlarmCondition> found) {
        FreshnessClock.Verdict worst = FreshnessClock.Verdict.FRESH;
        List<Lot> lots = floor.stock().lots();
        for (int i = 0; i < lots.size(); i++) {
            Lot lot = lots.get(i);
            if (lot.leftG() > 0 || isPlannedOnly(floor, lot)) {
                FreshnessClock.Verdict verdict =
                        lot.fresh(
                                nowS,
                                settings.freshWarningH() * 3600.0,
                                settings.freshLimitH() * 3600.0);
                worst = verdict.compareTo(worst) > 0 ? verdict : worst;
            }
        }
        switch (worst) {
            case FRESH -> {}
            case WARNING -> found.add(new AlarmCondition(UnitId.LINE, AlarmKind.FRESHNESS_WARNING));
            case TOO_OLD -> found.add(new AlarmCondition(UnitId.LINE, AlarmKind.FRESHNESS_LIMIT));
        }
    }

    /** Part of this lot is in a plan whose leaf still lies in the heap. */
    private static boolean isPlannedOnly(Floor floor, Lot lot) {
        for (int i = 0; i < floor.slots().size(); i++) {
            Batch batch = floor.slots().get(i).batch();
            if (batch != null && batch.charge().place() == Place.HEAP) {
                for (Portion portion : batch.charge().portions()) {
                    if (portion.lotId().equals(lot.id())) {
                        return true;
                    }
                }
            }
        }
        return false;
    }
}
