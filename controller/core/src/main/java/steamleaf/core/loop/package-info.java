/** PID, time-proportioned outputs, filters, rate limits and tuning. State goes in and comes out. */
@org.jspecify.annotations.NullMarked
package steamleaf.core.loop;
