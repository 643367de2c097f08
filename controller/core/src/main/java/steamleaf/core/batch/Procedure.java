package steamleaf.core.batch;

import org.jspecify.annotations.Nullable;

/**
 * How far a batch is in its recipe. While it is held or stopped, operation and phase stay: that is
 * where it goes on.
 *
 * @param operation index into the recipe's procedure
 */
public record Procedure(
        ProcedureState state,
        @Nullable HeldCause heldCause,
        double stateSinceS,
        int operation,
        double operationSinceS,
        Phase phase) {

    Procedure in(ProcedureState newState, @Nullable HeldCause cause, double nowS) {
        return new Procedure(newState, cause, nowS, operation, operationSinceS, phase);
    }

    Procedure on(Phase newPhase) {
        return new Procedure(state, heldCause, stateSinceS, operation, operationSinceS, newPhase);
    }

    Procedure at(int newOperation, Phase newPhase, double nowS) {
        return new Procedure(state, heldCause, stateSinceS, newOperation, nowS, newPhase);
    }
}
