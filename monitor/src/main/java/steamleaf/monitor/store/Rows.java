package steamleaf.monitor.store;

import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Bodies;
import steamleaf.contract.JournalRecord;

/** What the store answers. */
public final class Rows {
    private Rows() {}

    /**
     * What became of records handed in.
     *
     * @param journal of the last record handed in
     * @param haveN everything up to here is durable
     * @param stored new rows
     * @param repeated records had before, left as they are
     * @param gap something is missing before the last one: ask again from {@code haveN}
     * @param events stored records that were not readings
     */
    public record Appended(
            String journal, long haveN, int stored, int repeated, boolean gap, int events) {}

    /**
     * A batch as a line in a list.
     *
     * @param moisture the last that was told, fraction wet basis
     */
    public record BatchRow(
            String id,
            String oven,
            String state,
            @Nullable String recipe,
            @Nullable Integer recipeVersion,
            List<Bodies.Portion> lots,
            @Nullable Instant plannedAt,
            @Nullable Instant startedAt,
            @Nullable Instant landedAt,
            @Nullable Instant endedAt,
            @Nullable Double moisture,
            @Nullable Double moistureSd,
            @Nullable Double endMassKg,
            Instant lastAt) {
        /** Whether it has left the line. */
        public boolean isOver() {
            return endedAt != null;
        }
    }

    /** A lot and what is left of it. */
    public record LotRow(
            String id,
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
            @Nullable Instant takenInAt,
            boolean packed,
            @Nullable String batch) {}

    /** A hand sample; {@code value} is null until it is known. */
    public record SampleRow(
            String id,
            String unit,
            String batch,
            Instant takenAt,
            @Nullable String takenBy,
            @Nullable Double estimate,
            @Nullable Double estimateSd,
            @Nullable Double value,
            @Nullable Double sd,
            @Nullable String method,
            @Nullable String basis,
            @Nullable Instant valuedAt,
            boolean questioned) {}

    /** One record that is not a reading. */
    public record EventRow(JournalRecord record, @Nullable String unit, @Nullable String batch) {}

    /**
     * Means over a stretch of seconds; what was not measured is NaN.
     *
     * @param atS seconds since the epoch, line time, middle of the stretch
     * @param unit where the leaf was
     */
    public record Point(
            double atS,
            String unit,
            double moisture,
            double moistureSd,
            double wettest,
            double leafC,
            double airC,
            double setAirC,
            double exhaustC,
            double exhaustRh,
            double scaleKg,
            double heater) {}

    /** Numbers that are missing for good. */
    public record Missing(String journal, long from, long to) {}
}
