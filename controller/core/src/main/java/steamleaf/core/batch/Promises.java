package steamleaf.core.batch;

/** Tells when a batch will be done, and keeps to it; see {@link Promise}. */
public final class Promises {
    /** Less is not worth moving the end of a rest. Engineering choice. */
    private static final double MOVED_S = 5.0;

    private Promises() {}

    /** Once a second. What somebody wants goes before what the line foresees. */
    static Batch second(Change change, Batch batch) {
        Promise promise = batch.promise();
        if (!batch.isIn(ProcedureState.RUNNING) || Finishes.isCountedOn(batch.finishBy())) {
            return promise == null ? batch : batch.with((Promise) null);
        }
        return promise == null ? made(change, batch) : kept(change, batch, promise);
    }

    private static Batch made(Change change, Batch batch) {
        boolean settled =
                batch.phase() instanceof Phase.Drying
                        && change.nowS() - batch.procedure().operationSinceS() >= Promise.SETTLED_S
                        && Promise.canBeMade(
                                batch.recipe().procedure(), batch.procedure().operation());
        double doneS = settled ? change.sight.doneS(batch.oven()) : Double.NaN;
        if (Double.isNaN(doneS)) {
            return batch;
        }
        Promise promise = new Promise(doneS);
        change.event(new Event.EndPromised(batch.id(), batch.oven(), doneS - change.nowS()));
        return batch.with(promise);
    }

    private static Batch kept(Change change, Batch batch, Promise promise) {
        if (!(batch.operation() instanceof Operation.Rest rest)
                || !(batch.phase() instanceof Phase.Working(double sinceS, double untilS))) {
            return batch;
        }
        double doneS = change.sight.doneS(batch.oven());
        double newUntilS = promise.restUntilS(rest, sinceS, untilS, doneS);
        return Math.abs(newUntilS - untilS) < MOVED_S
                ? batch
                : batch.with(batch.procedure().on(new Phase.Working(sinceS, newUntilS)));
    }

    /**
     * What to say of the end, on the line's time axis; NaN for nothing.
     *
     * @param foreseenS as the line foresees it now
     */
    public static double told(Batch batch, double foreseenS) {
        Promise promise = batch.promise();
        return promise == null
                ? foreseenS
                : promise.told(
                        batch.recipe().procedure(), batch.procedure().operation(), foreseenS);
    }

    /** A time was told, and the rest that keeps it is ahead or runs. */
    public static boolean isKept(Batch batch) {
        return batch.promise() != null
                && (batch.operation() instanceof Operation.Rest
                        || Promise.hasRestAhead(
                                batch.recipe().procedure(), batch.procedure().operation()));
    }

    /** When the work that runs ends; NaN if none does. */
    public static double workUntilS(Batch batch) {
        return batch.phase() instanceof Phase.Working(_, double untilS) ? untilS : Double.NaN;
    }
}
