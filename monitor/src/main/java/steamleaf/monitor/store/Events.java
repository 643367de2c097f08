package steamleaf.monitor.store;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import org.jdbi.v3.core.Handle;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Bodies;
import steamleaf.contract.Codec;
import steamleaf.contract.JournalRecord;
import steamleaf.contract.Kinds;
import steamleaf.contract.RecipeDescription;
import steamleaf.contract.UnitLive;

/**
 * Keeps events as they came and follows where batches, lots and samples stand. A body that doesn't
 * fit what we know is kept all the same.
 */
final class Events {
    /** Words of a change after which a batch has left the line, and the state it leaves in. */
    private static final Map<String, String> ENDED =
            Map.of("completed", "complete", "aborted", "aborted", "cancelled", "cancelled");

    /** Words of a change that tell a mass of this batch's leaf. */
    private static final List<String> WEIGHED = List.of("weighed", "completed");

    private final Handle handle;
    private final String site;
    private final int j;

    Events(Handle handle, String site, int j) {
        this.handle = handle;
        this.site = site;
        this.j = j;
    }

    /** Where an event belongs. */
    private record About(@Nullable String unit, @Nullable String batch, @Nullable String subject) {
        static final About NOTHING = new About(null, null, null);
    }

    void keep(JournalRecord record) {
        About about;
        try {
            about = follow(record);
        } catch (Codec.Malformed _) {
            about = About.NOTHING;
        }
        handle.execute(
                """
                insert into event (j, n, cycle, at_ms, doubtful, kind, unit, batch, subject, body)
                values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
                """,
                j,
                record.n(),
                record.cycle(),
                record.at().toEpochMilli(),
                record.doubtful() ? 1 : 0,
                record.kind(),
                about.unit(),
                about.batch(),
                about.subject(),
                Codec.text(Codec.write(record.body())));
    }

    private About follow(JournalRecord record) throws Codec.Malformed {
        return switch (record.kind()) {
            case Kinds.CHANGED -> {
                Bodies.Changed changed = Codec.read(record.body(), Bodies.Changed.class);
                if (changed.batch() != null) {
                    batch(changed.batch(), changed, record.at());
                }
                yield new About(changed.unit(), changed.batch(), changed.what());
            }
            case Kinds.GUARD -> {
                Bodies.Guard guard = Codec.read(record.body(), Bodies.Guard.class);
                yield new About(guard.unit(), null, guard.rule());
            }
            case Kinds.ALARM -> {
                Bodies.Alarm alarm = Codec.read(record.body(), Bodies.Alarm.class);
                yield new About(alarm.unit(), null, alarm.id());
            }
            case Kinds.COMMAND -> {
                Bodies.Commanded told = Codec.read(record.body(), Bodies.Commanded.class);
                yield new About(told.command().unit(), null, told.command().id());
            }
            case Kinds.PROMPT -> {
                Bodies.Prompted prompt = Codec.read(record.body(), Bodies.Prompted.class);
                yield new About(prompt.unit(), prompt.batch(), prompt.id());
            }
            case Kinds.SAMPLE -> {
                Bodies.Sample sample = Codec.read(record.body(), Bodies.Sample.class);
                sample(sample, record.at());
                yield new About(sample.unit(), sample.batch(), sample.id());
            }
            case Kinds.LOT -> {
                Bodies.Lot lot = Codec.read(record.body(), Bodies.Lot.class);
                lot(lot, record.at());
                yield new About(null, lot.batch(), lot.id());
            }
            case Kinds.RECIPE -> {
                RecipeDescription recipe = Codec.read(record.body(), RecipeDescription.class);
                yield new About(null, null, recipe.name());
            }
            default -> About.NOTHING;
        };
    }

    private void batch(String id, Bodies.Changed changed, Instant at) {
        handle.createUpdate(
                        """
                        insert into batch (site, id, oven, state, last_ms) values (:site, :id, :unit, :state, :at)
                        on conflict (site, id) do nothing
                        """)
                .bind("site", site)
                .bind("id", id)
                .bind("unit", changed.unit())
                .bind("state", changed.state())
                .bind("at", at.toEpochMilli())
                .execute();
        UnitLive.Moisture moisture = changed.moisture();
        String end = ENDED.get(changed.what());
        handle.createUpdate(
                        """
                        update batch set
                          oven = case when :unit like 'oven%' then :unit else oven end,
                          state = case when :end is not null then :end when ended_ms is null then :state else state end,
                          recipe = coalesce(:recipe, recipe),
                          recipe_version = coalesce(:version, recipe_version),
                          lots = coalesce(lots, :lots),
                          planned_ms = coalesce(planned_ms, case when :what = 'planned' then :at end),
                          started_ms = coalesce(started_ms, case when :what = 'started' then :at end),
                          landed_ms = coalesce(landed_ms, case when :what = 'operation' and :operation = 'cool' and dried then :at end),
                          dried = max(dried, :what = 'operation' and coalesce(:operation, '') = 'dry'),
                          ended_ms = coalesce(ended_ms, case when :end is not null then :at end),
                          moisture = coalesce(:moisture, moisture),
                          moisture_sd = coalesce(:sd, moisture_sd),
                          end_mass_kg = coalesce(:mass, end_mass_kg),
                          last_ms = :at
                        where site = :site and id = :id
                        """)
                .bind("site", site)
                .bind("id", id)
                .bind("unit", changed.unit())
                .bind("state", changed.state())
                .bind("recipe", changed.recipe())
                .bind("version", changed.recipeVersion())
                .bind(
                        "lots",
                        changed.lots() == null ? null : Codec.text(Codec.write(changed.lots())))
                .bind("what", changed.what())
                .bind("at", at.toEpochMilli())
                .bind("operation", changed.operation())
                .bind("end", end)
                .bind("moisture", moisture == null ? null : moisture.mean())
                .bind("sd", moisture == null ? null : moisture.sd())
                .bind("mass", WEIGHED.contains(changed.what()) ? changed.massKg() : null)
                .execute();
    }

    private void lot(Bodies.Lot lot, Instant at) {
        handle.createUpdate(
                        """
                        insert into lot (site, id, label, packed) values (:site, :id, :label, 0)
                        on conflict (site, id) do nothing
                        """)
                .bind("site", site)
                .bind("id", lot.id())
                .bind("label", lot.label())
                .execute();
        handle.createUpdate(
                        """
                        update lot set
                          label = :label,
                          field = coalesce(:field, field),
                          cultivar = coalesce(:cultivar, cultivar),
                          shading_days = coalesce(:shading, shading_days),
                          ripeness = coalesce(:ripeness, ripeness),
                          wet_by_rain = coalesce(:wet, wet_by_rain),
                          plucked_ms = coalesce(:plucked, plucked_ms),
                          mass_kg = coalesce(mass_kg, :mass),
                          remaining_kg = coalesce(:remaining, remaining_kg, :mass),
                          heap_c = coalesce(:heap, heap_c),
                          taken_in_ms = coalesce(taken_in_ms, case when :event = 'taken-in' then :at end),
                          packed = max(packed, :event = 'packed'),
                          batch = coalesce(:batch, batch)
                        where site = :site and id = :id
                        """)
                .bind("site", site)
                .bind("id", lot.id())
                .bind("label", lot.label())
                .bind("field", lot.field())
                .bind("cultivar", lot.cultivar())
                .bind("shading", lot.shadingDays())
                .bind("ripeness", lot.ripeness())
                .bind("wet", lot.wetByRain())
                .bind("plucked", lot.pluckedAt() == null ? null : lot.pluckedAt().toEpochMilli())
                .bind("mass", lot.massKg())
                .bind("remaining", lot.remainingKg())
                .bind("heap", lot.heapC())
                .bind("event", lot.event())
                .bind("at", at.toEpochMilli())
                .bind("batch", lot.batch())
                .execute();
    }

    private void sample(Bodies.Sample sample, Instant at) {
        handle.createUpdate(
                        """
                        insert into sample (site, id, unit, batch, taken_ms) values (:site, :id, :unit, :batch, :at)
                        on conflict (site, id) do nothing
                        """)
                .bind("site", site)
                .bind("id", sample.id())
                .bind("unit", sample.unit())
                .bind("batch", sample.batch())
                .bind("at", at.toEpochMilli())
                .execute();
        handle.createUpdate(
                        """
                        update sample set
                          taken_by = case when :event = 'taken' then :by else taken_by end,
                          estimate = coalesce(estimate, :estimate),
                          estimate_sd = coalesce(estimate_sd, :estimateSd),
                          value = coalesce(:value, value),
                          sd = coalesce(:sd, sd),
                          method = coalesce(:method, method),
                          basis = coalesce(:basis, basis),
                          valued_ms = case when :value is not null then :at else valued_ms end,
                          questioned = max(questioned, :event = 'questioned')
                        where site = :site and id = :id
                        """)
                .bind("site", site)
                .bind("id", sample.id())
                .bind("event", sample.event())
                .bind("by", sample.by())
                .bind("estimate", sample.estimateBefore())
                .bind("estimateSd", sample.estimateSdBefore())
                .bind("value", sample.moisture())
                .bind("sd", sample.sd())
                .bind("method", sample.method())
                .bind("basis", sample.basis())
                .bind("at", at.toEpochMilli())
                .execute();
    }
}
