/**
 * SQLite: what the journal told, once each, and the questions that pages ask. The only place with
 * SQL.
 */
@NullMarked
package steamleaf.monitor.store;

import org.jspecify.annotations.NullMarked;
