package steamleaf.bench.journey;

import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.Executors;
import java.util.concurrent.locks.LockSupport;
import org.eclipse.paho.mqttv5.client.MqttClient;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import steamleaf.contract.Codec;
import steamleaf.contract.LineDescription;
import steamleaf.contract.Status;
import steamleaf.contract.Topics;
import steamleaf.contract.UnitLive;
import steamleaf.monitor.Monitor;
import steamleaf.monitor.MonitorSettings;

/**
 * From the publishing of an oven's state to the changed number in the page's DOM, over broker,
 * intake, rendering and server-sent event, beside a bare server-sent event sent from the publishing
 * process itself to a bare page. Both in one run, turn about, a browser each. {@code
 * PublishedToPage N DIR}.
 */
public final class PublishedToPage {
    private static final Instant AT = Instant.parse("2026-05-12T12:00:00Z");
    private static final long BETWEEN_NS = 150_000_000L;

    /** When the number on the page became which, in milliseconds of the machine's clock. */
    private static final String WATCH =
            """
            (async () => {
              window.seen = {};
              const look = () => {
                const text = document.querySelector('%s').textContent;
                const found = text.match(/([0-9]+\\.[0-9])/);
                if (found && !window.seen[found[1]])
                  window.seen[found[1]] = performance.timeOrigin + performance.now();
              };
              new MutationObserver(look).observe(document.body,
                {subtree: true, childList: true, characterData: true});
              return 0;
            })()
            """;

    private PublishedToPage() {}

    public static void main(String[] args) throws Exception {
        int times = Integer.parseInt(args[0]);
        Path folder = Path.of(args[1]);
        Files.createDirectories(folder);
        BlockingQueue<String> raw = new ArrayBlockingQueue<>(8);
        HttpServer bare = bare(raw);
        Topics topics = new Topics("ridge-house");
        try (Mosquitto broker = new Mosquitto(Files.createTempDirectory(folder, "broker"))) {
            MqttClient line =
                    new MqttClient(
                            "tcp://127.0.0.1:" + broker.port(), "line", new MemoryPersistence());
            line.connect();
            line.publish(
                    topics.status(),
                    Codec.write(new Status(true, "j-1", 0, 0, "s-1", AT, false)),
                    1,
                    true);
            line.publish(topics.line(), Codec.write(description()), 1, true);
            line.publish(topics.unit("oven-1"), Codec.write(oven(1, 20)), 0, false);
            try (Monitor monitor =
                            Monitor.start(
                                    MonitorSettings.of(
                                            "ridge-house",
                                            Files.createTempDirectory(folder, "store")
                                                    .resolve("records.db"),
                                            broker.port()));
                    Visitor page =
                            new Visitor(
                                    monitor.address(), Files.createTempDirectory(folder, "a"));
                    Visitor other =
                            new Visitor(
                                    "http://127.0.0.1:" + bare.getAddress().getPort() + "/",
                                    Files.createTempDirectory(folder, "b"))) {
                page.open("unit/oven-1");
                other.open("");
                page.script(WATCH.formatted(".now"));
                other.script(WATCH.formatted("#n"));
                double[][] sent = new double[2][times];
                for (int i = -20; i < times; i++) { // the first ones warm both
                    String number = number(i);
                    byte[] state = Codec.write(oven(100 + i, Double.parseDouble(number)));
                    LockSupport.parkNanos(BETWEEN_NS);
                    note(sent[0], i);
                    line.publish(topics.unit("oven-1"), state, 0, false);
                    LockSupport.parkNanos(BETWEEN_NS);
                    note(sent[1], i);
                    raw.put(number);
                }
                LockSupport.parkNanos(10 * BETWEEN_NS);
                report(latencies(page, sent[0]), latencies(other, sent[1]));
            }
            line.disconnect();
        } finally {
            bare.stop(0);
        }
    }

    private static String number(int i) {
        return String.format(Locale.ROOT, "%.1f", 30 + i * 0.1);
    }

    private static void note(double[] sent, int i) {
        if (i >= 0) {
            Instant now = Instant.now();
            sent[i] = now.getEpochSecond() * 1e3 + now.getNano() / 1e6;
        }
    }

    private static double[] latencies(Visitor page, double[] sent) {
        Map<?, ?> seen = (Map<?, ?>) Objects.requireNonNull(page.script("window.seen"));
        double[] ms = new double[sent.length];
        for (int i = 0; i < sent.length; i++) {
            Object at = seen.get(number(i));
            if (at == null) {
                throw new AssertionError(number(i) + " never stood on the page");
            }
            ms[i] = ((Number) at).doubleValue() - sent[i];
        }
        Arrays.sort(ms);
        return ms;
    }

    private static void report(double[] page, double[] bare) {
        for (int percent : List.of(50, 90, 99)) {
            double p = page[page.length * percent / 100];
            double b = bare[bare.length * percent / 100];
            System.out.printf(
                    Locale.ROOT,
                    "p%d: published to page %.1f ms, bare event %.1f ms, ratio %.2f%n",
                    percent,
                    p,
                    b,
                    p / b);
        }
    }

    private static HttpServer bare(BlockingQueue<String> numbers) throws IOException {
        HttpServer server =
                HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
        server.setExecutor(Executors.newVirtualThreadPerTaskExecutor());
        server.createContext(
                "/",
                exchange -> {
                    byte[] page =
                            ("<!doctype html><body><p id=n>-</p><script>"
                                            + "new EventSource('/live').onmessage = e => {"
                                            + "document.getElementById('n').textContent = e.data; };"
                                            + "</script></body>")
                                    .getBytes(StandardCharsets.UTF_8);
                    exchange.getResponseHeaders().add("Content-Type", "text/html");
                    exchange.sendResponseHeaders(200, page.length);
                    exchange.getResponseBody().write(page);
                    exchange.close();
                });
        server.createContext(
                "/live",
                exchange -> {
                    exchange.getResponseHeaders().add("Content-Type", "text/event-stream");
                    exchange.sendResponseHeaders(200, 0);
                    try (OutputStream out = exchange.getResponseBody()) {
                        while (true) {
                            out.write(
                                    ("data: " + numbers.take() + "\n\n")
                                            .getBytes(StandardCharsets.UTF_8));
                            out.flush();
                        }
                    } catch (InterruptedException e) {
                        Thread.currentThread().interrupt();
                    }
                });
        server.start();
        return server;
    }

    private static LineDescription description() {
        return new LineDescription(
                "ridge-house",
                "Ridge House",
                "s-1",
                AT,
                "0.1.0",
                "c0ffee",
                List.of(
                        new LineDescription.UnitDescription(
                                "oven-1", "oven", 130.0, 6_000.0, true, 6.0)),
                List.of("standard"),
                true,
                8.0,
                16.0);
    }

    /** Empty and idle; the one number on its panel is the air's. */
    private static UnitLive oven(long cycle, double airC) {
        return new UnitLive(
                "oven-1",
                "s-1",
                cycle,
                AT,
                "idle",
                4,
                null,
                null,
                null,
                null,
                null,
                null,
                null,
                null,
                Map.of(
                        "airC",
                        new UnitLive.Value(airC, "good"),
                        "exhaustC",
                        new UnitLive.Value(24.0, "good"),
                        "doorClosed",
                        new UnitLive.Value(1.0, "good")),
                Map.of("heater", 0.0, "fan", 0.0, "damper", 0.0),
                null,
                null,
                null,
                List.of(),
                List.of(),
                null,
                null);
    }
}
