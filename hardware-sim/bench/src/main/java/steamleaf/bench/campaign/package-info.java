/**
 * Breaks things on the simulated line, thousands of times, and looks at every cycle for what must
 * never be.
 */
@org.jspecify.annotations.NullMarked
package steamleaf.bench.campaign;
