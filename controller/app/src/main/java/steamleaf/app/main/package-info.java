/** Threads, clock, real hardware and the end of the program. */
@org.jspecify.annotations.NullMarked
package steamleaf.app.main;
