package steamleaf.monitor.page;

import io.helidon.http.HeaderNames;
import io.helidon.http.Status;
import io.helidon.webserver.http.HttpRouting;
import io.helidon.webserver.http.ServerRequest;
import io.helidon.webserver.http.ServerResponse;
import java.net.URI;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import steamleaf.monitor.access.Access;
import steamleaf.monitor.access.Visitor;
import steamleaf.monitor.notice.NoticeSettings;
import steamleaf.monitor.notice.Notices;
import steamleaf.monitor.store.Outbox;

/** What people do on the page of the watch and on their phones. */
final class NoticePosts {
    /** RFC 8291: an uncompressed P-256 point of 65 bytes and 16 bytes of secret, base64url. */
    private static final String KEY = "[A-Za-z0-9_-]{87}=?";

    private static final String SECRET = "[A-Za-z0-9_-]{22}={0,2}";
    private static final int MOST_ENDPOINT = 1_000;

    private final Pages pages;
    private final Access access;
    private final @Nullable Notices notices;

    NoticePosts(Pages pages, Access access, @Nullable Notices notices) {
        this.pages = pages;
        this.access = access;
        this.notices = notices;
    }

    private interface Deed {
        /** The sentence to answer with, empty to go back to the page. */
        String done(Notices notices, Visitor visitor, Map<String, String> form);
    }

    void route(HttpRouting.Builder routing) {
        routing.post("/watch", (q, a) -> answer(q, a, this::watch))
                .post("/taken", (q, a) -> answer(q, a, this::taken))
                .post("/push/register", (q, a) -> answer(q, a, this::register))
                .post("/push/forget", (q, a) -> answer(q, a, this::forget));
    }

    private void answer(ServerRequest request, ServerResponse response, Deed deed) {
        Visitor visitor = pages.visitor(request, response);
        Map<String, String> form = Access.form(request.content().as(String.class));
        if (!access.ours(visitor, form)) {
            response.status(Status.FORBIDDEN_403)
                    .header(HeaderNames.CONTENT_TYPE, "text/plain; charset=utf-8")
                    .send("Refused: the page was too old or not ours. Load it again.");
            return;
        }
        if (notices == null) {
            response.status(Status.NOT_FOUND_404).send("There are no notices.");
            return;
        }
        String sentence =
                visitor.by().isEmpty()
                        ? Words.say(visitor.language(), "who.needed")
                        : deed.done(notices, visitor, form);
        String back = Access.back(form.get("back"));
        if (request.headers().first(HeaderNames.create("X-Steamleaf-Page")).isPresent()) {
            response.status(sentence.isEmpty() ? Status.NO_CONTENT_204 : Status.CONFLICT_409)
                    .header(HeaderNames.CONTENT_TYPE, "text/plain; charset=utf-8")
                    .send(sentence);
        } else if (!sentence.isEmpty()) {
            pages.answer(request, response, visitor, sentence, back);
        } else {
            response.status(Status.SEE_OTHER_303).header(HeaderNames.LOCATION, back).send();
        }
    }

    private String watch(Notices on, Visitor visitor, Map<String, String> form) {
        String person = form.getOrDefault("person", "");
        boolean known =
                on.settings().people().stream()
                        .map(NoticeSettings.Person::name)
                        .anyMatch(person::equals);
        if (!known && !person.isEmpty()) {
            return Words.say(visitor.language(), "watch.unknown", person);
        }
        on.watch(person.isEmpty() ? null : person);
        return "";
    }

    private String taken(Notices on, Visitor visitor, Map<String, String> form) {
        on.taken(form.getOrDefault("alarm", ""), visitor.by());
        return "";
    }

    private String register(Notices on, Visitor visitor, Map<String, String> form) {
        String endpoint = form.getOrDefault("endpoint", "");
        String key = form.getOrDefault("p256dh", "");
        String secret = form.getOrDefault("auth", "");
        boolean person =
                on.settings().people().stream()
                        .anyMatch(p -> p.push() && p.name().equals(visitor.by()));
        if (!person) {
            return Words.say(visitor.language(), "watch.unknown", visitor.by());
        }
        if (!secure(endpoint) || !key.matches(KEY) || !secret.matches(SECRET)) {
            return Words.say(visitor.language(), "watch.no-subscription");
        }
        on.register(new Outbox.Phone(endpoint, visitor.by(), key, secret));
        return "";
    }

    /** RFC 8030 asks for https; nothing else is posted to. */
    private static boolean secure(String endpoint) {
        try {
            URI uri = URI.create(endpoint);
            return endpoint.length() <= MOST_ENDPOINT
                    && "https".equals(uri.getScheme())
                    && uri.getHost() != null
                    && uri.getUserInfo() == null;
        } catch (IllegalArgumentException _) {
            return false;
        }
    }

    private String forget(Notices on, Visitor visitor, Map<String, String> form) {
        on.forget(form.getOrDefault("endpoint", ""));
        return "";
    }
}
