/** MQTT: receives, hands records to the store in order, acknowledges, sends commands. */
@NullMarked
package steamleaf.monitor.intake;

import org.jspecify.annotations.NullMarked;
