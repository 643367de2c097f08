/** Reading the line's own files: every value knows its line, and every mistake is told at once. */
@org.jspecify.annotations.NullMarked
package steamleaf.sim.text;
