/** One scan of the line as values with qualities. */
@org.jspecify.annotations.NullMarked
package steamleaf.core.reading;
