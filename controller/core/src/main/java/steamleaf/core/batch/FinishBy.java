package steamleaf.core.batch;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.batch.FinishPlan.Outlook;
import steamleaf.core.batch.FinishPlan.Stage;

/**
 * Somebody wants a batch done at a certain time.
 *
 * @param wantedS on the line's time axis
 * @param recipe the procedure as the recipe has it: plans are made around it, however often
 * @param accepted its air and dampers are the batch's
 * @param plannedS when {@code plan} was made; NaN before
 * @param plan null while it is being looked for
 */
public record FinishBy(
        double wantedS,
        String by,
        List<Operation> recipe,
        boolean accepted,
        double plannedS,
        @Nullable FinishPlan plan) {
    /** What was accepted is planned anew so often. Engineering choice, see the study. */
    static final double TRIM_EVERY_S = 300.0;

    /** A proposal holds so long: the leaf dries on. Engineering choice. */
    static final double PROPOSED_FOR_S = 600.0;

    public FinishBy {
        recipe = List.copyOf(recipe);
    }

    static FinishBy wanted(double wantedS, String by, List<Operation> recipe) {
        return new FinishBy(wantedS, by, recipe, false, Double.NaN, null);
    }

    FinishBy planned(FinishPlan newPlan, double nowS) {
        return new FinishBy(wantedS, by, recipe, accepted, nowS, newPlan);
    }

    /** Of a time that can't be done the nearest is accepted: that one can. */
    FinishBy accepting(double atS, Outlook outlook, String who) {
        return new FinishBy(atS, who, recipe, true, plannedS, new FinishPlan.Reached(outlook));
    }

    /** Whether a plan is to be looked for now. */
    public static boolean isDue(Batch batch, double nowS) {
        FinishBy finish = batch.finishBy();
        if (finish == null || !batch.isIn(ProcedureState.RUNNING)) {
            return false;
        }
        boolean old = finish.accepted && nowS - finish.plannedS >= TRIM_EVERY_S;
        return finish.plan == null || (old && batch.phase() instanceof Phase.Drying);
    }

    /** What can be had, exactly or nearly; null where there is nothing. */
    public @Nullable Outlook outlook() {
        return switch (plan) {
            case FinishPlan.Reached(Outlook outlook) -> outlook;
            case FinishPlan.OnlyNear(Outlook nearest, _) -> nearest;
            case FinishPlan.Never _, FinishPlan.NothingLeft _ -> null;
            case null -> null;
        };
    }

    /** The procedure with these stages, from the recipe's own. */
    List<Operation> with(List<Stage> stages) {
        List<Operation> procedure = new ArrayList<>(recipe);
        for (Stage stage : stages) {
            if (procedure.get(stage.operation()) instanceof Operation.Dry dry) {
                procedure.set(stage.operation(), dry.with(stage.airC(), stage.damper()));
            }
        }
        return procedure;
    }
}
