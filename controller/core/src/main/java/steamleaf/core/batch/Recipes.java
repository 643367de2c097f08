package steamleaf.core.batch;

import java.util.List;
import java.util.Objects;

/** What can be read from a recipe. */
final class Recipes {
    private Recipes() {}

    static double hottestAirC(Recipe recipe) {
        double hottestC = Double.NEGATIVE_INFINITY;
        for (Operation operation : recipe.procedure()) {
            if (operation instanceof Operation.Dry dry) {
                hottestC = Math.max(hottestC, dry.airC());
            }
        }
        return hottestC;
    }

    /** What the oven is warmed to before the leaf comes; NaN for a recipe that never dries. */
    static double firstAirC(Recipe recipe) {
        for (Operation operation : recipe.procedure()) {
            if (operation instanceof Operation.Dry dry) {
                return dry.airC();
            }
        }
        return Double.NaN;
    }

    /**
     * Time under steam, adjusted for ripeness and for what test charges of the lots said, by the
     * portions' masses, and kept inside the style's own range.
     */
    static double dwellS(Recipe recipe, Stock stock, List<Portion> portions) {
        if (!(recipe.procedure().getFirst() instanceof Operation.Steam steam)) {
            return 0.0;
        }
        double weighted = 0.0;
        double grams = 0.0;
        for (Portion portion : portions) {
            Lot lot = Objects.requireNonNull(stock.lot(portion.lotId()));
            weighted += factor(lot.ripeness()) * lot.dwellFactor() * portion.grams();
            grams += portion.grams();
        }
        double dwellS = steam.dwellS() * weighted / grams;
        return Math.clamp(dwellS, steam.leastDwellS(), steam.mostDwellS());
    }

    /**
     * Tender leaf wants less steam, mature more: common practice; the sizes: engineering choice.
     */
    private static double factor(Ripeness ripeness) {
        return switch (ripeness) {
            case TENDER -> 0.85;
            case MEDIUM -> 1.0;
            case MATURE -> 1.15;
        };
    }
}
