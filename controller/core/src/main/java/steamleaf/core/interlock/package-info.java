/** The rule table, the guard, and the outputs that only the guard can make. */
@org.jspecify.annotations.NullMarked
package steamleaf.core.interlock;
