package steamleaf.app.metrics;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.app.assemble.Controller;
import steamleaf.app.assemble.ControllerParts;
import steamleaf.app.assemble.Journals;
import steamleaf.app.assemble.Pins;
import steamleaf.app.config.Config;
import steamleaf.app.config.ConfigFile;
import steamleaf.app.config.Misconfigured;
import steamleaf.app.io.Drive;
import steamleaf.app.journal.Durability;
import steamleaf.app.journal.Journal;
import steamleaf.app.link.Inbox;
import steamleaf.app.link.Link;
import steamleaf.app.link.LinkSettings;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.Annunciation;
import steamleaf.core.reading.Readings;

final class MeterServerTest {
    @TempDir Path folder;
    private Controller controller;
    private Meters meters;

    /** Nothing answers; that is enough to count. */
    private static final class Dead implements Pins {
        @Override
        public Readings scan(long cycle) {
            return new Readings.Collector(3).build();
        }

        @Override
        public Drive.Taken drive(AllowedOutputs outputs, Annunciation annunciation) {
            return Drive.Taken.ALL;
        }

        @Override
        public void allOff() {}

        @Override
        public void pulse() {}
    }

    @BeforeEach
    void open() throws Misconfigured, IOException {
        Config config = ConfigFile.parse("steamleaf.yaml", ConfigFile.stock(), folder);
        Journal journal = Journals.open(folder, () -> "j-1", Durability.WRITTEN, config.journal());
        Inbox inbox = new Inbox();
        Link link =
                new Link(
                        new LinkSettings(
                                config.site(), "s-1", "127.0.0.1", 1, null, null, null, false),
                        java.util.Set.of("line"),
                        journal,
                        inbox);
        controller =
                Controller.open(
                        new ControllerParts(
                                config,
                                "s-1",
                                "test",
                                new Dead(),
                                journal,
                                true,
                                null,
                                inbox,
                                link,
                                () -> 0L,
                                () -> false));
        meters = new Meters(controller, journal, link, Thread.currentThread());
    }

    @AfterEach
    void close() {
        controller.close();
    }

    @Test
    void metersAreServedInPrometheusTextOnLoopback() throws IOException, InterruptedException {
        for (int i = 1; i <= 12; i++) {
            controller.cycle(i * 100_000_000L, Instant.EPOCH.plusMillis(i * 100L));
        }
        try (MeterServer server = MeterServer.start(new Config.Metrics("127.0.0.1", 0), meters);
                HttpClient client = HttpClient.newHttpClient()) {
            assertTrue(server.address().getAddress().isLoopbackAddress());
            URI at = URI.create("http://127.0.0.1:" + server.address().getPort() + "/metrics");
            HttpResponse<String> page =
                    client.send(
                            HttpRequest.newBuilder(at).build(),
                            HttpResponse.BodyHandlers.ofString());
            assertEquals(200, page.statusCode());
            for (String line :
                    List.of(
                            "steamleaf_cycles_total 12.0",
                            "steamleaf_cycles_failed_total 0.0",
                            "steamleaf_link_connected 0.0",
                            "steamleaf_journal_trouble 0.0",
                            "steamleaf_link_commands_total{outcome=\"ignored\"} 0.0",
                            "steamleaf_journal_lost_total{what=\"seconds\"} 0.0")) {
                assertTrue(page.body().contains(line), () -> line + " is not in\n" + page.body());
            }
            HttpResponse<Void> post =
                    client.send(
                            HttpRequest.newBuilder(at)
                                    .POST(HttpRequest.BodyPublishers.ofString("x"))
                                    .build(),
                            HttpResponse.BodyHandlers.discarding());
            assertEquals(405, post.statusCode());
        }
    }

    @Test
    void anAddressThatOthersReachIsRefusedEvenPastTheConfiguration() {
        IOException e =
                assertThrows(
                        IOException.class,
                        () -> MeterServer.start(new Config.Metrics("0.0.0.0", 0), meters));
        assertTrue(String.valueOf(e.getMessage()).contains("allowed: a loopback address"));
    }
}
