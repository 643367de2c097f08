/** Alarm definitions as a table, and the state of each alarm by IEC 62682. */
@org.jspecify.annotations.NullMarked
package steamleaf.core.alarm;
