package steamleaf.bench.journey;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/** Debian's broker on a free loopback port. */
final class Mosquitto implements AutoCloseable {
    private static final String PROGRAM = "/usr/sbin/mosquitto";

    private final int port;
    private final Child process;

    Mosquitto(Path folder) throws IOException {
        port = SimulatedLineProcess.freePort();
        Path config = folder.resolve("mosquitto.conf");
        Files.writeString(
                config,
                "listener "
                        + port
                        + " 127.0.0.1\nallow_anonymous true\npersistence false\nlog_dest stderr\n");
        process =
                Child.start(
                        "mosquitto",
                        List.of(
                                Child.program(PROGRAM, "mosquitto"),
                                "-v",
                                "-c",
                                config.toString()));
        process.awaitLine("running");
    }

    int port() {
        return port;
    }

    @Override
    public void close() {
        process.close();
    }
}
