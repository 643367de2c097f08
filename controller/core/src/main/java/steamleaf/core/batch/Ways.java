package steamleaf.core.batch;

import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;

/**
 * The ways of a batch from one phase to another. Each function returns the batch as it then is;
 * nothing is kept before the caller does.
 */
final class Ways {
    private Ways() {}

    /** Into a phase of the same operation. */
    static Batch to(Change change, Batch batch, Phase phase) {
        change.event(
                new Event.PhaseBegan(
                        batch.id(),
                        unitOf(batch, phase),
                        batch.procedure().operation(),
                        batch.operation().kind(),
                        phase.getClass().getSimpleName()));
        return batch.with(batch.procedure().on(phase));
    }

    private static UnitId unitOf(Batch batch, Phase phase) {
        return Batch.isInSteamer(phase) ? UnitId.STEAMER : batch.oven();
    }

    /** The machine's start for a planned batch: the empty oven is warmed. */
    static Batch begin(Change change, Batch batch) {
        double nowS = change.nowS();
        change.event(new Event.BatchStarted(batch.id(), batch.oven()));
        Batch running =
                batch.with(batch.procedure().in(ProcedureState.RUNNING, null, nowS))
                        .with(
                                new Procedure(
                                        ProcedureState.RUNNING,
                                        null,
                                        nowS,
                                        0,
                                        nowS,
                                        batch.phase()));
        change.start(batch.oven());
        return to(change, running, new Phase.Warming(nowS));
    }

    /** A person is at the machine, the oven is warm: the steamer is heated for this batch. */
    static Batch heatChest(Change change, Batch batch) {
        change.start(UnitId.STEAMER);
        return to(change, batch, new Phase.HeatingChest(change.nowS(), Double.NaN));
    }

    /** Ends the operation that runs and begins the next. */
    static Batch next(Change change, Batch batch) {
        int ending = batch.procedure().operation();
        double nowS = change.nowS();
        change.event(
                new Event.OperationEnded(
                        batch.id(),
                        batch.oven(),
                        ending,
                        batch.operation().kind(),
                        nowS - batch.procedure().operationSinceS(),
                        change.sight.moisture(batch.oven()),
                        change.sight.moistureDeviation(batch.oven())));
        Operation operation = batch.recipe().procedure().get(ending + 1);
        change.event(
                new Event.OperationBegan(batch.id(), batch.oven(), ending + 1, operation.kind()));
        Batch moved = batch.with(batch.procedure().at(ending + 1, new Phase.Waiting(nowS), nowS));
        return enter(change, moved, operation);
    }

    /** Begins the operation that the batch stands at. */
    static Batch enter(Change change, Batch batch, Operation operation) {
        double nowS = change.nowS();
        return switch (operation) {
            case Operation.Steam _ -> throw new IllegalStateException("steam comes first");
            case Operation.CoolOnBench(_, double patienceS) -> spread(change, batch, patienceS);
            case Operation.Dry dry ->
                    batch.charge().place() == Place.OVEN
                            ? dry(change, batch, dry)
                            : putBack(change, batch, dry.turn().patienceS());
            case Operation.Turn _ -> throw new IllegalStateException("turn is a part of dry");
            case Operation.Roll(double forS, double patienceS) ->
                    work(change, batch, forS, patienceS);
            case Operation.Shape(double forS, double patienceS) ->
                    work(change, batch, forS, patienceS);
            case Operation.Rest(double forS, double patienceS) ->
                    work(change, batch, forS, patienceS);
            case Operation.CoolInOven _ -> to(change, batch, new Phase.CoolingInOven(nowS));
            case Operation.Weigh(double patienceS) ->
                    Prompts.open(
                            change,
                            to(change, batch, new Phase.Weighing(nowS)),
                            PromptKind.WEIGH,
                            patienceS);
            case Operation.Pack(double patienceS) ->
                    Prompts.open(
                            change,
                            to(change, batch, new Phase.Packing(nowS)),
                            PromptKind.PACK,
                            patienceS);
        };
    }

    private static Batch spread(Change change, Batch batch, double patienceS) {
        boolean open = change.sight.doorOpen(batch.oven());
        Batch spread = to(change, batch, new Phase.Spreading(change.nowS(), open));
        return Prompts.open(change, spread, PromptKind.COOL_AND_LOAD, patienceS);
    }

    static Batch dry(Change change, Batch batch, Operation.Dry dry) {
        double nowS = change.nowS();
        return to(change, batch, new Phase.Drying(nowS, nowS + dry.turn().everyS()));
    }

    /** Asks for the leaf back into the oven. */
    static Batch putBack(Change change, Batch batch, double patienceS) {
        boolean open = change.sight.doorOpen(batch.oven());
        Batch asked = to(change, batch, new Phase.PuttingBack(change.nowS(), open));
        return Prompts.open(change, asked, PromptKind.PUT_BACK, patienceS);
    }

    private static Batch work(Change change, Batch batch, double forS, double patienceS) {
        double nowS = change.nowS();
        if (batch.charge().place() != Place.OVEN) {
            return to(change, batch, new Phase.Working(nowS, nowS + forS));
        }
        boolean open = change.sight.doorOpen(batch.oven());
        Batch asked = to(change, batch, new Phase.TakingOut(nowS, open));
        return Prompts.open(change, asked, PromptKind.TAKE_OUT, patienceS);
    }

    /** Heat off, fan on, everything else as it is; a person decides how it goes on. */
    static Batch hold(Change change, Batch batch, HeldCause cause) {
        stopHeat(change, batch);
        change.event(new Event.BatchHeld(batch.id(), batch.oven(), cause));
        Batch held =
                withoutPresses(change, batch)
                        .with(batch.procedure().in(ProcedureState.HELD, cause, change.nowS()));
        return Prompts.open(change, held, PromptKind.RESUME_OR_ABORT, Double.POSITIVE_INFINITY);
    }

    /** The machine's start for a held batch. Leaf that was taken out goes back first. */
    static Batch resume(Change change, Batch batch) {
        double nowS = change.nowS();
        change.event(new Event.BatchResumed(batch.id(), batch.oven()));
        change.start(batch.oven());
        Batch asked = Prompts.withdrawn(change, batch, PromptKind.RESUME_OR_ABORT);
        asked = Prompts.withdrawn(change, asked, PromptKind.TAKE_OUT_AND_SPREAD);
        if (!(asked.phase() instanceof Phase.TakingOut)) {
            asked = Prompts.withdrawn(change, asked, PromptKind.TAKE_OUT);
        }
        asked = Prompts.renewed(change, asked);
        Batch running = asked.with(asked.procedure().in(ProcedureState.RUNNING, null, nowS));
        return switch (running.phase()) {
            case Phase.Feeding _, Phase.Steaming _, Phase.HeatingChest _ ->
                    heatChest(change, Prompts.withdrawn(change, running, PromptKind.FEED));
            case Phase.Drying _, Phase.Turning _, Phase.CoolingInOven _ ->
                    running.charge().place() == Place.OVEN
                            ? running
                            : putBack(change, running, BatchSettings.PERSON_PATIENCE_S);
            case Phase.Warming _, Phase.AwaitingPerson _ ->
                    to(
                            change,
                            Prompts.withdrawn(change, running, PromptKind.STEAM_READY),
                            new Phase.Warming(nowS));
            case Phase.Waiting _,
                    Phase.Spreading _,
                    Phase.TakingOut _,
                    Phase.Working _,
                    Phase.PuttingBack _,
                    Phase.Weighing _,
                    Phase.Packing _ ->
                    running;
        };
    }

    static Batch stop(Change change, Batch batch, String by) {
        stopHeat(change, batch);
        change.event(new Event.BatchStopped(batch.id(), batch.oven(), by));
        Batch rest = withoutPresses(change, batch);
        rest = Prompts.withdrawn(change, rest, PromptKind.RESUME_OR_ABORT);
        return rest.with(rest.procedure().in(ProcedureState.STOPPED, null, change.nowS()));
    }

    /** Ends the batch. Leaf that was heated comes out; leaf that was not goes back to its lots. */
    static @Nullable Batch abort(Change change, Batch batch, String by) {
        stopHeat(change, batch);
        change.event(new Event.BatchAborted(batch.id(), batch.oven(), by));
        Batch quiet = Prompts.allWithdrawn(change, batch);
        if (quiet.charge().place() == Place.HEAP) {
            change.stock(change.stock().returning(quiet.charge().portions()));
            return null;
        }
        Batch aborted =
                quiet.with(quiet.procedure().in(ProcedureState.ABORTED, null, change.nowS()));
        return Prompts.open(change, aborted, PromptKind.TAKE_OUT, BatchSettings.PERSON_PATIENCE_S);
    }

    private static Batch withoutPresses(Change change, Batch batch) {
        return Prompts.withdrawn(
                change,
                Prompts.withdrawn(change, batch, PromptKind.PRESS_CONFIRM),
                PromptKind.PRESS_RESET);
    }

    private static void stopHeat(Change change, Batch batch) {
        change.stop(batch.oven());
        if (batch.hasSteamer()) {
            change.stop(UnitId.STEAMER);
        }
    }

    /** Whether its oven is to be hot now. */
    static boolean wantsOvenHeat(Batch batch) {
        if (!batch.isIn(ProcedureState.RUNNING)) {
            return false;
        }
        return switch (batch.phase()) {
            case Phase.Warming _,
                    Phase.AwaitingPerson _,
                    Phase.HeatingChest _,
                    Phase.Feeding _,
                    Phase.Steaming _,
                    Phase.Spreading _,
                    Phase.Drying _,
                    Phase.Turning _ ->
                    true;
            case Phase.Waiting _,
                    Phase.TakingOut _,
                    Phase.Working _,
                    Phase.PuttingBack _,
                    Phase.CoolingInOven _,
                    Phase.Weighing _,
                    Phase.Packing _ ->
                    false;
        };
    }
}
