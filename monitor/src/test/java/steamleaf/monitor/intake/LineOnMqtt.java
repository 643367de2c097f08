package steamleaf.monitor.intake;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttClientException;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.MqttSubscription;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.AnswerMessage;
import steamleaf.contract.Codec;
import steamleaf.contract.CommandMessage;
import steamleaf.contract.Have;
import steamleaf.contract.JournalRecord;
import steamleaf.contract.LearnedLive;
import steamleaf.contract.LineDescription;
import steamleaf.contract.RecipeDescription;
import steamleaf.contract.StandIn;
import steamleaf.contract.Status;
import steamleaf.contract.Topics;
import steamleaf.contract.UnitLive;
import steamleaf.monitor.Ridge;

/**
 * The other side of the contract: sends a journal from where the store asks, as told in the test,
 * and answers commands.
 */
public final class LineOnMqtt implements AutoCloseable {
    private final Topics topics = new Topics(Ridge.SITE);
    private final MqttAsyncClient client;
    private final LinkedBlockingQueue<Have> asked = new LinkedBlockingQueue<>();
    private final LinkedBlockingQueue<CommandMessage> commands = new LinkedBlockingQueue<>();
    private final LinkedBlockingQueue<StandIn> presses = new LinkedBlockingQueue<>();
    private final List<JournalRecord> journal = new CopyOnWriteArrayList<>();
    private final Thread sender;
    private volatile String journalId = Ridge.JOURNAL;
    private volatile Function<List<JournalRecord>, List<JournalRecord>> way = records -> records;
    private volatile @Nullable Function<CommandMessage, AnswerMessage> answering;
    private volatile boolean standIn;

    public LineOnMqtt(int port) throws MqttException {
        client =
                new MqttAsyncClient(
                        "tcp://127.0.0.1:" + port,
                        "line-" + System.nanoTime(),
                        new MemoryPersistence());
        client.setCallback(new Receiver());
        connect();
        sender = Thread.ofVirtual().start(this::send);
    }

    private final LinkedBlockingQueue<Have> toSend = new LinkedBlockingQueue<>();

    public void connect() throws MqttException {
        MqttConnectionOptions options = new MqttConnectionOptions();
        options.setCleanStart(true);
        client.connect(options).waitForCompletion(5_000);
        client.subscribe(
                        new MqttSubscription[] {
                            new MqttSubscription(topics.have("x").replaceAll("x$", "+"), 1),
                            new MqttSubscription(topics.command(), 1),
                            new MqttSubscription(StandIn.topic(Ridge.SITE), 1)
                        })
                .waitForCompletion(5_000);
    }

    public LineOnMqtt holding(List<JournalRecord> records) {
        journal.clear();
        journal.addAll(records);
        journalId = records.getFirst().journal();
        return this;
    }

    /** How records get lost, swapped or repeated on their way. */
    public void way(Function<List<JournalRecord>, List<JournalRecord>> newWay) {
        way = newWay;
    }

    public void answering(Function<CommandMessage, AnswerMessage> how) {
        answering = how;
    }

    public void offerStandIn() {
        standIn = true;
    }

    public void up() throws MqttException {
        long last = journal.isEmpty() ? 0 : journal.getLast().n();
        long first = journal.isEmpty() ? 0 : journal.getFirst().n();
        publish(
                topics.status(),
                new Status(true, journalId, first, last, Ridge.START, Ridge.NOON, standIn),
                true);
    }

    public void down() throws MqttException {
        publish(
                topics.status(),
                new Status(false, journalId, 0, 0, Ridge.START, null, standIn),
                true);
    }

    public void tell(LineDescription line) throws MqttException {
        publish(topics.line(), line, true);
    }

    public void tell(RecipeDescription recipe) throws MqttException {
        publish(topics.recipe(recipe.name()), recipe, true);
    }

    public void tell(UnitLive unit) throws MqttException {
        publish(topics.unit(unit.unit()), unit, true);
    }

    public void tell(AlarmLive alarm) throws MqttException {
        publish(topics.alarm(alarm.id()), alarm, true);
    }

    public void tell(LearnedLive learned) throws MqttException {
        publish(topics.learned(learned.unit()), learned, true);
    }

    public void record(String store, JournalRecord record) throws MqttException {
        publish(topics.record(store), record, false);
    }

    public void raw(String topic, byte[] bytes) throws MqttException {
        client.publish(topic, bytes, 1, false).waitForCompletion(5_000);
    }

    public @Nullable Have nextAsked() throws InterruptedException {
        return asked.poll(10, TimeUnit.SECONDS);
    }

    /** Waits until the store says that it has this. */
    public boolean toldToHave(String journalName, long n) throws InterruptedException {
        for (Have have = nextAsked(); have != null; have = nextAsked()) {
            if (journalName.equals(have.journal()) && have.n() == n) {
                return true;
            }
        }
        return false;
    }

    public @Nullable CommandMessage nextCommand() throws InterruptedException {
        return commands.poll(10, TimeUnit.SECONDS);
    }

    public @Nullable StandIn nextPress() throws InterruptedException {
        return presses.poll(10, TimeUnit.SECONDS);
    }

    private void publish(String topic, Object message, boolean retained) throws MqttException {
        MqttMessage sent = new MqttMessage(Codec.write(message));
        sent.setQos(1);
        sent.setRetained(retained);
        published(topic, sent).waitForCompletion(5_000);
    }

    /**
     * Sends from where the store asked, a few at a time, as the real one does: a higher number
     * acknowledges, the same or a lower one asks again.
     */
    private void send() {
        long acknowledged = -1;
        long next = 1;
        try {
            while (true) {
                Have have = next > journal.size() ? toSend.take() : toSend.poll();
                if (have != null) {
                    long from = journalId.equals(have.journal()) ? have.n() : 0;
                    next = from > acknowledged ? Math.max(next, from + 1) : from + 1;
                    acknowledged = from;
                }
                long first = next;
                List<JournalRecord> few =
                        journal.stream().filter(r -> r.n() >= first).limit(8).toList();
                next += few.size();
                List<IMqttToken> inFlight = new ArrayList<>();
                for (JournalRecord record : way.apply(new ArrayList<>(few))) {
                    MqttMessage message = new MqttMessage(Codec.write(record));
                    message.setQos(1);
                    inFlight.add(published(topics.record("monitor"), message));
                }
                for (IMqttToken token : inFlight) {
                    token.waitForCompletion(5_000);
                }
            }
        } catch (InterruptedException _) {
            Thread.currentThread().interrupt();
        } catch (MqttException e) {
            if (client.isConnected()) {
                throw new IllegalStateException("the line can't send", e);
            }
        }
    }

    /** The client counts its window down late: "too many publishes" only means a moment later. */
    private IMqttToken published(String topic, MqttMessage message) throws MqttException {
        while (true) {
            try {
                return client.publish(topic, message);
            } catch (MqttException e) {
                if (e.getReasonCode() != MqttClientException.REASON_CODE_MAX_INFLIGHT) {
                    throw e;
                }
                Thread.onSpinWait();
            }
        }
    }

    private final class Receiver implements MqttCallback {
        @Override
        public void messageArrived(String topic, MqttMessage message) throws Exception {
            if (topic.equals(topics.command())) {
                CommandMessage command = Codec.read(message.getPayload(), CommandMessage.class);
                commands.add(command);
                Function<CommandMessage, AnswerMessage> how = answering;
                if (how != null) {
                    Thread.ofVirtual().start(() -> reply(command, how));
                }
            } else if (topic.equals(StandIn.topic(Ridge.SITE))) {
                presses.add(Codec.read(message.getPayload(), StandIn.class));
            } else {
                Have have = Codec.read(message.getPayload(), Have.class);
                asked.add(have);
                toSend.add(have);
            }
        }

        private void reply(CommandMessage command, Function<CommandMessage, AnswerMessage> how) {
            try {
                publish(topics.answer(command.client()), how.apply(command), false);
            } catch (MqttException e) {
                throw new IllegalStateException(e);
            }
        }

        @Override
        public void disconnected(MqttDisconnectResponse response) {}

        @Override
        public void mqttErrorOccurred(MqttException exception) {}

        @Override
        public void deliveryComplete(IMqttToken token) {}

        @Override
        public void connectComplete(boolean reconnect, String serverURI) {}

        @Override
        public void authPacketArrived(int reasonCode, MqttProperties properties) {}
    }

    @Override
    public void close() throws MqttException {
        sender.interrupt();
        if (client.isConnected()) {
            client.disconnect(0).waitForCompletion(1_000);
        }
        client.close(true);
    }
}
