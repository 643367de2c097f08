package steamleaf.monitor.notice;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.icegreen.greenmail.util.GreenMail;
import com.icegreen.greenmail.util.ServerSetup;
import com.sun.net.httpserver.HttpServer;
import jakarta.mail.internet.MimeMessage;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.URI;
import java.net.http.HttpClient;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.HexFormat;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import javax.crypto.AEADBadTagException;
import javax.crypto.Mac;
import javax.crypto.spec.SecretKeySpec;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.monitor.Ridge;
import steamleaf.monitor.notice.Channel.Outcome;
import steamleaf.monitor.store.Outbox;
import steamleaf.monitor.store.Store;

/** Each way against a server of its standard, run by the test. */
@Timeout(60)
final class ChannelsTest {
    private static final long WALL_MS = 1_778_587_200_000L;

    @TempDir Path folder;

    private static Outbox.Waiting notice(String target) {
        return new Outbox.Waiting(
                7,
                "raised",
                "Ines",
                "x",
                target,
                List.of("oven-2.airflow-not-proven"),
                true,
                "Urgent: 乾燥炉2 has no proven airflow",
                "What it leads to: wet leaf stews.\nLook at fan and filter.\n",
                0,
                0,
                0);
    }

    private static int freePort() throws Exception {
        try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            return socket.getLocalPort();
        }
    }

    // ---- push

    /** Keys, secret and bytes: RFC 8291, section 5, "Push Message Encryption Example". */
    @Test
    void theReceiverReadsTheExampleOfTheStandard() throws Exception {
        byte[] body =
                PushReceiver.bytes(
                        "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27ml"
                                + "mlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPT"
                                + "pK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN");
        byte[] plain =
                PushReceiver.decrypt(
                        body,
                        PushReceiver.privateKey(
                                PushReceiver.bytes("q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94")),
                        PushReceiver.bytes(
                                "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"),
                        PushReceiver.bytes("BTBZMqHH6r4Tts7J_aSIgg"));
        assertEquals(
                "When I grow up, I want to be a watermelon",
                new String(plain, StandardCharsets.UTF_8));
        body[100] ^= 1;
        assertThrows(
                AEADBadTagException.class,
                () ->
                        PushReceiver.decrypt(
                                body,
                                PushReceiver.privateKey(
                                        PushReceiver.bytes(
                                                "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94")),
                                PushReceiver.bytes(
                                        "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"),
                                PushReceiver.bytes("BTBZMqHH6r4Tts7J_aSIgg")));
    }

    @Test
    void aPushIsEncryptedForThePhoneSignedForItsServiceAndForgottenWhenThePhoneIsGone()
            throws Exception {
        TestCertificate certificate = new TestCertificate(folder);
        Path keyFile = folder.resolve("push.key");
        try (PushReceiver phone = new PushReceiver(certificate);
                Store store = Store.open(folder.resolve("records.db"));
                HttpClient http =
                        HttpClient.newBuilder()
                                .sslContext(Trust.with(certificate.pem()))
                                .version(HttpClient.Version.HTTP_1_1)
                                .build()) {
            Outbox outbox = store.outbox(Ridge.SITE);
            outbox.register(
                    new Outbox.Phone(phone.endpoint(), "Ines", phone.p256dh(), phone.auth()), null);
            NoticeSettings.PushSender sender =
                    new NoticeSettings.PushSender("mailto:office@ridge.example", keyFile);
            Push push = new Push(sender, http, outbox);
            assertInstanceOf(
                    Outcome.Delivered.class,
                    push.send(notice(phone.endpoint())),
                    () -> phone.faults().toString());
            PushReceiver.Pushed came = phone.pushed().poll(20, TimeUnit.SECONDS);
            assertNotNull(came);
            assertEquals(
                    "Urgent: 乾燥炉2 has no proven airflow", came.message().path("title").asText());
            assertEquals("high", came.urgency(), "RFC 8030, 5.3");
            assertTrue(came.ttlS() > 0);

            assertEquals(
                    "rw-------",
                    PosixFilePermissions.toString(Files.getPosixFilePermissions(keyFile)));
            assertEquals(
                    push.publicKey(),
                    new Push(sender, http, outbox).publicKey(),
                    "the next start has the same keys, or every phone would be lost");

            phone.answer.set(503);
            assertEquals(
                    new Outcome.Failed("the push service answered 503", false),
                    push.send(notice(phone.endpoint())));
            phone.answer.set(410);
            assertInstanceOf(Outcome.Gone.class, push.send(notice(phone.endpoint())));
            assertEquals(List.of(), outbox.phones());
        }
    }

    // ---- mail

    private Mail mail(int port, boolean tls, @Nullable Path trust, String password) {
        return new Mail(
                new NoticeSettings.MailServer(
                        "127.0.0.1", port, tls, "line", password, "line@ridge.example"),
                Trust.with(trust),
                () -> WALL_MS);
    }

    /** Takes mail under TLS with a certificate that the JDK made. */
    private GreenMail server(int port) {
        ServerSetup setup = new ServerSetup(port, "127.0.0.1", ServerSetup.PROTOCOL_SMTPS);
        setup.setServerStartupTimeout(20_000);
        GreenMail server = new GreenMail(setup);
        server.setUser("ines@ridge.example", "line", "right");
        return server;
    }

    private TestCertificate servesWithOurCertificate() throws Exception {
        TestCertificate certificate = new TestCertificate(folder);
        System.setProperty("greenmail.tls.keystore.file", folder.resolve("server.p12").toString());
        System.setProperty("greenmail.tls.keystore.password", "changeit");
        System.setProperty("greenmail.tls.key.password", "changeit");
        return certificate;
    }

    @Test
    void aMailGoesUnderTlsAndItsFailuresAreSaidWithoutThePassword() throws Exception {
        TestCertificate certificate = servesWithOurCertificate();
        int port = freePort();
        GreenMail server = server(port);
        server.start();
        try {
            assertInstanceOf(
                    Outcome.Delivered.class,
                    mail(port, true, certificate.pem(), "right")
                            .send(notice("ines@ridge.example")));
            assertTrue(server.waitForIncomingEmail(20_000, 1));
            MimeMessage came = server.getReceivedMessages()[0];
            assertEquals("Urgent: 乾燥炉2 has no proven airflow", came.getSubject());
            assertEquals("line@ridge.example", came.getFrom()[0].toString());
            assertTrue(came.getContent().toString().contains("Look at fan and filter."));
            assertEquals("auto-generated", came.getHeader("Auto-Submitted")[0]);

            Outcome.Failed wrong =
                    assertInstanceOf(
                            Outcome.Failed.class,
                            mail(port, true, certificate.pem(), "wr0ng-passw0rd")
                                    .send(notice("ines@ridge.example")));
            assertEquals("the mail server refuses user and password", wrong.why());
            Outcome.Failed foreign =
                    assertInstanceOf(
                            Outcome.Failed.class,
                            mail(port, true, null, "right").send(notice("ines@ridge.example")),
                            "a certificate that nobody vouches for");
            assertTrue(foreign.why().contains("SSLHandshakeException"), foreign.why());
        } finally {
            server.stop();
        }
        Outcome.Failed nobody =
                assertInstanceOf(
                        Outcome.Failed.class,
                        mail(port, true, certificate.pem(), "right")
                                .send(notice("ines@ridge.example")));
        assertTrue(!nobody.forGood() && !nobody.why().contains("right"), nobody.why());
    }

    @Test
    void withStarttlsNothingButTheGreetingGoesInTheClear() throws Exception {
        TestCertificate certificate = new TestCertificate(folder);
        try (StartTlsServer server = new StartTlsServer(certificate, true)) {
            assertInstanceOf(
                    Outcome.Delivered.class,
                    mail(server.port(), false, certificate.pem(), "right")
                            .send(notice("ines@ridge.example")));
            assertTrue(server.mails.take().contains("Look at fan and filter."));
            assertEquals(
                    List.of("EHLO", "STARTTLS"),
                    server.heardInTheClear.stream().map(l -> l.split(" ", -1)[0]).toList());
        }
    }

    /** This one would take user, password and mail in the clear. */
    @Test
    void aServerThatOffersNoStarttlsGetsNeitherPasswordNorMail() throws Exception {
        TestCertificate certificate = new TestCertificate(folder);
        try (StartTlsServer server = new StartTlsServer(certificate, false)) {
            assertInstanceOf(
                    Outcome.Failed.class,
                    mail(server.port(), false, certificate.pem(), "right")
                            .send(notice("ines@ridge.example")));
            assertEquals(
                    List.of(),
                    server.heardInTheClear.stream()
                            .filter(l -> !l.startsWith("EHLO") && !l.startsWith("QUIT"))
                            .toList());
            assertTrue(server.mails.isEmpty());
        }
    }

    /** Whoever has some certificate of the same authority is not the mail server for that. */
    @Test
    void aServerWithTheCertificateOfAnotherNameGetsNeitherPasswordNorMail() throws Exception {
        TestCertificate other = new TestCertificate(folder, "dns:other.ridge.example");
        try (StartTlsServer server = new StartTlsServer(other, true)) {
            Outcome.Failed failed =
                    assertInstanceOf(
                            Outcome.Failed.class,
                            mail(server.port(), false, other.pem(), "right")
                                    .send(notice("ines@ridge.example")));
            assertTrue(!failed.forGood(), failed.why());
            assertTrue(server.mails.isEmpty());
        }
    }

    // ---- webhook

    private record Posted(String body, String timestamp, String signature) {}

    @Test
    void aWebhookIsSignedOverTimeAndBodyAndAnyAnswerButYesIsAFailure() throws Exception {
        BlockingQueue<Posted> posted = new LinkedBlockingQueue<>();
        int[] status = {204};
        HttpServer server =
                HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
        server.createContext(
                "/in",
                exchange -> {
                    posted.add(
                            new Posted(
                                    new String(
                                            exchange.getRequestBody().readAllBytes(),
                                            StandardCharsets.UTF_8),
                                    exchange.getRequestHeaders().getFirst("Steamleaf-Timestamp"),
                                    exchange.getRequestHeaders().getFirst("Steamleaf-Signature")));
                    exchange.sendResponseHeaders(status[0], -1);
                    exchange.close();
                });
        server.start();
        try (HttpClient http = HttpClient.newHttpClient()) {
            NoticeSettings base = WatchTest.settings("medium", 20);
            NoticeSettings settings =
                    new NoticeSettings(
                            base.page(),
                            "medium",
                            20,
                            base.people(),
                            base.steps(),
                            null,
                            List.of(
                                    new NoticeSettings.Hook(
                                            "board",
                                            URI.create(
                                                    "http://127.0.0.1:"
                                                            + server.getAddress().getPort()
                                                            + "/in"),
                                            "sixteen-letters-or-more")),
                            null,
                            null);
            Webhook webhook = new Webhook(settings, http, () -> WALL_MS);
            assertInstanceOf(Outcome.Delivered.class, webhook.send(notice("board")));
            Posted came = posted.take();
            assertEquals("1778587200", came.timestamp());
            Mac mac = Mac.getInstance("HmacSHA256");
            mac.init(
                    new SecretKeySpec(
                            "sixteen-letters-or-more".getBytes(StandardCharsets.UTF_8),
                            "HmacSHA256"));
            mac.update("1778587200.".getBytes(StandardCharsets.UTF_8));
            assertEquals(
                    HexFormat.of()
                            .formatHex(mac.doFinal(came.body().getBytes(StandardCharsets.UTF_8))),
                    came.signature());
            assertTrue(came.body().contains("\"raised\""));
            status[0] = 500;
            assertEquals(new Outcome.Failed("answered 500", false), webhook.send(notice("board")));
        } finally {
            server.stop(0);
        }
    }

    /** RFC 4231, 4.3: test case 2, whose data is split at the timestamp's dot. */
    @Test
    void theSignatureIsHmacSha256() {
        byte[] data = "what do ya want for nothing?".getBytes(StandardCharsets.US_ASCII);
        assertArrayEquals(
                HexFormat.of()
                        .parseHex(
                                "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"),
                hmac("Jefe", data));
        assertEquals(
                HexFormat.of().formatHex(hmac("Jefe", "12.ab".getBytes(StandardCharsets.US_ASCII))),
                Webhook.signature("Jefe", "12", "ab".getBytes(StandardCharsets.US_ASCII)));
    }

    private static byte[] hmac(String key, byte[] data) {
        try {
            Mac mac = Mac.getInstance("HmacSHA256");
            mac.init(new SecretKeySpec(key.getBytes(StandardCharsets.US_ASCII), "HmacSHA256"));
            return mac.doFinal(data);
        } catch (java.security.GeneralSecurityException e) {
            throw new AssertionError(e);
        }
    }
}
