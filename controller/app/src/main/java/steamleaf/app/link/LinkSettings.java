package steamleaf.app.link;

import javax.net.ssl.SSLSocketFactory;
import org.jspecify.annotations.Nullable;

/**
 * Where and as whom.
 *
 * @param start id of this start of the controller
 * @param tls null for plain TCP
 * @param standIn a simulator offers its stand-in for the buttons; only the simulator's process says
 *     so
 */
public record LinkSettings(
        String site,
        String start,
        String host,
        int port,
        @Nullable String user,
        @Nullable String password,
        @Nullable SSLSocketFactory tls,
        boolean standIn) {

    String uri() {
        String bracketed = host.contains(":") ? "[" + host + "]" : host;
        return (tls == null ? "tcp://" : "ssl://") + bracketed + ":" + port;
    }

    /** One per site: a second controller of the same site pushes the first off the broker. */
    String clientId() {
        return "steamleaf-controller-" + site;
    }
}
