/**
 * The numbered, checksummed, durable record of the line as files of JSON lines. Knows bytes, not
 * what they say.
 */
@org.jspecify.annotations.NullMarked
package steamleaf.app.journal;
