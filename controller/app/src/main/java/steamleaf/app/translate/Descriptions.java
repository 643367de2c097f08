package steamleaf.app.translate;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.LineDescription;
import steamleaf.contract.RecipeDescription;
import steamleaf.core.batch.BatchSettings;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.OvenSettings;
import steamleaf.core.batch.Recipe;
import steamleaf.core.reading.UnitId;

/** What the line and its recipes are, for people who have never seen it. */
public final class Descriptions {
    private Descriptions() {}

    public static LineDescription line(
            String site,
            String title,
            String start,
            Instant at,
            String version,
            String configuration,
            boolean buttonsAtMachine,
            BatchSettings settings) {
        List<LineDescription.UnitDescription> units = new ArrayList<>();
        units.add(
                new LineDescription.UnitDescription(
                        UnitId.STEAMER.label(), "steamer", null, null, false, 0.0));
        for (int n = 1; n <= settings.ovens().size(); n++) {
            OvenSettings oven = settings.ovens().get(n - 1);
            units.add(
                    new LineDescription.UnitDescription(
                            UnitId.oven(n).label(),
                            "oven",
                            oven.maxAirC(),
                            oven.heaterW(),
                            oven.scaleFitted(),
                            oven.mostLeafKg()));
        }
        return new LineDescription(
                site,
                title,
                start,
                at,
                version,
                configuration,
                units,
                settings.recipes().stream().map(Recipe::name).toList(),
                buttonsAtMachine,
                settings.freshWarningH(),
                settings.freshLimitH());
    }

    public static RecipeDescription recipe(Recipe recipe) {
        return new RecipeDescription(
                recipe.name(),
                recipe.version(),
                recipe.targetMoisture(),
                recipe.procedure().stream().map(Descriptions::step).toList());
    }

    private static RecipeDescription.Step step(Operation operation) {
        return switch (operation) {
            case Operation.Steam steam -> step(operation, null, steam.dwellS());
            case Operation.CoolOnBench cool -> step(operation, cool.belowC(), null);
            case Operation.CoolInOven cool -> step(operation, cool.belowC(), null);
            case Operation.Dry dry ->
                    new RecipeDescription.Step(
                            Words.operation(dry.kind()),
                            dry.airC(),
                            dry.leafMaxC(),
                            dry.damper(),
                            dry.endMoisture(),
                            null);
            case Operation.Turn turn -> step(operation, null, turn.everyS());
            case Operation.Roll roll -> step(operation, null, roll.forS());
            case Operation.Shape shape -> step(operation, null, shape.forS());
            case Operation.Rest rest -> step(operation, null, rest.forS());
            case Operation.Weigh _ -> step(operation, null, null);
            case Operation.Pack _ -> step(operation, null, null);
        };
    }

    private static RecipeDescription.Step step(
            Operation operation, @Nullable Double leafMaxC, @Nullable Double durationS) {
        return new RecipeDescription.Step(
                Words.operation(operation.kind()), null, leafMaxC, null, null, durationS);
    }
}
