/** What the record says about the alarms themselves: how many, how often, how long. */
@NullMarked
package steamleaf.monitor.alarm;

import org.jspecify.annotations.NullMarked;
