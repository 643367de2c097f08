/**
 * Tells people who are not at the machine: who is on watch, when the next one is told, by which
 * ways, and what became of it. Best effort: the horn at the machine is what counts.
 */
@NullMarked
package steamleaf.monitor.notice;

import org.jspecify.annotations.NullMarked;
