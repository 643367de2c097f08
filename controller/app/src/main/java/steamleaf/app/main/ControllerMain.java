package steamleaf.app.main;

import com.pi4j.context.Context;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.SecureRandom;
import java.time.Instant;
import java.util.HashSet;
import java.util.Set;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import steamleaf.app.assemble.Controller;
import steamleaf.app.assemble.ControllerParts;
import steamleaf.app.assemble.Journals;
import steamleaf.app.assemble.Pins;
import steamleaf.app.config.Config;
import steamleaf.app.config.ConfigFile;
import steamleaf.app.config.Misconfigured;
import steamleaf.app.io.Hardware;
import steamleaf.app.io.Pi4JBoard;
import steamleaf.app.journal.Durability;
import steamleaf.app.journal.Journal;
import steamleaf.app.link.Inbox;
import steamleaf.app.link.Link;
import steamleaf.app.link.LinkSettings;
import steamleaf.app.metrics.MeterServer;
import steamleaf.app.metrics.Meters;
import steamleaf.app.recall.Recall;
import steamleaf.core.reading.UnitId;

/** The controller on real hardware. */
public final class ControllerMain {
    private static final Logger LOG = LoggerFactory.getLogger(ControllerMain.class);
    private static final long PERIOD_NS = 100_000_000L;
    private static final long LONGEST_ENDING_S = 10;

    /**
     * So many cycles in a row that fail are not getting better: whoever started us starts again.
     */
    private static final int FAILURES_IN_A_ROW = 50;

    static final int GOOD = 0;
    static final int FAILED = 1;
    static final int MISCONFIGURED = 2;

    private final Config config;
    private final Supplier<Context> boards;
    private volatile boolean ending;
    private final CountDownLatch ended = new CountDownLatch(1);

    private ControllerMain(Config config, Supplier<Context> boards) {
        this.config = config;
        this.boards = boards;
    }

    public static void main(String[] args) {
        System.exit(run(args, System.out, System.err));
    }

    static int run(String[] args, PrintStream out, PrintStream err) {
        return run(args, out, err, Pi4JBoard::open);
    }

    /**
     * Everything but the exit itself.
     *
     * @param boards opens the board, once, with exactly one provider for each kind of line
     */
    public static int run(
            String[] args, PrintStream out, PrintStream err, Supplier<Context> boards) {
        if (args.length == 1 && args[0].equals("--stock")) {
            out.print(ConfigFile.stock());
            return GOOD;
        }
        boolean check = args.length == 3 && args[2].equals("--check");
        if (!(args.length == 2 || check) || !args[0].equals("--config")) {
            err.println(
                    """
                    --config FILE          runs the controller with this configuration
                    --config FILE --check  only says what is wrong with it
                    --stock                prints the stock configuration to begin with""");
            return MISCONFIGURED;
        }
        try {
            Config config = ConfigFile.read(Path.of(args[1]));
            if (check) {
                out.println(args[1] + ": " + config.title() + ", " + config.hash() + ", all right");
                return GOOD;
            }
            return new ControllerMain(config, boards).control();
        } catch (Misconfigured e) {
            e.problems().forEach(err::println);
            return MISCONFIGURED;
        } catch (IOException | RuntimeException e) {
            LOG.error("the controller does not start", e);
            err.println("The controller does not start: " + e.getMessage());
            return FAILED;
        }
    }

    private int control() throws IOException {
        Path folder = config.journal().folder();
        Files.createDirectories(folder);
        try (FileChannel lock =
                FileChannel.open(
                        folder.resolve("lock"),
                        StandardOpenOption.CREATE,
                        StandardOpenOption.WRITE)) {
            FileLock held = lock.tryLock();
            if (held == null) {
                throw new IOException("another controller uses " + folder);
            }
            return controlAlone(folder);
        }
    }

    private int controlAlone(Path folder) throws IOException {
        Context board = boards.get();
        Runtime.getRuntime().addShutdownHook(new Thread(this::end, "steamleaf-end"));
        try (Hardware hardware = Hardware.open(board, config.wiring())) {
            return withHardware(hardware, folder);
        } finally {
            board.shutdown();
            ended.countDown();
        }
    }

    private int withHardware(Hardware hardware, Path folder) throws IOException {
        WallClock wall = new WallClock();
        String start = "s-" + random();
        Journal journal =
                Journals.open(folder, () -> "j-" + random(), Durability.SYNCED, config.journal());
        Recall recall = new Recall(folder.resolve("recall"), true);
        Inbox inbox = new Inbox();
        Link link = new Link(linkSettings(start), units(), journal, inbox);
        Controller controller =
                Controller.open(
                        new ControllerParts(
                                config,
                                start,
                                version(),
                                Pins.of(hardware),
                                journal,
                                false,
                                recall,
                                inbox,
                                link,
                                System::nanoTime,
                                wall::isDoubtful));
        Meters meters = new Meters(controller, journal, link, Thread.currentThread());
        try (controller;
                Workers _ = Workers.start(journal, recall, link);
                MeterServer server = MeterServer.start(config.metrics(), meters)) {
            LOG.info("{} is up; meters on {}", config.title(), server.address());
            try {
                return repeat(controller);
            } finally {
                controller.off(); // before anything else takes its time
            }
        }
    }

    /** The control cycle, at its fixed rate until somebody ends it. */
    private int repeat(Controller controller) {
        long nextNs = System.nanoTime();
        long failedBefore = 0;
        int inARow = 0;
        while (!ending) {
            controller.cycle(System.nanoTime(), Instant.now());
            inARow = controller.failures() > failedBefore ? inARow + 1 : 0;
            failedBefore = controller.failures();
            if (inARow >= FAILURES_IN_A_ROW) {
                LOG.error("{} cycles in a row failed; giving up", inARow);
                return FAILED;
            }
            nextNs += PERIOD_NS;
            long leftNs = nextNs - System.nanoTime();
            if (leftNs > 0) {
                LockSupport.parkNanos(leftNs);
            } else {
                nextNs = System.nanoTime(); // late: no catching up in a burst
            }
        }
        return GOOD;
    }

    /** The machine or a person wants an end: outputs off first, then everything else. */
    private void end() {
        ending = true;
        try {
            if (!ended.await(LONGEST_ENDING_S, TimeUnit.SECONDS)) {
                LOG.error("did not end in time");
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    private LinkSettings linkSettings(String start) throws IOException {
        Config.Mqtt mqtt = config.mqtt();
        Config.Tls tls = mqtt.tls();
        return new LinkSettings(
                config.site(),
                start,
                mqtt.host(),
                mqtt.port(),
                mqtt.user(),
                password(mqtt.passwordFile()),
                tls == null ? null : Tls.factory(tls.authorityFile()),
                false);
    }

    private static @Nullable String password(@Nullable Path file) throws IOException {
        return file == null
                ? null
                : Files.readAllLines(file).stream().findFirst().map(String::strip).orElse("");
    }

    private Set<String> units() {
        Set<String> units = new HashSet<>();
        units.add(UnitId.LINE.label());
        units.add(UnitId.STEAMER.label());
        for (int n = 1; n <= config.line().ovens(); n++) {
            units.add(UnitId.oven(n).label());
        }
        return units;
    }

    /** Different for each start and journal, on this and any other machine. */
    private static String random() {
        return Long.toUnsignedString(new SecureRandom().nextLong(), 36);
    }

    static String version() {
        String version = ControllerMain.class.getPackage().getImplementationVersion();
        return version == null ? "development" : version;
    }
}
