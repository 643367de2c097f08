package steamleaf.core.batch;

import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import steamleaf.core.batch.FinishPlan.Outlook;

/** Ends at a wanted time: asked for, proposed, accepted, kept to. */
final class Finishes {
    private static final double SOONEST_S = 60.0;
    private static final double LATEST_S = 24 * 3_600.0;

    /** Less is not worth a line in the record. */
    private static final double TOLD_K = 1.0;

    private Finishes() {}

    /** Answers with the plan some seconds later. */
    static void ask(Change change, Command.PlanFinish ask, Batch batch) {
        double ageS = (change.sight.cycle() - ask.stamp().seenCycle()) * change.settings.cycleS();
        double inS = ask.inS() - ageS;
        if (!(inS >= SOONEST_S && inS <= LATEST_S)) {
            change.refused(
                    ask, Refusal.OUT_OF_RANGE, "inS", Map.of("least", SOONEST_S, "most", LATEST_S));
        } else if (!batch.isIn(ProcedureState.RUNNING)
                || !isLeafOut(batch)
                || Double.isNaN(change.sight.moisture(batch.oven()))) {
            change.refused(ask, Refusal.WRONG_STATE, batch.id());
        } else {
            FinishBy before = batch.finishBy();
            List<Operation> recipe = before == null ? batch.recipe().procedure() : before.recipe();
            change.keep(batch.with(FinishBy.wanted(change.nowS() + inS, ask.stamp().by(), recipe)));
            change.moved(ask, batch.id());
        }
    }

    /** Out of the steam, and not yet weighed for packing. */
    private static boolean isLeafOut(Batch batch) {
        return switch (batch.operation()) {
            case Operation.Steam _,
                    Operation.CoolOnBench _,
                    Operation.CoolInOven _,
                    Operation.Weigh _,
                    Operation.Pack _ ->
                    false;
            case Operation.Dry _,
                    Operation.Turn _,
                    Operation.Roll _,
                    Operation.Shape _,
                    Operation.Rest _ ->
                    true;
        };
    }

    static void accept(Change change, Command.AcceptFinish accept, Batch batch) {
        FinishBy finish = batch.finishBy();
        Outlook outlook = finish == null ? null : finish.outlook();
        if (finish == null || outlook == null) {
            change.refused(accept, Refusal.NO_FINISH, batch.id());
        } else if (finish.accepted()) {
            change.refused(accept, Refusal.ALREADY_MOVED, batch.id());
        } else if (change.nowS() - finish.plannedS() > FinishBy.PROPOSED_FOR_S) {
            change.refused(accept, Refusal.NO_FINISH, batch.id());
        } else if (!batch.isIn(ProcedureState.RUNNING)) {
            change.refused(accept, Refusal.WRONG_STATE, batch.id());
        } else {
            boolean asWanted = finish.plan() instanceof FinishPlan.Reached;
            double atS = asWanted ? finish.wantedS() : finish.plannedS() + outlook.inS();
            FinishBy accepted = finish.accepting(atS, outlook, accept.stamp().by());
            change.keep(running(batch.with(accepted), outlook));
            change.event(
                    new Event.FinishAccepted(
                            batch.id(), batch.oven(), accepted, accept.stamp().by()));
            change.moved(accept, batch.id());
        }
    }

    /** The recipe's own air again. */
    static void discard(Change change, Command.DiscardFinish discard, Batch batch) {
        FinishBy finish = batch.finishBy();
        if (finish == null) {
            change.refused(discard, Refusal.NO_FINISH, batch.id());
            return;
        }
        change.keep(batch.by(finish.recipe()).with((FinishBy) null));
        change.event(new Event.FinishDiscarded(batch.id(), batch.oven(), discard.stamp().by()));
        change.moved(discard, batch.id());
    }

    private static Batch running(Batch batch, Outlook outlook) {
        FinishBy finish = batch.finishBy();
        return finish == null ? batch : batch.by(finish.with(outlook.stages()));
    }

    /** Once a second: a plan that was found is proposed, or kept to. */
    static Batch second(Change change, Batch batch) {
        FinishBy finish = batch.finishBy();
        if (finish == null || !FinishBy.isDue(batch, change.nowS())) {
            return batch;
        }
        FinishPlan plan = change.sight.finishPlan(batch.oven(), finish.wantedS());
        if (plan == null) {
            return batch;
        }
        FinishBy planned = finish.planned(plan, change.nowS());
        Outlook outlook = planned.outlook();
        Batch after = batch.with(planned);
        if (!finish.accepted()) {
            change.event(new Event.FinishPlanned(batch.id(), batch.oven(), planned));
            return after;
        }
        if (outlook == null) {
            return after;
        }
        Batch trimmed = running(after, outlook);
        boolean lost =
                plan instanceof FinishPlan.OnlyNear && finish.plan() instanceof FinishPlan.Reached;
        if (lost || Math.abs(airC(trimmed) - airC(batch)) >= TOLD_K) {
            change.event(new Event.FinishTrimmed(batch.id(), batch.oven(), planned));
        }
        return trimmed;
    }

    private static double airC(Batch batch) {
        return batch.operation() instanceof Operation.Dry dry ? dry.airC() : 0.0;
    }

    /** A batch whose end somebody counts on is sampled wherever its leaf is out of the oven. */
    static boolean isCountedOn(@Nullable FinishBy finish) {
        return finish != null && finish.accepted();
    }
}
