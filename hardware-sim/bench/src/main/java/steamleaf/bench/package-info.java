/** The real controller on the simulated line: demo and bench. Nothing depends on it. */
@org.jspecify.annotations.NullMarked
package steamleaf.bench;
