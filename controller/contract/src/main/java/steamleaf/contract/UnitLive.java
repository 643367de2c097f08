package steamleaf.contract;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * The live state of one unit ({@code line}, {@code steamer}, {@code oven-1} …). Retained, so a page
 * that opens has it at once.
 *
 * @param cycle the cycle it was made in; a command names it as {@code seenCycle}
 * @param state IEC 61512 word: idle, planned, running, held, stopped, aborted, complete; for the
 *     line: ready or not-ready
 * @param stateNumber goes up with every change of the unit's state; a command names it as {@code
 *     seenState}
 * @param operation steam, cool, dry, turn, roll, shape, rest, weigh, pack; null when nothing runs
 * @param phase finer word inside the operation, for example heating, feed, waiting
 * @param stepNumber position in the recipe, from 1
 * @param readings by quantity in lower camel case with its unit ({@code airC}); booleans are 0 and
 *     1
 * @param outputs what is driven: heater, fan, damper, valve, belt … 0 to 1
 * @param causes interlocks and trips in force, first cause first
 * @param permissives everything that must be good before heat or steam
 * @param finish the time somebody wants the batch done at; null for nobody
 * @param bench dried leaf that waits to be packed; null in all other phases
 * @param hotZero what the warm, empty oven said of its humidity sensor; null for nothing
 * @param done when the batch is done as far as can be told; null for unknown
 */
public record UnitLive(
        String unit,
        String start,
        long cycle,
        Instant at,
        String state,
        long stateNumber,
        @Nullable String operation,
        @Nullable String phase,
        @Nullable Integer stepNumber,
        @Nullable Integer stepCount,
        @Nullable Double stepElapsedS,
        @Nullable String batch,
        @Nullable String recipe,
        @Nullable String lots,
        Map<String, Value> readings,
        Map<String, Double> outputs,
        @Nullable Double setAirC,
        @Nullable Moisture moisture,
        @Nullable Prompt prompt,
        List<Cause> causes,
        List<Permissive> permissives,
        @Nullable Armed armed,
        @Nullable Because note,
        @Nullable Finish finish,
        @Nullable Bench bench,
        @Nullable HotZero hotZero,
        @Nullable Done done) {

    /**
     * Nobody wants it done at a certain time or knows when, no dried leaf lies outside, and no
     * sensor was zeroed.
     */
    public UnitLive(
            String unit,
            String start,
            long cycle,
            Instant at,
            String state,
            long stateNumber,
            @Nullable String operation,
            @Nullable String phase,
            @Nullable Integer stepNumber,
            @Nullable Integer stepCount,
            @Nullable Double stepElapsedS,
            @Nullable String batch,
            @Nullable String recipe,
            @Nullable String lots,
            Map<String, Value> readings,
            Map<String, Double> outputs,
            @Nullable Double setAirC,
            @Nullable Moisture moisture,
            @Nullable Prompt prompt,
            List<Cause> causes,
            List<Permissive> permissives,
            @Nullable Armed armed,
            @Nullable Because note) {
        this(
                unit,
                start,
                cycle,
                at,
                state,
                stateNumber,
                operation,
                phase,
                stepNumber,
                stepCount,
                stepElapsedS,
                batch,
                recipe,
                lots,
                readings,
                outputs,
                setAirC,
                moisture,
                prompt,
                causes,
                permissives,
                armed,
                note,
                null,
                null,
                null,
                null);
    }

    /**
     * Somebody wants the batch done at a certain time.
     *
     * @param wanted that time
     * @param accepted its air and dampers hold; else it is a proposal
     * @param possible it can be done then; false: {@code expected} is the nearest that can be
     * @param expected when the leaf will have cooled in the oven; null while a plan is looked for,
     *     and where there is none
     * @param sdS its deviation as far as is known now, without planning anew on the way
     * @param moisture expected at the end, wet basis
     * @param greenKept index, 0 to 1, from now to the end
     * @param stages of the dryings that run or are to come
     * @param text the same as a sentence, or why not
     */
    public record Finish(
            Instant wanted,
            boolean accepted,
            boolean possible,
            @Nullable Instant expected,
            @Nullable Double sdS,
            @Nullable Double moisture,
            @Nullable Double moistureSd,
            @Nullable Double greenKept,
            List<Stage> stages,
            @Nullable Because text) {}

    /**
     * @param stepNumber place in the recipe, from 1
     */
    public record Stage(int stepNumber, double airC, double damper) {}

    /**
     * When the batch is done: the leaf has cooled in the oven.
     *
     * @param promised told before, and the rest that is ahead or runs is made shorter or longer to
     *     keep it; false: as foreseen now
     */
    public record Done(Instant at, boolean promised) {}

    /**
     * Dried leaf outside, before it is packed.
     *
     * @param outS since it came out of the oven
     * @param regain what it has taken up since, a fraction of the wet basis
     * @param packBefore when it will be at the band's upper edge; null: not within half a day
     */
    public record Bench(double outS, double regain, @Nullable Instant packBefore) {}

    /**
     * The exhaust's humidity sensor in the warm, empty oven. Fractions of relative humidity.
     *
     * @param state {@code under-way}, {@code zeroed} or {@code refused}
     * @param offset what it shows too much; null while that is not known
     * @param sd what stays unknown of it; refused: of the offset that the estimate counts with
     * @param text the same as a sentence
     */
    public record HotZero(
            String state, @Nullable Double offset, @Nullable Double sd, Because text) {}

    /**
     * @param value null when it can't be believed
     * @param quality {@code good} or why not
     */
    public record Value(@Nullable Double value, String quality) {}

    /**
     * Fractions, wet basis.
     *
     * @param wettest the wettest part of the charge (stems, worst tray)
     * @param landsInS seconds until the target of the running dry, null when not drying
     * @param bandProbability probability that the batch ends between 4 and 7 %
     * @param aim why the last drying ends at {@code target}; null in all others
     */
    public record Moisture(
            double mean,
            double sd,
            double wettest,
            @Nullable Double leafC,
            @Nullable Double target,
            @Nullable Double landsInS,
            @Nullable Double landsSdS,
            @Nullable Double bandProbability,
            @Nullable Because aim) {

        /** Without a last drying. */
        public Moisture(
                double mean,
                double sd,
                double wettest,
                @Nullable Double leafC,
                @Nullable Double target,
                @Nullable Double landsInS,
                @Nullable Double landsSdS,
                @Nullable Double bandProbability) {
            this(mean, sd, wettest, leafC, target, landsInS, landsSdS, bandProbability, null);
        }
    }

    /**
     * Something a person is asked to do or enter.
     *
     * @param kind key of the text, for example {@code feed}, {@code take-out}
     * @param wantsMassKg a mass may be entered with the answer
     * @param dueS seconds left before the batch is held; negative: overdue; null: it waits without
     *     end
     */
    public record Prompt(
            String id,
            String kind,
            String batch,
            double sinceS,
            boolean wantsMassKg,
            @Nullable Double dueS,
            Because text) {}

    /**
     * @param latch {@code trip}, {@code interlock} or {@code follows}
     */
    public record Cause(
            String rule,
            String latch,
            boolean present,
            boolean firstOut,
            Because reason,
            String resetBy) {}

    public record Permissive(String rule, boolean good, Because reason) {}

    /**
     * @param action {@code start}, {@code resume} or {@code reset}, executed by the button at the
     *     machine within {@code leftS}
     */
    public record Armed(String action, double leftS) {}
}
