/**
 * How far the moisture estimate is off, measured on random plants: the filter alone against a plant
 * of its own structure or against the simulator's, without chips, chart or people.
 */
@org.jspecify.annotations.NullMarked
package steamleaf.bench.study;
