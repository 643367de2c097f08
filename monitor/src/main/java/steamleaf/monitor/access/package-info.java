/** Who may ask: same origin, tokens, headers, names of persons. */
@NullMarked
package steamleaf.monitor.access;

import org.jspecify.annotations.NullMarked;
