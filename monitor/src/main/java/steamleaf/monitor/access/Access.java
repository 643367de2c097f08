package steamleaf.monitor.access;

import io.helidon.http.HeaderNames;
import io.helidon.http.HeaderValues;
import io.helidon.http.Method;
import io.helidon.http.Status;
import io.helidon.webserver.http.FilterChain;
import io.helidon.webserver.http.HttpRouting;
import io.helidon.webserver.http.RoutingRequest;
import io.helidon.webserver.http.RoutingResponse;
import io.helidon.webserver.http.ServerRequest;
import io.helidon.webserver.http.ServerResponse;
import java.net.InetAddress;
import java.net.URLDecoder;
import java.net.URLEncoder;
import java.net.UnknownHostException;
import java.nio.charset.StandardCharsets;
import java.security.InvalidKeyException;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.security.SecureRandom;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import javax.crypto.Mac;
import javax.crypto.spec.SecretKeySpec;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Language;

/**
 * What stands before every page while there are no accounts: only this machine's own addresses as
 * host, changes only from our own pages (same origin and a token bound to the browser), and headers
 * that keep foreign script, frames and forms out.
 */
public final class Access {
    private static final String SESSION = "steamleaf-page";
    private static final String BY = "steamleaf-by";
    private static final String LANGUAGE = "steamleaf-language";
    private static final int KEY_BYTES = 32;
    private static final int MOST_NAME = 40;
    private static final int YEAR_S = 31_536_000;
    private static final Set<String> HOSTS = Set.of("localhost", "127.0.0.1", "[::1]");

    /** No inline script, no inline style, nothing from elsewhere, no frame around us. */
    private static final String POLICY =
            "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self';"
                    + " manifest-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'";

    private final SecureRandom random = new SecureRandom();
    private final byte[] key = new byte[KEY_BYTES];
    private final Language usual;

    public Access(Language usual) {
        this.usual = usual;
        random.nextBytes(key);
    }

    /**
     * Why this address may not be listened on, or null: there are no accounts yet, so only loopback
     * is served.
     */
    public static @Nullable String refusal(String bind) {
        try {
            return InetAddress.getByName(bind).isLoopbackAddress()
                    ? null
                    : "http.bind = "
                            + bind
                            + ", allowed: 127.0.0.1 or another loopback address. There are no accounts yet,"
                            + " so whoever reaches the page could give commands";
        } catch (UnknownHostException _) {
            return "http.bind = " + bind + ", allowed: 127.0.0.1 or another loopback address";
        }
    }

    public void route(HttpRouting.Builder routing) {
        routing.addFilter(this::guard);
    }

    private void guard(FilterChain chain, RoutingRequest request, RoutingResponse response) {
        response.header("Content-Security-Policy", POLICY);
        response.header("X-Content-Type-Options", "nosniff");
        response.header("X-Frame-Options", "DENY");
        response.header("Referrer-Policy", "same-origin");
        response.header("Cross-Origin-Opener-Policy", "same-origin");
        response.header("Cross-Origin-Resource-Policy", "same-origin");
        Method method = request.prologue().method();
        boolean reads = method.equals(Method.GET) || method.equals(Method.HEAD);
        if (!ourHost(request)) {
            refuse(response, "This address is not served: use the one that was printed at start.");
        } else if (!reads && !sameOrigin(request)) {
            refuse(response, "Refused: this did not come from our own page.");
        } else {
            chain.proceed();
        }
    }

    private static void refuse(RoutingResponse response, String sentence) {
        response.status(Status.FORBIDDEN_403)
                .header("Content-Type", "text/plain; charset=utf-8")
                .send(sentence);
    }

    private static Optional<String> header(ServerRequest request, String name) {
        return request.headers().first(HeaderNames.create(name));
    }

    /** A page elsewhere whose name was pointed at this machine sends its own host name. */
    private static boolean ourHost(ServerRequest request) {
        String host = header(request, "Host").orElse("");
        int port = host.lastIndexOf(':');
        boolean withPort = port > host.lastIndexOf(']');
        return HOSTS.contains((withPort ? host.substring(0, port) : host).toLowerCase(Locale.ROOT));
    }

    private static boolean sameOrigin(ServerRequest request) {
        String site = header(request, "Sec-Fetch-Site").orElse("same-origin");
        Optional<String> origin = header(request, "Origin");
        String ours = "http://" + header(request, "Host").orElse("");
        return site.equals("same-origin") && origin.map(ours::equals).orElse(true);
    }

    /** Who asks; a browser seen for the first time gets its cookie with the response. */
    public Visitor visitor(ServerRequest request, ServerResponse response) {
        Map<String, String> cookies = cookies(request);
        String session = cookies.get(SESSION);
        if (session == null || !session.matches("[0-9a-f]{" + 2 * KEY_BYTES + "}")) {
            byte[] fresh = new byte[KEY_BYTES];
            random.nextBytes(fresh);
            session = HexFormat.of().formatHex(fresh);
            cookie(response, SESSION, session, true);
        }
        return new Visitor(language(cookies), name(cookies.getOrDefault(BY, "")), token(session));
    }

    private Language language(Map<String, String> cookies) {
        return switch (cookies.getOrDefault(LANGUAGE, "")) {
            case "en" -> Language.ENGLISH;
            case "ja" -> Language.JAPANESE;
            default -> usual;
        };
    }

    /** Whether the form carries the token that was given to this browser. */
    public boolean ours(Visitor visitor, Map<String, String> form) {
        return MessageDigest.isEqual(
                visitor.token().getBytes(StandardCharsets.UTF_8),
                form.getOrDefault("token", "").getBytes(StandardCharsets.UTF_8));
    }

    /** Remembers the name in the browser. */
    public void remember(ServerResponse response, String by) {
        cookie(response, BY, URLEncoder.encode(name(by), StandardCharsets.UTF_8), false);
    }

    public void remember(ServerResponse response, Language language) {
        cookie(response, LANGUAGE, language == Language.JAPANESE ? "ja" : "en", false);
    }

    /** A person's name without control characters, not longer than a line. */
    static String name(String entered) {
        String plain = entered.replaceAll("\\p{Cntrl}", " ").strip();
        return plain.codePointCount(0, plain.length()) > MOST_NAME
                ? plain.substring(0, plain.offsetByCodePoints(0, MOST_NAME))
                : plain;
    }

    /** Fields of a form; a field that comes twice keeps its first value. */
    public static Map<String, String> form(String body) {
        Map<String, String> fields = new HashMap<>();
        for (String pair : body.split("&", -1)) {
            int equals = pair.indexOf('=');
            if (equals > 0) {
                fields.putIfAbsent(
                        decoded(pair.substring(0, equals)), decoded(pair.substring(equals + 1)));
            }
        }
        return fields;
    }

    /** A path on this site to go back to; anything else is the first page. */
    public static String back(@Nullable String path) {
        return path != null && path.matches("/(?![/\\\\])[A-Za-z0-9._~/?=&%-]{0,200}") ? path : "/";
    }

    private static String decoded(String text) {
        try {
            return URLDecoder.decode(text, StandardCharsets.UTF_8);
        } catch (IllegalArgumentException _) {
            return "";
        }
    }

    private static Map<String, String> cookies(ServerRequest request) {
        Map<String, String> cookies = new HashMap<>();
        String all = header(request, "Cookie").orElse("");
        for (String pair : all.split(";", -1)) {
            int equals = pair.indexOf('=');
            if (equals > 0) {
                cookies.putIfAbsent(
                        pair.substring(0, equals).strip(),
                        decoded(pair.substring(equals + 1).strip()));
            }
        }
        return cookies;
    }

    private static void cookie(
            ServerResponse response, String name, String value, boolean untilClosed) {
        String cookie =
                name
                        + "="
                        + value
                        + "; Path=/; HttpOnly; SameSite=Strict"
                        + (untilClosed ? "" : "; Max-Age=" + YEAR_S);
        response.headers().add(HeaderValues.create(HeaderNames.SET_COOKIE, cookie));
    }

    private String token(String session) {
        try {
            Mac mac = Mac.getInstance("HmacSHA256");
            mac.init(new SecretKeySpec(key, "HmacSHA256"));
            return HexFormat.of()
                    .formatHex(mac.doFinal(session.getBytes(StandardCharsets.US_ASCII)));
        } catch (NoSuchAlgorithmException | InvalidKeyException e) {
            throw new IllegalStateException("HmacSHA256 is part of every JDK", e);
        }
    }
}
