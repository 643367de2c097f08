/** The moisture filter, its look-ahead, the steam dose and the freshness clock. */
@org.jspecify.annotations.NullMarked
package steamleaf.core.estimate;
