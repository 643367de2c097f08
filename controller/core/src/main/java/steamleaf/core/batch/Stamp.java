package steamleaf.core.batch;

/**
 * Who sent a command and what they saw when they did.
 *
 * @param id the command's own id: the same id is never done twice
 * @param atMachine sent by the one wall panel that the configuration binds as <em>at the
 *     machine</em>
 * @param seenCycle the controller's cycle that the sender's page showed
 * @param seenState the {@code stateNumber} of the unit that the page showed
 */
public record Stamp(String id, String by, boolean atMachine, long seenCycle, long seenState) {}
