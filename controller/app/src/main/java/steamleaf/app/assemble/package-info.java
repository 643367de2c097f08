/** Puts the parts together, once, for the main program and the bench alike. */
@org.jspecify.annotations.NullMarked
package steamleaf.app.assemble;
