package steamleaf.monitor.intake;

import io.micrometer.core.instrument.Counter;
import io.micrometer.core.instrument.MeterRegistry;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.locks.LockSupport;
import java.util.logging.Level;
import java.util.logging.Logger;
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
import steamleaf.contract.StandInSays;
import steamleaf.contract.Status;
import steamleaf.contract.Topics;
import steamleaf.contract.UnitLive;
import steamleaf.monitor.live.Asking;
import steamleaf.monitor.live.Live;
import steamleaf.monitor.store.Rows;
import steamleaf.monitor.store.Store;

/**
 * The monitor's one connection to the broker. Live messages go straight into {@link Live}; records
 * go through a bounded queue to {@link #step}, which one thread repeats: keep the connection, store
 * what came in one durable step, then say what is had. Records that find the queue full are left
 * out; the gap they leave is asked for again.
 */
public final class Intake implements Asking, AutoCloseable {
    private static final Logger LOG = Logger.getLogger(Intake.class.getName());

    /** Records waiting to be stored. */
    private static final int QUEUE = 4_096;

    /** Records in one durable step. */
    private static final int BATCH = 1_024;

    /** How long one step waits for the first record. */
    private static final long STEP_MS = 200;

    /** An answer comes within one cycle; this allows for the network. */
    private static final long ANSWER_MS = 4_000;

    /** The client counts its window down late: "too many publishes" only means a moment later. */
    private static final long SEND_NS = TimeUnit.SECONDS.toNanos(1);

    private static final long SEND_AGAIN_NS = TimeUnit.MILLISECONDS.toNanos(5);
    private static final long CONNECT_MS = 5_000;
    private static final long RETRY_NS = TimeUnit.SECONDS.toNanos(1);

    /** The same question isn't asked more often than this. */
    private static final long ASK_AGAIN_NS = TimeUnit.SECONDS.toNanos(1);

    /** A controller that is up and has more, and says nothing for this long, is asked again. */
    private static final long SILENCE_NS = TimeUnit.SECONDS.toNanos(5);

    private static final int KEEP_ALIVE_S = 10;
    private static final int IN_FLIGHT = 8;

    /** Where and as whom to connect. */
    public record Broker(String host, int port, @Nullable String user, @Nullable String password) {}

    private final Topics topics;
    private final String site;
    private final String store;
    private final Broker broker;
    private final Store kept;
    private final Live live;
    private final MqttAsyncClient client;
    private final BlockingQueue<JournalRecord> records = new ArrayBlockingQueue<>(QUEUE);
    private final Map<String, CompletableFuture<AnswerMessage>> waiting = new ConcurrentHashMap<>();
    private final Counter storedCount;
    private final Counter repeatedCount;
    private final Counter askedCount;
    private final Counter malformedCount;

    private volatile boolean stopping;
    private volatile boolean newConnection;
    private volatile boolean overflowed;
    private long lastTryNs;
    private long lastAskNs;
    private long lastRecordNs;
    private boolean owes = true;
    private @Nullable String askedJournal;

    public Intake(
            String site, String store, Broker broker, Store kept, Live live, MeterRegistry meters) {
        this.topics = new Topics(site);
        this.site = site;
        this.store = store;
        this.broker = broker;
        this.kept = kept;
        this.live = live;
        this.storedCount = meters.counter("steamleaf.intake.records", "outcome", "stored");
        this.repeatedCount = meters.counter("steamleaf.intake.records", "outcome", "repeated");
        this.malformedCount = meters.counter("steamleaf.intake.malformed");
        this.askedCount = meters.counter("steamleaf.intake.asked");
        meters.gauge("steamleaf.intake.waiting", records, BlockingQueue::size);
        try {
            client =
                    new MqttAsyncClient(
                            "tcp://" + broker.host() + ":" + broker.port(),
                            "steamleaf-" + site + "-" + store,
                            new MemoryPersistence());
            client.setCallback(new Callback());
        } catch (MqttException e) {
            throw new IllegalArgumentException(
                    "mqtt: " + broker.host() + ":" + broker.port() + " can't be used", e);
        }
        long now = live.nowNs();
        lastTryNs = now - RETRY_NS;
        lastAskNs = now - ASK_AGAIN_NS;
        lastRecordNs = now;
    }

    /** Repeats {@link #step} until {@link #close}; the caller's thread. */
    public void run() {
        while (!stopping) {
            try {
                step();
            } catch (InterruptedException _) {
                Thread.currentThread().interrupt();
                return;
            } catch (RuntimeException e) {
                LOG.log(Level.WARNING, "records were not stored; they are asked for again", e);
                live.trouble("The store could not be written: " + e.getMessage());
                owes = true;
                pause();
            }
        }
    }

    private void pause() {
        try {
            live.awaitAfter(Long.MAX_VALUE, STEP_MS);
        } catch (InterruptedException _) {
            Thread.currentThread().interrupt();
        }
    }

    private void step() throws InterruptedException {
        keepConnected();
        List<JournalRecord> came = new ArrayList<>();
        JournalRecord first = records.poll(STEP_MS, TimeUnit.MILLISECONDS);
        if (first != null) {
            came.add(first);
            records.drainTo(came, BATCH - 1);
            keep(came);
        }
        askIfNeeded();
    }

    private void keep(List<JournalRecord> came) {
        int events = 0;
        int stored = 0;
        boolean gap = false;
        for (int from = 0; from < came.size(); ) {
            int to = from + 1;
            while (to < came.size() && came.get(to).journal().equals(came.get(from).journal())) {
                to++;
            }
            Rows.Appended appended =
                    kept.append(site, came.subList(from, to), firstHeld(came.get(from).journal()));
            storedCount.increment(appended.stored());
            repeatedCount.increment(appended.repeated());
            gap = appended.gap();
            events += appended.events();
            stored += appended.stored();
            from = to;
        }
        if (stored > 0) {
            lastRecordNs = live.nowNs();
            live.trouble(null);
            acknowledge();
        }
        owes |= gap; // said again unchanged, which asks
        if (events > 0) {
            live.recorded();
        }
    }

    private long firstHeld(String journal) {
        Status status = live.now().status();
        return status != null && status.journal().equals(journal) ? status.first() : 1;
    }

    private void askIfNeeded() {
        long now = live.nowNs();
        Status status = live.now().status();
        String journal = status == null ? null : status.journal();
        boolean other = !Objects.equals(journal, askedJournal);
        if (!live.now().brokerUp()) {
            return; // what is asked before the subscriptions stand is answered into the void
        }
        boolean silent =
                status != null
                        && status.up()
                        && now - lastRecordNs > SILENCE_NS
                        && now - lastAskNs > SILENCE_NS;
        if (overflowed && records.isEmpty()) {
            overflowed = false;
            owes = true;
        }
        if (other || silent || (owes && now - lastAskNs > ASK_AGAIN_NS)) {
            acknowledge();
        }
    }

    /** Says what is had, and with it asks for what follows. */
    private void acknowledge() {
        if (!live.now().brokerUp()) {
            owes = true;
            return;
        }
        Status status = live.now().status();
        String journal = status == null ? null : status.journal();
        Have have = kept.have(site, journal);
        try {
            MqttMessage message = new MqttMessage(Codec.write(have));
            message.setQos(1);
            message.setRetained(true);
            client.publish(topics.have(store), message);
            askedCount.increment();
            askedJournal = journal;
            lastAskNs = live.nowNs();
            owes = false;
        } catch (MqttException e) {
            owes = true;
            LOG.log(Level.FINE, "could not ask", e);
        }
    }

    private void keepConnected() {
        if (client.isConnected()) {
            if (newConnection) {
                newConnection = false;
                subscribe();
            }
            return;
        }
        long now = live.nowNs();
        if (now - lastTryNs < RETRY_NS) {
            return;
        }
        lastTryNs = now;
        try {
            client.connect(options()).waitForCompletion(CONNECT_MS);
        } catch (MqttException e) {
            LOG.log(Level.FINE, "no connection to the broker", e);
        }
    }

    private MqttConnectionOptions options() {
        MqttConnectionOptions options = new MqttConnectionOptions();
        options.setCleanStart(true);
        options.setAutomaticReconnect(false);
        options.setConnectionTimeout((int) TimeUnit.MILLISECONDS.toSeconds(CONNECT_MS));
        options.setKeepAliveInterval(KEEP_ALIVE_S);
        options.setReceiveMaximum(IN_FLIGHT * IN_FLIGHT);
        if (broker.user() != null) {
            options.setUserName(broker.user());
        }
        if (broker.password() != null) {
            options.setPassword(
                    broker.password().getBytes(java.nio.charset.StandardCharsets.UTF_8));
        }
        return options;
    }

    private void subscribe() {
        try {
            MqttSubscription[] wanted = {
                new MqttSubscription(topics.status(), 1),
                new MqttSubscription(topics.line(), 1),
                new MqttSubscription(topics.recipe("x").replaceAll("x$", "+"), 1),
                new MqttSubscription(topics.unit("x").replaceAll("x$", "+"), 0),
                new MqttSubscription(topics.alarm("x").replaceAll("x$", "+"), 1),
                new MqttSubscription(topics.learned("x").replaceAll("x$", "+"), 1),
                new MqttSubscription(topics.record(store), 1),
                new MqttSubscription(StandInSays.topic(site), 1),
                new MqttSubscription(topics.answer(client()), 1),
            };
            client.subscribe(wanted).waitForCompletion(CONNECT_MS);
            live.broker(true);
            owes = true;
            lastAskNs = live.nowNs() - 2 * ASK_AGAIN_NS;
            lastRecordNs = live.nowNs();
        } catch (MqttException e) {
            LOG.log(Level.WARNING, "could not subscribe; trying again", e);
            newConnection = true;
        }
    }

    @Override
    public String client() {
        return store;
    }

    @Override
    public Reply ask(CommandMessage command) {
        CompletableFuture<AnswerMessage> answer = new CompletableFuture<>();
        waiting.put(command.id(), answer);
        try {
            if (!publish(topics.command(), Codec.write(command))) {
                return new Reply.NotSent();
            }
            return new Reply.Answered(answer.get(ANSWER_MS, TimeUnit.MILLISECONDS));
        } catch (InterruptedException _) {
            Thread.currentThread().interrupt();
            return new Reply.NoAnswer();
        } catch (ExecutionException | TimeoutException _) {
            return new Reply.NoAnswer();
        } finally {
            waiting.remove(command.id());
        }
    }

    @Override
    public boolean press(StandIn press) {
        return publish(StandIn.topic(site), Codec.write(press));
    }

    private boolean publish(String topic, byte[] bytes) {
        long from = live.nowNs();
        while (client.isConnected()) {
            try {
                MqttMessage message = new MqttMessage(bytes);
                message.setQos(1);
                client.publish(topic, message);
                return true;
            } catch (MqttException e) {
                boolean full = e.getReasonCode() == MqttClientException.REASON_CODE_MAX_INFLIGHT;
                if (!full || live.nowNs() - from > SEND_NS) {
                    LOG.log(Level.WARNING, "could not send to " + topic, e);
                    return false;
                }
                LockSupport.parkNanos(SEND_AGAIN_NS);
            }
        }
        return false;
    }

    private void received(String topic, MqttMessage message) {
        String level = Topics.lastLevel(topic);
        byte[] bytes = message.getPayload();
        boolean gone = bytes.length == 0;
        try {
            if (topic.equals(topics.record(store))) {
                record(Codec.read(bytes, JournalRecord.class));
            } else if (topic.equals(topics.answer(client()))) {
                answer(Codec.read(bytes, AnswerMessage.class));
            } else if (topic.equals(StandInSays.topic(site))) {
                live.helper(gone ? null : Codec.read(bytes, StandInSays.class).text());
            } else if (topic.equals(topics.status())) {
                live.status(gone ? null : Codec.read(bytes, Status.class));
            } else if (topic.equals(topics.line())) {
                live.line(gone ? null : Codec.read(bytes, LineDescription.class));
            } else if (topic.equals(topics.unit(level))) {
                live.unit(
                        level,
                        gone ? null : Codec.read(bytes, UnitLive.class),
                        message.isRetained());
            } else if (topic.equals(topics.alarm(level))) {
                live.alarm(level, gone ? null : Codec.read(bytes, AlarmLive.class));
            } else if (topic.equals(topics.learned(level))) {
                live.learned(level, gone ? null : Codec.read(bytes, LearnedLive.class));
            } else if (topic.equals(topics.recipe(level))) {
                live.recipe(level, gone ? null : Codec.read(bytes, RecipeDescription.class));
            }
        } catch (Codec.Malformed | IllegalArgumentException e) {
            malformedCount.increment();
            LOG.log(
                    Level.WARNING,
                    "left out: a message on {0} that is not of the contract: {1}",
                    new Object[] {topic, e.getMessage()});
        }
    }

    private void record(JournalRecord record) {
        if (!records.offer(record)) {
            overflowed = true;
        }
    }

    private void answer(AnswerMessage answer) {
        CompletableFuture<AnswerMessage> asked = waiting.get(answer.id());
        if (asked != null) {
            asked.complete(answer);
        }
    }

    /** Ends {@link #run}; records that came and were not stored are asked for at the next start. */
    @Override
    public void close() {
        stopping = true;
        try {
            if (client.isConnected()) {
                client.disconnect(0).waitForCompletion(1_000);
            }
        } catch (MqttException e) {
            LOG.log(Level.FINE, "the connection was gone already", e);
        }
        try {
            client.close(true);
        } catch (MqttException e) {
            LOG.log(Level.FINE, "the client was closed already", e);
        }
    }

    private final class Callback implements MqttCallback {
        @Override
        public void disconnected(MqttDisconnectResponse response) {
            live.broker(false);
        }

        @Override
        public void mqttErrorOccurred(MqttException exception) {
            LOG.log(Level.FINE, "MQTT", exception);
        }

        @Override
        public void messageArrived(String topic, MqttMessage message) {
            received(topic, message);
        }

        @Override
        public void deliveryComplete(IMqttToken token) {
            // QoS 1 commands are answered by the controller, not by the broker
        }

        @Override
        public void connectComplete(boolean reconnect, String serverURI) {
            newConnection = true;
        }

        @Override
        public void authPacketArrived(int reasonCode, MqttProperties properties) {
            // no extended authentication
        }
    }
}
