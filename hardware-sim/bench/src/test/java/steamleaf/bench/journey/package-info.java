/** The two real processes, driven from outside: by a browser and over MQTT. */
@org.jspecify.annotations.NullMarked
package steamleaf.bench.journey;
