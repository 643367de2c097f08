/** The monitor: an MQTT client that keeps what the line tells and shows it. */
@NullMarked
package steamleaf.monitor;

import org.jspecify.annotations.NullMarked;
