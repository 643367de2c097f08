package steamleaf.core.batch;

import java.util.List;

/**
 * How the rest of a batch gets to its end at a wanted time, or how near it comes. The end is the
 * leaf cooled in the oven, ready to be weighed; people are taken to do as asked at once.
 */
public sealed interface FinishPlan {
    /**
     * Air and damper of a drying that runs or is still to come.
     *
     * @param operation its place in the recipe's procedure
     */
    record Stage(int operation, double airC, double damper) {}

    /**
     * What is expected with these stages.
     *
     * @param inS from now to the end
     * @param sdS its deviation, without trimming on the way
     * @param moisture where the mean ends, wet basis
     * @param greenKept share of the green there is now that is left at the end: an index, not a
     *     promise
     */
    record Outlook(
            List<Stage> stages,
            double inS,
            double sdS,
            double moisture,
            double moistureSd,
            double greenKept) {
        public Outlook {
            stages = List.copyOf(stages);
        }
    }

    /** It can be done. */
    record Reached(Outlook outlook) implements FinishPlan {}

    /** Not at that time: the nearest that can be done, and what stands in the way. */
    record OnlyNear(Outlook nearest, Bound bound) implements FinishPlan {}

    /** Not with this room's air: the leaf would never be dry enough. */
    record Never() implements FinishPlan {}

    /** Nothing is left that could be made faster or slower. */
    record NothingLeft() implements FinishPlan {}

    /** What keeps the end from coming earlier or later. */
    enum Bound {
        /** Nothing would be kept back for what is not known yet of the leaf. */
        RESERVE,
        /** Warmer air would only make way for the leaf, which stands at its limit. */
        LEAF_LIMIT,
        /** Cooler air or less of it would leave the leaf wetter than it shall be. */
        EQUILIBRIUM,
        /** The heater could not hold warmer air. */
        HEATER,
        /** What the oven is rated for. */
        OVEN_LIMIT,
        /** As far as a plan may go from the recipe's air. */
        RECIPE_RANGE
    }
}
