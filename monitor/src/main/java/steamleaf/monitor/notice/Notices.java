package steamleaf.monitor.notice;

import java.net.http.HttpClient;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.function.LongSupplier;
import java.util.logging.Level;
import java.util.logging.Logger;
import javax.net.ssl.SSLContext;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.Because;
import steamleaf.contract.Codec;
import steamleaf.contract.Language;
import steamleaf.monitor.alarm.AlarmOrder;
import steamleaf.monitor.live.Live;
import steamleaf.monitor.store.Outbox;

/**
 * Follows the alarms, asks {@link Watch} who is to be told, puts that into the store, and sends
 * from there: one thread for each way, so that a mail server that hangs holds up no push, and none
 * of them the intake or a page.
 */
public final class Notices implements AutoCloseable {
    private static final Logger LOG = Logger.getLogger(Notices.class.getName());

    /**
     * The alarm that the monitor itself raises when nothing is heard while a batch is on its way.
     */
    public static final String NOT_HEARD = "line.not-heard";

    static final double NOT_HEARD_AFTER_S = 60;
    private static final double NOT_HEARD_RESPOND_S = 300;

    /** After a connection this long until what is not told of counts as gone. */
    private static final double SETTLED_S = 5;

    private static final double HOUR_S = 3_600;

    /** An urgent one goes although the hour is used up, but not more often than this. */
    private static final double URGENT_GAP_S = 60;

    /** Pauses before the next attempt; the last is repeated. Engineering choice. */
    private static final List<Double> AGAIN_S = List.of(5.0, 15.0, 45.0, 120.0, 300.0);

    /** After this nobody is helped by a late notice. */
    private static final double GIVEN_UP_S = 3_600;

    private static final double KEEP_S = 10;
    private static final long TICK_MS = 500;
    private static final double LONGEST_GAP_S = 86_400;

    private final NoticeSettings settings;
    private final Watch watch;
    private final Live live;
    private final Outbox outbox;
    private final Wording wording;
    private final LongSupplier wallMs;
    private final List<Channel> channels;
    private final @Nullable Push push;
    private final Map<String, Semaphore> work = new LinkedHashMap<>();
    private final double startS;
    private final long startNs;
    private final List<Thread> threads = new ArrayList<>();

    private Watch.State state;
    private @Nullable String onWatch;
    private @Nullable Instant watchSince;
    private double keptS;
    private double upSinceS = Double.NaN;
    private double downSinceS = Double.NaN;
    private long seenRevision = -1;
    private volatile boolean stopping;

    /** What a page shows. */
    public record View(
            @Nullable String onWatch,
            @Nullable Instant watchSince,
            List<Watch.Case> cases,
            double nowS,
            List<Outbox.Phone> phones) {
        public Watch.@Nullable Case find(String id) {
            return cases.stream().filter(c -> c.id().equals(id)).findFirst().orElse(null);
        }
    }

    private Notices(
            NoticeSettings settings,
            Live live,
            Outbox outbox,
            Wording wording,
            LongSupplier wallMs,
            @Nullable List<Channel> given) {
        this.settings = settings;
        this.watch = new Watch(settings);
        this.live = live;
        this.outbox = outbox;
        this.wording = wording;
        this.wallMs = wallMs;
        Push pushes = null;
        if (given == null) {
            SSLContext tls = Trust.with(settings.trust());
            HttpClient http =
                    HttpClient.newBuilder()
                            .sslContext(tls)
                            .connectTimeout(Duration.ofSeconds(10))
                            .version(HttpClient.Version.HTTP_1_1)
                            .build();
            List<Channel> all = new ArrayList<>();
            if (settings.mail() != null) {
                all.add(new Mail(settings.mail(), tls, wallMs));
            }
            if (settings.push() != null) {
                pushes = new Push(settings.push(), http, outbox);
                all.add(pushes);
            }
            if (!settings.webhooks().isEmpty()) {
                all.add(new Webhook(settings, http, wallMs));
            }
            channels = List.copyOf(all);
        } else {
            channels = given;
        }
        push = pushes;
        channels.forEach(c -> work.put(c.name(), new Semaphore(0)));
        startNs = live.nowNs();
        Outbox.Saved saved = outbox.saved().orElse(null);
        if (saved == null) {
            startS = 0;
            state = Watch.State.NOTHING;
        } else {
            // over a restart only the wall clock knows how long it took; it is believed forwards
            // only
            double gapS = (wallMs.getAsLong() - saved.wallMs()) / 1e3;
            startS = saved.nowS() + Math.clamp(gapS, 0, LONGEST_GAP_S);
            onWatch = saved.watch();
            watchSince = saved.watchSince();
            state = cases(saved.cases());
        }
        keptS = startS;
    }

    private static Watch.State cases(String json) {
        try {
            return Codec.read(json.getBytes(StandardCharsets.UTF_8), Watch.State.class);
        } catch (Codec.Malformed e) {
            LOG.log(Level.WARNING, "what was being told can't be read; it begins anew", e);
            return Watch.State.NOTHING;
        }
    }

    /**
     * Begins to follow and to send.
     *
     * @param wallMs for labels that others check, and to bridge a restart
     */
    public static Notices start(
            NoticeSettings settings,
            Live live,
            Outbox outbox,
            Wording wording,
            LongSupplier wallMs) {
        Notices notices = new Notices(settings, live, outbox, wording, wallMs, null);
        notices.begin();
        return notices;
    }

    /** With other ways, and with nobody ticking. */
    static Notices with(
            NoticeSettings settings,
            Live live,
            Outbox outbox,
            Wording wording,
            LongSupplier wallMs,
            List<Channel> channels) {
        return new Notices(settings, live, outbox, wording, wallMs, channels);
    }

    private void begin() {
        threads.add(Thread.ofPlatform().daemon().name("notices").start(this::follow));
        beginSending();
    }

    void beginSending() {
        for (Channel channel : channels) {
            threads.add(
                    Thread.ofPlatform()
                            .daemon()
                            .name("notices by " + channel.name())
                            .start(() -> send(channel)));
        }
    }

    double nowS() {
        return startS + (live.nowNs() - startNs) / 1e9;
    }

    private void follow() {
        while (!stopping) {
            try {
                seenRevision = live.awaitAfter(seenRevision, TICK_MS).revision();
                tick();
            } catch (InterruptedException _) {
                return;
            } catch (RuntimeException e) {
                LOG.log(Level.WARNING, "notices: a step failed; the next one repeats it", e);
            }
        }
    }

    /** One look at the line. */
    synchronized void tick() {
        double nowS = nowS();
        Live.Now now = live.now();
        boolean up = now.controllerUp();
        upSinceS = up ? (Double.isNaN(upSinceS) ? nowS : upSinceS) : Double.NaN;
        downSinceS = up ? Double.NaN : (Double.isNaN(downSinceS) ? nowS : downSinceS);
        boolean settled = up && nowS - upSinceS >= SETTLED_S;
        Map<String, AlarmLive> alarms = new TreeMap<>(now.alarms());
        if (!up) {
            notHeard(now, nowS, alarms);
        }
        take(watch.step(state, alarms, settled, nowS, onWatch), nowS);
    }

    /**
     * Nothing heard while leaf is in the line: the controller may be well and its horn with it, but
     * nobody elsewhere would hear of an alarm.
     */
    private void notHeard(Live.Now now, double nowS, Map<String, AlarmLive> alarms) {
        boolean leaf = now.units().values().stream().anyMatch(h -> h.live().batch() != null);
        if ((leaf && nowS - downSinceS >= NOT_HEARD_AFTER_S) || state.find(NOT_HEARD) != null) {
            Instant at = lineAt(now);
            alarms.put(
                    NOT_HEARD,
                    new AlarmLive(
                            NOT_HEARD,
                            "line",
                            "not-heard",
                            heldBy(NOT_HEARD) == null ? "unacknowledged" : "acknowledged",
                            "high",
                            NOT_HEARD_RESPOND_S,
                            0,
                            at == null ? Instant.EPOCH : at,
                            heldBy(NOT_HEARD),
                            Because.of("line-not-heard")));
        }
    }

    private @Nullable String heldBy(String id) {
        Watch.Case known = state.find(id);
        return known == null ? null : known.by();
    }

    private static @Nullable Instant lineAt(Live.Now now) {
        return now.units().values().stream()
                .map(h -> h.live().at())
                .max(Comparator.naturalOrder())
                .orElse(null);
    }

    private void take(Watch.Step step, double nowS) {
        boolean changed = !step.state().equals(state);
        boolean late = !state.cases().isEmpty() && nowS - keptS > KEEP_S;
        if (changed || !step.due().isEmpty() || late) {
            keep(step, nowS);
        }
    }

    private void keep(Watch.Step step, double nowS) {
        List<Outbox.New> notices = new ArrayList<>();
        for (Watch.Kind kind : Watch.Kind.values()) {
            Map<String, List<Watch.Case>> byPerson = new LinkedHashMap<>();
            for (Watch.Due due : step.due()) {
                if (due.kind() == kind) {
                    due.people()
                            .forEach(
                                    p ->
                                            byPerson.computeIfAbsent(p, _ -> new ArrayList<>())
                                                    .add(due.about()));
                }
            }
            byPerson.forEach(
                    (person, cases) -> toPerson(notices, step.state(), kind, person, cases, nowS));
            List<Watch.Case> all =
                    step.due().stream()
                            .filter(d -> d.kind() == kind)
                            .map(Watch.Due::about)
                            .toList();
            if (!all.isEmpty()) {
                for (NoticeSettings.Hook hook : settings.webhooks()) {
                    add(
                            notices,
                            step.state(),
                            kind,
                            hook.name(),
                            "webhook",
                            hook.name(),
                            Language.ENGLISH,
                            all,
                            nowS);
                }
            }
        }
        boolean fewer = false;
        List<String> open = new ArrayList<>();
        for (Watch.Case old : state.cases()) {
            Watch.Case next = step.state().find(old.id());
            fewer |= next == null || (next.heldS() != null && old.heldS() == null);
        }
        for (Watch.Case next : step.state().cases()) {
            if (next.heldS() == null) {
                open.add(next.id());
            }
        }
        outbox.keep(saved(step.state(), nowS), notices, fewer ? open : null, lineAt(live.now()));
        state = step.state();
        keptS = nowS;
        notices.forEach(n -> release(n.channel()));
    }

    private void release(String channel) {
        Semaphore waiting = work.get(channel);
        if (waiting != null) {
            waiting.release();
        }
    }

    private Outbox.Saved saved(Watch.State cases, double nowS) {
        return new Outbox.Saved(
                nowS, wallMs.getAsLong(), onWatch, watchSince, Codec.text(Codec.write(cases)));
    }

    private void toPerson(
            List<Outbox.New> notices,
            Watch.State after,
            Watch.Kind kind,
            String name,
            List<Watch.Case> cases,
            double nowS) {
        for (NoticeSettings.Person person : settings.people()) {
            if (!person.name().equals(name)) {
                continue;
            }
            if (person.mail() != null && settings.mail() != null) {
                add(
                        notices,
                        after,
                        kind,
                        name,
                        "mail",
                        person.mail(),
                        person.language(),
                        cases,
                        nowS);
            }
            if (person.push() && settings.push() != null) {
                for (Outbox.Phone phone : outbox.phones()) {
                    if (phone.person().equals(name)) {
                        add(
                                notices,
                                after,
                                kind,
                                name,
                                "push",
                                phone.endpoint(),
                                person.language(),
                                cases,
                                nowS);
                    }
                }
            }
        }
    }

    private void add(
            List<Outbox.New> notices,
            Watch.State after,
            Watch.Kind kind,
            String person,
            String channel,
            String target,
            Language language,
            List<Watch.Case> cases,
            double nowS) {
        boolean calls = kind == Watch.Kind.RAISED || kind == Watch.Kind.STILL;
        boolean urgent = calls && cases.stream().anyMatch(Watch.Case::isHigh);
        List<Double> sent = outbox.sendingTimes(person, channel, nowS - HOUR_S);
        double whenS = sendAt(sent, nowS, settings.perHour(), urgent);
        List<Watch.Case> about = cases;
        Outbox.Waiting waits =
                calls && whenS > nowS ? outbox.putOff(channel, target, nowS).orElse(null) : null;
        if (waits != null) { // one notice of all that could not be told, instead of a queue
            about = together(after, waits.alarms(), cases);
            whenS = Math.min(whenS, waits.nextS());
            urgent |= waits.urgent();
        }
        Wording.Text text = wording.of(language, kind, about, settings.page());
        notices.add(
                new Outbox.New(
                        kind.name().toLowerCase(Locale.ROOT),
                        person,
                        channel,
                        target,
                        about.stream().map(Watch.Case::id).toList(),
                        urgent,
                        text.title(),
                        text.text(),
                        whenS,
                        waits == null ? null : waits.id()));
    }

    /** What waits already, as far as nobody has it yet, and what has come. */
    private List<Watch.Case> together(
            Watch.State after, List<String> waiting, List<Watch.Case> come) {
        Map<String, Watch.Case> all = new LinkedHashMap<>();
        for (String id : waiting) {
            Watch.Case known = after.find(id);
            if (known != null && known.heldS() == null) {
                all.put(id, known);
            }
        }
        come.forEach(c -> all.put(c.id(), c));
        List<String> order =
                AlarmOrder.of(live.now().alarms().values()).stream()
                        .map(p -> p.alarm().id())
                        .toList();
        return all.values().stream()
                .sorted(Comparator.comparingInt(c -> Watch.place(order, c.id())))
                .toList();
    }

    /**
     * When a notice may go.
     *
     * @param sent times of those before it, within the last hour and to come, the youngest first
     */
    static double sendAt(List<Double> sent, double nowS, int perHour, boolean urgent) {
        if (sent.size() < perHour) {
            return nowS;
        }
        double freeS = Math.max(nowS, sent.get(perHour - 1) + HOUR_S);
        if (!urgent) {
            return freeS;
        }
        double lastS = sent.stream().filter(s -> s <= nowS).findFirst().orElse(nowS - HOUR_S);
        return Math.min(freeS, Math.max(nowS, lastS + URGENT_GAP_S));
    }

    // ---- sending

    private void send(Channel channel) {
        Semaphore waiting = work.getOrDefault(channel.name(), new Semaphore(0));
        while (!stopping) {
            try {
                if (!sendNext(channel)) {
                    var _ = waiting.tryAcquire(TICK_MS, TimeUnit.MILLISECONDS);
                }
            } catch (InterruptedException _) {
                return;
            } catch (RuntimeException e) {
                LOG.log(Level.WARNING, "notices by " + channel.name() + " could not be noted", e);
                pause(waiting);
            }
        }
    }

    private static void pause(Semaphore waiting) {
        try {
            var _ = waiting.tryAcquire(5, TimeUnit.SECONDS);
        } catch (InterruptedException _) {
            Thread.currentThread().interrupt();
        }
    }

    /** Sends the next one that is due; false when there is none. */
    boolean sendNext(Channel channel) throws InterruptedException {
        Outbox.Waiting next = outbox.next(channel.name(), nowS()).orElse(null);
        if (next == null) {
            return false;
        }
        Channel.Outcome outcome;
        try {
            outcome = channel.send(next);
        } catch (RuntimeException e) {
            outcome = new Channel.Outcome.Failed(e.getClass().getSimpleName(), false);
        }
        double nowS = nowS();
        switch (outcome) {
            case Channel.Outcome.Delivered() ->
                    outbox.attempted(next, nowS, "delivered", null, "delivered", nowS);
            case Channel.Outcome.Gone(String why) ->
                    outbox.attempted(next, nowS, "gone", why, "given-up", nowS);
            case Channel.Outcome.Failed(String why, boolean forGood) -> {
                boolean enough = forGood || nowS - next.madeS() > GIVEN_UP_S;
                double pauseS = AGAIN_S.get(Math.min(next.attempts(), AGAIN_S.size() - 1));
                outbox.attempted(
                        next, nowS, "failed", why, enough ? "given-up" : "waiting", nowS + pauseS);
            }
        }
        return true;
    }

    // ---- pages

    public NoticeSettings settings() {
        return settings;
    }

    public synchronized View view() {
        return new View(onWatch, watchSince, state.cases(), nowS(), outbox.phones());
    }

    public List<Outbox.Told> told(int limit) {
        return outbox.told(limit);
    }

    /** Whose notice of this alarm has arrived. */
    public List<String> reached(Watch.Case about) {
        return outbox.reached(about.id(), about.openedS());
    }

    /** Base64url; null when there are no pushes. */
    public @Nullable String pushKey() {
        return push == null ? null : push.publicKey();
    }

    /** Somebody takes the watch, or nobody has it. */
    public synchronized void watch(@Nullable String person) {
        onWatch = person;
        watchSince = lineAt(live.now());
        keep(new Watch.Step(state, List.of()), nowS());
    }

    /** Somebody has an alarm that was acknowledged before, or the monitor's own. */
    public synchronized void taken(String id, String by) {
        double nowS = nowS();
        take(watch.taken(state, id, by, nowS), nowS);
    }

    public void register(Outbox.Phone phone) {
        outbox.register(phone, lineAt(live.now()));
    }

    public void forget(String endpoint) {
        outbox.forget(endpoint);
    }

    @Override
    public void close() {
        stopping = true;
        threads.forEach(Thread::interrupt);
        for (Thread thread : threads) {
            try {
                thread.join(Duration.ofSeconds(2));
            } catch (InterruptedException _) {
                Thread.currentThread().interrupt();
            }
        }
        synchronized (this) {
            outbox.keep(saved(state, nowS()), List.of(), null, null);
        }
    }
}
