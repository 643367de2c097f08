package steamleaf.bench;

import java.util.Locale;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.logging.Level;
import java.util.logging.Logger;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Codec;
import steamleaf.contract.StandIn;
import steamleaf.contract.StandInSays;
import steamleaf.sim.plant.Button;

/**
 * The page's stand-in for the buttons at the machine: the simulator's own ear for {@link StandIn}.
 * The controller has no part in it; it sees a contact close.
 */
final class StandInPresses implements AutoCloseable {
    private static final Logger LOG = Logger.getLogger(StandInPresses.class.getName());
    private static final int MOST_WAITING = 8;

    private final ConcurrentLinkedQueue<Button> pressed = new ConcurrentLinkedQueue<>();
    private final MqttAsyncClient client;
    private final String says;

    /** The newest words that the broker has not got; the line's thread only. */
    private @Nullable String untold;

    private StandInPresses(MqttAsyncClient client, String says) {
        this.client = client;
        this.says = says;
    }

    static StandInPresses listen(String host, int port, String site) {
        try {
            MqttAsyncClient client =
                    new MqttAsyncClient(
                            "tcp://" + host + ":" + port,
                            "stand-in-" + site,
                            new MemoryPersistence());
            StandInPresses presses = new StandInPresses(client, StandInSays.topic(site));
            client.setCallback(presses.new Ear(StandIn.topic(site)));
            MqttConnectionOptions options = new MqttConnectionOptions();
            options.setAutomaticReconnect(true);
            options.setAutomaticReconnectDelay(1, 5);
            options.setCleanStart(true);
            client.connect(options);
            return presses;
        } catch (MqttException e) {
            throw new IllegalStateException("the stand-in can't listen at " + host + ":" + port, e);
        }
    }

    /**
     * Tells the pages what the simulated helper did and read, now or as soon as it is connected.
     */
    void say(String text) {
        untold = text;
        tell();
    }

    private void tell() {
        String text = untold;
        if (text != null && client.isConnected()) {
            try {
                client.publish(
                        says, new MqttMessage(Codec.write(new StandInSays(text)), 1, true, null));
                untold = null;
            } catch (MqttException e) {
                LOG.log(Level.FINE, "not told yet", e);
            }
        }
    }

    @Nullable Button poll() {
        tell();
        return pressed.poll();
    }

    @Override
    public void close() {
        try {
            client.disconnectForcibly(100, 100, false);
            client.close();
        } catch (MqttException e) {
            LOG.log(Level.FINE, "the stand-in was not connected", e);
        }
    }

    private final class Ear implements MqttCallback {
        private final String topic;

        Ear(String topic) {
            this.topic = topic;
        }

        @Override
        public void messageArrived(String from, MqttMessage message) {
            try {
                String button = Codec.read(message.getPayload(), StandIn.class).button();
                for (Button known : Button.values()) {
                    if (known.name().toLowerCase(Locale.ROOT).equals(button)
                            && !message.isRetained()
                            && pressed.size() < MOST_WAITING) {
                        pressed.add(known);
                    }
                }
            } catch (Codec.Malformed e) {
                LOG.log(Level.WARNING, "not a press: {0}", e.getMessage());
            }
        }

        @Override
        public void connectComplete(boolean again, String uri) {
            try {
                client.subscribe(topic, 1);
            } catch (MqttException e) {
                LOG.log(Level.WARNING, "the stand-in does not hear", e);
            }
        }

        @Override
        public void disconnected(MqttDisconnectResponse response) {}

        @Override
        public void mqttErrorOccurred(MqttException exception) {}

        @Override
        public void deliveryComplete(IMqttToken token) {}

        @Override
        public void authPacketArrived(int reasonCode, MqttProperties properties) {}
    }
}
