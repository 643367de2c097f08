package steamleaf.monitor.page;

import io.helidon.http.Status;
import io.helidon.http.sse.SseEvent;
import io.helidon.webserver.http.HttpRouting;
import io.helidon.webserver.http.ServerRequest;
import io.helidon.webserver.http.ServerResponse;
import io.helidon.webserver.sse.SseSink;
import io.micrometer.core.instrument.MeterRegistry;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.Codec;
import steamleaf.monitor.access.Access;
import steamleaf.monitor.access.Visitor;
import steamleaf.monitor.live.Live;

/**
 * Live parts of open pages by server-sent events. Each page names the parts it has; a part is sent
 * when what it shows has changed. A slow page skips states: it always gets the latest.
 */
final class Stream {
    private static final Set<String> PARTS =
            Set.of(
                    "units",
                    "banner",
                    "say",
                    "figure",
                    "actions",
                    "permissives",
                    "arm",
                    "readings",
                    "alarms",
                    "phone",
                    "samples",
                    "record",
                    "planning",
                    "leafsay",
                    "leaf");

    /** Parts that ask the store are made again at most this often. */
    private static final Map<String, Long> AT_MOST_NS =
            Map.of(
                    "figure", TimeUnit.SECONDS.toNanos(1),
                    "record", TimeUnit.SECONDS.toNanos(3),
                    "samples", TimeUnit.MILLISECONDS.toNanos(500),
                    "leafsay", TimeUnit.MILLISECONDS.toNanos(500),
                    "leaf", TimeUnit.MILLISECONDS.toNanos(500),
                    "alarms", TimeUnit.MILLISECONDS.toNanos(500));

    /** After this long without news ages are looked at again. */
    private static final long QUIET_MS = 1_000;

    private static final long BEAT_NS = TimeUnit.SECONDS.toNanos(5);
    private static final int MOST_PAGES = 64;

    private final Live live;
    private final Pages pages;
    private final Access access;
    private final AtomicInteger open = new AtomicInteger();

    Stream(Live live, Pages pages, Access access, MeterRegistry meters) {
        this.live = live;
        this.pages = pages;
        this.access = access;
        meters.gauge("steamleaf.page.open", open);
    }

    void route(HttpRouting.Builder routing) {
        routing.get("/live", this::serve);
    }

    private void serve(ServerRequest request, ServerResponse response) {
        Visitor visitor = access.visitor(request, response);
        List<String> parts = new ArrayList<>();
        for (String part : request.query().first("parts").orElse("").split(",", -1)) {
            if (PARTS.contains(part)) {
                parts.add(part);
            }
        }
        Sheet.Place place =
                new Sheet.Place(
                        Access.back(request.query().first("path").orElse("/")),
                        request.query().first("unit").orElse("line"),
                        request.query().first("batch").orElse(""),
                        request.query().first("action").orElse("start"),
                        true);
        if (open.incrementAndGet() > MOST_PAGES) {
            open.decrementAndGet();
            response.status(Status.SERVICE_UNAVAILABLE_503).send("Too many pages are open.");
            return;
        }
        try (SseSink sink = response.sink(SseSink.TYPE)) {
            follow(sink, visitor, place, parts);
        } catch (InterruptedException _) {
            Thread.currentThread().interrupt();
        } catch (UncheckedIOException | IllegalStateException _) {
            // the page was closed
        } finally {
            open.decrementAndGet();
        }
    }

    private void follow(SseSink sink, Visitor visitor, Sheet.Place place, List<String> parts)
            throws InterruptedException {
        Map<String, String> sent = new HashMap<>();
        Map<String, Long> made = new HashMap<>();
        long revision = -1;
        long beatNs = live.nowNs() - BEAT_NS;
        Map<String, AlarmLive> alarms = Map.of();
        while (!live.isClosed()) {
            Live.Now now = live.awaitAfter(revision, QUIET_MS);
            revision = now.revision();
            Sheet sheet = pages.sheet(visitor, now, place);
            Map<String, String> changed = new HashMap<>();
            long nowNs = live.nowNs();
            if (now.alarms() != alarms) { // another map: an alarm is not to wait for its turn
                alarms = now.alarms();
                made.remove("alarms");
            }
            for (String part : parts) {
                Long last = made.get(part);
                if (last != null && nowNs - last < AT_MOST_NS.getOrDefault(part, 0L)) {
                    continue;
                }
                made.put(part, nowNs);
                String html = pages.region(part, sheet);
                if (!html.equals(sent.put(part, html))) {
                    changed.put(part, html);
                }
            }
            if (!changed.isEmpty() || nowNs - beatNs > BEAT_NS || !now.units().isEmpty()) {
                beatNs = nowNs;
                Map<String, Object> message =
                        Map.of(
                                "parts",
                                changed,
                                "seen",
                                sheet.seen(),
                                "clock",
                                sheet.lineClock(),
                                "simulated",
                                sheet.simulated());
                sink.emit(SseEvent.create(Codec.text(Codec.write(message))));
            }
        }
    }
}
