package steamleaf.contract;

import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What the line is: published retained at start and whenever it changes.
 *
 * @param start id of the controller's start
 * @param configuration hash of the configuration file
 * @param units steamer first, then ovens in order
 * @param recipes names of the recipes on offer; each is on its own topic
 * @param buttonsAtMachine whether start, reset and confirm are buttons at the machine
 */
public record LineDescription(
        String site,
        String title,
        String start,
        Instant at,
        String version,
        String configuration,
        List<UnitDescription> units,
        List<String> recipes,
        boolean buttonsAtMachine,
        double freshnessWarningH,
        double freshnessLimitH) {

    /**
     * @param kind {@code steamer} or {@code oven}
     * @param maxAirC the unit's limit, null for the steamer
     * @param capacityKg fresh leaf a charge may weigh
     */
    public record UnitDescription(
            String name,
            String kind,
            @Nullable Double maxAirC,
            @Nullable Double heaterW,
            boolean scale,
            double capacityKg) {}
}
