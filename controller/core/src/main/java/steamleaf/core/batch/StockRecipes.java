package steamleaf.core.batch;

import java.util.List;

/**
 * The three recipes a line starts with. They differ in the time under steam (<em>common practice,
 * no source</em>: light 20 to 40 s, standard 40 to 60 s, deep 60 to 120 s); what follows is the
 * same. Air temperatures, moistures between stages and the leaf's limit: <em>common practice, no
 * source</em>; dampers, times and patience: engineering choice.
 */
public final class StockRecipes {
    /** Leaf is loaded below this after steaming. Common practice, no source. */
    private static final double BENCH_COOL_C = 34.0;

    /** While wet; above it the leaf smells stewed. Common practice, no source. */
    private static final double WET_LEAF_MAX_C = 38.0;

    /** Wet basis; when the estimate is not sure the end point lies higher. Common practice. */
    private static final double TARGET = 0.05;

    private static final double MINUTE_S = 60.0;

    private StockRecipes() {}

    public static Recipe light() {
        return recipe("light", new Operation.Steam(30.0, 20.0, 40.0));
    }

    public static Recipe standard() {
        return recipe("standard", new Operation.Steam(50.0, 40.0, 60.0));
    }

    public static Recipe deep() {
        return recipe("deep", new Operation.Steam(90.0, 60.0, 120.0));
    }

    public static List<Recipe> all() {
        return List.of(light(), standard(), deep());
    }

    private static Recipe recipe(String name, Operation.Steam steam) {
        Operation.Turn turn = new Operation.Turn(20 * MINUTE_S, 5 * MINUTE_S);
        Operation.Turn shortPass = new Operation.Turn(10 * MINUTE_S, 5 * MINUTE_S);
        return new Recipe(
                name,
                3,
                TARGET,
                List.of(
                        steam,
                        new Operation.CoolOnBench(BENCH_COOL_C, 15 * MINUTE_S),
                        new Operation.Dry(
                                80.0, WET_LEAF_MAX_C, 0.50, 1.0, 180 * MINUTE_S, turn, false),
                        new Operation.Roll(15 * MINUTE_S, 15 * MINUTE_S),
                        new Operation.Dry(70.0, 60.0, 0.25, 0.75, 120 * MINUTE_S, turn, false),
                        new Operation.Shape(20 * MINUTE_S, 15 * MINUTE_S),
                        new Operation.Dry(60.0, 60.0, 0.13, 0.6, 120 * MINUTE_S, shortPass, false),
                        new Operation.Rest(30 * MINUTE_S, 30 * MINUTE_S),
                        new Operation.Dry(75.0, 75.0, TARGET, 0.3, 120 * MINUTE_S, turn, true),
                        new Operation.CoolInOven(35.0, 45 * MINUTE_S),
                        new Operation.Weigh(30 * MINUTE_S),
                        new Operation.Pack(30 * MINUTE_S)));
    }
}
