package steamleaf.bench;

import java.util.List;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import steamleaf.app.journal.Journal;
import steamleaf.contract.CommandMessage.LotDraft;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.Sample;
import steamleaf.core.cycle.MoistureView;
import steamleaf.core.cycle.UnitView;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.plant.Plant;

/**
 * What the demo's line has lived through before anybody opens a page: two finished batches and a
 * third that is drying at 12 %. It is really run, by the same controller on the same line with the
 * hands doing everything, only in handed-in time.
 */
final class Morning {
    private static final double LONGEST_S = 20 * 3600;
    private static final double SHOWN_AT = 0.125;

    /** The oven has warmed up again after its door was open. */
    private static final double WARM_LEAF_C = 45;

    /** Position of the stock recipes' last drying. */
    private static final int LAST_DRYING = 8;

    private static final int CYCLES_PER_SECOND = 10;
    private static final int SECONDS_PER_TELLING = 3600;

    /** An invented day: which lot goes into which oven by which recipe. */
    private record Charge(LotDraft lot, String recipe, int oven, double massKg) {}

    private static final List<Charge> DAY =
            List.of(
                    new Charge(
                            new LotDraft(
                                    "39",
                                    "Upper terrace",
                                    "seedling",
                                    0,
                                    "medium",
                                    false,
                                    1.5,
                                    4.2,
                                    22.0),
                            "standard",
                            2,
                            4.0),
                    new Charge(
                            new LotDraft(
                                    "40",
                                    "Cedar slope",
                                    "early green",
                                    7,
                                    "tender",
                                    false,
                                    2.0,
                                    4.1,
                                    23.0),
                            "light",
                            3,
                            4.0),
                    new Charge(
                            new LotDraft(
                                    "41",
                                    "Lower field",
                                    "seedling",
                                    0,
                                    "medium",
                                    false,
                                    1.0,
                                    4.3,
                                    24.0),
                            "deep",
                            1,
                            4.0));

    private final Rig rig;
    private final Hands hands;
    private final Journal journal;
    private final long aheadBytes;
    private final Consumer<String> told;
    private final BooleanSupplier ending;

    Morning(
            Rig rig,
            Hands hands,
            Journal journal,
            long aheadBytes,
            Consumer<String> told,
            BooleanSupplier ending) {
        this.rig = rig;
        this.hands = hands;
        this.journal = journal;
        this.aheadBytes = aheadBytes;
        this.told = told;
        this.ending = ending;
    }

    void live() {
        told.accept(
                "The line lives through its morning: two batches to their end and a third to 12 %.");
        int begun = 0;
        for (long cycle = 2;
                rig.nowS() < LONGEST_S && !ending.getAsBoolean() && !isShown(begun);
                cycle++) {
            rig.cycle();
            if (cycle % LineProcess.cyclesPerLook() == 0) {
                hands.look();
            }
            if (cycle % CYCLES_PER_SECOND == 0) {
                begun = begin(begun);
                while (journal.queuedBytes() > aheadBytes && !ending.getAsBoolean()) {
                    LineProcess.waitNs(1_000_000);
                }
            }
            if (cycle % (CYCLES_PER_SECOND * SECONDS_PER_TELLING) == 0) {
                told.accept(
                        "  "
                                + rig.lineTime().toString().substring(11, 16)
                                + "  "
                                + rig.floor().stock().packed().size()
                                + " packed");
            }
        }
    }

    /**
     * The next charge is begun when the steamer and the hands are free; the last only when nothing
     * else needs them soon.
     */
    private int begin(int begun) {
        if (begun == DAY.size() || hands.busy() || !isSteamerFree()) {
            return begun;
        }
        Charge next = DAY.get(begun);
        hands.runBatch(next.lot(), next.recipe(), UnitId.oven(next.oven()), next.massKg());
        return begun + 1;
    }

    /**
     * No batch is before or in the steam, and the last two start once the batch before is well on
     * its way.
     */
    private boolean isSteamerFree() {
        for (OvenSlot slot : rig.floor().slots()) {
            Batch batch = slot.batch();
            if (batch != null && batch.procedure().operation() < 3) {
                return false;
            }
        }
        return true;
    }

    /** The third batch is in its last drying, warm, at about 12 %, and nobody is waited for. */
    private boolean isShown(int begun) {
        Batch batch = begun == DAY.size() ? rig.floor().batch(UnitId.oven(1)) : null;
        if (batch == null
                || batch.procedure().operation() < LAST_DRYING
                || !(batch.phase() instanceof Phase.Drying)
                || hands.busy()
                || !batch.prompts().isEmpty()
                || batch.samples().stream().anyMatch(Sample::isOpen)) {
            return false;
        }
        UnitView view = rig.controller().view(UnitId.oven(1));
        MoistureView moisture = view == null ? null : view.moisture();
        return moisture != null
                && view != null
                && view.heating()
                && moisture.mean() <= SHOWN_AT
                && moisture.leafC() >= WARM_LEAF_C;
    }

    /**
     * After a restart of the whole demo the simulator knows nothing; its leaf is laid where the
     * controller last knew it, as wet as the controller believed.
     */
    static void putBack(Rig rig, Hands hands) {
        Plant plant = rig.line().plant();
        for (OvenSlot slot : rig.floor().slots()) {
            Batch batch = slot.batch();
            UnitView view = batch == null ? null : rig.controller().view(batch.oven());
            MoistureView moisture = view == null ? null : view.moisture();
            if (batch == null || moisture == null) {
                continue;
            }
            double dryKg = batch.charge().freshKg() * 0.2;
            int charge =
                    plant.bringIn(dryKg / (1 - moisture.mean()), moisture.mean(), plant.roomC())
                            .charge();
            hands.knowCharge(batch.id(), charge);
            if (batch.charge().place() == steamleaf.core.batch.Place.OVEN) {
                plant.openDoor(batch.oven().number());
                plant.putIntoOven(charge, batch.oven().number());
                plant.closeDoor(batch.oven().number());
            }
        }
    }
}
