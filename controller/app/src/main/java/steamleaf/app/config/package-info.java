/** One YAML file to checked records; every mistake is named at once, with its place. */
@org.jspecify.annotations.NullMarked
package steamleaf.app.config;
