package steamleaf.bench.journey;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import steamleaf.app.config.ConfigFile;
import steamleaf.monitor.main.Main;
import steamleaf.sim.plant.PlantSettings;

/**
 * Resident memory and ready time of the controller's own process, its board at the end of a cable,
 * and of the monitor's; the broker is a third one. {@code Footprint SECONDS DIR [more Java options]}.
 */
public final class Footprint {
    private Footprint() {}

    public static void main(String[] args) throws Exception {
        int seconds = Integer.parseInt(args[0]);
        Path folder = Path.of(args[1]);
        Files.createDirectories(folder);
        List<String> options = List.of(args).subList(2, args.length);
        try (LivePlant plant = LivePlant.start(PlantSettings.stock(), 1);
                Mosquitto broker = new Mosquitto(Files.createTempDirectory(folder, "broker"));
                Outside outside = new Outside(broker.port(), "kei")) {
            Path config = Files.createTempDirectory(folder, "controller").resolve("steamleaf.yaml");
            Files.writeString(
                    config,
                    ConfigFile.stock()
                            .replace("port: 1883", "port: " + broker.port())
                            .replace("port: 9464", "port: " + SimulatedLineProcess.freePort()));
            long beganNs = System.nanoTime();
            try (Child controller =
                    java(
                            ControllerApart.class.getName(),
                            options,
                            List.of(
                                    Integer.toString(plant.port()),
                                    "--config",
                                    config.toString()))) {
                outside.await(
                        Outside.AT + "unit/oven-1", 0, Duration.ofSeconds(60), _ -> true);
                double readyS = (System.nanoTime() - beganNs) / 1e9;
                double cpuS = cpuS(controller.pid());
                monitor(folder, broker.port(), options, seconds);
                System.out.printf(
                        Locale.ROOT,
                        "controller: first live state after %.2f s (%.2f s of CPU time), resident"
                                + " %.0f MB after %d s%n",
                        readyS,
                        cpuS,
                        residentMB(controller.pid()),
                        seconds);
            }
        }
    }

    private static void monitor(Path folder, int broker, List<String> options, int seconds)
            throws Exception {
        Path config = Files.createTempDirectory(folder, "monitor").resolve("monitor.yaml");
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
                """
                        .formatted(SimulatedLineProcess.freePort(), broker));
        long beganNs = System.nanoTime();
        try (Child monitor =
                java(Main.class.getName(), options, List.of("--config", config.toString()))) {
            String said = monitor.awaitLine("Steamleaf monitor: http://");
            double readyS = (System.nanoTime() - beganNs) / 1e9;
            double cpuS = cpuS(monitor.pid());
            try (Visitor page =
                    new Visitor(
                            said.substring(said.indexOf("http://")),
                            Files.createTempDirectory(folder, "page"))) {
                page.open("");
                LockSupport.parkNanos(TimeUnit.SECONDS.toNanos(seconds));
                System.out.printf(
                        Locale.ROOT,
                        "monitor: ready after %.2f s (%.2f s of CPU time), resident %.0f MB with one"
                                + " page open for %d s%n",
                        readyS,
                        cpuS,
                        residentMB(monitor.pid()),
                        seconds);
            }
        }
    }

    private static Child java(String main, List<String> options, List<String> arguments) {
        List<String> command =
                new ArrayList<>(
                        List.of(
                                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                                "--enable-native-access=ALL-UNNAMED",
                                "--sun-misc-unsafe-memory-access=allow"));
        command.addAll(options);
        command.addAll(List.of("-cp", System.getProperty("java.class.path"), main));
        command.addAll(arguments);
        return Child.start(main, command);
    }

    private static double residentMB(long pid) throws IOException {
        return Files.readAllLines(Path.of("/proc/" + pid + "/status")).stream()
                .filter(line -> line.startsWith("VmRSS:"))
                .mapToDouble(line -> Double.parseDouble(line.replaceAll("\\D", "")) / 1_024)
                .findFirst()
                .orElseThrow();
    }

    /** Clock ticks of user and system time: proc(5), 100 in a second on Linux. */
    private static double cpuS(long pid) throws IOException {
        String stat = Files.readString(Path.of("/proc/" + pid + "/stat"));
        String[] fields = stat.substring(stat.lastIndexOf(')') + 2).split(" ");
        return (Double.parseDouble(fields[11]) + Double.parseDouble(fields[12])) / 100;
    }
}
