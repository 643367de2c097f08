@org.jspecify.annotations.NullMarked
package steamleaf.app.driver.pca9685;
