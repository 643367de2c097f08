package steamleaf.monitor.notice;

import java.io.IOException;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.security.InvalidKeyException;
import java.security.NoSuchAlgorithmException;
import java.time.Duration;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.LongSupplier;
import javax.crypto.Mac;
import javax.crypto.spec.SecretKeySpec;
import steamleaf.contract.Codec;
import steamleaf.monitor.store.Outbox;

/**
 * A signed POST to somebody else's program. The signature is HMAC-SHA256 (RFC 2104) over {@code
 * timestamp + "." + body}, so that neither can be exchanged, and an old one is not worth repeating.
 */
final class Webhook implements Channel {
    private static final Duration LIMIT = Duration.ofSeconds(10);

    private final Map<String, NoticeSettings.Hook> hooks = new LinkedHashMap<>();
    private final HttpClient http;
    private final LongSupplier wallMs;

    Webhook(NoticeSettings settings, HttpClient http, LongSupplier wallMs) {
        settings.webhooks().forEach(hook -> hooks.put(hook.name(), hook));
        this.http = http;
        this.wallMs = wallMs;
    }

    @Override
    public String name() {
        return "webhook";
    }

    @Override
    public Outcome send(Outbox.Waiting notice) throws InterruptedException {
        NoticeSettings.Hook hook = hooks.get(notice.target());
        if (hook == null) {
            return new Outcome.Failed("not in the configuration any more", true);
        }
        Map<String, Object> body = new LinkedHashMap<>();
        body.put("id", notice.id());
        body.put("kind", notice.kind());
        body.put("alarms", notice.alarms());
        body.put("urgent", notice.urgent());
        body.put("title", notice.title());
        body.put("text", notice.text());
        byte[] bytes = Codec.write(body);
        String timestamp = String.valueOf(wallMs.getAsLong() / 1_000);
        HttpRequest request =
                HttpRequest.newBuilder(hook.url())
                        .timeout(LIMIT)
                        .header("Content-Type", "application/json")
                        .header("Steamleaf-Timestamp", timestamp)
                        .header("Steamleaf-Signature", signature(hook.secret(), timestamp, bytes))
                        .POST(HttpRequest.BodyPublishers.ofByteArray(bytes))
                        .build();
        try {
            int status = http.send(request, HttpResponse.BodyHandlers.discarding()).statusCode();
            return status / 100 == 2
                    ? new Outcome.Delivered()
                    : new Outcome.Failed("answered " + status, false);
        } catch (IOException e) {
            return new Outcome.Failed("no answer: " + e.getClass().getSimpleName(), false);
        }
    }

    /** Lower-case hexadecimal. */
    static String signature(String secret, String timestamp, byte[] body) {
        try {
            Mac mac = Mac.getInstance("HmacSHA256");
            mac.init(new SecretKeySpec(secret.getBytes(StandardCharsets.UTF_8), "HmacSHA256"));
            mac.update((timestamp + ".").getBytes(StandardCharsets.US_ASCII));
            return HexFormat.of().formatHex(mac.doFinal(body));
        } catch (NoSuchAlgorithmException | InvalidKeyException e) {
            throw new IllegalStateException("HmacSHA256 is part of every JDK", e);
        }
    }
}
