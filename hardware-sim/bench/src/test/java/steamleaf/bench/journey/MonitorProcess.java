package steamleaf.bench.journey;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import steamleaf.monitor.main.Main;

/** The monitor alone, as a site runs it: with a configuration file. */
final class MonitorProcess {
    private MonitorProcess() {}

    static Child start(Path folder, int mqttPort) throws IOException {
        return start(folder, mqttPort, "");
    }

    /**
     * @param more further blocks of the configuration
     */
    static Child start(Path folder, int mqttPort, String more) throws IOException {
        Path config = folder.resolve("monitor.yaml");
        Files.writeString(
                config,
                """
                site: ridge-house
                store:
                  name: monitor
                  file: monitor.db
                http:
                  bind: 127.0.0.1
                  port: %d
                mqtt:
                  host: 127.0.0.1
                  port: %d
                people: [Mo, Kei]
                """
                                .formatted(SimulatedLineProcess.freePort(), mqttPort)
                        + more);
        Child monitor = Child.java(Main.class.getName(), List.of("--config", config.toString()));
        try {
            monitor.awaitLine("Steamleaf monitor: http://127.0.0.1:");
        } catch (AssertionError e) {
            monitor.close();
            throw e;
        }
        return monitor;
    }
}
