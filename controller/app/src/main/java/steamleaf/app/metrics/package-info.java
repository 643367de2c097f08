/** Meters, and a page of them on loopback. */
@org.jspecify.annotations.NullMarked
package steamleaf.app.metrics;
