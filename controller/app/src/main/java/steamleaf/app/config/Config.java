package steamleaf.app.config;

import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.app.io.Wiring;
import steamleaf.core.cycle.LineSettings;
import steamleaf.core.interlock.GuardSettings;

/**
 * A whole, checked configuration.
 *
 * @param title the site's name as people write it
 * @param hash of the file's bytes, so that a record can say what it ran with
 */
public record Config(
        String site,
        String title,
        String hash,
        LineSettings line,
        GuardSettings guard,
        Wiring wiring,
        Buttons buttons,
        JournalPlace journal,
        Mqtt mqtt,
        Metrics metrics) {

    /**
     * Who may start heat.
     *
     * @param fitted whether start, reset, confirm and silence are buttons at the machine
     * @param panel name of the one client that counts as <em>at the machine</em>, null with buttons
     */
    public record Buttons(boolean fitted, @Nullable String panel) {}

    /**
     * @param folder relative to the file's own folder unless absolute
     * @param keepFreeBytes seconds are given up when less is free
     */
    public record JournalPlace(Path folder, long keepFreeBytes) {}

    /**
     * The broker.
     *
     * @param passwordFile holds the password in its first line
     * @param tls null for plain TCP
     */
    public record Mqtt(
            String host,
            int port,
            @Nullable String user,
            @Nullable Path passwordFile,
            @Nullable Tls tls) {}

    /**
     * @param authorityFile certificates of the authorities to trust, PEM; null for the system's
     */
    public record Tls(@Nullable Path authorityFile) {}

    /**
     * Where meters are served: a loopback address only, until there are accounts.
     *
     * @param port 0 takes a free one
     */
    public record Metrics(String host, int port) {}

    /** Addresses that only this machine reaches. */
    static final List<String> LOOPBACK = List.of("127.0.0.1", "::1", "localhost");
}
