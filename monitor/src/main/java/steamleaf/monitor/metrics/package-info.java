/** Meters of the monitor. */
@NullMarked
package steamleaf.monitor.metrics;

import org.jspecify.annotations.NullMarked;
