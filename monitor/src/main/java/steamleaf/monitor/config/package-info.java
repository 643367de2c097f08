/** The configuration file, checked whole. */
@NullMarked
package steamleaf.monitor.config;

import org.jspecify.annotations.NullMarked;
