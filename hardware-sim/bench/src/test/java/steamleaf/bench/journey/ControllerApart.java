package steamleaf.bench.journey;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import steamleaf.app.config.ConfigFile;
import steamleaf.app.main.ControllerMain;
import steamleaf.sim.board.SimulatedPi4j;

/**
 * The controller's own main program as a process of its own, at real time, its board at the end of
 * a cable.
 */
public final class ControllerApart {
    private static final String LIGHT_OVEN = "gainDutyPerK: 0.1, integralS: 30";

    private ControllerApart() {}

    /** Arguments: the cable's port, then the controller's. */
    public static void main(String[] args) {
        int port = Integer.parseInt(args[0]);
        System.exit(
                ControllerMain.run(
                        List.of(args).subList(1, args.length).toArray(new String[0]),
                        System.out,
                        System.err,
                        () -> SimulatedPi4j.overCable(port)));
    }

    /** Starts it with the stock configuration, a quick loop for light ovens and that broker. */
    static Child start(Path folder, int cable, int broker) throws IOException {
        Path config = folder.resolve("steamleaf.yaml");
        Files.writeString(
                config,
                ConfigFile.stock()
                        .replace("gainDutyPerK: 0.03, integralS: 180", LIGHT_OVEN)
                        .replace("rampKPerMin: 10", "rampKPerMin: 60")
                        .replace("port: 1883", "port: " + broker)
                        .replace("port: 9464", "port: " + SimulatedLineProcess.freePort()));
        return Child.java(
                ControllerApart.class.getName(),
                List.of(Integer.toString(cable), "--config", config.toString()));
    }
}
