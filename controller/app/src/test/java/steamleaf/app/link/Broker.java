package steamleaf.app.link;

import java.io.BufferedReader;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;

/** Debian's Mosquitto on a free loopback port. A machine without it fails the test and says so. */
public final class Broker implements AutoCloseable {
    private static final Path PROGRAM = Path.of("/usr/sbin/mosquitto");

    public final int port;
    private final Path config;
    private Process process;

    public Broker(Path folder) throws IOException {
        this(folder, "allow_anonymous true\n");
    }

    /**
     * @param who may connect, in the words of its configuration
     */
    Broker(Path folder, String who) throws IOException {
        if (!Files.isExecutable(PROGRAM)) {
            throw new IllegalStateException(
                    PROGRAM + " is missing: apt-get install mosquitto (./steamleaf test does it)");
        }
        try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            port = free.getLocalPort();
        }
        config = folder.resolve("mosquitto-" + port + ".conf");
        Files.writeString(
                config,
                "user "
                        + System.getProperty("user.name")
                        + "\nlistener "
                        + port
                        + " 127.0.0.1\n"
                        + who
                        + "persistence false\nlog_dest stderr\n");
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

    /** So that it never waits for a reader of its log. */
    private static void drain(BufferedReader log) {
        try {
            while (log.readLine() != null) {
                // nobody reads it
            }
        } catch (IOException e) {
            // its end
        }
    }

    /** Dies like a machine that loses power: no goodbye to anybody. */
    void kill() {
        process.destroyForcibly();
        awaitEnd();
    }

    void startAgain() throws IOException {
        process = start();
    }

    private void awaitEnd() {
        try {
            process.onExit().get(10, TimeUnit.SECONDS);
        } catch (InterruptedException | ExecutionException | TimeoutException e) {
            throw new IllegalStateException("mosquitto did not stop", e);
        }
    }

    @Override
    public void close() {
        kill();
    }
}
