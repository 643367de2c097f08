package steamleaf.core.batch;

import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;

/** What a person asks for. It is answered in the cycle that takes it. */
public sealed interface Command {
    Stamp stamp();

    /**
     * Leaf comes in.
     *
     * @param pluckedAgoH hours since plucking
     * @param heapC temperature of the heap, NaN when not measured
     */
    record TakeInLot(
            Stamp stamp,
            String label,
            String field,
            String cultivar,
            int shadingDays,
            Ripeness ripeness,
            boolean wetByRain,
            double pluckedAgoH,
            double massKg,
            double heapC)
            implements Command {}

    /**
     * A recipe, an oven and the leaf for it.
     *
     * @param freshnessOverrideReason why leaf beyond the freshness limit is used all the same
     */
    record PlanBatch(
            Stamp stamp,
            UnitId oven,
            String recipeName,
            List<Portion> portions,
            @Nullable String freshnessOverrideReason)
            implements Command {}

    /** Leaf that will not be made into tea leaves its lots: thrown away, given away, used raw. */
    record WriteOff(Stamp stamp, List<Portion> portions) implements Command {
        public WriteOff {
            portions = List.copyOf(portions);
        }
    }

    /** Gives the planned leaf back to its lots. */
    record CancelPlan(Stamp stamp, UnitId oven) implements Command {}

    /** Makes the next press of the machine's button, within 10 s, do this to this unit. */
    record Arm(Stamp stamp, UnitId unit, ArmedAction action) implements Command {}

    /** Answers an open prompt. */
    record AnswerPrompt(Stamp stamp, String promptId, @Nullable Double massKg) implements Command {}

    /** A hand sample leaves the oven now; its value comes later. */
    record SampleTaken(Stamp stamp, UnitId oven) implements Command {}

    /**
     * The value of a sample.
     *
     * @param fraction moisture on {@code basis}
     * @param methodDeviation standard deviation of the method, a fraction on the same basis
     */
    record SampleValue(
            Stamp stamp,
            String sampleId,
            double fraction,
            Basis basis,
            String method,
            double methodDeviation)
            implements Command {}

    /** The leaf of an oven on a scale outside: leaf alone, without trays. */
    record WeighIn(Stamp stamp, UnitId oven, double massKg) implements Command {}

    /** What was seen in the steamed leaf of this oven's batch: the next charge's steam follows. */
    record JudgeSteaming(Stamp stamp, UnitId oven, SteamVerdict verdict) implements Command {}

    /** The settings that this oven's experiment proposed shall hold from now on. */
    record AcceptTuning(Stamp stamp, UnitId oven) implements Command {}

    record DiscardTuning(Stamp stamp, UnitId oven) implements Command {}

    /**
     * What finished batches taught shall count no longer.
     *
     * @param unit an oven, or {@link UnitId#LINE} for all
     * @param grade null for all
     */
    record ForgetLearned(Stamp stamp, UnitId unit, @Nullable Ripeness grade) implements Command {}

    /**
     * Done in so long, please: is answered with a plan some seconds later.
     *
     * @param inS from the cycle that the page showed to the leaf cooled in the oven
     */
    record PlanFinish(Stamp stamp, UnitId oven, double inS) implements Command {}

    /** The proposed air and dampers, or those of the nearest time, hold from now on. */
    record AcceptFinish(Stamp stamp, UnitId oven) implements Command {}

    /** The recipe's own air again. */
    record DiscardFinish(Stamp stamp, UnitId oven) implements Command {}

    /** Heat off, fan on, batch intact. Never stale: it turns something off. */
    record Hold(Stamp stamp, UnitId unit) implements Command {}

    /** Off, for one unit or with {@link UnitId#LINE} for all. Never refused. */
    record Stop(Stamp stamp, UnitId unit) implements Command {}

    /** The batch of this oven ends here; its leaf comes out. Never stale. */
    record Abort(Stamp stamp, UnitId oven) implements Command {}

    record Acknowledge(Stamp stamp, String alarmId) implements Command {}

    record Shelve(Stamp stamp, String alarmId, double minutes, String reason) implements Command {}

    /** Before its time is over. */
    record Unshelve(Stamp stamp, String alarmId) implements Command {}

    /** Until somebody puts it back: for what is being mended or is not fitted. Never a trip's. */
    record TakeOutOfService(Stamp stamp, String alarmId, String reason) implements Command {}

    record PutInService(Stamp stamp, String alarmId) implements Command {}
}
