/** Chip selects by a 3-to-8 decoder behind one SPI chip select. Knows only Pi4J. */
@org.jspecify.annotations.NullMarked
package steamleaf.app.driver.decoder;
