/**
 * What the line says now, in memory: the latest of each live message, and the way to ask it
 * something.
 */
@NullMarked
package steamleaf.monitor.live;

import org.jspecify.annotations.NullMarked;
