package steamleaf.core.batch;

import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.learn.Learned;
import steamleaf.core.learn.Lesson;
import steamleaf.core.reading.UnitId;

/** What happened to leaf, batches and prompts. */
public sealed interface Event {
    record LotTakenIn(Lot lot, String by) implements Event {}

    record BatchPlanned(Batch batch, String by, @Nullable String freshnessOverrideReason)
            implements Event {}

    record PlanCancelled(String batchId, UnitId oven, String by) implements Event {}

    record ButtonArmed(UnitId unit, ArmedAction action, String by, double forS) implements Event {}

    /** Nobody pressed in time. */
    record ArmingLapsed(UnitId unit, ArmedAction action) implements Event {}

    /** A press that moved nothing, and why. */
    record PressRefused(Button button, Refusal reason, String subject) implements Event {}

    /** On for too long: it does nothing until it has been seen released. */
    record ButtonStuck(Button button) implements Event {}

    record BatchStarted(String batchId, UnitId oven) implements Event {}

    record PhaseBegan(String batchId, UnitId unit, int operation, OperationKind kind, String phase)
            implements Event {}

    record OperationBegan(String batchId, UnitId unit, int operation, OperationKind kind)
            implements Event {}

    /**
     * @param moisture estimated mean, wet basis, NaN where there is no estimate
     */
    record OperationEnded(
            String batchId,
            UnitId unit,
            int operation,
            OperationKind kind,
            double durationS,
            double moisture,
            double moistureDeviation)
            implements Event {}

    /**
     * The last drying ends here.
     *
     * @param moisture where the mean will be when the leaf has cooled
     */
    record Landed(String batchId, UnitId unit, int operation, double moisture, EndPoint endPoint)
            implements Event {}

    /** The estimate never reached the end condition; the longest time ended the operation. */
    record EndedByTime(String batchId, UnitId unit, int operation, double longestS)
            implements Event {}

    /** Nobody came to turn the trays. */
    record NotTurned(String batchId, UnitId oven) implements Event {}

    /**
     * The leaf left the steam.
     *
     * @param logReduction decimal reductions of the stand-in enzyme
     * @param boilingC boiling point at the measured pressure
     * @param activityLeft share of the peroxidase left by a model of another leaf: a figure to
     *     compare charges by, not a measurement
     */
    record LeafSteamed(
            String batchId,
            double dwellS,
            double logReduction,
            boolean floorReached,
            double boilingC,
            double activityLeft)
            implements Event {}

    /**
     * What a person saw in the steamed leaf.
     *
     * @param lots with the factor that now holds for each
     */
    record SteamingJudged(
            String batchId, UnitId oven, SteamVerdict verdict, List<Lot> lots, String by)
            implements Event {
        public SteamingJudged {
            lots = List.copyOf(lots);
        }
    }

    record TuningBegan(UnitId oven, String by) implements Event {}

    /**
     * @param why one word: never-steady, interrupted, stopped …
     */
    record TuningEnded(UnitId oven, String why) implements Event {}

    record TuningProposed(UnitId oven, Tuning.Proposed proposal) implements Event {}

    record TuningAccepted(UnitId oven, LoopTuning settings, String by) implements Event {}

    record TuningDiscarded(UnitId oven, String by) implements Event {}

    /**
     * A batch was packed.
     *
     * @param now what its oven knows of this grade from now on
     */
    record LessonLearned(UnitId oven, Ripeness grade, Lesson lesson, Learned now)
            implements Event {}

    /**
     * @param grade null for all
     */
    record LearnedForgotten(UnitId oven, @Nullable Ripeness grade, String by) implements Event {}

    record PromptOpened(Prompt prompt) implements Event {}

    record PromptOverdue(Prompt prompt) implements Event {}

    /**
     * @param by who, or {@code machine} for a button
     */
    record PromptAnswered(Prompt prompt, String by, @Nullable Double massKg) implements Event {}

    /**
     * With the oven warm and empty the exhaust's humidity was compared with the room's.
     *
     * @param offset of the sensor, 0 to 1: taken off from now on
     */
    record HumidityZeroed(String batchId, UnitId oven, double offset) implements Event {}

    /**
     * The sensor was too far off to be zeroed.
     *
     * @param offset 0 to 1: not taken off
     */
    record HumidityNotZeroed(String batchId, UnitId oven, double offset) implements Event {}

    /** The answer to somebody who wants a batch done at a certain time. */
    record FinishPlanned(String batchId, UnitId oven, FinishBy finish) implements Event {}

    record FinishAccepted(String batchId, UnitId oven, FinishBy finish, String by)
            implements Event {}

    /** Planned anew on the way: the air moved, or the time can no longer be kept. */
    record FinishTrimmed(String batchId, UnitId oven, FinishBy finish) implements Event {}

    /**
     * Leaf was packed.
     *
     * @param outS since it came out of the oven
     * @param regain what it had taken up since, a fraction of the wet basis
     */
    record Regained(String batchId, UnitId oven, double outS, double regain) implements Event {}

    /**
     * People were told when it will be done.
     *
     * @param inS from now, the leaf cooled in the oven
     */
    record EndPromised(String batchId, UnitId oven, double inS) implements Event {}

    record FinishDiscarded(String batchId, UnitId oven, String by) implements Event {}

    /** No longer asked. */
    record PromptWithdrawn(Prompt prompt) implements Event {}

    record DoorOpened(UnitId oven, @Nullable String batchId) implements Event {}

    record DoorClosed(UnitId oven, @Nullable String batchId) implements Event {}

    record BatchHeld(String batchId, UnitId oven, HeldCause cause) implements Event {}

    record BatchResumed(String batchId, UnitId oven) implements Event {}

    record BatchStopped(String batchId, UnitId oven, String by) implements Event {}

    record BatchAborted(String batchId, UnitId oven, String by) implements Event {}

    record BatchCompleted(String batchId, UnitId oven, PackedLot packed) implements Event {}

    /** Leaf left its lots and will not be made into tea. */
    record LotsWrittenOff(List<Portion> portions, String by) implements Event {
        public LotsWrittenOff {
            portions = List.copyOf(portions);
        }
    }

    /** The leaf of an aborted batch is out of the oven and written off. */
    record LeafDiscarded(String batchId, UnitId oven, List<Portion> portions) implements Event {
        public LeafDiscarded {
            portions = List.copyOf(portions);
        }
    }

    record SampleStamped(Sample sample, String by) implements Event {}

    record SampleValued(Sample sample, String by) implements Event {}

    /** The value is so far from what is known that it was not used: sample again. */
    record SampleQuestioned(Sample sample) implements Event {}

    /** The mass is so far from what is known that it was not used: weigh again. */
    record WeighingQuestioned(UnitId oven, double massKg) implements Event {}

    record WeighedIn(String batchId, UnitId oven, double massKg, String by) implements Event {}

    /**
     * Running again after a stop of the program.
     *
     * @param gapS how long nothing was watched; the worst case where it is not known
     */
    record Restored(double gapS, boolean gapKnown, List<String> batchIds) implements Event {
        public Restored {
            batchIds = List.copyOf(batchIds);
        }
    }
}
