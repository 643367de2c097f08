package steamleaf.contract;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What a person wants, as sent on {@link Topics#command()}.
 *
 * @param id made by the sender, unique; a repeated id is answered with its first answer and does
 *     nothing
 * @param client where the answer goes: {@link Topics#answer(String)}
 * @param by the person
 * @param start the controller's start that the page showed
 * @param seenCycle the cycle of the {@link UnitLive} that the page showed
 * @param seenState the {@link UnitLive#stateNumber()} of the unit that the page showed
 * @param unit the unit it is for; {@code line} for lots and for stopping everything
 * @param kind one of {@link #KINDS}
 */
public record CommandMessage(
        String id,
        String client,
        String by,
        String start,
        long seenCycle,
        long seenState,
        String unit,
        String kind,
        Args args) {

    public static final List<String> KINDS =
            List.of(
                    "take-in-lot",
                    "write-off",
                    "plan-batch",
                    "cancel-plan",
                    "arm",
                    "answer-prompt",
                    "sample-taken",
                    "sample-value",
                    "weigh-in",
                    "judge-steaming",
                    "accept-tuning",
                    "forget-learned",
                    "discard-tuning",
                    "plan-finish",
                    "accept-finish",
                    "discard-finish",
                    "hold",
                    "stop",
                    "abort",
                    "acknowledge",
                    "shelve",
                    "unshelve",
                    "take-out-of-service",
                    "put-in-service");

    /**
     * Arguments; which are needed depends on the kind, see {@code docs/mqtt.md}.
     *
     * @param action for {@code arm}: start, resume, reset, confirm, tune; for {@code
     *     judge-steaming}: red-stems, right, mush
     * @param lot for {@code take-in-lot}
     * @param moisture fraction on {@code basis} (wet or dry)
     * @param method oven, meter or hand
     * @param inS for {@code plan-finish}: seconds from {@code seenCycle} to the leaf cooled in the
     *     oven
     */
    public record Args(
            @Nullable String action,
            @Nullable String prompt,
            @Nullable Double massKg,
            @Nullable String sample,
            @Nullable Double moisture,
            @Nullable String basis,
            @Nullable String method,
            @Nullable String alarm,
            @Nullable Double minutes,
            @Nullable String reason,
            @Nullable String recipe,
            @Nullable List<Bodies.Portion> lots,
            @Nullable LotDraft lot,
            @Nullable Double inS) {
        /** Without a time. */
        public Args(
                @Nullable String action,
                @Nullable String prompt,
                @Nullable Double massKg,
                @Nullable String sample,
                @Nullable Double moisture,
                @Nullable String basis,
                @Nullable String method,
                @Nullable String alarm,
                @Nullable Double minutes,
                @Nullable String reason,
                @Nullable String recipe,
                @Nullable List<Bodies.Portion> lots,
                @Nullable LotDraft lot) {
            this(
                    action, prompt, massKg, sample, moisture, basis, method, alarm, minutes, reason,
                    recipe, lots, lot, null);
        }

        /** For {@code plan-finish}. */
        public static Args inS(double inS) {
            return new Args(
                    null, null, null, null, null, null, null, null, null, null, null, null, null,
                    inS);
        }

        public static final Args NONE =
                new Args(
                        null, null, null, null, null, null, null, null, null, null, null, null,
                        null);

        public static Args action(String action) {
            return new Args(
                    action, null, null, null, null, null, null, null, null, null, null, null, null);
        }

        public static Args prompt(String prompt, @Nullable Double massKg) {
            return new Args(
                    null, prompt, massKg, null, null, null, null, null, null, null, null, null,
                    null);
        }

        public static Args sample(String sample, double moisture, String basis, String method) {
            return new Args(
                    null, null, null, sample, moisture, basis, method, null, null, null, null, null,
                    null);
        }

        public static Args mass(double massKg) {
            return new Args(
                    null, null, massKg, null, null, null, null, null, null, null, null, null, null);
        }

        /** For {@code write-off}. */
        public static Args lots(List<Bodies.Portion> lots) {
            return new Args(
                    null, null, null, null, null, null, null, null, null, null, null, lots, null);
        }

        public static Args alarm(String alarm, @Nullable Double minutes, @Nullable String reason) {
            return new Args(
                    null, null, null, null, null, null, null, alarm, minutes, reason, null, null,
                    null);
        }

        public static Args batch(
                String recipe, List<Bodies.Portion> lots, @Nullable String overrideReason) {
            return new Args(
                    null,
                    null,
                    null,
                    null,
                    null,
                    null,
                    null,
                    null,
                    null,
                    overrideReason,
                    recipe,
                    lots,
                    null);
        }

        public static Args lot(LotDraft lot) {
            return new Args(
                    null, null, null, null, null, null, null, null, null, null, null, null, lot);
        }
    }

    /**
     * A lot as the processor describes it at intake.
     *
     * @param ripeness tender, medium or mature
     * @param pluckedAgoH hours since plucking
     */
    public record LotDraft(
            String label,
            String field,
            String cultivar,
            int shadingDays,
            String ripeness,
            boolean wetByRain,
            double pluckedAgoH,
            double massKg,
            @Nullable Double heapC) {}
}
