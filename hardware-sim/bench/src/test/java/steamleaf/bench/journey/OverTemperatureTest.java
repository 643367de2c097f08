package steamleaf.bench.journey;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.icegreen.greenmail.util.GreenMail;
import com.icegreen.greenmail.util.ServerSetup;
import jakarta.mail.internet.MimeMessage;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.monitor.notice.PushReceiver;
import steamleaf.monitor.notice.TestCertificate;

/**
 * The relay of a heater sticks on in the middle of a drying. Controller on the simulated line,
 * monitor, two browsers, a push service and a mail server are there; what follows what is asserted,
 * never how long it took.
 */
final class OverTemperatureTest {
    private static final String ALARM = "oven-1.current-with-heat-off";
    private static final String NOTIFICATIONS =
            """
            (async () => {
              const worker = await navigator.serviceWorker.getRegistration();
              const all = await worker.getNotifications();
              return all.map(n => n.title + ' | ' + n.body + ' | '
                + (n.requireInteraction ? 'stays until touched' : 'goes') + ', ' + all.length).join(' ');
            })()
            """;

    /**
     * The panel's sound is on; nobody hears a browser without a screen, so its tones are counted.
     */
    private static final String TONES =
            """
            (async () => {
              localStorage.setItem('sound', 'on');
              window.tones = 0;
              const make = AudioContext.prototype.createOscillator;
              AudioContext.prototype.createOscillator =
                  function () { window.tones++; return make.call(this); };
              return window.tones;
            })()
            """;

    private static final String WHAT =
            "The heater of Oven 1 takes current although it is off: its relay is stuck.";

    /** The second step is far away: whoever is told in this test was told by the first. */
    private static final String NOTICES =
            """
            notices:
              page: https://tea.example/
              people:
                - {name: Ines, mail: ines@ridge.example, push: true}
                - {name: Kei, mail: kei@ridge.example}
              steps:
                - {afterS: 0, tell: [on-watch]}
                - {afterS: 7200, tell: [everyone]}
              mail: {host: 127.0.0.1, port: MAIL_PORT, user: line, passwordFile: mail.password, from: line@ridge.example}
              push: {contact: "mailto:office@ridge.example"}
              trustFile: trusted.pem
            """;

    @Test
    @Timeout(value = 6, unit = TimeUnit.MINUTES)
    void aStuckHeaterRelayReachesTheMachineThePagesThePhoneAndTheMailAndWhoeverHasItEndsTheCalling(
            @TempDir Path folder) throws Exception {
        TestCertificate certificate = new TestCertificate(folder);
        Files.writeString(folder.resolve("mail.password"), "the-password");
        System.setProperty("greenmail.tls.keystore.file", folder.resolve("server.p12").toString());
        System.setProperty("greenmail.tls.keystore.password", "changeit");
        System.setProperty("greenmail.tls.key.password", "changeit");
        int mailPort = SimulatedLineProcess.freePort();
        GreenMail mail =
                new GreenMail(new ServerSetup(mailPort, "127.0.0.1", ServerSetup.PROTOCOL_SMTPS));
        mail.setUser("ines@ridge.example", "line", "the-password");
        mail.start();
        int port = SimulatedLineProcess.freePort();
        Path lineFolder = folder.resolve("line");
        try (PushReceiver push = new PushReceiver(certificate);
                Child line = SimulatedLineProcess.start(lineFolder, port);
                Outside outside = new Outside(port, "kei");
                Child monitor =
                        MonitorProcess.start(
                                folder,
                                port,
                                NOTICES.replace("MAIL_PORT", String.valueOf(mailPort)))) {
            String address = address(monitor);
            register(address, push);
            try (Visitor panel = new Visitor(address, folder.resolve("panel"));
                    Visitor phone = new Visitor(address, folder.resolve("phone"))) {
                onWatch(phone);
                drying(outside, line);
                panel.open("unit/oven-1");
                assertEquals(0L, panel.script(TONES), "no alarm, no sound");
                phone.open("phone");
                phone.awaitText("no alarm stands");
                withoutAPushService(phone);
                int said = line.said().count();
                line.say("pace 60");
                line.say("stick heater 1");
                // a relay that is stuck on shows when heat is next held off: minutes, while leaf
                // warms up
                line.awaitLine("the horn sounds", said);
                line.say("pace 1");
                atTheMachine(outside, line, said, lineFolder);
                panel.awaitText(WHAT);
                panel.await("the panel's sound", _ -> !panel.script("tones").equals(0L));
                phone.awaitText(WHAT);
                phone.awaitText("only the contactor holds the heat off");
                String payload = called(push, mail);
                shownAsANotification(phone, payload);
                acknowledged(phone, panel, push, mail);
            }
            line.say("stop");
            assertEquals(0, line.await());
        } finally {
            mail.stop();
        }
    }

    private static String address(Child monitor) {
        String said = monitor.awaitLine("Steamleaf monitor: http://");
        return said.substring(said.indexOf("http://"));
    }

    /** What the page's script posts once the browser has a subscription. */
    private static void register(String address, PushReceiver push) throws Exception {
        try (HttpClient http = HttpClient.newHttpClient()) {
            HttpResponse<String> first =
                    http.send(
                            HttpRequest.newBuilder(URI.create(address + "who")).build(),
                            HttpResponse.BodyHandlers.ofString());
            String cookie =
                    first.headers().firstValue("Set-Cookie").orElseThrow().split(";", -1)[0]
                            + "; steamleaf-by=Ines";
            HttpResponse<String> page =
                    http.send(
                            HttpRequest.newBuilder(URI.create(address + "phone"))
                                    .header("Cookie", cookie)
                                    .build(),
                            HttpResponse.BodyHandlers.ofString());
            Matcher token =
                    Pattern.compile("name=\"token\" value=\"([0-9a-f]+)\"").matcher(page.body());
            assertTrue(token.find());
            String form =
                    Map.of(
                                    "token", token.group(1),
                                    "endpoint", push.endpoint(),
                                    "p256dh", push.p256dh(),
                                    "auth", push.auth(),
                                    "back", "/phone")
                            .entrySet()
                            .stream()
                            .map(
                                    e ->
                                            e.getKey()
                                                    + "="
                                                    + URLEncoder.encode(
                                                            e.getValue(), StandardCharsets.UTF_8))
                            .collect(Collectors.joining("&"));
            HttpResponse<String> done =
                    http.send(
                            HttpRequest.newBuilder(URI.create(address + "push/register"))
                                    .header("Cookie", cookie)
                                    .header("Content-Type", "application/x-www-form-urlencoded")
                                    .POST(HttpRequest.BodyPublishers.ofString(form))
                                    .build(),
                            HttpResponse.BodyHandlers.ofString());
            assertEquals(303, done.statusCode(), done.body());
        }
    }

    private static void onWatch(Visitor phone) {
        phone.open("who");
        phone.type("main form.fields input[name=by]", "Ines");
        phone.click("main form.fields button");
        phone.await("the way back to the panel", _ -> phone.path().isEmpty());
        phone.open("watch");
        phone.awaitText("phones: 1");
        phone.click("form[action='/watch'] button.go");
        phone.awaitText("Ines is on watch since");
    }

    /** A batch dries and its heater is switched on and off. */
    private static void drying(Outside outside, Child line) {
        outside.startBatch("standard");
        line.say("hands on");
        outside.awaitUnit(
                "oven-1",
                Child.PATIENCE,
                live -> {
                    double duty = live.path("outputs").path("duty").doubleValue();
                    return live.path("operation").asText().equals("dry")
                            && live.path("state").asText().equals("running")
                            && duty > 0.05
                            && duty < 0.9;
                });
    }

    /** The guard's decision, the contactor, the alarm and the horn, by the number of the cycle. */
    private static void atTheMachine(Outside outside, Child line, int said, Path folder)
            throws Exception {
        outside.await(
                Outside.AT + "alarm/" + ALARM,
                0,
                Child.PATIENCE,
                alarm -> alarm.path("state").asText().equals("unacknowledged"));
        long opens = cycleOf(line.awaitLine("the main contactor opens", said));
        long horn = cycleOf(line.awaitLine("the horn sounds", said));
        List<JsonNode> records = JournalFiles.checked(folder.resolve("journal"));
        long guard =
                records.stream()
                        .filter(r -> r.path("kind").asText().equals("guard"))
                        .filter(r -> r.path("body").path("event").asText().equals("caused"))
                        .filter(r -> r.path("body").toString().contains("current-with-heat-off"))
                        .findFirst()
                        .orElseThrow()
                        .path("cycle")
                        .longValue();
        long alarm =
                records.stream()
                        .filter(r -> r.path("kind").asText().equals("alarm"))
                        .filter(r -> r.path("body").path("id").asText().equals(ALARM))
                        .findFirst()
                        .orElseThrow()
                        .path("cycle")
                        .longValue();
        String order =
                "guard " + guard + ", contactor " + opens + ", alarm " + alarm + ", horn " + horn;
        assertTrue(guard <= alarm && alarm <= guard + 1, order);
        assertTrue(opens > guard && opens <= guard + 1, order);
        assertTrue(horn > alarm - 1 && horn <= alarm + 1, order);
    }

    private static long cycleOf(String line) {
        Matcher cycle = Pattern.compile("cycle (\\d+): ").matcher(line);
        assertTrue(cycle.find(), line);
        return Long.parseLong(cycle.group(1));
    }

    private static String called(PushReceiver push, GreenMail mail) throws Exception {
        PushReceiver.Pushed first = push.pushed().poll(90, TimeUnit.SECONDS);
        assertNotNull(first, () -> "no push; " + push.faults());
        assertTrue(first.message().path("title").asText().contains(WHAT), first.toString());
        assertEquals("high", first.urgency());
        assertTrue(mail.waitForIncomingEmail(90_000, 1), "no mail");
        MimeMessage came = mail.getReceivedMessages()[0];
        assertTrue(came.getSubject().contains(WHAT), came.getSubject());
        assertEquals("ines@ridge.example", came.getAllRecipients()[0].toString());
        assertTrue(came.getContent().toString().contains("call the electrician"));
        return first.message().toString();
    }

    /** This browser can reach no push service, and the person is told. */
    private static void withoutAPushService(Visitor phone) {
        phone.allowNotifications();
        phone.click("[data-push-on]");
        phone.awaitText("The push service does not answer: this phone gets no alarms yet.");
        assertTrue(phone.sees("[data-push-off][hidden]"), "it does not say that it is registered");
    }

    /** What the push receiver decrypted, given to the worker as a browser does. */
    private static void shownAsANotification(Visitor phone, String payload) {
        String shown = notified(phone, payload);
        assertTrue(shown.startsWith("Urgent: " + WHAT + " | Since "), shown);
        assertTrue(shown.contains("only the contactor holds the heat off"), shown);
        assertTrue(shown.contains("nothing heats until this relay is changed"), shown);
        assertTrue(shown.contains("https://tea.example/phone"), shown);
        assertTrue(shown.endsWith("stays until touched, 1"), shown);

        // touched while the phone page is open: it comes forward; while it is not: it is opened
        assertTrue(
                touched(phone).contains("\"focus /phone, 0 left\""), "the page is brought forward");
        phone.open("alarms");
        notified(phone, payload);
        String opened = touched(phone);
        assertTrue(opened.contains("\"open /phone#" + ALARM + ", 0 left\""), opened);
        phone.open("phone");
    }

    private static String notified(Visitor phone, String payload) {
        List<Object> seen = new ArrayList<>();
        try {
            return phone.await(
                    "the notification",
                    _ -> {
                        if (seen.size() % 20
                                == 0) { // a browser may lose one, its service would repeat it
                            phone.deliverPush(payload);
                        }
                        Object list = phone.script(NOTIFICATIONS);
                        seen.add(list);
                        return String.valueOf(list).contains(WHAT) ? String.valueOf(list) : null;
                    });
        } catch (AssertionError e) {
            throw new AssertionError("of " + payload + " came " + seen.getLast(), e);
        }
    }

    /**
     * A finger on the notification, and what the worker does then. Nobody can touch one in a
     * browser without a screen, and without a finger no window may be opened: the two ways to a
     * window only say that they were gone.
     */
    private static String touched(Visitor phone) {
        return phone.inWorker(
                """
                (async () => {
                  const [notification] = await self.registration.getNotifications();
                  const way = await new Promise(gone => {
                    self.clients.openWindow = async url => gone('open ' + url);
                    WindowClient.prototype.focus =
                        async function () { gone('focus ' + new URL(this.url).pathname); };
                    self.dispatchEvent(new NotificationEvent('notificationclick', {notification}));
                  });
                  return way + ', ' + (await self.registration.getNotifications()).length + ' left';
                })()
                """);
    }

    private static void acknowledged(
            Visitor phone, Visitor panel, PushReceiver push, GreenMail mail) throws Exception {
        phone.click("[data-alarm='" + ALARM + "'] form[action='/do/acknowledge'] button");
        phone.awaitText("Ines has it. Nobody else is told for");
        panel.open("alarms");
        panel.awaitText("acknowledged, since");
        panel.awaitText("by Ines");

        List<String> titles = new ArrayList<>();
        while (titles.stream().noneMatch(t -> t.startsWith("Ines has it: ") && t.contains(WHAT))) {
            PushReceiver.Pushed next = push.pushed().poll(90, TimeUnit.SECONDS);
            assertNotNull(next, () -> "nobody said who has it: " + titles);
            titles.add(next.message().path("title").asText());
        }
        panel.open("watch");
        panel.awaitText("Ines has it: ");
        for (MimeMessage message : mail.getReceivedMessages()) {
            assertEquals("ines@ridge.example", message.getAllRecipients()[0].toString());
        }
        assertEquals(List.of(), List.copyOf(push.faults()));
    }
}
