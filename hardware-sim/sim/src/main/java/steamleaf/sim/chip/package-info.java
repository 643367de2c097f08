/**
 * Chips at register level, written from their datasheets. A chip knows what stands at its pins and
 * what time has passed, both handed in; it knows no bus controller, no plant and no program.
 *
 * <p>A source marked {@code (not checked)} was recalled, not re-read.
 */
@org.jspecify.annotations.NullMarked
package steamleaf.sim.chip;
