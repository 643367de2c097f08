/** SHT31, humidity and temperature sensor: commands, checksum, physical values. Knows only Pi4J. */
@org.jspecify.annotations.NullMarked
package steamleaf.app.driver.sht31;
