/**
 * MQTT: pumps the journal out to the stores, offers the live state, puts commands into a bounded
 * inbox. Nothing here ever makes the control cycle wait.
 */
@org.jspecify.annotations.NullMarked
package steamleaf.app.link;
