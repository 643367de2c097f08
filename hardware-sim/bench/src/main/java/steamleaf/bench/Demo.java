package steamleaf.bench;

import java.io.BufferedReader;
import java.io.BufferedWriter;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStreamWriter;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.function.IntFunction;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Language;
import steamleaf.monitor.Monitor;
import steamleaf.monitor.MonitorSettings;

/**
 * {@code demo}: the monitor in this process and, as a second process, the controller on the
 * simulated line with the built-in broker. Between the two there is nothing but MQTT.
 */
public final class Demo {
    private static final String STORE = "monitor";
    private static final int FIRST_PORT = 8080;
    private static final int MOST_PORTS = 50;

    private final PrintStream out;
    private final CountDownLatch ended = new CountDownLatch(1);

    private Demo(PrintStream out) {
        this.out = out;
    }

    public static void main(String[] args) throws IOException, InterruptedException {
        Quiet.logs();
        Options options =
                new Options(
                        args,
                        List.of("speed", "port", "folder", "seed", "broker"),
                        List.of("fresh", "empty"));
        long speed = options.whole("speed", 60, 1, LineProcess.MOST_SPEED);
        long port = options.whole("port", 0, 0, 65535);
        if (port != 0 && tryPort((int) port) == null) {
            options.mistake("--port " + port + " is taken on 127.0.0.1, allowed: a free port");
        }
        options.whole("seed", 1, 0, Long.MAX_VALUE);
        String broker = options.text("broker", "");
        if (!broker.isEmpty() && !broker.matches("[^:]+:[0-9]{1,5}")) {
            options.mistake("--broker " + broker + ", allowed: HOST:PORT of an MQTT 5 broker");
        }
        if (!options.mistakes().isEmpty()) {
            options.mistakes().forEach(System.err::println);
            System.exit(2);
        }
        System.exit(new Demo(System.out).show(options, speed, (int) port, broker));
    }

    private int show(Options options, long speed, int wantedPort, String broker)
            throws IOException, InterruptedException {
        Path folder = Path.of(options.text("folder", "data/demo"));
        if (options.has("fresh")) {
            BenchCommand.remove(folder);
        }
        Files.createDirectories(folder);
        String host = broker.isEmpty() ? "127.0.0.1" : broker.substring(0, broker.indexOf(':'));
        int mqttPort =
                broker.isEmpty()
                        ? anyPort()
                        : Integer.parseInt(broker.substring(broker.indexOf(':') + 1));
        List<String> command = new ArrayList<>(java());
        command.addAll(
                List.of(
                        "--folder",
                        folder.toString(),
                        "--mqtt",
                        host + ":" + mqttPort,
                        "--speed",
                        Long.toString(speed),
                        "--seed",
                        options.text("seed", "1"),
                        "--store",
                        STORE));
        if (broker.isEmpty()) {
            command.add("--broker");
        }
        if (options.has("empty")) {
            command.add("--empty");
        }
        Process line = new ProcessBuilder(command).redirectErrorStream(true).start();
        Runtime.getRuntime().addShutdownHook(new Thread(() -> end(line)));
        IntFunction<MonitorSettings> settings =
                httpPort ->
                        new MonitorSettings(
                                LineProcess.SITE,
                                STORE,
                                folder.resolve("monitor.db"),
                                "127.0.0.1",
                                httpPort,
                                host,
                                mqttPort,
                                null,
                                null,
                                ZoneOffset.UTC,
                                Language.ENGLISH,
                                List.of("Mo", "Kei"));
        Monitor monitor = null;
        try (BufferedReader said =
                        new BufferedReader(
                                new InputStreamReader(
                                        line.getInputStream(), StandardCharsets.UTF_8));
                BufferedWriter words =
                        new BufferedWriter(
                                new OutputStreamWriter(
                                        line.getOutputStream(), StandardCharsets.UTF_8))) {
            for (String text = said.readLine(); text != null; text = said.readLine()) {
                if (text.equals(LineProcess.LISTENING)) {
                    monitor = monitor(settings, wantedPort);
                } else if (text.equals(LineProcess.READY) && monitor != null) {
                    out.println();
                    out.println("  Open  http://127.0.0.1:" + monitor.port() + "/");
                    out.println();
                    out.println(
                            "  The line waits for you. Here plain words break things and press buttons; \"help\" lists them. Ctrl-C ends everything.");
                    out.flush();
                    listen(words);
                } else {
                    out.println("  " + text);
                    out.flush();
                }
            }
        } finally {
            if (monitor != null) {
                monitor.close();
            }
            ended.countDown();
        }
        return line.waitFor();
    }

    /**
     * The monitor on the port that was asked for, else on the next free one; whoever takes that in
     * the meantime makes it try again.
     */
    private static Monitor monitor(IntFunction<MonitorSettings> settings, int wantedPort)
            throws IOException {
        for (int tries = 1; wantedPort == 0 && tries < MOST_PORTS; tries++) {
            try {
                return Monitor.start(settings.apply(freePort()));
            } catch (IllegalStateException e) {
                // taken since it was looked at
            }
        }
        return Monitor.start(settings.apply(wantedPort));
    }

    /** Passes the terminal's words on; without a terminal the demo just runs. */
    private static void listen(BufferedWriter words) {
        Thread.ofPlatform()
                .daemon()
                .name("terminal")
                .start(
                        () -> {
                            try (BufferedReader terminal =
                                    new BufferedReader(
                                            new InputStreamReader(
                                                    System.in, StandardCharsets.UTF_8))) {
                                for (String text = terminal.readLine();
                                        text != null;
                                        text = terminal.readLine()) {
                                    words.write(text);
                                    words.newLine();
                                    words.flush();
                                }
                            } catch (IOException e) {
                                // the line has ended; so does the demo
                            }
                        });
    }

    private void end(Process line) {
        line.destroy();
        try {
            if (!line.waitFor(10, TimeUnit.SECONDS)) {
                line.destroyForcibly();
            }
            ended.await(5, TimeUnit.SECONDS);
        } catch (InterruptedException e) {
            line.destroyForcibly();
            Thread.currentThread().interrupt();
        }
    }

    /** The line process, with this process's own Java and classes. */
    static List<String> java() {
        return List.of(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "--enable-native-access=ALL-UNNAMED",
                "--sun-misc-unsafe-memory-access=allow",
                "-XX:+UseSerialGC",
                "-XX:-UsePerfData",
                "-Xmx512m",
                "-cp",
                System.getProperty(
                        "surefire.test.class.path", System.getProperty("java.class.path")),
                LineProcess.class.getName());
    }

    private static int freePort() throws IOException {
        for (int port = FIRST_PORT; port < FIRST_PORT + MOST_PORTS; port++) {
            Integer free = tryPort(port);
            if (free != null) {
                return free;
            }
        }
        return anyPort();
    }

    static int anyPort() throws IOException {
        Integer port = tryPort(0);
        if (port == null) {
            throw new IOException("no free port on 127.0.0.1");
        }
        return port;
    }

    private static @Nullable Integer tryPort(int port) {
        try (ServerSocket socket = new ServerSocket()) {
            socket.bind(
                    new InetSocketAddress(
                            InetAddress.getByAddress(new byte[] {127, 0, 0, 1}), port));
            return socket.getLocalPort();
        } catch (IOException e) {
            return null;
        }
    }
}
