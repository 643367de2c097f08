package steamleaf.monitor;

import io.helidon.webserver.WebServer;
import io.helidon.webserver.http.HttpRouting;
import java.net.InetAddress;
import java.net.UnknownHostException;
import java.time.Duration;
import java.time.InstantSource;
import org.jspecify.annotations.Nullable;
import steamleaf.monitor.access.Access;
import steamleaf.monitor.intake.Intake;
import steamleaf.monitor.live.Live;
import steamleaf.monitor.metrics.Meters;
import steamleaf.monitor.notice.Notices;
import steamleaf.monitor.page.NoticeWords;
import steamleaf.monitor.page.Pages;
import steamleaf.monitor.store.Store;

/** The monitor's parts put together; lives until {@link #close}. */
public final class Monitor implements AutoCloseable {
    /** A form is a few hundred bytes. */
    private static final long MOST_BODY = 65_536;

    private final Meters meters = new Meters();
    private final Live live = new Live(System::nanoTime);
    private final Store store;
    private final Intake intake;
    private final Thread taking;
    private final @Nullable Notices notices;
    private final WebServer web;

    private Monitor(MonitorSettings settings) {
        store = Store.open(settings.storeFile());
        intake =
                new Intake(
                        settings.site(),
                        settings.store(),
                        new Intake.Broker(
                                settings.mqttHost(),
                                settings.mqttPort(),
                                settings.mqttUser(),
                                settings.mqttPassword()),
                        store,
                        live,
                        meters.registry());
        taking = Thread.ofPlatform().name("intake").unstarted(intake::run);
        notices =
                settings.notices() == null
                        ? null
                        : Notices.start(
                                settings.notices(),
                                live,
                                store.outbox(settings.site()),
                                new NoticeWords(settings.zone()),
                                InstantSource.system()::millis);
        Access access = new Access(settings.language());
        Pages pages =
                new Pages(
                        live,
                        store.questions(settings.site()),
                        access,
                        settings.zone(),
                        settings.people(),
                        notices,
                        meters.registry());
        HttpRouting.Builder routing = HttpRouting.builder();
        access.route(routing);
        meters.route(routing);
        pages.route(routing, intake, meters.registry());
        web =
                WebServer.builder()
                        .address(address(settings.httpBind()))
                        .port(settings.httpPort())
                        .maxPayloadSize(MOST_BODY)
                        .shutdownHook(false)
                        .shutdownGracePeriod(Duration.ofMillis(500))
                        .routing(routing)
                        .build();
    }

    /**
     * Opens the store, serves the pages and begins to follow the line; a broker that is not there
     * yet is waited for.
     *
     * @throws IllegalArgumentException when the address to listen on is not this machine's own
     * @throws IllegalStateException when the port is taken
     */
    public static Monitor start(MonitorSettings settings) {
        String refusal = Access.refusal(settings.httpBind());
        if (refusal != null) {
            throw new IllegalArgumentException(refusal);
        }
        Monitor monitor = new Monitor(settings);
        monitor.web.start();
        if (!monitor.web.isRunning()) { // it only logs why
            monitor.quietly();
            monitor.store.close();
            monitor.meters.close();
            throw new IllegalStateException(
                    "http.port = "
                            + settings.httpPort()
                            + " on "
                            + settings.httpBind()
                            + " is taken, allowed: a free port");
        }
        monitor.taking.start();
        return monitor;
    }

    /** Where the pages are served. */
    public int port() {
        return web.port();
    }

    /** The address to open. */
    public String address() {
        return "http://127.0.0.1:" + port() + "/";
    }

    private static @Nullable InetAddress address(String bind) {
        try {
            return InetAddress.getByName(bind);
        } catch (UnknownHostException e) {
            throw new IllegalArgumentException(bind, e);
        }
    }

    /** Lets pages go, stops following, closes the store, in this order. */
    @Override
    public void close() {
        live.close();
        web.stop();
        intake.close();
        try {
            taking.join(Duration.ofSeconds(5));
        } catch (InterruptedException _) {
            Thread.currentThread().interrupt();
        }
        quietly();
        store.close();
        meters.close();
    }

    private void quietly() {
        if (notices != null) {
            notices.close();
        }
    }
}
