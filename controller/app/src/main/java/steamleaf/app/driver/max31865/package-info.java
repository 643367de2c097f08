/**
 * MAX31865, resistance thermometer to digital converter: registers to ohms and degrees. Knows only
 * Pi4J.
 */
@org.jspecify.annotations.NullMarked
package steamleaf.app.driver.max31865;
