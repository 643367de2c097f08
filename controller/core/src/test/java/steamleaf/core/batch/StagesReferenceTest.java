package steamleaf.core.batch;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import steamleaf.core.estimate.Band;
import steamleaf.core.estimate.SteamDose;
import steamleaf.core.science.Drying;
import steamleaf.core.science.MoistureBasis;
import steamleaf.core.science.ReferenceRow;

/**
 * The stage values of {@code reference/quality.csv} against the stock recipes, the band and the
 * heating of the leaf. Published stage values are weak sources of other machines: those that our
 * line does not follow stand in {@code reference/cannot-serve.csv}.
 */
class StagesReferenceTest {

    @TestFactory
    Stream<DynamicTest> everyStageRowHolds() {
        Map<String, String> cannotServe = ReferenceRow.cannotServe();
        return ReferenceRow.table("quality").stream()
                .filter(row -> List.of("stage", "limit").contains(row.text("topic")))
                .filter(row -> !cannotServe.containsKey(row.id()))
                .map(row -> DynamicTest.dynamicTest(row.toString(), () -> check(row)));
    }

    private static void check(ReferenceRow row) {
        switch (row.text("material") + ", " + row.text("inputs")) {
            case "steaming (regular sencha), duration" ->
                    within(row, row.text("expected"), steam(StockRecipes.light()));
            case "steaming, duration (second source)" -> {
                String[] styles = row.text("expected").split(" / ", 2);
                within(row, styles[0], steam(StockRecipes.light()));
                within(row, styles[1], steam(StockRecipes.deep()));
            }
            case "steaming, steam 100 C, 30 s: leaf temperature" -> {
                SteamDose.Parameters stock = SteamDose.Parameters.STOCK;
                row.check(SteamDose.ofDwell(stock, 25.0, 100.0, 101.5, 30.0).leafC());
            }
            case "primary drying-rolling, moisture out" -> row.check(endPercent(0));
            case "final rolling, moisture out" -> row.check(endPercent(2));
            case "dryer, moisture out" -> row.check(endPercent(3));
            case "dryer, duration" -> {
                // the same kilograms of water as in row DRY103, at the last drying's own air
                double from = MoistureBasis.dryBasis(0.13);
                double to = MoistureBasis.dryBasis(0.05);
                double perS =
                        Drying.rateConstantPerS(
                                Drying.REFERENCE_RATE_PER_S,
                                Drying.ACTIVATION_KJ_PER_MOL,
                                dryings().get(3).airC());
                row.check(Math.log((from - 0.013) / (to - 0.013)) / perS / 60.0);
            }
            case "green tea market moisture (China GB/T 14456 series), -" -> {
                double most = Double.parseDouble(row.text("expected").replace("<=", ""));
                assertTrue(Band.GREEN_TEA.highest() <= most / 100.0, row::toString);
            }
            default -> fail(row + ": nobody checks it");
        }
    }

    /** {@code range} as printed: 30..45. */
    private static void within(ReferenceRow row, String range, double value) {
        String[] ends = range.split("\\.\\.", 2);
        boolean inside =
                Double.parseDouble(ends[0]) <= value && value <= Double.parseDouble(ends[1]);
        assertTrue(inside, () -> row + ": " + value + " is not in " + range);
    }

    private static double steam(Recipe recipe) {
        return recipe.procedure().getFirst() instanceof Operation.Steam steam
                ? steam.dwellS()
                : fail("a recipe begins with steam");
    }

    private static List<Operation.Dry> dryings() {
        return StockRecipes.standard().procedure().stream()
                .filter(Operation.Dry.class::isInstance)
                .map(Operation.Dry.class::cast)
                .toList();
    }

    private static double endPercent(int drying) {
        return 100.0 * dryings().get(drying).endMoisture();
    }
}
