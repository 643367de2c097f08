/**
 * The board: which chip sits where and what hangs on its pins, read from its own file, and the Pi4J
 * providers through which a program reaches the chips. The only package that knows Pi4J.
 */
@org.jspecify.annotations.NullMarked
package steamleaf.sim.board;
