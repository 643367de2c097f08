package steamleaf.core.batch;

/**
 * What is going on inside an operation. Times are on the line's own axis, in seconds.
 *
 * <p>{@code seenOpen}: the oven's door was proven open since this phase began, as it must be when
 * leaf goes in or trays are turned.
 */
public sealed interface Phase {
    double sinceS();

    /** Planned: nothing is going on yet. */
    record Waiting(double sinceS) implements Phase {}

    /** The empty oven is brought to the first drying's air temperature. */
    record Warming(double sinceS) implements Phase {}

    /** The oven is warm; the steamer waits for a person at the machine. */
    record AwaitingPerson(double sinceS) implements Phase {}

    /**
     * Steam goes into the chest until it stays at the boiling point.
     *
     * @param hotSinceS since when it is there without a break; NaN while it is not
     */
    record HeatingChest(double sinceS, double hotSinceS) implements Phase {}

    /** The belt runs under steam; leaf is being fed. */
    record Feeding(double sinceS) implements Phase {}

    /** The last of the leaf is on the belt. */
    record Steaming(double sinceS, double untilS) implements Phase {}

    /** Leaf is spread and fanned on the bench, then loaded. */
    record Spreading(double sinceS, boolean seenOpen) implements Phase {}

    record Drying(double sinceS, double nextTurnS) implements Phase {}

    /** Still drying, and somebody is asked to turn the trays. */
    record Turning(double sinceS, boolean seenOpen) implements Phase {}

    record TakingOut(double sinceS, boolean seenOpen) implements Phase {}

    /** Rolling, shaping or resting, out of the oven. */
    record Working(double sinceS, double untilS) implements Phase {}

    record PuttingBack(double sinceS, boolean seenOpen) implements Phase {}

    /** Fan on, heat off, leaf inside. */
    record CoolingInOven(double sinceS) implements Phase {}

    record Weighing(double sinceS) implements Phase {}

    record Packing(double sinceS) implements Phase {}
}
