@org.jspecify.annotations.NullMarked
package steamleaf.app.driver.sht31;
