/**
 * The simulated line as one thing: plant, board and faults. Knows nothing of any program that runs
 * on it.
 */
@org.jspecify.annotations.NullMarked
package steamleaf.sim;
