@org.jspecify.annotations.NullMarked
package steamleaf.core.interlock;
