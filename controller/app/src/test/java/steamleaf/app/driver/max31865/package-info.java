@org.jspecify.annotations.NullMarked
package steamleaf.app.driver.max31865;
