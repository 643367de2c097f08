@org.jspecify.annotations.NullMarked
package steamleaf.app.driver.tca9548a;
