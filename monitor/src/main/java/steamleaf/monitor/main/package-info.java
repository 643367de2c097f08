/** The monitor as a program: configuration, start, orderly end. */
@NullMarked
package steamleaf.monitor.main;

import org.jspecify.annotations.NullMarked;
