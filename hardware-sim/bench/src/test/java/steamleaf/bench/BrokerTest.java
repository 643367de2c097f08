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
