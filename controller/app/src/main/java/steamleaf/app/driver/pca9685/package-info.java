/** PCA9685, sixteen channels of pulse-width modulation. Knows only Pi4J. */
@org.jspecify.annotations.NullMarked
package steamleaf.app.driver.pca9685;
