@org.jspecify.annotations.NullMarked
package steamleaf.app.driver.nau7802;
