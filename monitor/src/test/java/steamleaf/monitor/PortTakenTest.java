package steamleaf.monitor;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.contract.Language;

final class PortTakenTest {
    @TempDir Path folder;

    @Test
    void aPortThatIsTakenIsSaidInsteadOfAnAddressThatServesNothing() throws IOException {
        try (ServerSocket other = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            int port = other.getLocalPort();
            MonitorSettings settings =
                    new MonitorSettings(
                            "ridge-house",
                            "monitor",
                            folder.resolve("monitor.db"),
                            "127.0.0.1",
                            port,
                            "127.0.0.1",
                            1,
                            null,
                            null,
                            ZoneOffset.UTC,
                            Language.ENGLISH,
                            List.of());
            IllegalStateException refusal =
                    assertThrows(IllegalStateException.class, () -> Monitor.start(settings));
            assertEquals(
                    "http.port = " + port + " on 127.0.0.1 is taken, allowed: a free port",
                    refusal.getMessage());
        }
    }
}
