package steamleaf.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.TimeUnit;
import org.eclipse.paho.mqttv5.client.IMqttMessageListener;
import org.eclipse.paho.mqttv5.client.MqttClient;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.MqttSubscription;
import org.junit.jupiter.api.Test;

final class BrokerTest {
    /**
     * Alarms are named {@code oven-1.door-open}; a level with a dot is still one level (MQTT 5,
     * 4.7.1.3).
     */
    @Test
    void aPlusMatchesALevelThatHasADot() throws Exception {
        int port = Demo.anyPort();
        try (Broker _ = Broker.start(port)) {
            BlockingQueue<String> seen = new ArrayBlockingQueue<>(4);
            MqttClient client =
                    new MqttClient("tcp://127.0.0.1:" + port, "one", new MemoryPersistence());
            client.connect(new MqttConnectionOptions());
            IMqttMessageListener listener = (topic, message) -> seen.add(topic + " " + message);
            client.subscribe(
                    new MqttSubscription[] {new MqttSubscription("a/alarm/+", 1)},
                    new IMqttMessageListener[] {listener});
            MqttMessage live = new MqttMessage("1".getBytes(StandardCharsets.UTF_8), 1, true, null);
            client.publish("a/alarm/oven-1.door-open", live);
            assertEquals("a/alarm/oven-1.door-open 1", seen.poll(10, TimeUnit.SECONDS));
            client.disconnect();
            client.close();
        }
    }

    @Test
    void aRetainedMessageReachesAClientThatComesLater() throws Exception {
        int port;
        try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            port = free.getLocalPort();
        }
        try (Broker _ = Broker.start(port)) {
            MqttClient first =
                    new MqttClient("tcp://127.0.0.1:" + port, "first", new MemoryPersistence());
            first.connect(new MqttConnectionOptions());
            first.publish(
                    "a/b", new MqttMessage("kept".getBytes(StandardCharsets.UTF_8), 1, true, null));
            first.disconnect();
            first.close();

            BlockingQueue<String> seen = new ArrayBlockingQueue<>(4);
            MqttClient second =
                    new MqttClient("tcp://127.0.0.1:" + port, "second", new MemoryPersistence());
            second.connect(new MqttConnectionOptions());
            IMqttMessageListener listener = (topic, message) -> seen.add(message.toString());
            second.subscribe(
                    new MqttSubscription[] {new MqttSubscription("a/#", 1)},
                    new IMqttMessageListener[] {listener});
            assertEquals("kept", seen.poll(10, TimeUnit.SECONDS));
            second.disconnect();
            second.close();
        }
    }
}
