@org.jspecify.annotations.NullMarked
package steamleaf.bench.campaign;
