/** NAU7802, 24-bit bridge converter: power-up sequence, calibration, codes. Knows only Pi4J. */
@org.jspecify.annotations.NullMarked
package steamleaf.app.driver.nau7802;
