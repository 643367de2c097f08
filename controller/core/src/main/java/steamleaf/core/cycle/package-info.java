/** The one place where the parts meet, in order: estimate, batch, loops, guard, alarms. */
@org.jspecify.annotations.NullMarked
package steamleaf.core.cycle;
