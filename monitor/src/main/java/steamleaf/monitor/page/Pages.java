package steamleaf.monitor.page;

import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import io.helidon.http.HeaderNames;
import io.helidon.http.Status;
import io.helidon.webserver.http.HttpRouting;
import io.helidon.webserver.http.ServerRequest;
import io.helidon.webserver.http.ServerResponse;
import io.micrometer.core.instrument.MeterRegistry;
import io.micrometer.core.instrument.Timer;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Language;
import steamleaf.contract.UnitLive;
import steamleaf.monitor.access.Access;
import steamleaf.monitor.access.Visitor;
import steamleaf.monitor.live.Asking;
import steamleaf.monitor.live.Live;
import steamleaf.monitor.notice.Notices;
import steamleaf.monitor.store.Questions;

/** The pages that are read, and the files they need. */
public final class Pages {
    private static final String TEMPLATES = "steamleaf.monitor.page.templates";
    private static final Map<String, String> FILES =
            Map.of(
                    "tokens.css", "text/css; charset=utf-8",
                    "pages.css", "text/css; charset=utf-8",
                    "pages.js", "text/javascript; charset=utf-8",
                    "push.js", "text/javascript; charset=utf-8",
                    "manifest.json", "application/manifest+json",
                    "leaf.svg", "image/svg+xml");

    private final Live live;
    private final Questions store;
    private final Access access;
    private final ZoneId zone;
    private final List<String> people;
    private final @Nullable Notices notices;
    private final Timer rendering;
    private final TemplateEngine templates = engine();

    public Pages(
            Live live,
            Questions store,
            Access access,
            ZoneId zone,
            List<String> people,
            @Nullable Notices notices,
            MeterRegistry meters) {
        this.live = live;
        this.store = store;
        this.access = access;
        this.zone = zone;
        this.people = people;
        this.notices = notices;
        this.rendering = meters.timer("steamleaf.page.rendering");
    }

    private static TemplateEngine engine() {
        TemplateEngine engine =
                TemplateEngine.createPrecompiled(
                        null, ContentType.Html, Pages.class.getClassLoader(), TEMPLATES);
        engine.setTrimControlStructures(true);
        return engine;
    }

    /** All routes: pages, live parts, commands and files. */
    public void route(HttpRouting.Builder routing, Asking asking, MeterRegistry meters) {
        routing.get("/", (q, a) -> page("panel", q, a, first(), ""))
                .get("/unit/{unit}", (q, a) -> ofUnit("panel", q, a))
                .get("/unit/{unit}/plan", (q, a) -> ofUnit("plan", q, a))
                .get("/unit/{unit}/start", (q, a) -> ofUnit("start", q, a))
                .get("/unit/{unit}/sample", (q, a) -> ofUnit("sample", q, a))
                .get("/unit/{unit}/finish", (q, a) -> ofUnit("finish", q, a))
                .get("/unit/{unit}/weigh", (q, a) -> ofUnit("weigh", q, a))
                .get("/line", (q, a) -> page("line", q, a, "line", ""))
                .get("/lots", (q, a) -> page("lots", q, a, "line", ""))
                .get("/alarms", (q, a) -> page("alarms", q, a, "line", ""))
                .get("/phone", (q, a) -> page("phone", q, a, "line", ""))
                .get("/watch", (q, a) -> page("watch", q, a, "line", ""))
                .get("/push.js", (q, a) -> bytes("push.js", a))
                .get("/alarms/figures", (q, a) -> page("figures", q, a, "line", ""))
                .get("/alarms/figures/{days}", (q, a) -> page("figures", q, a, "line", ""))
                .get("/batches", (q, a) -> page("batches", q, a, "line", ""))
                .get("/batch/{batch}", this::batch)
                .get("/recipes", (q, a) -> page("recipes", q, a, "line", ""))
                .get("/learned", (q, a) -> page("learned", q, a, "line", ""))
                .get("/who", (q, a) -> page("who", q, a, "line", ""))
                .get("/static/{file}", this::file);
        new Stream(live, this, access, meters).route(routing);
        new Posts(this, access, asking, live).route(routing);
        new NoticePosts(this, access, notices).route(routing);
        routing.error(
                io.helidon.http.NotFoundException.class,
                (q, a, _) -> a.status(Status.NOT_FOUND_404).send("There is no such page."));
    }

    Visitor visitor(ServerRequest request, ServerResponse response) {
        return access.visitor(request, response);
    }

    /** The unit that wants somebody most: a prompt, then what is held, then what runs. */
    private String first() {
        Live.Now now = live.now();
        List<UnitLive> units =
                now.units().values().stream()
                        .map(Live.Heard::live)
                        .filter(u -> !u.unit().equals("line"))
                        .toList();
        return units.stream()
                .filter(u -> u.prompt() != null || u.armed() != null)
                .findFirst()
                .or(() -> units.stream().filter(u -> u.state().equals("held")).findFirst())
                .or(
                        () ->
                                units.stream()
                                        .filter(u -> u.state().equals("running"))
                                        .filter(u -> !u.unit().equals("steamer"))
                                        .findFirst())
                .map(UnitLive::unit)
                .orElseGet(() -> oven(now));
    }

    private static String oven(Live.Now now) {
        if (now.line() != null) {
            return now.line().units().stream()
                    .map(u -> u.name())
                    .filter(name -> name.startsWith("oven"))
                    .findFirst()
                    .orElse("oven-1");
        }
        return "oven-1";
    }

    private void ofUnit(String template, ServerRequest request, ServerResponse response) {
        String unit = request.path().pathParameters().get("unit");
        Live.Now now = live.now();
        boolean known =
                now.units().containsKey(unit)
                        || (now.line() != null
                                && now.line().units().stream()
                                        .anyMatch(u -> u.name().equals(unit)));
        if (unit.equals("line")) {
            page("line", request, response, "line", "");
        } else if (known) {
            page(template, request, response, unit, "");
        } else {
            Sheet sheet = sheet(request, visitor(request, response), "line", "");
            missing(response, sheet, sheet.t("page.unit-missing", unit));
        }
    }

    private void batch(ServerRequest request, ServerResponse response) {
        String id = request.path().pathParameters().get("batch");
        if (store.batch(id).isPresent()) {
            page("batch", request, response, "line", id);
        } else {
            Sheet sheet = sheet(request, visitor(request, response), "line", "");
            missing(response, sheet, sheet.t("batch.unknown", id));
        }
    }

    private void missing(ServerResponse response, Sheet sheet, String sentence) {
        response.status(Status.NOT_FOUND_404);
        html(response, render("answer", Map.of("s", sheet, "sentence", sentence, "back", "/")));
    }

    private void page(
            String template,
            ServerRequest request,
            ServerResponse response,
            String unit,
            String batch) {
        Visitor visitor = visitor(request, response);
        html(response, render(template, Map.of("s", sheet(request, visitor, unit, batch))));
    }

    /** A page that says what came of a form, for browsers without script. */
    void answer(
            ServerRequest request,
            ServerResponse response,
            Visitor visitor,
            String sentence,
            String back) {
        Sheet sheet = sheet(request, visitor, "line", "");
        html(response, render("answer", Map.of("s", sheet, "sentence", sentence, "back", back)));
    }

    private Sheet sheet(ServerRequest request, Visitor visitor, String unit, String batch) {
        String action = request.query().first("action").orElse("start");
        return sheet(
                visitor,
                live.now(),
                new Sheet.Place(request.path().path(), unit, batch, action, false));
    }

    Sheet sheet(Visitor visitor, Live.Now now, Sheet.Place place) {
        return new Sheet(
                visitor, zone, now, live.nowNs(), store, people, notices, place, this::region);
    }

    String region(String region, Sheet sheet) {
        return render("part/" + region, Map.of("s", sheet));
    }

    private String render(String template, Map<String, Object> values) {
        return Objects.requireNonNull(
                rendering.record(
                        () -> {
                            StringOutput out = new StringOutput();
                            templates.render(template + ".jte", values, out);
                            return out.toString();
                        }));
    }

    static void html(ServerResponse response, String page) {
        response.header(HeaderNames.CACHE_CONTROL, "no-store")
                .header(HeaderNames.CONTENT_TYPE, "text/html; charset=utf-8")
                .send(page);
    }

    private void file(ServerRequest request, ServerResponse response) {
        bytes(request.path().pathParameters().get("file"), response);
    }

    private void bytes(String name, ServerResponse response) {
        String type = FILES.get(name);
        if (type == null) {
            response.status(Status.NOT_FOUND_404).send("There is no such file.");
            return;
        }
        try (InputStream in = Pages.class.getResourceAsStream("static/" + name)) {
            byte[] bytes = Objects.requireNonNull(in, name).readAllBytes();
            response.header(HeaderNames.CACHE_CONTROL, "no-cache")
                    .header(HeaderNames.CONTENT_TYPE, type)
                    .send(bytes);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** English when the browser's page is English. */
    static Language other(Language language) {
        return language == Language.JAPANESE ? Language.ENGLISH : Language.JAPANESE;
    }
}
