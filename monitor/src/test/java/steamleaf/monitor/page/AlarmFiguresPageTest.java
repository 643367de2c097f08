package steamleaf.monitor.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.contract.Because;
import steamleaf.contract.Bodies;
import steamleaf.contract.Kinds;
import steamleaf.monitor.Monitor;
import steamleaf.monitor.MonitorSettings;
import steamleaf.monitor.Ridge;
import steamleaf.monitor.intake.LineOnMqtt;
import steamleaf.monitor.intake.Mosquitto;

/**
 * Thirty hours of alarms go over Debian's broker into the store and come out as figures on the
 * page. What must stand there is counted by hand:
 *
 * <ul>
 *   <li>12 May 12:00: the room's sensor, acknowledged at 12:10, stands to the end, 30 h;
 *   <li>13 May 06:00 to 06:05: eleven alarms, one each half minute, all gone at 06:20;
 *   <li>13 May 10:00:00, :20, :40: a scale, each time for ten seconds;
 *   <li>13 May 12:00: no airflow in oven 2, acknowledged at 12:01, gone at 14:00;
 *   <li>13 May 18:00 is now.
 * </ul>
 */
@Timeout(60)
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
final class AlarmFiguresPageTest {
    private static final List<String> STORM =
            List.of(
                    "pressure-sensor-bad",
                    "clock-doubtful",
                    "button-stuck",
                    "disk-full",
                    "room-warm",
                    "undervoltage",
                    "contactor-not-closing",
                    "freshness-warning",
                    "freshness-limit",
                    "positions-not-taken",
                    "smoke");
    private static final int LOW_OF_THE_STORM = 8;

    private final HttpClient http = HttpClient.newHttpClient();
    private Mosquitto broker;
    private LineOnMqtt line;
    private Monitor monitor;

    private static void to(
            Ridge ridge, String unit, String kind, String from, String to, String priority) {
        ridge.add(
                Kinds.ALARM,
                new Bodies.Alarm(
                        unit + "." + kind,
                        unit,
                        kind,
                        from,
                        to,
                        priority,
                        to.equals("acknowledged") ? "Ines" : null,
                        Because.of(kind, unit)));
    }

    private static void raised(Ridge ridge, String unit, String kind, String priority) {
        to(ridge, unit, kind, "normal", "unacknowledged", priority);
    }

    private static Ridge thirtyHours() {
        Ridge ridge = Ridge.empty().lot("lot-1", "41", 4.0);
        raised(ridge, "line", "room-sensor-bad", "low");
        ridge.skip(600);
        to(ridge, "line", "room-sensor-bad", "unacknowledged", "acknowledged", "low");
        ridge.skip(18 * 3600 - 600); // 06:00
        for (int i = 0; i < STORM.size(); i++) {
            raised(ridge, "line", STORM.get(i), priority(i));
            ridge.skip(30);
        }
        ridge.skip(1200 - 11 * 30);
        for (int i = 0; i < STORM.size(); i++) {
            to(ridge, "line", STORM.get(i), "unacknowledged", "normal", priority(i));
        }
        ridge.skip(4 * 3600 - 1200); // 10:00
        for (int i = 0; i < 3; i++) {
            raised(ridge, "oven-1", "scale-bad", "low");
            ridge.skip(10);
            to(ridge, "oven-1", "scale-bad", "unacknowledged", "normal", "low");
            ridge.skip(10);
        }
        ridge.skip(2 * 3600 - 60); // 12:00
        raised(ridge, "oven-2", "airflow-not-proven", "high");
        ridge.skip(60);
        to(ridge, "oven-2", "airflow-not-proven", "unacknowledged", "acknowledged", "high");
        ridge.skip(2 * 3600 - 60);
        to(ridge, "oven-2", "airflow-not-proven", "acknowledged", "normal", "high");
        return ridge.skip(4 * 3600); // 18:00
    }

    private static String priority(int i) {
        return i < LOW_OF_THE_STORM ? "low" : "medium";
    }

    @BeforeAll
    void open(@TempDir Path folder) throws Exception {
        broker = new Mosquitto(folder);
        line = new LineOnMqtt(broker.port());
        Ridge ridge = thirtyHours();
        line.holding(ridge.records());
        line.up();
        line.tell(Ridge.description());
        line.tell(Ridge.idleOven("oven-3", 1_080_000, ridge.at()));
        monitor =
                Monitor.start(
                        MonitorSettings.of(Ridge.SITE, folder.resolve("records.db"), broker.port())
                                .withZone(ZoneOffset.UTC));
        assertTrue(line.toldToHave(Ridge.JOURNAL, ridge.records().size()));
        while (!get("/alarms/figures/1").contains("to 13 May 18:00")) {
            Thread.onSpinWait(); // the live message has its own way
        }
    }

    @AfterAll
    void close() throws Exception {
        monitor.close();
        line.close();
        broker.close();
    }

    private String get(String path) throws Exception {
        HttpRequest request =
                HttpRequest.newBuilder(URI.create(monitor.address() + path.substring(1)))
                        .header("Cookie", "steamleaf-language=en")
                        .build();
        return http.send(request, HttpResponse.BodyHandlers.ofString())
                .body()
                .replace('\u00a0', ' ')
                .replace("&#39;", "'");
    }

    /** Cells of the rows from this heading to the next, tags left out. */
    private static List<String> rows(String page, String heading) {
        int from = page.indexOf(heading);
        assertTrue(from >= 0, heading + " in " + page);
        int next = page.indexOf("<h2>", from + 4);
        List<String> rows = new ArrayList<>();
        Matcher row =
                Pattern.compile(
                                "<tr[^>]*><td>(.*?)</td><td[^>]*>(.*?)</td><td[^>]*>(.*?)</td></tr>")
                        .matcher(page.substring(from, next < 0 ? page.length() : next));
        while (row.find()) {
            rows.add(
                    String.join(" | ", row.group(1), row.group(2), row.group(3))
                            .replaceAll("<[^>]*>", ""));
        }
        return rows;
    }

    @Test
    void theFiguresOfADayStandBesideTheirBenchmarks() throws Exception {
        String page = get("/alarms/figures/1");
        assertTrue(
                page.contains(
                        "15 alarms came in 24 h, 0.10 in ten minutes on average: few enough for one person."),
                page);
        assertTrue(page.contains("Floods: 1."), page);
        assertTrue(page.contains("From 12 May 18:00 to 13 May 18:00"), page);
        assertEquals(
                List.of(
                        "Alarms in ten minutes, on average | 0.10 | 1, at most 2",
                        "Alarms in a day | 15 | at most 150",
                        "Most within any ten minutes | 11 (13 May 06:00) over | at most 10",
                        "Time in a flood | 0.9 % | below 1 %",
                        "Alarms that chatter | 1 over | none",
                        "Alarms standing longer than 24 h | 1 | below 5",
                        "Low / medium / high, % | 73 / 20 / 7 | about 80 / 15 / 5 %"),
                rows(page, "<table class=\"benchmarks\">"));
    }

    @Test
    void theListsNameWhatCameMostStoodLongestChatteredAndFlooded() throws Exception {
        String page = get("/alarms/figures/1");
        List<String> frequent = rows(page, "<h2>Most frequent</h2>");
        assertEquals(10, frequent.size(), "the page names ten");
        assertTrue(frequent.getFirst().endsWith(" | 3 × | 20 % of all"), frequent.getFirst());
        assertTrue(
                frequent.getFirst().startsWith("The tray scale of Oven 1 cannot be believed."),
                frequent.getFirst());
        assertTrue(frequent.get(1).endsWith(" | 1 × | 7 % of all"), frequent.get(1));

        List<String> longest = rows(page, "<h2>Longest standing</h2>");
        assertTrue(
                longest.get(0).endsWith(" | 30 h | stands since 12 May 12:00"),
                "raised and acknowledged before the day began: " + longest);
        assertTrue(longest.get(0).contains("room"), longest.get(0));
        assertTrue(
                longest.get(1).endsWith(" | 2 h | 13 May 12:00 to 13 May 14:00"), longest.get(1));
        assertTrue(
                longest.get(2).endsWith(" | 20 min | 13 May 06:00 to 13 May 06:20"),
                longest.get(2));

        List<String> chattering = rows(page, "<h2>Chattering</h2>");
        assertEquals(1, chattering.size(), chattering.toString());
        assertTrue(
                chattering.getFirst().endsWith(" | 3 × in a minute | 13 May 10:00"),
                chattering.getFirst());
        assertEquals(
                List.of("13 May 06:00 to 13 May 06:13 | 11 alarms | at most 11 in ten minutes"),
                rows(page, "<h2>Floods</h2>"));
    }

    /** Seven days reach back to the record's beginning: 30 h, 16 alarms. */
    @Test
    void aLongerStretchCountsWhatLiesInItAndReachesNoFurtherThanTheRecord() throws Exception {
        String page = get("/alarms/figures/7");
        assertTrue(page.contains("16 alarms came in 30 h, 0.09 in ten minutes"), page);
        List<String> figures = rows(page, "<table class=\"benchmarks\">");
        assertEquals("Alarms in a day | 13 | at most 150", figures.get(1));
        assertEquals("Time in a flood | 0.7 % | below 1 %", figures.get(3));
        assertEquals(
                "Low / medium / high, % | 75 / 19 / 6 | about 80 / 15 / 5 %", figures.getLast());
    }
}
