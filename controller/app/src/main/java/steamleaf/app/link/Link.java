package steamleaf.app.link;

import java.io.IOException;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.atomic.AtomicReference;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttActionListener;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.MqttSubscription;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import steamleaf.app.journal.Journal;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.AnswerMessage;
import steamleaf.contract.Because;
import steamleaf.contract.Codec;
import steamleaf.contract.Have;
import steamleaf.contract.LearnedLive;
import steamleaf.contract.LineDescription;
import steamleaf.contract.RecipeDescription;
import steamleaf.contract.Status;
import steamleaf.contract.Topics;
import steamleaf.contract.UnitLive;

/**
 * The controller's one connection to the broker. The cycle calls {@link Offers} and takes from the
 * {@link Inbox}; one thread of its own repeats {@link #turn}; the client's threads call back and
 * only note what came. A broker that is away costs nothing but the wait for it.
 */
public final class Link implements Offers, AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(Link.class);

    /** Records on their way to the broker at once, over all stores. */
    private static final int IN_FLIGHT = 8;

    /** Answers and states on their way to the broker at once. */
    private static final int OTHERS_IN_FLIGHT = 8;

    /** Records per store in one turn. */
    private static final int ROUNDS_PER_TURN = 64;

    private static final int MOST_STORES = 16;
    private static final int MOST_ANSWERS = 256;
    private static final long LIVE_EVERY_NS = TimeUnit.MILLISECONDS.toNanos(250);
    private static final long STATUS_EVERY_NS = TimeUnit.SECONDS.toNanos(2);
    private static final long FIRST_BACKOFF_NS = TimeUnit.MILLISECONDS.toNanos(500);
    private static final long LAST_BACKOFF_NS = TimeUnit.SECONDS.toNanos(30);
    private static final long CONNECT_NS = TimeUnit.SECONDS.toNanos(10);
    private static final int KEEP_ALIVE_S = 10;

    /** Larger packets are not even delivered. */
    private static final long MOST_PACKET_BYTES = 256 * 1024;

    private final LinkSettings settings;
    private final Topics topics;
    private final Journal journal;
    private final Inbox inbox;
    private final Gate gate;
    private final Semaphore work = new Semaphore(0);

    // Offered by the cycle, taken by the link's thread.
    private final AtomicReference<@Nullable List<UnitLive>> live = new AtomicReference<>();
    private final AtomicReference<@Nullable Described> described = new AtomicReference<>();
    private final ConcurrentLinkedQueue<AlarmLive> changedAlarms = new ConcurrentLinkedQueue<>();
    private final ConcurrentLinkedQueue<LearnedLive> newlyLearned = new ConcurrentLinkedQueue<>();
    private final ConcurrentLinkedQueue<Addressed> answers = new ConcurrentLinkedQueue<>();
    private final AtomicInteger answersWaiting = new AtomicInteger();
    private volatile boolean liveWanted;
    private volatile Moment moment = new Moment(0, Instant.EPOCH);

    // The link's thread's own.
    private volatile @Nullable Connection connection;
    private @Nullable Described description;
    private final Map<String, AlarmLive> alarms = new LinkedHashMap<>();
    private final Map<String, LearnedLive> learned = new LinkedHashMap<>();
    private final Set<String> storesAhead = new HashSet<>();
    private final Deque<Outgoing> outgoing = new ArrayDeque<>();
    private long nextTryNs;
    private boolean tried;
    private long backoffNs = FIRST_BACKOFF_NS;
    private long lastLiveNs;
    private long lastStatusNs;
    private long statusOfLast = -1;

    private final AtomicLong connects = new AtomicLong();
    private final AtomicLong recordsSent = new AtomicLong();
    private final AtomicLong taken = new AtomicLong();
    private final AtomicLong refused = new AtomicLong();
    private final AtomicLong ignored = new AtomicLong();
    private final AtomicLong answersDropped = new AtomicLong();
    private final Map<String, Long> storesHave = new ConcurrentHashMap<>();
    private volatile long resent;

    private record Described(LineDescription line, List<RecipeDescription> recipes) {}

    private record Addressed(String client, AnswerMessage answer) {}

    private record Moment(long cycle, Instant at) {}

    /** One message for the broker. */
    private static final class Outgoing {
        final String topic;
        final byte[] bytes;
        final int qos;
        final boolean retained;

        Outgoing(String topic, byte[] bytes, int qos, boolean retained) {
            this.topic = topic;
            this.bytes = bytes;
            this.qos = qos;
            this.retained = retained;
        }
    }

    /**
     * @param units labels of all units, the line included
     */
    public Link(LinkSettings settings, Set<String> units, Journal journal, Inbox inbox) {
        this.settings = settings;
        this.topics = new Topics(settings.site());
        this.journal = journal;
        this.inbox = inbox;
        this.gate = new Gate(settings.start(), Set.copyOf(units));
    }

    // ---- offered by the cycle ----

    @Override
    public boolean wantsLive() {
        return liveWanted;
    }

    @Override
    public void live(List<UnitLive> units) {
        liveWanted = false;
        live.set(units);
        work.release();
    }

    @Override
    public void alarm(AlarmLive alarm) {
        changedAlarms.add(alarm);
        work.release();
    }

    @Override
    public void learned(LearnedLive of) {
        newlyLearned.add(of);
        work.release();
    }

    @Override
    public void answer(String client, AnswerMessage answer) {
        if (client.isEmpty()) {
            return;
        }
        if (answersWaiting.incrementAndGet() > MOST_ANSWERS && answers.poll() != null) {
            answersWaiting.decrementAndGet();
            answersDropped.incrementAndGet();
        }
        answers.add(new Addressed(client, answer));
        work.release();
    }

    @Override
    public void describe(LineDescription line, List<RecipeDescription> recipes) {
        described.set(new Described(line, List.copyOf(recipes)));
        work.release();
    }

    @Override
    public void moment(long cycle, Instant at) {
        moment = new Moment(cycle, at);
    }

    // ---- the link's thread ----

    /** Something may be there to send: ends an {@link #await}. */
    public void wake() {
        work.release();
    }

    /** Waits until there is something to do, or {@code mostMs} have passed. */
    public void await(long mostMs) throws InterruptedException {
        if (work.tryAcquire(mostMs, TimeUnit.MILLISECONDS)) {
            work.drainPermits();
        }
    }

    /** One turn: keep the connection, take what came, send what is due. Never waits. */
    public void turn(long nowNs) {
        Connection open = connection;
        if (open != null && open.isLost(nowNs)) {
            LOG.warn("the broker {} is away: {}", settings.uri(), open.lostBecause());
            open.discard();
            connection = null;
            open = null;
            liveWanted = false;
            nextTryNs = nowNs + backoffNs;
            backoffNs = Math.min(2 * backoffNs, LAST_BACKOFF_NS);
        }
        if (open == null) {
            if (!tried || nowNs - nextTryNs >= 0) {
                tried = true;
                connect(nowNs);
            }
            return;
        }
        if (!open.isReady()) {
            return;
        }
        if (!open.greeted) {
            open.greeted = true;
            greet(nowNs);
        }
        collect(nowNs);
        flush(open);
        pump(open, nowNs);
    }

    private void connect(long nowNs) {
        try {
            Connection fresh = new Connection(nowNs);
            connection = fresh;
            fresh.begin();
        } catch (MqttException | RuntimeException e) {
            LOG.warn("no connection to {}: {}", settings.uri(), e.getMessage());
            connection = null;
            nextTryNs = nowNs + backoffNs;
            backoffNs = Math.min(2 * backoffNs, LAST_BACKOFF_NS);
        }
    }

    /** Everything retained, as it is now. */
    private void greet(long nowNs) {
        LOG.info("connected to {}", settings.uri());
        connects.incrementAndGet();
        backoffNs = FIRST_BACKOFF_NS;
        outgoing.clear();
        status(nowNs, true);
        if (description != null) {
            describe(description);
        }
        alarms.values().forEach(this::retain);
        learned.values().forEach(this::retain);
        lastLiveNs = nowNs - LIVE_EVERY_NS;
    }

    private void collect(long nowNs) {
        Described fresh = described.getAndSet(null);
        if (fresh != null) {
            description = fresh;
            describe(fresh);
        }
        for (AlarmLive alarm = changedAlarms.poll(); alarm != null; alarm = changedAlarms.poll()) {
            alarms.put(alarm.id(), alarm);
            retain(alarm);
        }
        for (LearnedLive of = newlyLearned.poll(); of != null; of = newlyLearned.poll()) {
            learned.put(of.unit(), of);
            retain(of);
        }
        for (Addressed answer = answers.poll(); answer != null; answer = answers.poll()) {
            answersWaiting.decrementAndGet();
            send(topics.answer(answer.client()), answer.answer(), 1, false);
        }
        List<UnitLive> units = live.getAndSet(null);
        if (units != null) {
            for (UnitLive unit : units) {
                send(topics.unit(unit.unit()), unit, 0, true);
            }
        }
        if (nowNs - lastLiveNs >= LIVE_EVERY_NS && !liveWanted && outgoing.isEmpty()) {
            lastLiveNs = nowNs;
            liveWanted = true;
        }
        if (nowNs - lastStatusNs >= STATUS_EVERY_NS && journal.last() != statusOfLast) {
            status(nowNs, true);
        }
    }

    private void status(long nowNs, boolean up) {
        lastStatusNs = nowNs;
        statusOfLast = journal.last();
        send(topics.status(), status(up), 1, true);
    }

    private Status status(boolean up) {
        Instant at = moment.at();
        return new Status(
                up,
                journal.id(),
                journal.first(),
                journal.last(),
                settings.start(),
                at.equals(Instant.EPOCH) ? null : at,
                settings.standIn());
    }

    private void describe(Described what) {
        send(topics.line(), what.line(), 1, true);
        for (RecipeDescription recipe : what.recipes()) {
            send(topics.recipe(recipe.name()), recipe, 1, true);
        }
    }

    private void retain(AlarmLive alarm) {
        send(topics.alarm(alarm.id()), alarm, 1, true);
    }

    private void retain(LearnedLive of) {
        send(topics.learned(of.unit()), of, 1, true);
    }

    private void send(String topic, Object message, int qos, boolean retained) {
        outgoing.add(new Outgoing(topic, Codec.write(message), qos, retained));
    }

    private void flush(Connection open) {
        clearForgotten(open);
        while (!outgoing.isEmpty() && open.othersInFlight.get() < OTHERS_IN_FLIGHT) {
            Outgoing next = outgoing.getFirst();
            if (!open.publish(next, open.othersInFlight, null)) {
                return;
            }
            outgoing.removeFirst();
        }
    }

    /** Alarms retained by an earlier start that are not standing any more. */
    private void clearForgotten(Connection open) {
        for (String id = open.seenAlarms.poll(); id != null; id = open.seenAlarms.poll()) {
            if (!alarms.containsKey(id)) {
                outgoing.add(new Outgoing(topics.alarm(id), new byte[0], 1, true));
            }
        }
        if (open.retainedCommand.getAndSet(0) > 0) {
            outgoing.add(new Outgoing(topics.command(), new byte[0], 1, true));
        }
    }

    // ---- records ----

    private void pump(Connection open, long nowNs) {
        takeHaves(open, nowNs);
        boolean sent = true;
        for (int round = 0; sent && open.recordsInFlight.get() < IN_FLIGHT; round++) {
            if (round == ROUNDS_PER_TURN) { // answers and states must not wait for a long backlog
                work.release();
                break;
            }
            sent = false;
            for (Map.Entry<String, StorePump> store : open.pumps.entrySet()) {
                sent |= pumpOne(open, store.getKey(), store.getValue(), nowNs);
            }
        }
        long again = 0;
        for (StorePump store : open.pumps.values()) {
            again += store.resent();
        }
        resent = open.resentBefore + again;
    }

    private boolean pumpOne(Connection open, String store, StorePump pump, long nowNs) {
        if (open.recordsInFlight.get() >= IN_FLIGHT) {
            return false;
        }
        if (open.failedStores.remove(store)) {
            pump.failed(nowNs);
        }
        try {
            byte[] line = pump.due(nowNs);
            if (line == null) {
                return false;
            }
            Outgoing record = new Outgoing(topics.record(store), line, 1, false);
            if (!open.publish(record, open.recordsInFlight, store)) {
                pump.failed(nowNs);
                return false;
            }
            recordsSent.incrementAndGet();
            return true;
        } catch (IOException e) {
            LOG.warn("the journal can't be read for {}: {}", store, e.getMessage());
            pump.failed(nowNs);
            return false;
        }
    }

    private void takeHaves(Connection open, long nowNs) {
        for (ComingHave came = open.haves.poll(); came != null; came = open.haves.poll()) {
            String store = came.store();
            StorePump pump = open.pumps.get(store);
            if (pump == null) {
                if (open.pumps.size() >= MOST_STORES) {
                    ignored.incrementAndGet();
                    continue;
                }
                pump = new StorePump(journal, storesAhead.contains(store));
                open.pumps.put(store, pump);
            }
            pump.have(came.have().journal(), came.have().n(), nowNs);
            storesHave.put(store, pump.has());
            if (pump.isAheadOfJournal()) {
                storesAhead.add(store);
                LOG.error(
                        "store {} has record {} of journal {}, which ends at {}. The journal was"
                                + " put back from an older copy: move its folder away, so that a new"
                                + " one begins",
                        store,
                        came.have().n(),
                        journal.id(),
                        journal.last());
            } else {
                journal.acknowledge(store, pump.has());
            }
        }
    }

    private record ComingHave(String store, Have have) {}

    // ---- what comes in, on the client's threads ----

    private void arrived(Connection on, String topic, MqttMessage message) {
        byte[] payload = message.getPayload();
        if (topic.equals(topics.command())) {
            if (payload.length > 0) {
                command(on, payload, message.isRetained());
            }
        } else if (topic.equals(topics.have(Topics.lastLevel(topic)))) {
            have(on, Topics.lastLevel(topic), payload);
        } else if (message.isRetained() && payload.length > 0) {
            on.seenAlarms.add(Topics.lastLevel(topic));
        }
        work.release();
    }

    private void command(Connection on, byte[] payload, boolean retained) {
        if (retained) {
            on.retainedCommand.set(1);
        }
        switch (gate.check(payload, retained)) {
            case Gate.Verdict.Take(var command) -> {
                if (inbox.offer(command)) {
                    taken.incrementAndGet();
                } else {
                    refuse(command.client(), command.id(), Because.of("command-inbox-full"));
                }
            }
            case Gate.Verdict.Refuse(var client, var id, var because) ->
                    refuse(client, id, because);
            case Gate.Verdict.Ignore(var why) -> ignore("command", why);
        }
    }

    private void refuse(String client, String id, Because because) {
        refused.incrementAndGet();
        Moment now = moment;
        answer(
                client,
                new AnswerMessage(id, AnswerMessage.REFUSED, because, null, now.cycle(), now.at()));
    }

    private void have(Connection on, String store, byte[] payload) {
        if (payload.length == 0) {
            return;
        }
        try {
            on.haves.add(new ComingHave(store, Codec.read(payload, Have.class)));
        } catch (Codec.Malformed e) {
            ignore("have/" + store, String.valueOf(e.getMessage()));
        }
    }

    private void ignore(String what, String why) {
        if (ignored.incrementAndGet() % 100 == 1) { // a flood must not fill the log
            LOG.warn("left out: a message on {} that is not of the contract: {}", what, why);
        }
    }

    // ---- meters and the end ----

    public LinkCounts counts() {
        Connection open = connection;
        return new LinkCounts(
                open != null && open.isReady(),
                connects.get(),
                recordsSent.get(),
                resent,
                taken.get(),
                refused.get(),
                ignored.get(),
                answersDropped.get(),
                new TreeMap<>(storesHave));
    }

    /** Says that the controller is down, and leaves. Called by the link's thread, or after it. */
    @Override
    public void close() {
        Connection open = connection;
        connection = null;
        if (open == null) {
            return;
        }
        if (open.isReady()) {
            open.farewell(Codec.write(status(false)));
        }
        open.discard();
    }

    /** One connection, from the first try to its loss; what was under way dies with it. */
    private final class Connection implements MqttCallback, MqttActionListener {
        private static final long FAREWELL_MS = 1_000;

        final Map<String, StorePump> pumps = new LinkedHashMap<>();
        final ConcurrentLinkedQueue<ComingHave> haves = new ConcurrentLinkedQueue<>();
        final ConcurrentLinkedQueue<String> seenAlarms = new ConcurrentLinkedQueue<>();
        final Set<String> failedStores = ConcurrentHashMap.newKeySet();
        final AtomicInteger recordsInFlight = new AtomicInteger();
        final AtomicInteger othersInFlight = new AtomicInteger();
        final AtomicInteger retainedCommand = new AtomicInteger();
        final long resentBefore = resent;
        boolean greeted;

        private final MqttAsyncClient client;
        private final long begunNs;
        private volatile boolean ready;
        private volatile @Nullable String lost;

        Connection(long nowNs) throws MqttException {
            begunNs = nowNs;
            client =
                    new MqttAsyncClient(
                            settings.uri(), settings.clientId(), new MemoryPersistence());
            client.setCallback(this);
        }

        void begin() throws MqttException {
            MqttConnectionOptions options = new MqttConnectionOptions();
            options.setCleanStart(true);
            options.setAutomaticReconnect(false);
            options.setConnectionTimeout((int) TimeUnit.NANOSECONDS.toSeconds(CONNECT_NS));
            options.setKeepAliveInterval(KEEP_ALIVE_S);
            options.setMaximumPacketSize(MOST_PACKET_BYTES);
            MqttMessage will = new MqttMessage(Codec.write(lastWill()));
            will.setQos(1);
            will.setRetained(true);
            options.setWill(topics.status(), will);
            if (settings.user() != null) {
                options.setUserName(settings.user());
            }
            if (settings.password() != null) {
                options.setPassword(
                        settings.password().getBytes(java.nio.charset.StandardCharsets.UTF_8));
            }
            if (settings.tls() != null) {
                options.setSocketFactory(settings.tls());
                options.setHttpsHostnameVerificationEnabled(true);
            }
            client.connect(options, null, this);
        }

        private Status lastWill() {
            return new Status(
                    false,
                    journal.id(),
                    journal.first(),
                    journal.last(),
                    settings.start(),
                    null,
                    settings.standIn());
        }

        @Override
        public void onSuccess(IMqttToken token) {
            try {
                MqttSubscription command = new MqttSubscription(topics.command(), 1);
                command.setRetainAsPublished(true); // or a retained one could not be told
                MqttSubscription alarm = new MqttSubscription(anyLevel(topics.alarm("x")), 1);
                alarm.setNoLocal(true);
                MqttSubscription have = new MqttSubscription(anyLevel(topics.have("x")), 1);
                client.subscribe(
                        new MqttSubscription[] {command, alarm, have},
                        null,
                        new Subscribed(),
                        new MqttProperties());
            } catch (MqttException | RuntimeException e) {
                lose("could not subscribe: " + e.getMessage());
            }
        }

        @Override
        public void onFailure(IMqttToken token, Throwable why) {
            lose(String.valueOf(why.getMessage()));
        }

        private final class Subscribed implements MqttActionListener {
            @Override
            public void onSuccess(IMqttToken token) {
                ready = true;
                work.release();
            }

            @Override
            public void onFailure(IMqttToken token, Throwable why) {
                lose("could not subscribe: " + why.getMessage());
            }
        }

        private void lose(String why) {
            if (lost == null) {
                lost = why;
            }
            work.release();
        }

        boolean isReady() {
            return ready && lost == null;
        }

        boolean isLost(long nowNs) {
            if (lost == null && !ready && nowNs - begunNs > 2 * CONNECT_NS) {
                lost = "no answer to the connect";
            }
            return lost != null;
        }

        String lostBecause() {
            return String.valueOf(lost);
        }

        /**
         * @param store whose record it is, null for anything else
         * @return false when the client can't take it now
         */
        boolean publish(Outgoing what, AtomicInteger inFlight, @Nullable String store) {
            inFlight.incrementAndGet();
            try {
                client.publish(
                        what.topic,
                        what.bytes,
                        what.qos,
                        what.retained,
                        null,
                        sent(inFlight, store));
                return true;
            } catch (MqttException | RuntimeException e) {
                inFlight.decrementAndGet();
                LOG.debug("not sent on {}: {}", what.topic, e.getMessage());
                return false;
            }
        }

        private MqttActionListener sent(AtomicInteger inFlight, @Nullable String store) {
            return new MqttActionListener() {
                @Override
                public void onSuccess(IMqttToken token) {
                    inFlight.decrementAndGet();
                    work.release();
                }

                @Override
                public void onFailure(IMqttToken token, Throwable why) {
                    inFlight.decrementAndGet();
                    if (store != null) {
                        failedStores.add(store);
                    }
                    work.release();
                }
            };
        }

        void farewell(byte[] status) {
            try {
                client.publish(topics.status(), status, 1, true).waitForCompletion(FAREWELL_MS);
                client.disconnect(0).waitForCompletion(FAREWELL_MS);
            } catch (MqttException | RuntimeException e) {
                LOG.debug("left without a farewell: {}", e.getMessage());
            }
        }

        void discard() {
            lose("closed");
            pumps.values().forEach(StorePump::close);
            try {
                client.disconnectForcibly(0, 0, false);
            } catch (MqttException | RuntimeException e) {
                LOG.debug("already disconnected: {}", e.getMessage());
            }
            try {
                client.close(true);
            } catch (MqttException | RuntimeException e) {
                LOG.debug("already closed: {}", e.getMessage());
            }
        }

        @Override
        public void disconnected(MqttDisconnectResponse response) {
            lose(
                    String.valueOf(
                            response.getReasonString() == null
                                    ? response.getException()
                                    : response.getReasonString()));
        }

        @Override
        public void mqttErrorOccurred(MqttException exception) {
            LOG.debug("MQTT", exception);
        }

        @Override
        public void messageArrived(String topic, MqttMessage message) {
            if (lost == null) {
                try {
                    arrived(this, topic, message);
                } catch (RuntimeException e) { // must not end the client's thread
                    ignore(topic, String.valueOf(e.getMessage()));
                }
            }
        }

        @Override
        public void deliveryComplete(IMqttToken token) {
            // each publish has its own listener
        }

        @Override
        public void connectComplete(boolean reconnect, String serverUri) {
            // the connect's own listener goes on
        }

        @Override
        public void authPacketArrived(int reasonCode, MqttProperties properties) {
            // no extended authentication
        }
    }

    private static String anyLevel(String topic) {
        return topic.substring(0, topic.lastIndexOf('/') + 1) + "+";
    }
}
