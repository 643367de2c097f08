package steamleaf.contract;

import java.util.List;
import org.jspecify.annotations.Nullable;

/** A recipe as the panel shows it. */
public record RecipeDescription(String name, int version, double targetMoisture, List<Step> steps) {
    /**
     * @param operation {@code steam, cool, dry, turn, roll, shape, rest, weigh, pack}
     * @param airC air set point while drying
     * @param leafMaxC limit on the leaf while wet
     * @param untilMoisture end condition, fraction wet basis
     * @param durationS dwell or planned duration
     */
    public record Step(
            String operation,
            @Nullable Double airC,
            @Nullable Double leafMaxC,
            @Nullable Double damper,
            @Nullable Double untilMoisture,
            @Nullable Double durationS) {}
}
