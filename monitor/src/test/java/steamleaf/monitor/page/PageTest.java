package steamleaf.monitor.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.Socket;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.function.Predicate;
import java.util.function.UnaryOperator;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.contract.Because;
import steamleaf.contract.CommandMessage;
import steamleaf.contract.StandIn;
import steamleaf.contract.UnitLive;
import steamleaf.monitor.Ridge;
import steamleaf.monitor.Showroom;

/** The pages over HTTP, on the showroom's line. */
@Timeout(60)
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
final class PageTest {
    private static final Pattern TOKEN = Pattern.compile("name=\"token\" value=\"([0-9a-f]+)\"");
    private static final List<String> PAGES =
            List.of(
                    "/",
                    "/unit/oven-1",
                    "/unit/oven-2",
                    "/unit/oven-3",
                    "/unit/steamer",
                    "/unit/oven-3/plan",
                    "/unit/oven-3/start",
                    "/unit/oven-2/start?action=resume",
                    "/unit/oven-2/start?action=reset",
                    "/unit/oven-2/sample",
                    "/unit/oven-2/weigh",
                    "/unit/oven-2/finish",
                    "/unit/oven-3/finish",
                    "/line",
                    "/lots",
                    "/alarms",
                    "/alarms/figures",
                    "/alarms/figures/30",
                    "/phone",
                    "/watch",
                    "/batches",
                    "/batch/b-1",
                    "/batch/b-3",
                    "/recipes",
                    "/learned",
                    "/who");

    private Showroom room;
    private HttpClient http;

    @BeforeAll
    void open(@TempDir Path folder) throws Exception {
        room = new Showroom(folder);
        http = HttpClient.newHttpClient();
        // the whole journal has come when the youngest batch is on its page, at its last moisture
        until("/unit/oven-2", page -> page.contains("Oven 2 is drying"));
        until("/batches", page -> page.contains("/batch/b-3"));
        until("/batches", page -> page.contains("/batch/b-1"));
    }

    @AfterAll
    void close() {
        room.close();
    }

    private static final String[] JAPANESE = {"Cookie", "steamleaf-language=ja"};

    private String until(String path, Predicate<String> seen, String... headers) throws Exception {
        String page = get(path, headers).body();
        while (!seen.test(page)) {
            page = get(path, headers).body();
        }
        return page;
    }

    private HttpRequest.Builder request(String path) {
        return HttpRequest.newBuilder(URI.create(room.monitor.address() + path.substring(1)));
    }

    private HttpResponse<String> get(String path, String... headers) throws Exception {
        HttpRequest.Builder request = request(path);
        for (int i = 0; i < headers.length; i += 2) {
            request.header(headers[i], headers[i + 1]);
        }
        return http.send(request.build(), HttpResponse.BodyHandlers.ofString());
    }

    private static String plain(String page) {
        return page.replace('\u00a0', ' ');
    }

    /** A browser with its cookie and its token. */
    private record Browser(String cookie, String token) {}

    private Browser browser() throws Exception {
        HttpResponse<String> page = get("/who");
        String cookie = page.headers().firstValue("Set-Cookie").orElseThrow().split(";", -1)[0];
        Matcher token = TOKEN.matcher(get("/who", "Cookie", cookie).body());
        assertTrue(token.find());
        return new Browser(cookie + "; steamleaf-by=Ines", token.group(1));
    }

    private static String form(Map<String, String> fields) {
        return fields.entrySet().stream()
                .map(
                        e ->
                                URLEncoder.encode(e.getKey(), StandardCharsets.UTF_8)
                                        + "="
                                        + URLEncoder.encode(e.getValue(), StandardCharsets.UTF_8))
                .collect(Collectors.joining("&"));
    }

    private HttpResponse<String> post(
            String path, String cookie, Map<String, String> fields, String... headers)
            throws Exception {
        HttpRequest.Builder request =
                request(path)
                        .header("Content-Type", "application/x-www-form-urlencoded")
                        .header("Cookie", cookie)
                        .POST(HttpRequest.BodyPublishers.ofString(form(fields)));
        for (int i = 0; i < headers.length; i += 2) {
            request.header(headers[i], headers[i + 1]);
        }
        return http.send(request.build(), HttpResponse.BodyHandlers.ofString());
    }

    @Test
    void everyPageOpensWithOneSentenceHasAStopAndNoScriptOfItsOwn() throws Exception {
        for (String path : PAGES) {
            for (String language : List.of("en", "ja")) {
                HttpResponse<String> answer = get(path, "Cookie", "steamleaf-language=" + language);
                String page = answer.body();
                assertEquals(200, answer.statusCode(), path);
                assertTrue(page.contains("<html lang=\"" + language + "\""), path);
                assertEquals(2, page.split("<h1>", -1).length, path + " has one h1");
                assertTrue(page.contains("action=\"/do/stop\""), path);
                assertTrue(
                        page.contains(language.equals("en") ? "Stop everything" : "すべて停止"), path);
                assertEquals(
                        2, page.split("<script", -1).length, path + ": one script, from a file");
                assertFalse(Pattern.compile("\\son[a-z]+=\"|style=\"").matcher(page).find(), path);
                assertFalse(page.contains("{0}"), path);
                assertFalse(Pattern.compile(">null<|NaN").matcher(page).find(), path);
            }
        }
    }

    @Test
    void theSentenceAndTheNumbersOfAPanelAreOfTheSameState() throws Exception {
        String page = plain(until("/unit/oven-2", p -> p.contains("Oven 2 is drying")));
        assertTrue(
                page.contains(
                        "<h1>Oven 2 is drying. The leaf is at 8.1 % and lands at 5.5 % at about"));
        assertTrue(page.contains("<b>8.1 ± 0.6 %</b>leaf moisture, wet basis"));
        assertTrue(page.contains("<b>75.2 °C</b>air, set 75"));
        assertTrue(page.contains("93 % sure to end between 4 and 7 %."));
        assertTrue(page.contains("Somebody is wanted at Oven 1."));
    }

    @Test
    void aFinishedBatchIsToldWithItsCurveItsEventsAndItsSamples() throws Exception {
        String page = plain(until("/batch/b-1", p -> p.contains("Complete.")));
        assertTrue(page.contains("<h1>Lot 38 landed at 5.2 %. It took"));
        assertTrue(page.contains("4.10 kg → 0.84 kg"));
        assertTrue(
                page.contains("class=\"band\"")
                        && page.contains("class=\"fan\"")
                        && page.contains("class=\"ring\""));
        assertTrue(page.contains("Planned with recipe standard, by Ines."));
        assertTrue(page.contains("Hand sample: 12.8 ± 0.4 % (drying oven, wet basis), by Ines."));
        assertTrue(page.contains("Oven 1 has no proven airflow"));
    }

    @Test
    void theAlarmsOfTheRecordAreCountedAgainstTheBenchmarks() throws Exception {
        until("/batch/b-2", p -> p.contains("Complete."));
        String page = plain(get("/alarms/figures/7").body());
        assertTrue(page.contains("<h1>2 alarms came in "), page);
        assertTrue(page.contains("few enough for one person."));
        assertTrue(page.contains("<td>Oven 1 has no proven airflow: its heat is off.</td>"), page);
        assertTrue(page.contains("1 ×") && page.contains("50 % of all"));
        assertTrue(page.contains("1, at most 2") && page.contains("80 / 15 / 5 %"));
    }

    @Test
    void thePhonePageSaysWhatItIsWhatItLeadsToWhatToDoAndWhoWasTold() throws Exception {
        String page = plain(until("/phone", p -> p.contains("Not reached: ")));
        for (String words :
                List.of(
                        "Oven 2 has no proven airflow: its heat is off.",
                        "What it leads to: no heat; wet leaf stews in still warmth.",
                        "Look at fan and filter, then reset at the machine.",
                        "Respond within",
                        "Not reached: ",
                        "Nobody has it yet.",
                        "action=\"/do/acknowledge\"",
                        "The horn at the machine is what counts.")) {
            assertTrue(page.contains(words), words + " in " + page);
        }
    }

    @Test
    void whoeverIsOnWatchStandsOnThePageAndFailuresToo() throws Exception {
        Browser browser = browser();
        assertEquals(
                303,
                post("/watch", browser.cookie(), Map.of("token", browser.token(), "person", "Ines"))
                        .statusCode());
        assertTrue(get("/watch").body().contains("<h1>Ines is on watch since"));
        assertTrue(
                plain(
                                post(
                                                "/watch",
                                                browser.cookie(),
                                                Map.of(
                                                        "token",
                                                        browser.token(),
                                                        "person",
                                                        "Mallory"))
                                        .body())
                        .contains("Mallory is not among the people of the watch."));
        String page = plain(until("/watch", p -> p.contains("Did not arrive:")));
        assertTrue(
                page.contains("board, webhook") && page.contains("no answer: ConnectException"),
                page);
        assertFalse(page.contains("secret-of-the-board") || page.contains("127.0.0.1:1/in"));
    }

    @Test
    void aPhoneIsRegisteredOnlyWithASecureEndpointAndProperKeys() throws Exception {
        Browser browser = browser();
        String key = "B" + "A".repeat(86);
        Map<String, String> good =
                Map.of(
                        "token",
                        browser.token(),
                        "endpoint",
                        "https://push.example/abc",
                        "p256dh",
                        key,
                        "auth",
                        "A".repeat(22));
        String page = get("/phone", "Cookie", browser.cookie()).body();
        assertTrue(Pattern.compile("data-push=\"B[A-Za-z0-9_-]{86}\"").matcher(page).find(), page);
        for (String wrong :
                List.of("http://push.example/abc", "https://u:p@push.example/", "file:///etc/x")) {
            Map<String, String> bad = new java.util.HashMap<>(good);
            bad.put("endpoint", wrong);
            assertTrue(
                    post("/push/register", browser.cookie(), bad)
                            .body()
                            .contains("that is no push subscription"),
                    wrong);
        }
        assertEquals(303, post("/push/register", browser.cookie(), good).statusCode());
        assertTrue(get("/watch").body().contains("phones: 1"));
        assertEquals(303, post("/push/forget", browser.cookie(), good).statusCode());
        assertTrue(get("/watch").body().contains("no phone registered"));
        assertEquals(200, get("/push.js").statusCode());
    }

    @Test
    void figuresThatAreOldAreADashAndAReason() throws Exception {
        room.line.down();
        try {
            String page = plain(until("/unit/oven-2", p -> p.contains("is not heard from")));
            assertTrue(page.contains("<b>–</b>"));
            assertFalse(page.contains("8.1 ± 0.6 %"));
            assertTrue(page.contains("the controller is not there"));
            assertTrue(
                    plain(get("/alarms").body()).contains("Whether an alarm stands is not known"));
        } finally {
            room.line.up();
            until("/unit/oven-2", p -> p.contains("Oven 2 is drying"));
        }
    }

    private static Map<String, String> fields(Browser browser, String... more) {
        Map<String, String> fields = new java.util.HashMap<>();
        fields.put("token", browser.token());
        for (int i = 0; i < more.length; i += 2) {
            fields.put(more[i], more[i + 1]);
        }
        return fields;
    }

    private CommandMessage next(String kind) throws InterruptedException {
        CommandMessage command = Objects.requireNonNull(room.line.nextCommand(), kind);
        while (!command.kind().equals(kind)) {
            command = Objects.requireNonNull(room.line.nextCommand(), kind);
        }
        return command;
    }

    @Test
    void aCommandCarriesWhatThePageShowedAndItsAnswerComesBack() throws Exception {
        Browser browser = browser();
        HttpResponse<String> answer =
                post(
                        "/do/arm",
                        browser.cookie(),
                        fields(
                                browser,
                                "unit",
                                "oven-3",
                                "action",
                                "start",
                                "start",
                                "s-1",
                                "seenCycle",
                                "777",
                                "seenState",
                                "4"),
                        "X-Steamleaf-Page",
                        "1");
        assertTrue(answer.body().contains("\"moved\":true"), answer.body());
        CommandMessage command = next("arm");
        assertEquals("Ines", command.by());
        assertEquals("s-1", command.start());
        assertEquals(777, command.seenCycle());
        assertEquals(4, command.seenState());
        assertEquals("oven-3", command.unit());
        assertEquals("start", command.args().action());
    }

    @Test
    void aRefusalIsShownAsItsSentence() throws Exception {
        Browser browser = browser();
        HttpResponse<String> answer =
                post(
                        "/do/plan-batch",
                        browser.cookie(),
                        fields(
                                browser,
                                "unit",
                                "oven-3",
                                "recipe",
                                "standard",
                                "kg.lot-42",
                                "4,2",
                                "start",
                                "s-1"),
                        "X-Steamleaf-Page",
                        "1");
        assertTrue(answer.body().contains("Refused: The door of Oven 3 is open."), answer.body());
        assertTrue(answer.body().contains("\"next\":[]"));
        CommandMessage command = next("plan-batch");
        assertEquals(4.2, Objects.requireNonNull(command.args().lots()).getFirst().massKg());
        assertEquals("lot-42", Objects.requireNonNull(command.args().lots()).getFirst().lot());
    }

    private String learned(String language) throws Exception {
        String cookie = "steamleaf-language=" + language;
        String page = get("/learned", "Cookie", cookie).body();
        while (!page.contains("/do/forget-learned")) {
            page = get("/learned", "Cookie", cookie).body(); // the retained message is on its way
        }
        return plain(page).replace("</td>", " ").replaceAll("<[^>]*>", "").replaceAll("\\s+", " ");
    }

    @Test
    void theOwnerSeesWhatWasLearnedFromWhatHowSureAndWhatItWouldBeWithout() throws Exception {
        String page = learned("en");
        assertTrue(
                page.contains(
                        "For 1 of 2 pairs of oven and leaf the next charge begins with what finished batches taught."),
                page);
        assertTrue(
                page.contains(
                        "Oven 1, medium leaf Drying rate of nearly dry leaf: the next charge begins with 0.75 ×"
                                + " (without lessons 1.00 ×). The batches say 0.65 × and differ by ± 39 %."
                                + " Applied to the next charge; 3 batches count"),
                page);
        assertTrue(
                page.contains(
                        "Exchange of air: the next charge begins with 1.00 ×, as without lessons. The batches say"
                                + " 1.02 × and differ by ± 17 %. Not applied: the 4 batches that count differ too much"),
                page);
        assertTrue(page.contains("Not applied: 0 of the 3 batches needed count so far"), page);
        assertTrue(
                page.contains(
                        "Lot 38 0.62 × ± 21 % 1.03 × ± 14 %, left out: too little was known of it"),
                page);
        assertTrue(page.contains("no hand sample of nearly dry leaf was believed"), page);
        assertTrue(get("/learned").body().contains("href=\"/batch/b-1\""));
        assertFalse(get("/learned").body().contains("href=\"/batch/b-0\""), "not in the record");
    }

    @Test
    void whatWasLearnedIsSaidInJapaneseToo() throws Exception {
        String page = learned("ja");
        assertTrue(page.contains("次の投入は0.75 ×で始めます(学習なしなら1.00 ×)。"), page);
        assertTrue(page.contains("使いません: 必要な3バッチのうち0バッチです"), page);
    }

    @Test
    void whatWasLearnedOfOneOvenAndGradeIsForgottenAfterAConfirmation() throws Exception {
        String page = learned("en");
        int warned = page.indexOf("Forget this … The next charge of medium leaf in Oven 1 begins");
        assertTrue(
                warned > 0 && page.indexOf("Forget what Oven 1 learned of medium leaf") > warned);
        Browser browser = browser();
        post(
                "/do/forget-learned",
                browser.cookie(),
                fields(browser, "unit", "oven-1", "action", "medium"));
        CommandMessage one = next("forget-learned");
        assertEquals("oven-1", one.unit());
        assertEquals("medium", one.args().action());
        post("/do/forget-learned", browser.cookie(), fields(browser, "unit", "line"));
        assertNull(next("forget-learned").args().action());
        HttpResponse<String> wrong =
                post(
                        "/do/forget-learned",
                        browser.cookie(),
                        fields(browser, "unit", "oven-1", "action", "ripe"));
        assertTrue(wrong.body().contains("ripe"), wrong.body());
    }

    @Test
    void withoutScriptAFormIsAnsweredByAPage() throws Exception {
        Browser browser = browser();
        HttpResponse<String> answer =
                post(
                        "/do/hold",
                        browser.cookie(),
                        fields(browser, "unit", "oven-2", "back", "/unit/oven-2"));
        assertEquals(200, answer.statusCode());
        assertTrue(answer.body().contains("<h1>Done.</h1>"));
        assertTrue(answer.body().contains(">Go on</a>"));
        assertTrue(answer.body().contains("href=\"/unit/oven-2\""));
    }

    @Test
    void stopNeedsNoNameAndNothingElseDoesWithoutOne() throws Exception {
        Browser browser = browser();
        String nameless = browser.cookie().replace("; steamleaf-by=Ines", "");
        HttpResponse<String> refused =
                post(
                        "/do/sample-taken",
                        nameless,
                        fields(browser, "unit", "oven-2"),
                        "X-Steamleaf-Page",
                        "1");
        assertTrue(refused.body().contains("Say who you are first"));
        post("/do/stop", nameless, fields(browser, "unit", "line"), "X-Steamleaf-Page", "1");
        CommandMessage stop = next("stop");
        assertEquals("line", stop.unit());
        assertEquals("somebody at the panel", stop.by());
        assertEquals("s-1", stop.start());
    }

    @Test
    void aNumberThatIsNoneIsNamedAndNothingIsSent() throws Exception {
        Browser browser = browser();
        HttpResponse<String> answer =
                post(
                        "/do/weigh-in",
                        browser.cookie(),
                        fields(browser, "unit", "oven-2", "massKg", "1.2.3"),
                        "X-Steamleaf-Page",
                        "1");
        assertTrue(
                answer.body()
                        .contains("Nothing was sent: Leaf, kg: \\\"1.2.3\\\" is not a number."),
                answer.body());
        assertTrue(
                post(
                                "/do/weigh-in",
                                browser.cookie(),
                                fields(browser, "unit", "oven-2", "massKg", "-1"),
                                "X-Steamleaf-Page",
                                "1")
                        .body()
                        .contains("allowed: 0 to 1000"));
    }

    @Test
    void aFormFromElsewhereOrWithoutItsTokenChangesNothing() throws Exception {
        Browser browser = browser();
        Map<String, String> good = fields(browser, "unit", "oven-2");
        assertEquals(
                403, post("/do/stop", browser.cookie(), Map.of("unit", "oven-2")).statusCode());
        assertEquals(403, post("/do/stop", "steamleaf-page=" + "0".repeat(64), good).statusCode());
        assertEquals(
                403,
                post("/do/stop", browser.cookie(), good, "Origin", "http://elsewhere.example")
                        .statusCode());
        assertEquals(
                403,
                post("/do/stop", browser.cookie(), good, "Sec-Fetch-Site", "cross-site")
                        .statusCode());
        assertEquals(404, post("/do/from-tomorrow", browser.cookie(), good).statusCode());
        assertEquals(200, post("/do/hold", browser.cookie(), good).statusCode());
    }

    /** A name elsewhere that points at this machine must not reach the pages. */
    @Test
    void anotherHostNameIsNotServed() throws Exception {
        try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), room.monitor.port())) {
            socket.setSoTimeout(10_000);
            socket.getOutputStream()
                    .write(
                            "GET / HTTP/1.1\r\nHost: rebound.example\r\nConnection: close\r\n\r\n"
                                    .getBytes(StandardCharsets.US_ASCII));
            BufferedReader answer =
                    new BufferedReader(
                            new InputStreamReader(socket.getInputStream(), StandardCharsets.UTF_8));
            assertTrue(String.valueOf(answer.readLine()).startsWith("HTTP/1.1 403"));
        }
    }

    @Test
    void headersKeepForeignScriptAndFramesOut() throws Exception {
        HttpResponse<String> page = get("/");
        String policy = page.headers().firstValue("Content-Security-Policy").orElseThrow();
        assertTrue(
                policy.contains("default-src 'none'") && policy.contains("frame-ancestors 'none'"));
        assertFalse(policy.contains("unsafe"));
        assertEquals("nosniff", page.headers().firstValue("X-Content-Type-Options").orElseThrow());
        assertTrue(
                page.headers()
                        .firstValue("Set-Cookie")
                        .orElseThrow()
                        .contains("HttpOnly; SameSite=Strict"));
        assertEquals("no-store", page.headers().firstValue("Cache-Control").orElseThrow());
    }

    @Test
    void hostileNamesAreShownAsTheyAreAndDoNothing() throws Exception {
        String hostile = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>";
        Ridge ridge = Ridge.empty();
        Showroom.history(ridge);
        ridge.lot("lot-9", hostile, 3.0);
        room.line.holding(ridge.records()).up();
        String lots = until("/lots", p -> p.contains("alert(1)"));
        assertFalse(lots.contains("<script>alert"));
        assertFalse(lots.contains("<img"));
        assertTrue(lots.contains("name=\"kg.lot-9\" value=\"3.0\""), "it may be written off");
        String plan = get("/unit/oven-3/plan").body();
        assertTrue(plan.contains("alert(1)"));
        assertFalse(plan.contains("<script>alert") || plan.contains("<img"));
        Browser browser = browser();
        HttpResponse<String> who =
                post(
                        "/who",
                        browser.cookie(),
                        fields(browser, "by", hostile, "back", "//elsewhere.example/"));
        assertEquals(303, who.statusCode());
        assertEquals("/", who.headers().firstValue("Location").orElseThrow());
        String cookie = who.headers().firstValue("Set-Cookie").orElseThrow().split(";", -1)[0];
        String page = get("/who", "Cookie", cookie).body();
        assertFalse(page.contains("<script>alert") || page.contains("<img"));
        assertFalse(
                get("/batch/%3Cscript%3Ealert(1)%3C/script%3E").body().contains("<script>alert"));
        assertFalse(get("/unit/%3Cimg%20src=x%3E").body().contains("<img"));
    }

    @Test
    void theStandInIsOfferedAndPressesTheSimulatedButton() throws Exception {
        Browser browser = browser();
        String page = get("/unit/oven-3/start").body();
        assertTrue(
                page.contains("Stand-in for the machine&#39;s buttons (simulated line)")
                        || page.contains("Stand-in for the machine's buttons (simulated line)"));
        HttpResponse<String> answer =
                post(
                        "/stand-in",
                        browser.cookie(),
                        fields(browser, "button", "start"),
                        "X-Steamleaf-Page",
                        "1");
        assertTrue(
                answer.body().contains("Pressed at the simulated machine: start."), answer.body());
        assertEquals(new StandIn("start"), room.line.nextPress());
        assertEquals(
                404,
                post("/stand-in", browser.cookie(), fields(browser, "button", "contactor"))
                        .statusCode());
    }

    @Test
    void liveNewsReachesAnOpenPageWithWhatItMustNameInCommands() throws Exception {
        HttpResponse<InputStream> stream =
                http.send(
                        request("/live?parts=say,units&unit=oven-2").build(),
                        HttpResponse.BodyHandlers.ofInputStream());
        try (InputStream in = stream.body()) {
            assertEquals(
                    "text/event-stream", stream.headers().firstValue("Content-Type").orElseThrow());
            String first = event(in);
            assertTrue(plain(first).contains("Oven 2 is drying"), first);
            assertTrue(first.contains("\"seen\":"), first);
            assertTrue(first.contains("\"start\":\"s-1\""), first);
            String second = event(in);
            assertFalse(
                    second.contains("Oven 2 is drying"), "what has not changed is not sent again");
            assertTrue(second.contains("\"cycle\":"), second);
        }
    }

    private static String event(InputStream in) throws IOException {
        StringBuilder text = new StringBuilder();
        java.io.ByteArrayOutputStream bytes = new java.io.ByteArrayOutputStream();
        for (int b = in.read(); b >= 0; b = in.read()) {
            bytes.write(b);
            if (b == '\n' && bytes.toString(StandardCharsets.UTF_8).endsWith("\n\n")) {
                text.append(bytes.toString(StandardCharsets.UTF_8));
                return text.toString();
            }
        }
        throw new IOException("the stream ended: " + bytes.toString(StandardCharsets.UTF_8));
    }

    @Test
    void thePersonAndTheLanguageAreRemembered() throws Exception {
        Browser browser = browser();
        HttpResponse<String> who =
                post("/who", browser.cookie(), fields(browser, "by", "Teo", "back", "/lots"));
        assertEquals("/lots", who.headers().firstValue("Location").orElseThrow());
        String cookie = who.headers().firstValue("Set-Cookie").orElseThrow();
        assertTrue(get("/", "Cookie", cookie.split(";", -1)[0]).body().contains(">Teo<"));
        HttpResponse<String> language =
                post("/language", browser.cookie(), fields(browser, "back", "/line"));
        assertTrue(
                language.headers()
                        .firstValue("Set-Cookie")
                        .orElseThrow()
                        .startsWith("steamleaf-language=ja"));
    }

    @Test
    void filesAndMetersAreServedAndNothingElse() throws Exception {
        for (String file : List.of("pages.css", "pages.js", "tokens.css", "leaf.svg")) {
            assertEquals(200, get("/static/" + file).statusCode(), file);
        }
        assertEquals(404, get("/static/words.tsv").statusCode());
        assertEquals(404, get("/static/..%2Fwords.tsv").statusCode());
        assertEquals(404, get("/unit/oven-9").statusCode());
        assertEquals(404, get("/nowhere").statusCode());
        String meters = get("/metrics").body();
        assertNotNull(meters);
        assertTrue(meters.contains("steamleaf_intake_records_total{outcome=\"stored\"}"));
        assertTrue(meters.contains("steamleaf_page_rendering_seconds_count"));
    }

    /** The page of an oven that the showroom does not tell of, as soon as it shows that. */
    private String told(
            UnitLive.@Nullable Finish finish,
            UnitLive.@Nullable Bench bench,
            UnitLive.@Nullable HotZero zero,
            Predicate<String> seen,
            String... headers)
            throws Exception {
        return told(drying -> Ridge.with(drying, finish, bench, zero, null), seen, headers);
    }

    private String told(UnaryOperator<UnitLive> with, Predicate<String> seen, String... headers)
            throws Exception {
        UnitLive drying = Ridge.drying("oven-7", "b-7", 200_000, room.at());
        return until(
                "/unit/oven-7",
                page -> {
                    try { // again and again: news grows old on a busy machine
                        room.line.tell(with.apply(drying));
                    } catch (MqttException e) {
                        throw new IllegalStateException(e);
                    }
                    return seen.test(page);
                },
                headers);
    }

    @Test
    void aWantedTimeIsAskedForProposedAcceptedOrRefusedInWords() throws Exception {
        told(null, null, null, page -> page.contains("/unit/oven-7/finish"));
        String form = get("/unit/oven-7/finish").body();
        assertTrue(form.contains("type=\"time\""), form);
        assertEquals(
                List.of("16:00", "16:30", "17:00", "17:30", "18:00", "18:30", "19:00", "19:30"),
                Pattern.compile("<button name=\"at\" value=\"([^\"]*)\"")
                        .matcher(form)
                        .results()
                        .map(button -> button.group(1))
                        .toList(),
                "more than half an hour after " + room.at());
        assertTrue(form.contains(">Oven\u00a07: hand sample<"), "its name is not torn apart");

        Browser browser = browser();
        Map<String, String> fields = fields(browser, "unit", "oven-7", "at", "16:30");
        fields.put("now", "15:00:00");
        String asked = post("/do/plan-finish", browser.cookie(), fields).body();
        assertTrue(asked.contains("in a few seconds the page of Oven 7 says"), asked);
        UnitLive.Finish looking = Ridge.looking(room.at());
        String again = "http-equiv=\"refresh\"";
        assertTrue(told(looking, null, null, p -> p.contains("looking for a way")).contains(again));
        assertFalse(
                get("/unit/oven-7/finish").body().contains(again), "it would eat what is typed");

        UnitLive.Finish proposed = Ridge.finish(room.at(), false, true);
        String page = plain(told(proposed, null, null, p -> p.contains("/do/accept-finish")));
        String clock = Figures.clock(room.at().plusSeconds(6_000), java.time.ZoneOffset.UTC);
        assertTrue(page.contains("Wanted by " + clock), page);
        assertFalse(page.contains(again), page);
        assertTrue(page.contains("5.5 ± 0.8 %") && page.contains("54, 65 °C"), page);
        assertTrue(page.contains("91 % of its green"), page);
        assertTrue(page.contains("/do/discard-finish"), page);

        UnitLive.Finish near = Ridge.finish(room.at(), false, false);
        page = plain(told(near, null, null, p -> p.contains("Not by " + clock)));
        String nearest = Figures.clock(room.at().plusSeconds(6_900), java.time.ZoneOffset.UTC);
        assertTrue(page.contains("nothing would be kept back"), page);
        assertTrue(page.contains("That is " + nearest + " (± 8 min"), page);
        assertEquals(2, page.split("54, 65 °C", -1).length, "the air is said once");
        assertTrue(page.contains("done by " + nearest + ", do so"), page);

        UnitLive.Finish accepted = Ridge.finish(room.at(), true, true);
        page = told(accepted, null, null, p -> p.contains("Accepted: done at"));
        assertFalse(page.contains("/do/accept-finish"), page);
    }

    @Test
    void whenTheBatchIsDoneIsSaidInWords() throws Exception {
        Instant at = room.at().plusSeconds(9_000);
        String clock = Figures.clock(at.plusSeconds(30), java.time.ZoneOffset.UTC);
        UnitLive.Done foreseen = new UnitLive.Done(at, false);
        told(
                d -> Ridge.with(d, null, null, null, foreseen),
                p -> plain(p).contains("The batch will be done at about " + clock + "."));
        UnitLive.Done promised = new UnitLive.Done(at, true);
        UnaryOperator<UnitLive> kept = d -> Ridge.with(d, null, null, null, promised);
        told(kept, p -> plain(p).contains("done at " + clock + "; the rest keeps it."));
        told(kept, p -> p.contains("に仕上がります(休ませる時間で調整します)。"), JAPANESE);
        UnitLive.Finish accepted = Ridge.finish(room.at(), true, true);
        told(
                d -> Ridge.with(d, accepted, null, null, promised),
                p -> p.contains("Accepted: done at") && !p.contains("The batch will be"));
    }

    @Test
    void driedLeafOutsideSaysByWhenToPackIt() throws Exception {
        Instant at = room.at();
        String clock = Figures.clock(at.plusSeconds(2_400), java.time.ZoneOffset.UTC);
        UnitLive.Bench bench = new UnitLive.Bench(540.0, 0.0031, at.plusSeconds(2_400));
        String page = told(null, bench, null, p -> p.contains("Pack before " + clock));
        assertTrue(page.contains("0.31 points of water in the 9 min"), page);
        told(null, new UnitLive.Bench(3_600.0, 0.021, at), null, p -> p.contains("Pack now"));
        UnitLive.Bench dry = new UnitLive.Bench(60.0, -0.0001, null);
        told(null, dry, null, p -> p.contains("can wait for hours"));
    }

    private static UnitLive.HotZero zero(String state, String offset, String sd) {
        boolean known = !offset.isEmpty();
        return new UnitLive.HotZero(
                state,
                known ? 0.03 : null,
                known ? 0.005 : null,
                known ? Because.of("zero." + state, offset, sd) : Because.of("zero." + state));
    }

    /** Without script: what is asserted is what the server sends. */
    @Test
    void theZeroOfTheHumiditySensorStandsOnTheOvensPageInBothLanguages() throws Exception {
        UnitLive.HotZero under = zero("under-way", "", "");
        told(null, null, under, p -> p.contains("leave the door shut for a minute."));
        told(null, null, under, p -> p.contains("1分ほど扉を閉めて"), JAPANESE);

        UnitLive.HotZero zeroed = zero("zeroed", "+3", "0.5");
        String page = told(null, null, zeroed, p -> p.contains("off by +3 ± 0.5 points"));
        assertTrue(page.contains("class=\"zero small\""), page);
        told(null, null, zeroed, p -> p.contains("ずれ+3±0.5ポイントを差し引きます。"), JAPANESE);

        UnitLive.HotZero refused = zero("refused", "+31", "2");
        page = told(null, null, refused, p -> p.contains("was not zeroed: it is off by +31"));
        assertTrue(page.contains("class=\"zero ab\""), page);
        assertTrue(page.contains("counts with ± 2 points."), page);
        told(null, null, refused, p -> p.contains("±2ポイントのずれを見込みます。"), JAPANESE);

        page = told(null, null, null, p -> !p.contains("zeroed"));
        assertFalse(page.contains("class=\"zero"), page);
    }
}
