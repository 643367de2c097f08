package steamleaf.bench;

import java.util.HashMap;
import java.util.Map;
import java.util.logging.Level;
import java.util.logging.Logger;
import org.apache.activemq.artemis.api.core.TransportConfiguration;
import org.apache.activemq.artemis.core.config.Configuration;
import org.apache.activemq.artemis.core.config.WildcardConfiguration;
import org.apache.activemq.artemis.core.config.impl.ConfigurationImpl;
import org.apache.activemq.artemis.core.remoting.impl.netty.NettyAcceptorFactory;
import org.apache.activemq.artemis.core.server.ActiveMQServer;
import org.apache.activemq.artemis.core.server.impl.ActiveMQServerImpl;
import org.apache.activemq.artemis.core.settings.impl.AddressFullMessagePolicy;
import org.apache.activemq.artemis.core.settings.impl.AddressSettings;

/**
 * The built-in MQTT 5 broker of the demo, on loopback only and without persistence: whatever it
 * forgets, the journal still has. A site runs a broker of its own.
 */
public final class Broker implements AutoCloseable {
    /** Held here, because a logger that nobody holds forgets its level. */
    private static final Logger LOG = Logger.getLogger("org.apache.activemq");

    private final ActiveMQServer server;

    private Broker(ActiveMQServer server) {
        this.server = server;
    }

    /** Starts listening on {@code 127.0.0.1:port}. */
    public static Broker start(int port) {
        LOG.setLevel(Level.SEVERE);
        Map<String, Object> acceptor = new HashMap<>();
        acceptor.put("host", "127.0.0.1");
        acceptor.put("port", port);
        acceptor.put("protocols", "MQTT");
        WildcardConfiguration levels = new WildcardConfiguration();
        levels.setDelimiter(
                '/'); // its own is the dot, which would split the level oven-1.door-open
        levels.setSingleWord('+');
        levels.setAnyWords('#');
        Configuration configuration =
                new ConfigurationImpl()
                        .setPersistenceEnabled(false)
                        .setSecurityEnabled(false)
                        .setWildCardConfiguration(levels)
                        .setJMXManagementEnabled(false)
                        .setJournalBufferTimeout_NIO(100_000)
                        .setThreadPoolMaxSize(8)
                        .setScheduledThreadPoolMaxSize(2)
                        .addAcceptorConfiguration(
                                new TransportConfiguration(
                                        NettyAcceptorFactory.class.getName(), acceptor, "mqtt"))
                        .addAddressSetting(
                                "#",
                                new AddressSettings()
                                        .setAutoCreateAddresses(true)
                                        .setAddressFullMessagePolicy(AddressFullMessagePolicy.DROP)
                                        .setAutoCreateQueues(true));
        ActiveMQServer server = new ActiveMQServerImpl(configuration);
        try {
            server.start();
        } catch (Exception e) {
            throw new IllegalStateException(
                    "the built-in broker can't listen on 127.0.0.1:" + port, e);
        }
        return new Broker(server);
    }

    @Override
    public void close() {
        try {
            server.stop();
        } catch (Exception e) {
            throw new IllegalStateException("the built-in broker did not stop", e);
        }
    }
}
