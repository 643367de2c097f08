@org.jspecify.annotations.NullMarked
package steamleaf.app.io;
