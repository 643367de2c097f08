package steamleaf.core.cycle;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.FinishPlan;
import steamleaf.core.batch.FinishPlan.Bound;
import steamleaf.core.batch.FinishPlan.Outlook;
import steamleaf.core.batch.FinishPlan.Stage;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.Place;
import steamleaf.core.estimate.MoistureFilter;
import steamleaf.core.estimate.OvenAir;

/**
 * "Done by 17:30?": air temperatures and dampers of the dryings that are left, so that the batch
 * ends at a wanted time.
 *
 * <p>One number, the ease, moves all of them together, from the earliest end to the latest:
 *
 * <pre>
 *   0 … 1   the last drying from its warmest air to its middle; all others at their warmest
 *   1 … 2   all others from their warmest to their coolest; the last stays in its middle
 *   2 … 3   the last from its middle to its coolest
 *   3 … 4   dampers from the recipe's opening to half of it
 * </pre>
 *
 * More ease is a later end, so the ease is found by halving on the forecast. The last drying is
 * kept in its middle as long as possible: what is not known yet of the leaf shows before it, and it
 * can then still give and take a quarter of an hour. So no end is promised that would need it at
 * its warmest from the start. Warmer than the recipe only helps as far as the leaf's limits let it:
 * there the air gives way as ever. Opening the dampers further brought nothing in the forecasts and
 * costs heat.
 *
 * @param forecast of the rest of a recipe
 * @param ovenMostC what the oven is rated for
 * @param heaterW its rated power, NaN where nobody knows
 */
public record FinishPlanner(RestOfRecipe forecast, double ovenMostC, double heaterW) {
    // How far a plan may go from the recipe. Engineering choices: cooler air costs time only;
    // warmer
    // air is held back by the leaf's limit while the leaf is wet.
    static final double WARMER_K = 10.0;
    static final double COOLER_K = 30.0;

    /** No drying is planned below; as warm as wet leaf may get, and some. Engineering choice. */
    static final double COOLEST_C = 45.0;

    static final double LEAST_DAMPER_SHARE = 0.5;

    /** Of the way from the recipe's air to the coolest. Engineering choice, see the study. */
    static final double MIDDLE = -1.0 / 3.0;

    private static final double FASTEST = 0.0;
    private static final double PROMISED = 1.0;
    private static final double SLOWEST = 4.0;

    /** Of the heater: some is kept for the walls and for holding. Engineering choice. */
    private static final double HEATER_SHARE = 0.85;

    /**
     * An end this near to the wanted one is the wanted one. Engineering choice: a turning more or
     * less is a minute.
     */
    static final double NEAR_S = 120.0;

    /** Moist air as the room has it: 1.15 kg/m³ times 1,025 J/(kg·K), as in loop.HeatLoad. */
    private static final double AIR_J_PER_M3_K = 1_180.0;

    /** Leaf put back, door closed, air warm again. Engineering choice. */
    private static final double BACK_S = 130.0;

    private static final int MOST_HALVINGS = 16;

    /** Near enough to stop searching: a tenth of a kelvin moves the end by about so much. */
    private static final double CLOSE_S = 10.0;

    /**
     * Where a batch stands.
     *
     * @param leaf as the filter believes it to be; not touched
     * @param scout a filter of the same parameters that may be overwritten
     * @param air as it is now; of the measurements only room and pressure count
     * @param rest the operation that runs, as far as it is left, and all that follow, as the recipe
     *     has them
     * @param first place of the operation that runs in the recipe
     * @param driedS seconds that a drying which runs has taken so far, 0 if none runs
     * @param extraS until the operation can go on: leaf that is not back in the oven
     */
    public record Standing(
            MoistureFilter leaf,
            MoistureFilter scout,
            OvenAir air,
            List<Operation> rest,
            int first,
            double driedS,
            double extraS,
            boolean humidity,
            boolean scale) {
        public Standing {
            rest = List.copyOf(rest);
        }

        /**
         * A running batch as it stands.
         *
         * @param recipe its procedure as the recipe has it
         */
        static Standing of(
                Batch batch,
                List<Operation> recipe,
                double nowS,
                MoistureFilter leaf,
                MoistureFilter scout,
                OvenAir air,
                boolean humidity,
                boolean scale) {
            int first = batch.procedure().operation();
            List<Operation> rest = new ArrayList<>(recipe.subList(first, recipe.size()));
            boolean inOven = batch.charge().place() == Place.OVEN;
            boolean dries = inOven && rest.getFirst() instanceof Operation.Dry;
            if (batch.phase() instanceof Phase.Working(_, double untilS)) {
                rest.set(0, lasting(rest.getFirst(), Math.max(0.0, untilS - nowS)));
            }
            return new Standing(
                    leaf,
                    scout,
                    air,
                    rest,
                    first,
                    dries ? nowS - batch.procedure().operationSinceS() : 0.0,
                    !inOven && rest.getFirst() instanceof Operation.Dry ? BACK_S : 0.0,
                    humidity,
                    scale);
        }

        private static Operation lasting(Operation work, double forS) {
            return switch (work) {
                case Operation.Roll(_, double patienceS) -> new Operation.Roll(forS, patienceS);
                case Operation.Shape(_, double patienceS) -> new Operation.Shape(forS, patienceS);
                case Operation.Rest(_, double patienceS) -> new Operation.Rest(forS, patienceS);
                case Operation.Steam _,
                        Operation.CoolOnBench _,
                        Operation.CoolInOven _,
                        Operation.Dry _,
                        Operation.Turn _,
                        Operation.Weigh _,
                        Operation.Pack _ ->
                        work;
            };
        }
    }

    /**
     * The whole search at once: some ten forecasts.
     *
     * @param wantedInS seconds from now
     * @param promise something is to be kept back for what is not known yet; false once it is
     *     promised
     */
    public FinishPlan finishIn(Standing now, double wantedInS, boolean promise) {
        Search search = new Search(now, wantedInS, promise);
        FinishPlan plan = search.plan();
        while (plan == null) {
            search.step();
            plan = search.plan();
        }
        return plan;
    }

    /** One that is worked at a little in each second. */
    Search search(Standing now, double wantedInS, boolean promise) {
        return new Search(now, wantedInS, promise);
    }

    /** The search for an ease, one forecast a step. */
    final class Search {
        private enum At {
            EARLIEST,
            LATEST,
            BETWEEN,
            WHY_NOT_EARLIER,
            WHY_NOT_LATER,
            OUTLOOK
        }

        private final Standing now;
        private final double wantedInS;
        private At at = At.EARLIEST;
        private @Nullable FinishPlan plan;

        // the end is too late or just right with slow, too early or just right with fast
        private double slow = SLOWEST;
        private double slowS = Double.NaN;
        private double fast;
        private double fastS = Double.NaN;
        private int halved;

        /** The ease that is answered with. */
        private double found;

        /** What stands in the way; null where nothing does. */
        private @Nullable Bound bound;

        private Search(Standing now, double wantedInS, boolean promise) {
            this.now = now;
            this.wantedInS = wantedInS;
            long dryings = now.rest().stream().filter(o -> o instanceof Operation.Dry).count();
            this.fast = promise && dryings > 1 ? PROMISED : FASTEST;
            if (dryings == 0) {
                plan = new FinishPlan.NothingLeft();
            }
        }

        /** Null until it is found. */
        @Nullable FinishPlan plan() {
            return plan;
        }

        void step() {
            switch (at) {
                case EARLIEST -> earliest();
                case LATEST -> latest();
                case BETWEEN -> between();
                case WHY_NOT_EARLIER ->
                        answered(fast, fast > FASTEST ? Bound.RESERVE : hastened(now, fastS));
                case WHY_NOT_LATER -> answered(fast, slowed(now, slow));
                case OUTLOOK -> {
                    Outlook outlook = outlook(now, found);
                    plan =
                            bound == null
                                    ? new FinishPlan.Reached(outlook)
                                    : new FinishPlan.OnlyNear(outlook, bound);
                }
            }
        }

        private void answered(double ease, @Nullable Bound why) {
            found = ease;
            bound = why;
            at = At.OUTLOOK;
        }

        private void earliest() {
            fastS = leftS(now, fast);
            if (Double.isNaN(fastS)) {
                plan = new FinishPlan.Never();
            }
            at = wantedInS < fastS - NEAR_S ? At.WHY_NOT_EARLIER : At.LATEST;
        }

        private void latest() {
            slowS = leftS(now, slow);
            at = At.BETWEEN;
            if (slowS < wantedInS - NEAR_S) {
                answered(slow, Bound.RECIPE_RANGE);
            } else if (slowS < wantedInS + CLOSE_S) {
                answered(slow, null);
            } else {
                settled();
            }
        }

        private void between() {
            double ease = 0.5 * (slow + fast);
            if (halved++ % 2 == 0 && !Double.isNaN(slowS)) { // straight between both ends
                double share = (wantedInS - fastS) / (slowS - fastS);
                ease = fast + Math.clamp(share, 0.1, 0.9) * (slow - fast);
            }
            double inS = leftS(now, ease);
            if (inS <= wantedInS) { // not so for one that never ends
                fast = ease;
                fastS = inS;
            } else {
                slow = ease;
                slowS = inS;
            }
            settled();
        }

        private void settled() {
            if (fastS >= wantedInS - CLOSE_S) {
                answered(fast, null);
            } else if (slowS <= wantedInS + CLOSE_S) {
                answered(slow, null);
            } else if (halved >= MOST_HALVINGS) {
                answered(fast, null);
                at = fastS >= wantedInS - NEAR_S ? At.OUTLOOK : At.WHY_NOT_LATER;
            }
        }
    }

    /** What keeps the end from coming later: what is against a little more ease. */
    private Bound slowed(Standing now, double ease) {
        boolean dries = !Double.isNaN(left(now, eased(now, ease), false).inS());
        return dries ? Bound.RECIPE_RANGE : Bound.EQUILIBRIUM;
    }

    /** When the batch ends if the recipe is left as it is; NaN if never. */
    public double recipeInS(Standing now) {
        return left(now, now.rest(), false).inS();
    }

    /** Slower than the recipe is nothing whose longest times would cut it short. */
    private double leftS(Standing now, double ease) {
        RestOfRecipe.Left left = left(now, eased(now, ease), false);
        return left.byTime() && ease > PROMISED ? Double.NaN : left.inS();
    }

    private RestOfRecipe.Left left(Standing now, List<Operation> rest, boolean doubt) {
        now.leaf().copyTo(now.scout());
        RestOfRecipe.Left left =
                forecast.left(
                        now.scout(),
                        now.air(),
                        rest,
                        now.driedS(),
                        now.humidity(),
                        now.scale(),
                        doubt);
        return new RestOfRecipe.Left(left.inS() + now.extraS(), left.sdS(), left.byTime());
    }

    private Outlook outlook(Standing now, double ease) {
        List<Operation> rest = eased(now, ease);
        RestOfRecipe.Left left = left(now, rest, true);
        List<Stage> stages = new ArrayList<>();
        for (int i = 0; i < rest.size(); i++) {
            if (rest.get(i) instanceof Operation.Dry dry) {
                stages.add(new Stage(now.first() + i, dry.airC(), dry.damper()));
            }
        }
        return new Outlook(
                stages,
                left.inS(),
                left.sdS(),
                now.scout().moisture(),
                now.scout().moistureSd(),
                now.scout().greenKept());
    }

    // ---- what ease means

    private List<Operation> eased(Standing now, double ease) {
        List<Operation> eased = new ArrayList<>(now.rest());
        boolean last = true;
        for (int i = eased.size() - 1; i >= 0; i--) {
            if (eased.get(i) instanceof Operation.Dry dry) {
                eased.set(i, eased(now, dry, ease, last));
                last = false;
            }
        }
        return eased;
    }

    private Operation.Dry eased(Standing now, Operation.Dry dry, double ease, boolean last) {
        double within = ease - Math.floor(ease);
        double warmth =
                last
                        ? ease < 1.0
                                ? 1.0 + within * (MIDDLE - 1.0)
                                : ease < 2.0
                                        ? MIDDLE
                                        : ease < 3.0 ? MIDDLE + within * (-1.0 - MIDDLE) : -1.0
                        : ease < 1.0 ? 1.0 : ease < 2.0 ? 1.0 - 2.0 * within : -1.0;
        double throttled = Math.clamp(ease - 3.0, 0.0, 1.0);
        double mostC = Math.max(dry.airC(), mostC(now, dry));
        double reachK = warmth >= 0.0 ? mostC - dry.airC() : dry.airC() - leastC(dry);
        double airC = dry.airC() + warmth * reachK;
        double damper = dry.damper() * (1.0 - throttled * (1.0 - LEAST_DAMPER_SHARE));
        return dry.with(Math.rint(10.0 * airC) / 10.0, Math.rint(1000.0 * damper) / 1000.0);
    }

    private static double leastC(Operation.Dry dry) {
        return Math.min(dry.airC(), Math.max(COOLEST_C, dry.airC() - COOLER_K));
    }

    private double mostC(Standing now, Operation.Dry dry) {
        return Math.min(
                Math.min(dry.airC() + WARMER_K, ovenMostC), heaterMostC(now.air().roomC(), dry));
    }

    /**
     * The warmest air that the heater holds with this damper: Troom + share·P/(G·c), evaporation
     * left out. Balance of heat, textbook. Infinite where nothing is known.
     */
    private double heaterMostC(double roomC, Operation.Dry dry) {
        double wattPerK =
                forecast.freshAirM3PerH().applyAsDouble(dry.damper()) / 3_600.0 * AIR_J_PER_M3_K;
        double mostC = roomC + HEATER_SHARE * heaterW / wattPerK;
        return Double.isNaN(mostC) ? Double.POSITIVE_INFINITY : mostC;
    }

    /** What keeps the end from coming earlier: with more of which it would. */
    private Bound hastened(Standing now, double earliestS) {
        List<Operation> free = eased(now, FASTEST);
        free.replaceAll(
                o -> o instanceof Operation.Dry dry ? dry.upTo(Double.POSITIVE_INFINITY) : o);
        if (left(now, free, false).inS() < earliestS - NEAR_S) {
            return Bound.LEAF_LIMIT;
        }
        Bound bound = Bound.RECIPE_RANGE;
        for (Operation operation : now.rest()) {
            if (operation instanceof Operation.Dry dry) {
                double rangeC = dry.airC() + WARMER_K;
                double heaterC = heaterMostC(now.air().roomC(), dry);
                if (heaterC < Math.min(rangeC, ovenMostC)) {
                    return Bound.HEATER;
                }
                bound = ovenMostC < rangeC ? Bound.OVEN_LIMIT : bound;
            }
        }
        return bound;
    }
}
