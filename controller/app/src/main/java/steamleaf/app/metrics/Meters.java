package steamleaf.app.metrics;

import com.sun.management.ThreadMXBean;
import io.micrometer.core.instrument.FunctionCounter;
import io.micrometer.core.instrument.Gauge;
import io.micrometer.core.instrument.TimeGauge;
import io.micrometer.prometheusmetrics.PrometheusConfig;
import io.micrometer.prometheusmetrics.PrometheusMeterRegistry;
import java.lang.management.ManagementFactory;
import java.util.concurrent.TimeUnit;
import java.util.function.ToDoubleFunction;
import org.jspecify.annotations.Nullable;
import steamleaf.app.assemble.Controller;
import steamleaf.app.journal.Journal;
import steamleaf.app.link.Link;

/** What can be measured of a running controller. Reads only; asked when somebody looks. */
public final class Meters {
    private final PrometheusMeterRegistry registry =
            new PrometheusMeterRegistry(PrometheusConfig.DEFAULT);

    /**
     * @param cycleThread the thread that runs the control cycle
     */
    public Meters(Controller controller, Journal journal, @Nullable Link link, Thread cycleThread) {
        cycle(controller, cycleThread);
        journal(journal);
        if (link != null) {
            link(link);
        }
    }

    private void cycle(Controller controller, Thread cycleThread) {
        counter(
                "steamleaf.cycles",
                "Control cycles since the line began",
                controller,
                Controller::cycleNumber);
        counter(
                "steamleaf.cycles.late",
                "Cycles that did not end in time",
                controller,
                Controller::lateCycles);
        counter(
                "steamleaf.cycles.failed",
                "Cycles that ended with an exception",
                controller,
                Controller::failures);
        TimeGauge.builder(
                        "steamleaf.cycle.time",
                        controller,
                        TimeUnit.NANOSECONDS,
                        c -> (double) c.lastCycleNs())
                .description("How long the last cycle took")
                .register(registry);
        if (ManagementFactory.getThreadMXBean() instanceof ThreadMXBean threads) {
            FunctionCounter.builder(
                            "steamleaf.cycle.allocated",
                            threads,
                            t -> t.getThreadAllocatedBytes(cycleThread.threadId()))
                    .baseUnit("bytes")
                    .description("Allocated by the cycle's thread")
                    .register(registry);
        }
        Runtime runtime = Runtime.getRuntime();
        Gauge.builder("steamleaf.heap.used", runtime, r -> r.totalMemory() - r.freeMemory())
                .baseUnit("bytes")
                .description("Heap in use")
                .register(registry);
    }

    private void journal(Journal journal) {
        gauge("steamleaf.journal.last", "Highest durable number", journal, Journal::last);
        gauge(
                "steamleaf.journal.queued.bytes",
                "Waiting for the disk",
                journal,
                Journal::queuedBytes);
        gauge(
                "steamleaf.journal.unacknowledged",
                "Records not yet in every known store",
                journal,
                j -> j.last() - j.everybodyHas());
        gauge(
                "steamleaf.journal.trouble",
                "1 while the journal can't be written",
                journal,
                j -> j.trouble() == null ? 0 : 1);
        FunctionCounter.builder("steamleaf.journal.lost", journal, Journal::lostSeconds)
                .tag("what", "seconds")
                .description("Records that were not kept")
                .register(registry);
        FunctionCounter.builder("steamleaf.journal.lost", journal, Journal::lostEvents)
                .tag("what", "events")
                .description("Records that were not kept")
                .register(registry);
    }

    private void link(Link link) {
        gauge(
                "steamleaf.link.connected",
                "1 while the broker is there",
                link,
                l -> l.counts().connected() ? 1 : 0);
        counter("steamleaf.link.connects", "Connections", link, l -> l.counts().connects());
        counter("steamleaf.link.records", "Records sent", link, l -> l.counts().recordsSent());
        counter("steamleaf.link.resent", "Records sent again", link, l -> l.counts().resent());
        for (String outcome : new String[] {"taken", "refused", "ignored"}) {
            FunctionCounter.builder("steamleaf.link.commands", link, l -> commands(l, outcome))
                    .tag("outcome", outcome)
                    .description("Messages on the command topic, and others nobody is answered for")
                    .register(registry);
        }
    }

    private static double commands(Link link, String outcome) {
        return switch (outcome) {
            case "taken" -> link.counts().taken();
            case "refused" -> link.counts().refused();
            default -> link.counts().ignored();
        };
    }

    private <T> void counter(String name, String what, T of, ToDoubleFunction<T> value) {
        FunctionCounter.builder(name, of, value).description(what).register(registry);
    }

    private <T> void gauge(String name, String what, T of, ToDoubleFunction<T> value) {
        Gauge.builder(name, of, value).description(what).strongReference(true).register(registry);
    }

    /** All of them in Prometheus' text format. */
    public String text() {
        return registry.scrape();
    }
}
