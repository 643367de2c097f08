/**
 * From the chips to readings and from allowed outputs to the pins. Nothing else in the program
 * writes a pin.
 */
@org.jspecify.annotations.NullMarked
package steamleaf.app.io;
