package steamleaf.app.metrics;

import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import steamleaf.app.config.Config;

/** One page, {@code /metrics}, reachable from this machine only. */
public final class MeterServer implements AutoCloseable {
    private static final int BACKLOG = 8;

    private final HttpServer server;

    private MeterServer(HttpServer server) {
        this.server = server;
    }

    public static MeterServer start(Config.Metrics where, Meters meters) throws IOException {
        InetAddress address = InetAddress.getByName(where.host());
        if (!address.isLoopbackAddress()) { // the configuration says so too; this is the last word
            throw new IOException(
                    "metrics.host = " + where.host() + ", allowed: a loopback address");
        }
        HttpServer server =
                HttpServer.create(new InetSocketAddress(address, where.port()), BACKLOG);
        server.createContext("/metrics", exchange -> answer(exchange, meters));
        server.start();
        return new MeterServer(server);
    }

    private static void answer(HttpExchange exchange, Meters meters) throws IOException {
        try (exchange) {
            if (!exchange.getRequestMethod().equals("GET")) {
                exchange.sendResponseHeaders(405, -1);
                return;
            }
            byte[] text = meters.text().getBytes(StandardCharsets.UTF_8);
            exchange.getResponseHeaders()
                    .set("Content-Type", "text/plain; version=0.0.4; charset=utf-8");
            exchange.sendResponseHeaders(200, text.length);
            exchange.getResponseBody().write(text);
        }
    }

    public InetSocketAddress address() {
        return server.getAddress();
    }

    @Override
    public void close() {
        server.stop(0);
    }
}
