package steamleaf.app.link;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.function.Predicate;
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

/** Any MQTT client that is not the controller. */
public final class Outsider implements MqttCallback, AutoCloseable {
    private static final long PATIENCE_S = 20;

    public record Heard(String topic, String text, boolean retained) {}

    private final MqttAsyncClient client;
    private final BlockingQueue<Heard> heard = new LinkedBlockingQueue<>();
    final List<Heard> all = new ArrayList<>();

    public Outsider(int port, String name) throws MqttException {
        client = new MqttAsyncClient("tcp://127.0.0.1:" + port, name, new MemoryPersistence());
        client.setCallback(this);
        MqttConnectionOptions options = new MqttConnectionOptions();
        options.setCleanStart(true);
        options.setAutomaticReconnect(false);
        client.connect(options).waitForCompletion(10_000);
    }

    public void subscribe(String topic) throws MqttException {
        client.subscribe(topic, 1).waitForCompletion(10_000);
    }

    public void say(String topic, String text, boolean retained) throws MqttException {
        client.publish(topic, text.getBytes(StandardCharsets.UTF_8), 1, retained)
                .waitForCompletion(10_000);
    }

    /** The next message if one comes within {@code waitMs}, else null. */
    public @Nullable Heard poll(long waitMs) throws InterruptedException {
        return heard.poll(waitMs, TimeUnit.MILLISECONDS);
    }

    /** The next message for which {@code wanted} holds; what comes before is kept in all. */
    Heard await(Predicate<Heard> wanted) throws InterruptedException {
        while (true) {
            Heard next = heard.poll(PATIENCE_S, TimeUnit.SECONDS);
            if (next == null) {
                throw new AssertionError("nothing such came, but " + all);
            }
            all.add(next);
            if (wanted.test(next)) {
                return next;
            }
        }
    }

    Heard awaitOn(String topic) throws InterruptedException {
        return await(message -> message.topic().equals(topic));
    }

    @Override
    public void messageArrived(String topic, MqttMessage message) {
        heard.add(
                new Heard(
                        topic,
                        new String(message.getPayload(), StandardCharsets.UTF_8),
                        message.isRetained()));
    }

    @Override
    public void close() throws MqttException {
        try {
            client.disconnectForcibly(0, 0, false);
        } finally {
            client.close(true);
        }
    }

    @Override
    public void disconnected(MqttDisconnectResponse response) {}

    @Override
    public void mqttErrorOccurred(MqttException exception) {}

    @Override
    public void deliveryComplete(IMqttToken token) {}

    @Override
    public void connectComplete(boolean reconnect, String serverUri) {}

    @Override
    public void authPacketArrived(int reasonCode, MqttProperties properties) {}
}
