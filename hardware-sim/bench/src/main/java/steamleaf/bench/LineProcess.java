package steamleaf.bench;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.PrintStream;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.SecureRandom;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import org.jspecify.annotations.Nullable;
import steamleaf.app.assemble.Journals;
import steamleaf.app.config.Config;
import steamleaf.app.journal.Durability;
import steamleaf.app.journal.Journal;
import steamleaf.app.link.Inbox;
import steamleaf.app.link.Link;
import steamleaf.app.link.LinkSettings;
import steamleaf.app.main.Workers;
import steamleaf.app.metrics.MeterServer;
import steamleaf.app.metrics.Meters;
import steamleaf.app.recall.Recall;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.plant.PlantSettings;

/**
 * The demo's second process: the controller on the simulated line, in line time that runs faster
 * than real time while nobody is waited for. Words come in on standard input; what the hands do is
 * told on standard output.
 */
public final class LineProcess {
    static final String SITE = "ridge-house";
    static final long MOST_SPEED = 600;

    /** Said once the broker can be reached. */
    static final String LISTENING = "steamleaf-line: listening";

    /** Said once the line lives in its own pace. */
    static final String READY = "steamleaf-line: ready";

    private static final long CYCLE_NS = 100_000_000L;
    private static final int CYCLES_PER_LOOK = 5;
    private static final long JOURNAL_AHEAD_BYTES = 1 << 20;
    private static final int STALE_IN_DEMO_S = 600;
    private static final long LONGEST_STORING_NS = 60_000_000_000L;
    private static final long STORED_BUT = 30;

    private final Options options;
    private final PrintStream out;
    private final BlockingQueue<Word> words = new LinkedBlockingQueue<>();
    private final CountDownLatch ended = new CountDownLatch(1);
    private volatile boolean ending;

    private LineProcess(Options options, PrintStream out) {
        this.options = options;
        this.out = out;
    }

    public static void main(String[] args) throws IOException {
        Quiet.logs();
        Options options =
                new Options(
                        args,
                        List.of("folder", "mqtt", "speed", "seed", "store"),
                        List.of("broker", "empty", "hands"));
        options.required("folder", "where the journal is kept");
        String mqtt = options.required("mqtt", "HOST:PORT of the broker");
        options.whole("speed", 60, 1, MOST_SPEED);
        options.whole("seed", 1, 0, Long.MAX_VALUE);
        if (!mqtt.isEmpty() && !mqtt.matches("[^:]+:[0-9]{1,5}")) {
            options.mistake("--mqtt " + mqtt + ", allowed: HOST:PORT of an MQTT 5 broker");
        }
        if (!options.mistakes().isEmpty()) {
            options.mistakes().forEach(System.out::println);
            System.exit(2);
        }
        System.exit(new LineProcess(options, System.out).live());
    }

    private int live() throws IOException {
        Path folder = Path.of(options.required("folder", ""));
        Files.createDirectories(folder);
        try (FileChannel channel =
                FileChannel.open(
                        folder.resolve("lock"),
                        StandardOpenOption.CREATE,
                        StandardOpenOption.WRITE)) {
            FileLock lock = channel.tryLock();
            if (lock == null) {
                say("Another demo uses " + folder + ". End it, or choose another with --folder.");
                return 1;
            }
            return liveAlone(folder);
        }
    }

    private int liveAlone(Path folder) throws IOException {
        String mqtt = options.required("mqtt", "");
        String host = mqtt.substring(0, mqtt.indexOf(':'));
        int port = Integer.parseInt(mqtt.substring(mqtt.indexOf(':') + 1));
        Network network = new Network(options.has("broker"), port);
        network.come();
        out.println(LISTENING);
        out.flush();
        Runtime.getRuntime()
                .addShutdownHook(
                        new Thread(
                                () -> {
                                    ending = true;
                                    try {
                                        if (!ended.await(8, TimeUnit.SECONDS)) {
                                            say("The line did not end in time.");
                                        }
                                    } catch (InterruptedException e) {
                                        Thread.currentThread().interrupt();
                                    }
                                }));
        listen();

        Config config = config();
        String start = "s-" + random();
        Journal journal =
                Journals.open(
                        folder.resolve("journal"),
                        () -> "j-" + random(),
                        Durability.SYNCED,
                        config.journal());
        Recall recall = new Recall(folder.resolve("recall"), true);
        boolean fresh = recall.found() == null;
        Inbox inbox = new Inbox();
        Link link =
                new Link(
                        new LinkSettings(SITE, start, host, port, null, null, null, true),
                        units(config),
                        journal,
                        inbox);
        long seed = options.whole("seed", 1, 0, Long.MAX_VALUE);
        Instant begun = begun(recall, fresh);
        try (SimulatedLine line =
                        SimulatedLine.open(PlantSettings.drawn(seed), Board.stock(), seed);
                Rig rig = new Rig(line, config, start, begun, journal, false, recall, inbox, link);
                Workers _ = Workers.start(journal, recall, link);
                MeterServer meters =
                        MeterServer.start(
                                new Config.Metrics("127.0.0.1", 0),
                                new Meters(
                                        rig.controller(), journal, link, Thread.currentThread()));
                StandInPresses presses = StandInPresses.listen(host, port, SITE)) {
            say(
                    "The controller's meters: http://127.0.0.1:"
                            + meters.address().getPort()
                            + "/metrics");
            Hands hands = new Hands(line.plant(), rig, Hands.Help.ALL, what -> {});
            rig.cycle();
            hands.beginDay();
            if (!fresh) {
                Morning.putBack(rig, hands);
                say("The line comes back as it was left: held, heat off, and asks.");
            } else if (!options.has("empty")) {
                new Morning(rig, hands, journal, JOURNAL_AHEAD_BYTES, this::say, () -> ending)
                        .live();
            }
            awaitStore(rig, journal);
            hands.help(options.has("hands") ? Hands.Help.ALL : Hands.Help.BODY);
            hands.telling(
                    what -> {
                        say(what);
                        presses.say(
                                Character.toUpperCase(what.charAt(0)) + what.substring(1) + ".");
                    });
            out.println(READY);
            out.flush();
            new Pace(
                            rig,
                            hands,
                            network,
                            presses,
                            words,
                            options.whole("speed", 60, 1, MOST_SPEED),
                            this::say,
                            () -> ending)
                    .keep();
        } finally {
            network.go();
            ended.countDown();
        }
        return 0;
    }

    /** Before anybody is invited, the monitor's store has what the line lived through. */
    private void awaitStore(Rig rig, Journal journal) {
        String store = options.text("store");
        long untilNs = System.nanoTime() + LONGEST_STORING_NS;
        while (store != null
                && !ending
                && journal.acknowledged(store) + STORED_BUT < journal.last()) {
            if (System.nanoTime() > untilNs) {
                say("The record is still coming in; pages fill up as it does.");
                return;
            }
            rig.cycle();
            waitNs(CYCLE_NS);
        }
    }

    /** Line time: this morning, or where it stopped, whichever is later. */
    private static Instant begun(Recall recall, boolean fresh) {
        Instant morning = BenchRun.BEGUN;
        if (fresh) {
            return morning;
        }
        var found = recall.found();
        return found == null
                ? morning
                : Instant.ofEpochMilli(found.atMs())
                        .plusSeconds(60)
                        .truncatedTo(ChronoUnit.SECONDS);
    }

    /**
     * The stock line; pages may be old in line time that runs fast, except for what starts heat.
     */
    private static Config config() {
        Config stock = BenchCommand.stock();
        var batch = stock.line().batch();
        var patient =
                new steamleaf.core.batch.BatchSettings(
                        batch.cycleS(),
                        batch.ovens(),
                        batch.steamer(),
                        batch.recipes(),
                        batch.freshWarningH(),
                        batch.freshLimitH(),
                        batch.armedS(),
                        batch.heatStaleS(),
                        STALE_IN_DEMO_S,
                        batch.warmWithinK(),
                        batch.spreadAfterS(),
                        batch.doorPatienceS());
        return new Config(
                stock.site(),
                stock.title(),
                stock.hash(),
                new steamleaf.core.cycle.LineSettings(
                        patient, stock.line().ovenLoops(), stock.line().chestLoop()),
                stock.guard(),
                stock.wiring(),
                stock.buttons(),
                stock.journal(),
                stock.mqtt(),
                stock.metrics());
    }

    private static Set<String> units(Config config) {
        Set<String> units = new HashSet<>(Set.of(UnitId.LINE.label(), UnitId.STEAMER.label()));
        for (int n = 1; n <= config.line().ovens(); n++) {
            units.add(UnitId.oven(n).label());
        }
        return units;
    }

    private static String random() {
        return Long.toUnsignedString(new SecureRandom().nextLong(), 36);
    }

    private synchronized void say(String what) {
        out.println(what);
        out.flush();
    }

    /** Reads words until the parent is gone; then this process ends too. */
    private void listen() {
        Thread.ofPlatform()
                .daemon()
                .name("words")
                .start(
                        () -> {
                            try (BufferedReader in =
                                    new BufferedReader(
                                            new InputStreamReader(
                                                    System.in, StandardCharsets.UTF_8))) {
                                for (String text = in.readLine();
                                        text != null;
                                        text = in.readLine()) {
                                    if (!text.isBlank()) {
                                        words.add(Word.of(text));
                                    }
                                }
                            } catch (IOException e) {
                                // as good as its end
                            }
                            ending = true;
                        });
    }

    /** The broker, which words can take away and bring back. */
    static final class Network {
        private final boolean ours;
        private final int port;
        private @Nullable Broker broker;

        Network(boolean ours, int port) {
            this.ours = ours;
            this.port = port;
        }

        boolean ours() {
            return ours;
        }

        void come() {
            if (ours && broker == null) {
                broker = Broker.start(port);
            }
        }

        void go() {
            if (broker != null) {
                broker.close();
                broker = null;
            }
        }
    }

    /** Waits without spinning. */
    static void waitNs(long ns) {
        if (ns > 0) {
            LockSupport.parkNanos(ns);
        }
    }

    static int cyclesPerLook() {
        return CYCLES_PER_LOOK;
    }

    static long cycleNs() {
        return CYCLE_NS;
    }
}
