package steamleaf.core.batch;

import org.jspecify.annotations.Nullable;

/**
 * Who sent a command and what they saw when they did.
 *
 * @param id the command's own id: the same id is never done twice
 * @param atMachine sent by the one wall panel that the configuration binds as <em>at the
 *     machine</em>
 * @param seenCycle the controller's cycle that the sender's page showed
 * @param seenState the state of the unit that the page showed; null where the command names none
 */
public record Stamp(
        String id,
        String by,
        boolean atMachine,
        long seenCycle,
        @Nullable ProcedureState seenState) {}
