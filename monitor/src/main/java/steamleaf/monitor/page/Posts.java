package steamleaf.monitor.page;

import io.helidon.http.HeaderNames;
import io.helidon.http.Status;
import io.helidon.webserver.http.HttpRouting;
import io.helidon.webserver.http.ServerRequest;
import io.helidon.webserver.http.ServerResponse;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.UUID;
import steamleaf.contract.AnswerMessage;
import steamleaf.contract.Because;
import steamleaf.contract.Codec;
import steamleaf.contract.CommandMessage;
import steamleaf.contract.Language;
import steamleaf.contract.StandIn;
import steamleaf.monitor.access.Access;
import steamleaf.monitor.access.Visitor;
import steamleaf.monitor.live.Asking;
import steamleaf.monitor.live.Live;

/** What people do on the pages: commands to the line, their name, their language. */
final class Posts {
    private static final Set<String> BUTTONS = Set.of("start", "reset", "confirm", "silence");

    /** Turning something off is never held up by a missing name or number. */
    private static final Set<String> OFF = Set.of("stop", "hold", "abort");

    private final Pages pages;
    private final Access access;
    private final Asking asking;
    private final Live live;

    Posts(Pages pages, Access access, Asking asking, Live live) {
        this.pages = pages;
        this.access = access;
        this.asking = asking;
        this.live = live;
    }

    void route(HttpRouting.Builder routing) {
        routing.post("/do/{kind}", this::command)
                .post("/stand-in", this::press)
                .post("/who", this::who)
                .post("/language", this::language);
    }

    private record Asked(Visitor visitor, Map<String, String> form) {}

    /** The form, when it is ours; otherwise the refusal is on its way. */
    private java.util.Optional<Asked> asked(ServerRequest request, ServerResponse response) {
        Visitor visitor = pages.visitor(request, response);
        Map<String, String> form = Access.form(request.content().as(String.class));
        if (access.ours(visitor, form)) {
            return java.util.Optional.of(new Asked(visitor, form));
        }
        response.status(Status.FORBIDDEN_403)
                .header(HeaderNames.CONTENT_TYPE, "text/plain; charset=utf-8")
                .send("Refused: the page was too old or not ours. Load it again.");
        return java.util.Optional.empty();
    }

    private void command(ServerRequest request, ServerResponse response) {
        asked(request, response).ifPresent(a -> command(request, response, a));
    }

    private void command(ServerRequest request, ServerResponse response, Asked a) {
        String kind = request.path().pathParameters().get("kind");
        if (!CommandMessage.KINDS.contains(kind)) {
            response.status(Status.NOT_FOUND_404).send("There is no such command.");
            return;
        }
        Language language = a.visitor().language();
        boolean off = OFF.contains(kind);
        if (a.visitor().by().isEmpty() && !off) {
            say(request, response, a, false, Words.say(language, "who.needed"));
            return;
        }
        switch (CommandForm.read(language, kind, a.form())) {
            case CommandForm.Said.Wrong(String sentence) ->
                    say(request, response, a, false, sentence);
            case CommandForm.Said.Right(CommandMessage.Args args) -> {
                Asking.Reply reply = asking.ask(message(a, kind, args));
                boolean moved =
                        reply instanceof Asking.Reply.Answered(AnswerMessage answer)
                                && answer.moved();
                String unit = a.form().getOrDefault("unit", "line");
                String sentence =
                        moved && kind.equals("plan-finish") // not done, only begun
                                ? Words.say(language, "answer.finish", Words.unit(language, unit))
                                : sentence(language, reply);
                say(request, response, a, moved, sentence);
            }
        }
    }

    private CommandMessage message(Asked a, String kind, CommandMessage.Args args) {
        Map<String, String> form = a.form();
        String by =
                a.visitor().by().isEmpty()
                        ? Words.say(a.visitor().language(), "who.unknown")
                        : a.visitor().by();
        steamleaf.contract.Status status = live.now().status();
        String start = form.getOrDefault("start", "");
        return new CommandMessage(
                UUID.randomUUID().toString(),
                asking.client(),
                by,
                start.isEmpty() && status != null ? status.start() : start,
                number(form.get("seenCycle")),
                number(form.get("seenState")),
                form.getOrDefault("unit", "line"),
                kind,
                args);
    }

    private static long number(@org.jspecify.annotations.Nullable String text) {
        return text != null && text.matches("\\d{1,18}") ? Long.parseLong(text) : 0;
    }

    private static String sentence(Language language, Asking.Reply reply) {
        return switch (reply) {
            case Asking.Reply.NotSent() -> Words.say(language, "answer.not-sent");
            case Asking.Reply.NoAnswer() -> Words.say(language, "answer.no-answer");
            case Asking.Reply.Answered(AnswerMessage answer) -> {
                Because because = answer.because();
                if (!answer.moved()) {
                    yield Words.say(
                            language,
                            "answer.refused",
                            because == null
                                    ? Figures.DASH
                                    : Story.ended(language, Words.reason(language, because)));
                }
                yield because == null
                        ? Words.say(language, "answer.moved-plain")
                        : Words.say(
                                language,
                                "answer.moved",
                                Words.clause(Words.reason(language, because)));
            }
        };
    }

    private void press(ServerRequest request, ServerResponse response) {
        asked(request, response)
                .ifPresent(
                        a -> {
                            Language language = a.visitor().language();
                            String button = a.form().getOrDefault("button", "");
                            steamleaf.contract.Status status = live.now().status();
                            boolean offered = status != null && status.standIn();
                            if (!BUTTONS.contains(button) || !offered) {
                                response.status(Status.NOT_FOUND_404)
                                        .send("There is no such button.");
                                return;
                            }
                            boolean sent = asking.press(new StandIn(button));
                            say(
                                    request,
                                    response,
                                    a,
                                    sent,
                                    sent
                                            ? Words.say(
                                                    language,
                                                    "answer.pressed",
                                                    Words.say(language, "button." + button))
                                            : Words.say(language, "answer.not-sent"));
                        });
    }

    private void who(ServerRequest request, ServerResponse response) {
        asked(request, response)
                .ifPresent(
                        a -> {
                            access.remember(response, a.form().getOrDefault("by", ""));
                            back(response, a.form());
                        });
    }

    private void language(ServerRequest request, ServerResponse response) {
        asked(request, response)
                .ifPresent(
                        a -> {
                            access.remember(response, Pages.other(a.visitor().language()));
                            back(response, a.form());
                        });
    }

    private static void back(ServerResponse response, Map<String, String> form) {
        response.status(Status.SEE_OTHER_303)
                .header(HeaderNames.LOCATION, Access.back(form.get("back")))
                .send();
    }

    /** The sentence, as the page's script or as a browser without script takes it. */
    private void say(
            ServerRequest request,
            ServerResponse response,
            Asked a,
            boolean moved,
            String sentence) {
        String back = Access.back(a.form().get("back"));
        String next = Access.back(a.form().getOrDefault("next", back));
        if (request.headers().first(HeaderNames.create("X-Steamleaf-Page")).isPresent()) {
            boolean goes = moved && a.form().containsKey("next");
            response.header(HeaderNames.CONTENT_TYPE, "application/json")
                    .header(HeaderNames.CACHE_CONTROL, "no-store")
                    .send(
                            Codec.write(
                                    Map.of(
                                            "moved",
                                            moved,
                                            "sentence",
                                            sentence,
                                            "next",
                                            goes ? List.of(next) : List.of())));
        } else {
            pages.answer(request, response, a.visitor(), sentence, moved ? next : back);
        }
    }
}
