package steamleaf.core.batch;

import org.jspecify.annotations.Nullable;

/** What a batch, as it stands, wants driven. */
public final class Wishes {
    /** A drying that ends below this is the last; then the exhaust may be throttled. */
    private static final double LAST_BELOW = 0.10;

    /** Of the recipe's opening. Engineering choice: the air of wet leaf must not be closed in. */
    private static final double LEAST_SHARE = 0.5;

    private Wishes() {}

    /** Nothing but the air at its set-point, with the little fresh air of a warming. */
    private static final OvenWish TUNING =
            new OvenWish(Tuning.AIR_C, Double.POSITIVE_INFINITY, true, true, 0.3, 0.3);

    public static OvenWish oven(OvenSlot slot) {
        return slot.tunes() ? TUNING : oven(slot.batch());
    }

    public static OvenWish oven(@Nullable Batch batch) {
        if (batch == null) {
            return OvenWish.NOTHING;
        }
        boolean leafInside = batch.charge().place() == Place.OVEN;
        if (!batch.isIn(ProcedureState.RUNNING)) {
            return leafInside ? OvenWish.AIRED : OvenWish.NOTHING;
        }
        return switch (batch.phase()) {
            case Phase.Warming _,
                    Phase.AwaitingPerson _,
                    Phase.HeatingChest _,
                    Phase.Feeding _,
                    Phase.Steaming _,
                    Phase.Spreading _ ->
                    warm(batch);
            case Phase.Drying _, Phase.Turning _ -> dry((Operation.Dry) batch.operation());
            case Phase.TakingOut _, Phase.CoolingInOven _, Phase.Weighing _ ->
                    leafInside ? OvenWish.AIRED : OvenWish.NOTHING;
            case Phase.Waiting _, Phase.Working _, Phase.PuttingBack _, Phase.Packing _ ->
                    OvenWish.NOTHING;
        };
    }

    private static OvenWish dry(Operation.Dry dry) {
        boolean last = dry.endMoisture() < LAST_BELOW;
        double least = last ? LEAST_SHARE * dry.damper() : dry.damper();
        return new OvenWish(dry.airC(), dry.leafMaxC(), false, true, dry.damper(), least);
    }

    /** The empty oven is kept at the first drying's air, with little fresh air. */
    private static OvenWish warm(Batch batch) {
        double airC = Recipes.firstAirC(batch.recipe());
        return !Double.isNaN(airC)
                ? new OvenWish(airC, Double.POSITIVE_INFINITY, true, true, 0.3, 0.3)
                : OvenWish.NOTHING;
    }

    /** Belt and steam of the batch that has the steamer. The belt moves whenever steam is on. */
    public static SteamerWish steamer(@Nullable Batch batch, SteamerSettings steamer) {
        if (batch == null || !batch.hasSteamer() || !batch.isIn(ProcedureState.RUNNING)) {
            return SteamerWish.NOTHING;
        }
        return new SteamerWish(true, steamer.beltLengthMm() / batch.dwellS());
    }
}
