package steamleaf.monitor.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.CommandMessage;
import steamleaf.monitor.Showroom;

/**
 * Power is back and fifty alarms come at once; the states of IEC 62682 on the page of the alarms.
 */
@Timeout(60)
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
final class AlarmPageTest {
    private static final Pattern TOKEN = Pattern.compile("name=\"token\" value=\"([0-9a-f]+)\"");

    private Showroom room;
    private HttpClient http;
    private List<AlarmLive> storm;

    @BeforeAll
    void open(@TempDir Path folder) throws Exception {
        room = new Showroom(folder);
        http = HttpClient.newHttpClient();
        storm = room.storm();
        String page = get("/alarms", "en");
        while (!page.contains("50 alarms stand") || !page.contains("Not told by design")) {
            page = get("/alarms", "en");
        }
    }

    @AfterAll
    void close() {
        room.close();
    }

    private String get(String path, String language) throws Exception {
        HttpRequest request =
                HttpRequest.newBuilder(URI.create(room.monitor.address() + path.substring(1)))
                        .header("Cookie", "steamleaf-language=" + language)
                        .build();
        return http.send(request, HttpResponse.BodyHandlers.ofString())
                .body()
                .replace('\u00a0', ' ');
    }

    private static List<String> all(String page, String pattern) {
        List<String> found = new ArrayList<>();
        Matcher matcher = Pattern.compile(pattern, Pattern.DOTALL).matcher(page);
        while (matcher.find()) {
            found.add(matcher.group(1));
        }
        return found;
    }

    @Test
    void aStormIsReadFirstCauseFirstThenTheUrgentThenTheRestEachInTheOrderInWhichTheyCame()
            throws Exception {
        Comparator<AlarmLive> came =
                Comparator.<AlarmLive>comparingLong(a -> Objects.requireNonNull(a.raised()))
                        .thenComparingInt(a -> Objects.requireNonNull(a.rank()));
        List<String> expected =
                Stream.of("high", "medium", "low")
                        .flatMap(
                                priority ->
                                        storm.stream()
                                                .filter(a -> a.priority().equals(priority))
                                                .filter(a -> !a.id().equals("line.undervoltage"))
                                                .sorted(came))
                        .map(AlarmLive::id)
                        .collect(Collectors.toCollection(ArrayList::new));
        expected.addFirst("line.undervoltage");
        for (String path : List.of("/alarms", "/phone")) {
            assertEquals(expected, all(get(path, "en"), "data-alarm=\"([^\"]+)\""), path);
        }
        String page = get("/alarms", "en");
        assertTrue(
                page.contains(
                        "<h1>50 alarms stand; the first cause: The supply voltage is too low. Not acknowledged: 50. Put aside: 2.</h1>"),
                page);
        assertTrue(page.contains("First of 50 that came together: look here first."));
        assertEquals(50, all(page, "action=\"/do/(acknowledge)\"").size());
        assertTrue(get("/alarms", "ja").contains("同時に出た50件の最初の原因"));
    }

    @Test
    void theBannerOfAStormIsOneLineThatNamesTheFirstCauseAndCountsTheRest() throws Exception {
        List<String> banners = all(get("/line", "en"), "class=\"(banner danger\".*?)</a>");
        assertEquals(1, banners.size(), banners.toString());
        assertTrue(banners.getFirst().contains("The supply voltage is too low."));
        assertTrue(banners.getFirst().contains("Not acknowledged: 50, urgent: 10."));
        assertEquals(
                storm.stream().filter(a -> !a.priority().equals("low")).count(),
                all(banners.getFirst(), "data-sounding=\"([^\"]*)\"").getFirst().split(" ").length,
                "it sounds for what the horn sounds for");
    }

    @Test
    void anAlarmMayBePutAsideExceptATrips() throws Exception {
        String page = get("/alarms", "en");
        List<String> sections =
                all(page, "(<section class=\"alarm (?!short)[^>]*data-alarm=.*?</section>)");
        assertEquals(4, sections.size(), "the first ones of a storm are told in full");
        for (String section : sections) {
            assertFalse(section.contains("/do/shelve"), section);
        }
    }

    /** Beside the storm there is one alarm that is no trip, told in full on a page of its own. */
    @Test
    void theFormForPuttingAsideStandsAtWhatIsNoTrip() throws Exception {
        String page = get("/alarms", "en");
        List<String> lines = all(page, "(<section class=\"alarm short.*?</section>)");
        assertEquals(46, lines.size());
        for (String line : lines) {
            String id = all(line, "data-alarm=\"([^\"]+)\"").getFirst();
            boolean trip =
                    storm.stream()
                            .filter(a -> a.id().equals(id))
                            .anyMatch(a -> Boolean.TRUE.equals(a.trip()));
            assertEquals(!trip, line.contains("/do/shelve"), line);
            assertEquals(!trip, line.contains("/do/take-out-of-service"), line);
        }
    }

    @Test
    void whatIsPutAsideSaysByWhomWhyAndUntilWhenAndCanBeBroughtBack() throws Exception {
        String page = get("/alarms", "en");
        String aside = page.substring(page.indexOf("<h2>Put aside</h2>"));
        assertTrue(
                aside.contains("Oven 1")
                        && Pattern.compile(
                                        "Ines, 12 May \\d\\d:\\d\\d, until \\d\\d:\\d\\d: the probe is being cleaned")
                                .matcher(aside)
                                .find(),
                aside);
        assertTrue(
                Pattern.compile(
                                "Teo, 1\\d May \\d\\d:\\d\\d, until somebody puts it back: no probe is fitted until June")
                        .matcher(aside)
                        .find(),
                aside);
        assertEquals(List.of("out of service", "shelved"), all(aside, "word\">([^<]+)<"));
        assertEquals(1, all(aside, "(/do/unshelve)").size());
        assertEquals(1, all(aside, "(/do/put-in-service)").size());
        assertTrue(aside.contains("<h2>Not told by design</h2>"));
        assertTrue(
                aside.contains("The steamer&#39;s hood is not locked.")
                        || aside.contains("hood is not locked"));
        String japanese = get("/alarms", "ja");
        for (String word : List.of("一時棚上げ", "使用停止", "設計上知らせない警報", "戻す", "使用に戻す")) {
            assertTrue(japanese.contains(word), word);
        }
    }

    private record Posted(int status, String body) {}

    private Posted post(String kind, Map<String, String> fields) throws Exception {
        HttpRequest open =
                HttpRequest.newBuilder(URI.create(room.monitor.address() + "who")).build();
        String cookie =
                http.send(open, HttpResponse.BodyHandlers.ofString())
                                .headers()
                                .firstValue("Set-Cookie")
                                .orElseThrow()
                                .split(";", -1)[0]
                        + "; steamleaf-by=Ines";
        String who =
                http.send(
                                HttpRequest.newBuilder(URI.create(room.monitor.address() + "who"))
                                        .header("Cookie", cookie)
                                        .build(),
                                HttpResponse.BodyHandlers.ofString())
                        .body();
        String form =
                "token="
                        + all(who, TOKEN.pattern()).getFirst()
                        + fields.entrySet().stream()
                                .map(
                                        e ->
                                                "&"
                                                        + e.getKey()
                                                        + "="
                                                        + URLEncoder.encode(
                                                                e.getValue(),
                                                                StandardCharsets.UTF_8))
                                .collect(Collectors.joining());
        HttpResponse<String> answer =
                http.send(
                        HttpRequest.newBuilder(URI.create(room.monitor.address() + "do/" + kind))
                                .header("Cookie", cookie)
                                .header("X-Steamleaf-Page", "1")
                                .header("Content-Type", "application/x-www-form-urlencoded")
                                .POST(HttpRequest.BodyPublishers.ofString(form))
                                .build(),
                        HttpResponse.BodyHandlers.ofString());
        return new Posted(answer.statusCode(), answer.body());
    }

    @Test
    void puttingAsideSendsWhoHowLongAndWhyAndWithoutAReasonItIsNotSent() throws Exception {
        Map<String, String> alarm = Map.of("unit", "oven-1", "alarm", "oven-1.scale-bad");
        for (String kind : List.of("shelve", "take-out-of-service")) {
            Map<String, String> bare = new java.util.HashMap<>(alarm);
            bare.put("minutes", "30");
            bare.put("reason", "  ");
            assertTrue(post(kind, bare).body().contains("Reason"), kind);
        }
        Map<String, String> shelve = new java.util.HashMap<>(alarm);
        shelve.put("reason", "cleaned");
        shelve.put("minutes", "481");
        assertTrue(post("shelve", shelve).body().contains("481"));
        shelve.put("minutes", "30");
        assertTrue(post("shelve", shelve).body().contains("\"moved\":true"));
        CommandMessage sent = Objects.requireNonNull(room.line.nextCommand());
        assertEquals("shelve", sent.kind(), "what was refused on the page was not sent");
        assertEquals("Ines", sent.by());
        assertEquals(CommandMessage.Args.alarm("oven-1.scale-bad", 30.0, "cleaned"), sent.args());
        Map<String, String> out = new java.util.HashMap<>(alarm);
        out.put("reason", "away");
        post("take-out-of-service", out);
        sent = Objects.requireNonNull(room.line.nextCommand());
        assertEquals(CommandMessage.Args.alarm("oven-1.scale-bad", null, "away"), sent.args());
        for (String kind : List.of("unshelve", "put-in-service")) {
            post(kind, alarm);
            sent = Objects.requireNonNull(room.line.nextCommand());
            assertEquals(kind, sent.kind());
            assertEquals("oven-1.scale-bad", sent.args().alarm());
            assertNull(sent.args().reason());
        }
    }
}
