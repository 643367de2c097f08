@org.jspecify.annotations.NullMarked
package steamleaf.app.driver.decoder;
