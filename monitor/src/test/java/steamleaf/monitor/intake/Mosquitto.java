package steamleaf.monitor.intake;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.Writer;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;

/** Debian's broker on a free loopback port. A machine without it fails the test and says so. */
public final class Mosquitto implements AutoCloseable {
    private static final Path PROGRAM = Path.of("/usr/sbin/mosquitto");

    private final Path config;
    private final int port;
    private Process process;

    public Mosquitto(Path folder) throws IOException {
        this(folder, freePort());
    }

    public Mosquitto(Path folder, int port) throws IOException {
        if (!Files.isExecutable(PROGRAM)) {
            throw new IllegalStateException(
                    PROGRAM + " is missing: apt-get install mosquitto (./steamleaf test does it)");
        }
        this.port = port;
        config = folder.resolve("mosquitto-" + port + ".conf");
        Files.writeString(
                config,
                "listener "
                        + port
                        + " 127.0.0.1\nallow_anonymous true\npersistence false\nset_tcp_nodelay true\nlog_dest stderr\n");
        process = start();
    }

    private Process start() throws IOException {
        Process started =
                new ProcessBuilder(PROGRAM.toString(), "-v", "-c", config.toString())
                        .redirectErrorStream(true)
                        .start();
        BufferedReader log = started.inputReader(StandardCharsets.UTF_8);
        StringBuilder said = new StringBuilder();
        for (String line = log.readLine(); line != null; line = log.readLine()) {
            said.append(line).append('\n');
            if (line.contains("running")) {
                Thread.ofVirtual().start(() -> drain(log));
                return started;
            }
        }
        throw new IOException("mosquitto did not start: " + said);
    }

    private static void drain(BufferedReader log) {
        try {
            log.transferTo(Writer.nullWriter());
        } catch (IOException e) {
            // it was stopped, and its output with it
        }
    }

    public int port() {
        return port;
    }

    public void stop() {
        process.destroy();
        try {
            process.onExit().get(5, TimeUnit.SECONDS);
        } catch (InterruptedException | ExecutionException | TimeoutException e) {
            process.destroyForcibly();
            throw new IllegalStateException("mosquitto did not stop", e);
        }
    }

    public void startAgain() throws IOException {
        process = start();
    }

    static int freePort() throws IOException {
        try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            return socket.getLocalPort();
        }
    }

    @Override
    public void close() {
        stop();
    }
}
