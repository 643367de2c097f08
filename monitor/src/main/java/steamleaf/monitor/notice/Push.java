package steamleaf.monitor.notice;

import com.interaso.webpush.VapidKeys;
import com.interaso.webpush.WebPush;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.time.Duration;
import java.util.Base64;
import java.util.Map;
import steamleaf.contract.Codec;
import steamleaf.monitor.store.Outbox;

/** Web Push: RFC 8030 delivery, RFC 8291 encryption, RFC 8292 identification. */
final class Push implements Channel {
    private static final Duration LIMIT = Duration.ofSeconds(10);

    /** How long a push service keeps it for a phone that is off; older news misleads. */
    private static final int KEPT_S = 3_600;

    private static final int GONE = 410;
    private static final int NOT_FOUND = 404;

    private final WebPush webPush;
    private final VapidKeys keys;
    private final HttpClient http;
    private final Outbox outbox;

    Push(NoticeSettings.PushSender sender, HttpClient http, Outbox outbox) {
        this.keys = PushKeys.of(sender.keyFile());
        this.webPush = new WebPush(sender.contact(), keys);
        this.http = http;
        this.outbox = outbox;
    }

    /** The public key that a browser needs to subscribe, base64url. */
    String publicKey() {
        return Base64.getUrlEncoder()
                .withoutPadding()
                .encodeToString(keys.getApplicationServerKey());
    }

    @Override
    public String name() {
        return "push";
    }

    @Override
    public Outcome send(Outbox.Waiting notice) throws InterruptedException {
        Outbox.Phone phone = outbox.phone(notice.target()).orElse(null);
        if (phone == null) {
            return new Outcome.Failed("the phone is not registered any more", true);
        }
        byte[] text =
                Codec.write(
                        Map.of(
                                "title",
                                notice.title(),
                                "text",
                                short2k(notice.text()),
                                "tag",
                                notice.alarms().getFirst(),
                                "urgent",
                                notice.urgent()));
        try {
            byte[] body =
                    webPush.getBody(
                            text,
                            Base64.getUrlDecoder().decode(phone.p256dh()),
                            Base64.getUrlDecoder().decode(phone.auth()));
            HttpRequest.Builder request =
                    HttpRequest.newBuilder(URI.create(phone.endpoint()))
                            .timeout(LIMIT)
                            .POST(HttpRequest.BodyPublishers.ofByteArray(body));
            webPush.getHeaders(
                            phone.endpoint(),
                            KEPT_S,
                            null,
                            notice.urgent() ? WebPush.Urgency.High : WebPush.Urgency.Normal)
                    .forEach(request::header);
            int status =
                    http.send(request.build(), HttpResponse.BodyHandlers.discarding()).statusCode();
            if (status == GONE || status == NOT_FOUND) {
                outbox.forget(phone.endpoint());
                return new Outcome.Gone("the phone has unsubscribed (" + status + ")");
            }
            return status / 100 == 2
                    ? new Outcome.Delivered()
                    : new Outcome.Failed("the push service answered " + status, false);
        } catch (IllegalArgumentException _) {
            return new Outcome.Failed("the phone's keys are wrong: register it again", true);
        } catch (IOException e) {
            return new Outcome.Failed(
                    "no answer from the push service: " + e.getClass().getSimpleName(), false);
        }
    }

    /** A push carries at most 4,096 bytes encrypted (RFC 8030, 7.2; RFC 8291, 4). */
    private static String short2k(String text) {
        return text.length() <= 600 ? text : text.substring(0, 600) + " …";
    }
}
