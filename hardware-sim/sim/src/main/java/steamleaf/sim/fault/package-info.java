/** What can go wrong on the line, on purpose. */
@org.jspecify.annotations.NullMarked
package steamleaf.sim.fault;
