package steamleaf.core.batch;

import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;

/** What an answered prompt leads to. */
final class Replies {
    /** Nobody weighs less or more than this at once on a line of this size. Engineering choice. */
    private static final double LEAST_KG = 0.01;

    private static final double MOST_KG = 200.0;

    private Replies() {}

    /** Whether a press of <em>confirm</em> is enough for this kind: nothing is to be entered. */
    static boolean isConfirmable(PromptKind kind) {
        return switch (kind) {
            case STEAM_READY, FEED, TURN, TAKE_OUT, TAKE_OUT_AND_SPREAD -> true;
            case COOL_AND_LOAD,
                    PUT_BACK,
                    HAND_SAMPLE,
                    WEIGH,
                    PACK,
                    PRESS_CONFIRM,
                    PRESS_RESET,
                    RESUME_OR_ABORT ->
                    false;
        };
    }

    static boolean isWeighable(double massKg) {
        return massKg >= LEAST_KG && massKg <= MOST_KG;
    }

    /** Why this answer can't be taken now; null if it can. */
    static @Nullable Refusal objection(
            Change change,
            Batch batch,
            PromptKind kind,
            @Nullable Double massKg,
            boolean atMachine) {
        if (massKg != null && !isWeighable(massKg)) {
            return Refusal.OUT_OF_RANGE;
        }
        return switch (kind) {
            case STEAM_READY -> steamObjection(change, batch, atMachine);
            case PRESS_CONFIRM -> atMachine ? null : Refusal.NEEDS_MACHINE;
            case PRESS_RESET, RESUME_OR_ABORT -> Refusal.NEEDS_MACHINE;
            case TURN -> openedAndClosed(change, batch);
            case COOL_AND_LOAD, PUT_BACK -> openedAndClosed(change, batch);
            case TAKE_OUT -> seenOpen(batch.phase()) ? null : Refusal.DOOR_NOT_SEEN_OPEN;
            case WEIGH, PACK -> massKg == null ? Refusal.NEEDS_MASS : null;
            case FEED, HAND_SAMPLE, TAKE_OUT_AND_SPREAD -> null;
        };
    }

    private static @Nullable Refusal steamObjection(Change change, Batch batch, boolean atMachine) {
        if (!atMachine) {
            return Refusal.NEEDS_MACHINE;
        }
        if (!batch.isIn(ProcedureState.RUNNING)) {
            return Refusal.WRONG_STATE;
        }
        if (change.inSteamer() != null) {
            return Refusal.STEAMER_TAKEN;
        }
        return change.sight.startBlockedBy(UnitId.STEAMER) == null ? null : Refusal.NOT_PERMITTED;
    }

    private static @Nullable Refusal openedAndClosed(Change change, Batch batch) {
        if (!seenOpen(batch.phase())) {
            return Refusal.DOOR_NOT_SEEN_OPEN;
        }
        return change.sight.doorClosed(batch.oven()) ? null : Refusal.DOOR_NOT_CLOSED;
    }

    /** Whether the door was seen open in this phase; where no phase asks, it need not be. */
    private static boolean seenOpen(Phase phase) {
        return switch (phase) {
            case Phase.Spreading(_, boolean seenOpen) -> seenOpen;
            case Phase.Turning(_, boolean seenOpen) -> seenOpen;
            case Phase.TakingOut(_, boolean seenOpen) -> seenOpen;
            case Phase.PuttingBack(_, boolean seenOpen) -> seenOpen;
            case Phase.Waiting _,
                    Phase.Warming _,
                    Phase.AwaitingPerson _,
                    Phase.HeatingChest _,
                    Phase.Feeding _,
                    Phase.Steaming _,
                    Phase.Drying _,
                    Phase.Working _,
                    Phase.CoolingInOven _,
                    Phase.Weighing _,
                    Phase.Packing _ ->
                    true;
        };
    }

    /** Takes an answer to which there is no objection. */
    static void take(
            Change change, Batch batch, Prompt prompt, String by, @Nullable Double massKg) {
        Batch asked = Prompts.answered(change, batch, prompt, by, massKg);
        double kg = massKg == null ? Double.NaN : massKg;
        switch (prompt.kind()) {
            case STEAM_READY -> change.keep(Ways.heatChest(change, asked));
            case FEED -> change.keep(lastOnBelt(change, asked));
            case COOL_AND_LOAD -> change.keep(loaded(change, asked, kg));
            case TURN -> change.keep(turned(change, asked));
            case TAKE_OUT -> takenOut(change, asked);
            case PUT_BACK -> change.keep(putBack(change, asked, kg));
            case HAND_SAMPLE -> change.keep(asked);
            case WEIGH -> change.keep(weighed(change, asked, kg));
            case PACK -> packed(change, asked, kg);
            case TAKE_OUT_AND_SPREAD -> change.keep(onBench(change, asked));
            case PRESS_CONFIRM -> {
                change.start(asked.oven());
                change.keep(asked);
            }
            case PRESS_RESET, RESUME_OR_ABORT ->
                    throw new IllegalStateException("done at the machine, not answered");
        }
    }

    static Batch lastOnBelt(Change change, Batch batch) {
        double nowS = change.nowS();
        double untilS = nowS + batch.dwellS() + change.settings.steamer().marginS();
        return Ways.to(change, batch, new Phase.Steaming(nowS, untilS));
    }

    private static Batch loaded(Change change, Batch batch, double massKg) {
        Batch loaded = inOven(batch, massKg);
        change.leaf(new LeafAction.Loaded(batch.oven(), loaded, massKg));
        return Ways.next(change, loaded);
    }

    /** The drying counts from here: what it waited for the leaf is not drying. */
    private static Batch putBack(Change change, Batch batch, double massKg) {
        double nowS = change.nowS();
        Batch back = inOven(batch, massKg);
        change.leaf(new LeafAction.PutBack(batch.oven(), massKg));
        Procedure now = back.procedure();
        return Ways.enter(
                change, back.with(now.at(now.operation(), now.phase(), nowS)), back.operation());
    }

    private static Batch inOven(Batch batch, double massKg) {
        Charge charge = batch.charge().at(Place.OVEN);
        return batch.with(!Double.isNaN(massKg) ? charge.weighing(massKg) : charge);
    }

    static Batch turned(Change change, Batch batch) {
        change.leaf(new LeafAction.Turned(batch.oven()));
        return batch.operation() instanceof Operation.Dry dry
                ? Ways.dry(change, batch, dry)
                : batch;
    }

    private static void takenOut(Change change, Batch batch) {
        if (batch.isIn(ProcedureState.ABORTED)) {
            discard(change, batch);
            return;
        }
        Batch out = onBench(change, batch);
        change.keep(
                out.phase() instanceof Phase.TakingOut
                        ? Ways.enter(change, out, out.operation())
                        : out);
    }

    private static Batch onBench(Change change, Batch batch) {
        change.leaf(new LeafAction.TakenOut(batch.oven()));
        return batch.with(batch.charge().at(Place.BENCH));
    }

    private static Batch weighed(Change change, Batch batch, double massKg) {
        Batch out = batch.charge().place() == Place.OVEN ? onBench(change, batch) : batch;
        change.leaf(new LeafAction.Weighed(batch.oven(), massKg));
        change.event(new Event.WeighedIn(batch.id(), batch.oven(), massKg, ""));
        return Ways.next(change, out.with(out.charge().weighing(massKg)));
    }

    private static void packed(Change change, Batch batch, double massKg) {
        PackedLot lot =
                new PackedLot(
                        change.newPackedId(),
                        batch.id(),
                        batch.charge().portions(),
                        massKg,
                        change.sight.moisture(batch.oven()),
                        change.sight.moistureDeviation(batch.oven()));
        change.stock(change.stock().packing(lot, batch.charge().freshG()));
        change.event(
                new Event.OperationEnded(
                        batch.id(),
                        batch.oven(),
                        batch.procedure().operation(),
                        batch.operation().kind(),
                        change.nowS() - batch.procedure().operationSinceS(),
                        lot.moisture(),
                        lot.moistureDeviation()));
        double outS = change.sight.outS(batch.oven());
        if (!Double.isNaN(outS)) {
            double regain = change.sight.regain(batch.oven());
            change.event(new Event.Regained(batch.id(), batch.oven(), outS, regain));
        }
        change.event(new Event.BatchCompleted(batch.id(), batch.oven(), lot));
        Lessons.learn(change, batch);
        gone(change, batch);
    }

    private static void discard(Change change, Batch batch) {
        List<Portion> portions = batch.charge().portions();
        change.stock(change.stock().discarding(batch.charge().freshG()));
        change.event(new Event.LeafDiscarded(batch.id(), batch.oven(), portions));
        gone(change, batch);
    }

    /** The next batch needs a press of its own: what started this one ends with it. */
    private static void gone(Change change, Batch batch) {
        change.stop(batch.oven());
        change.leaf(new LeafAction.Gone(batch.oven()));
        Prompts.allWithdrawn(change, batch);
        change.free(batch.oven());
    }
}
