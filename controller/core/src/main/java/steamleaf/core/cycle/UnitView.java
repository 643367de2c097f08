package steamleaf.core.cycle;

import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.batch.ArmedAction;
import steamleaf.core.batch.FinishBy;
import steamleaf.core.batch.HeldCause;
import steamleaf.core.batch.OperationKind;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Prompt;
import steamleaf.core.batch.Tuning;
import steamleaf.core.interlock.Cause;
import steamleaf.core.interlock.Permissive;
import steamleaf.core.reading.UnitId;

/**
 * One unit as people are shown it, made once a second.
 *
 * @param phase simple name of the phase, empty when idle
 * @param airSetpointC NaN while heat is not wanted
 * @param tuning what the oven's tuning does or proposes
 * @param finish the time somebody wants its batch done at
 * @param doneInS until its batch is done, the leaf cooled, as people are told; NaN when unknown
 * @param donePromised that was told before, and the rest that is ahead or runs is to keep it
 * @param hotZero what the oven said of its humidity sensor before this batch's leaf came
 * @param heaterDuty 0 to 1, what the loop asks for
 */
public record UnitView(
        UnitId unit,
        ProcedureState state,
        @Nullable HeldCause heldCause,
        double inStateS,
        @Nullable String batchId,
        List<String> lotLabels,
        @Nullable String recipeName,
        @Nullable OperationKind operation,
        int operationIndex,
        int operations,
        double inOperationS,
        String phase,
        double inPhaseS,
        double airSetpointC,
        double heaterDuty,
        boolean heating,
        boolean fan,
        double damper,
        @Nullable MoistureView moisture,
        @Nullable SteamView steam,
        List<Prompt> prompts,
        @Nullable ArmedAction armed,
        double armedForS,
        List<Cause> causes,
        List<Permissive> permissives,
        @Nullable Tuning tuning,
        @Nullable FinishBy finish,
        double doneInS,
        boolean donePromised,
        @Nullable HotZero hotZero) {}
