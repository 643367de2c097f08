package steamleaf.contract;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Bodies of journal records by kind. Fractions are 0 to 1, wet basis unless named otherwise. Fields
 * that don't apply are left out.
 */
public final class Bodies {
    private Bodies() {}

    /**
     * The second's readings.
     *
     * @param units by unit name; values by name with unit, rounded for the record: {@code airC,
     *     exhaustC, exhaustRh, scaleKg, setAirC, heater, damper, fan, moisture, moistureSd,
     *     wettest, leafC, doorClosed, airflow} for ovens, {@code chestAC, chestBC, boilingC,
     *     beltMmPerS, valve, hoodClosed} for the steamer, {@code roomC, roomRh, pressureKPa,
     *     contactor} for the line; a bad reading is left out
     * @param batches running batch by unit name
     */
    public record Second(Map<String, Map<String, Double>> units, Map<String, String> batches) {}

    /**
     * A batch or a unit changed.
     *
     * @param what planned, started, operation, held, resumed, landed, completed, stopped, aborted,
     *     weighed, rolled, gap …
     * @param step position in the recipe, from 1
     */
    public record Changed(
            String unit,
            @Nullable String batch,
            String what,
            String state,
            @Nullable String operation,
            @Nullable Integer step,
            @Nullable String recipe,
            @Nullable Integer recipeVersion,
            @Nullable List<Portion> lots,
            @Nullable Double massKg,
            UnitLive.@Nullable Moisture moisture,
            @Nullable Because because,
            @Nullable String by) {}

    /** How much of which lot is in a charge. */
    public record Portion(String lot, double massKg) {}

    /**
     * @param event caused, cleared, reset, withheld
     */
    public record Guard(String unit, String rule, String event, boolean firstOut, Because reason) {}

    /**
     * @param reason why it is shelved or out of service
     */
    public record Alarm(
            String id,
            String unit,
            String definition,
            String from,
            String to,
            String priority,
            @Nullable String by,
            Because what,
            @Nullable String reason) {
        public Alarm(
                String id,
                String unit,
                String definition,
                String from,
                String to,
                String priority,
                @Nullable String by,
                Because what) {
            this(id, unit, definition, from, to, priority, by, what, null);
        }
    }

    public record Commanded(CommandMessage command, AnswerMessage answer) {}

    /**
     * @param event asked, answered, overdue, withdrawn
     */
    public record Prompted(
            String id,
            String unit,
            String batch,
            String kind,
            String event,
            @Nullable Double massKg,
            @Nullable String by,
            Because text) {}

    /**
     * @param event taken, valued, questioned
     */
    public record Sample(
            String id,
            String unit,
            String batch,
            String event,
            @Nullable Double moisture,
            @Nullable Double sd,
            @Nullable String method,
            @Nullable String basis,
            @Nullable Double estimateBefore,
            @Nullable Double estimateSdBefore,
            @Nullable String by) {}

    /**
     * What a packed batch taught, or that it was forgotten.
     *
     * @param what lesson or forgotten
     * @param grade null when all grades were forgotten
     * @param lesson of the batch it names
     * @param by who had it forgotten
     */
    public record Learned(
            String unit,
            String what,
            @Nullable String grade,
            LearnedLive.@Nullable Lesson lesson,
            @Nullable String by) {}

    /**
     * @param event taken-in, charged, packed
     */
    public record Lot(
            String id,
            String event,
            String label,
            @Nullable String field,
            @Nullable String cultivar,
            @Nullable Integer shadingDays,
            @Nullable String ripeness,
            @Nullable Boolean wetByRain,
            @Nullable Instant pluckedAt,
            @Nullable Double massKg,
            @Nullable Double remainingKg,
            @Nullable Double heapC,
            @Nullable String batch,
            @Nullable List<Portion> from,
            @Nullable String by) {}

    public record Started(
            String start,
            String version,
            String configuration,
            boolean clockDoubtful,
            List<String> heldBatches) {}

    public record Clock(Instant before, Instant after) {}

    /** What could not be kept, named so that nobody believes in completeness. */
    public record Lost(String what, long count) {}
}
