/** TCA9548A, eight-way I2C switch. Knows only Pi4J. */
@org.jspecify.annotations.NullMarked
package steamleaf.app.driver.tca9548a;
