/** Server-rendered pages: sentence, picture, number. */
@NullMarked
package steamleaf.monitor.page;

import org.jspecify.annotations.NullMarked;
