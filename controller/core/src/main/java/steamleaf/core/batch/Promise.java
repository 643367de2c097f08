package steamleaf.core.batch;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * When people were told a batch will be done. It is told once the leaf has been worked and dries
 * again, and kept by the length of the rest that is still ahead: how fast the leaf dries from then
 * on shows only on the way (see the study), and a rest is the one operation that may be shorter or
 * longer without harm.
 *
 * @param doneS on the line's time axis: the leaf has cooled in the oven
 */
public record Promise(double doneS) {
    /** The air and the leaf have settled, and the sensors have spoken. Engineering choice. */
    public static final double SETTLED_S = 600.0;

    /** A rest may be shorter or longer by this share of it. Engineering choice. */
    public static final double GIVE = 0.5;

    /** Leaf that was worked dries, and a rest is still to come. */
    public static boolean canBeMade(List<Operation> recipe, int operation) {
        return recipe.get(operation) instanceof Operation.Dry
                && recipe.subList(0, operation).stream().anyMatch(Promise::works)
                && hasRestAhead(recipe, operation);
    }

    static boolean hasRestAhead(List<Operation> recipe, int operation) {
        return restAhead(recipe, operation) != null;
    }

    private static boolean works(Operation operation) {
        return operation instanceof Operation.Roll || operation instanceof Operation.Shape;
    }

    private static Operation.@Nullable Rest restAhead(List<Operation> recipe, int operation) {
        for (int i = operation + 1; i < recipe.size(); i++) {
            if (recipe.get(i) instanceof Operation.Rest rest) {
                return rest;
            }
        }
        return null;
    }

    /**
     * What to say of the end: the promise, as far as the rest that is ahead can keep it.
     *
     * @param foreseenS the end with that rest as long as the recipe has it; NaN when unknown
     */
    public double told(List<Operation> recipe, int operation, double foreseenS) {
        Operation.Rest rest = restAhead(recipe, operation);
        if (rest == null || Double.isNaN(foreseenS)) {
            return foreseenS;
        }
        double giveS = GIVE * rest.forS();
        return Math.clamp(doneS, foreseenS - giveS, foreseenS + giveS);
    }

    /**
     * When a rest that runs shall end.
     *
     * @param untilS as planned so far
     * @param foreseenS the end of the batch with that; NaN when unknown
     */
    public double restUntilS(Operation.Rest rest, double sinceS, double untilS, double foreseenS) {
        if (Double.isNaN(foreseenS)) {
            return untilS;
        }
        double giveS = GIVE * rest.forS();
        return Math.clamp(
                untilS + doneS - foreseenS,
                sinceS + rest.forS() - giveS,
                sinceS + rest.forS() + giveS);
    }
}
