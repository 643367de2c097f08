package steamleaf.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code docs/faults.md} is what the runs show; {@code -Dsteamleaf.write-docs=true} writes it. */
class FaultSheetTest {
    private static final Path DOCUMENT = Path.of("..", "..", "docs", "faults.md");
    private static final String REST = "rest";

    private static final String HEAD =
            """
            <!-- Made from runs by FaultSheetTest; -Dsteamleaf.write-docs=true writes it anew. -->

            # Faults, one by one

            What becomes of each fault on the simulated stock line: the real controller runs one batch (recipe standard, seed 1), something breaks five minutes
            into the first drying, or twenty seconds after the first leaf went into the steam, and the twenty minutes that follow are compared with the
            same twenty minutes in which nothing broke. People work on as the panel asks. Faults last until the end unless the row says otherwise.

            - *rule*: the first rule of [interlocks.md](interlocks.md) that took effect only because of the fault, with what it takes, and within which
              time of the moment from which the fault could show. *alarm*: the same for the first alarm of [alarms.md](alarms.md).
            - *seen meanwhile*: what the simulator's truth showed and must not, looked for in every cycle against the rules' own reaction times
              (`./steamleaf campaign` looks for the same). Empty is good.
            - *left to hard wiring*: the program did not or could not prevent it; what remains stands in [limits.md](limits.md).
            - Heat that only waits for the air to cool (O-19) answers no fault and is not counted; nor is a door that people open as they work.
            - *not seen*: no rule, no alarm, and nothing that must not be, within twenty minutes.

            Times are rounded up to 0.2, 0.5, 1, 2, 5, 10, 20, 40 s, 1, 2, 5, 10, 20 min. They are of this batch, not bounds; the bounds are in the
            interlock matrix.

            """;

    private static FaultSheet.Row drying(String what, String otherwise, String... faults) {
        return new FaultSheet.Row(what, Stage.FIRST_DRYING, List.of(faults), 0.1, otherwise);
    }

    /** Counted from when the second thing happens. */
    private static FaultSheet.Row then(String what, double sinceS, String otherwise, String... f) {
        return new FaultSheet.Row(what, Stage.FIRST_DRYING, List.of(f), sinceS + 0.1, otherwise);
    }

    private static FaultSheet.Row steaming(String what, String otherwise, String... faults) {
        return new FaultSheet.Row(what, Stage.STEAMING, List.of(faults), 0.1, otherwise);
    }

    private static String one(String component, String kind, String... more) {
        return "0, component: "
                + component
                + ", kind: "
                + kind
                + ", duration: "
                + REST
                + String.join("", more);
    }

    private static String at(double s, String component, String kind, String... more) {
        return one(component, kind, more).replaceFirst("0", String.valueOf(s));
    }

    private static String size(String size) {
        return ", size: " + size;
    }

    private static final String UNSEEN = "not seen, harmless";
    private static final String LATENT = "not seen: shows only by its proof test";
    private static final String ESTIMATE = "not seen; the moisture estimate bears it";

    private static List<FaultSheet.Row> rows() {
        List<FaultSheet.Row> r = new ArrayList<>();
        r.add(drying("heater relay stuck on", "", one("oven-1.heater-relay", "stuck-on")));
        r.add(
                drying(
                        "heater relay never conducts",
                        UNSEEN,
                        one("oven-1.heater-relay", "stuck-off")));
        r.add(
                drying(
                        "heating elements burnt out",
                        UNSEEN,
                        one("oven-1.heater-element", "lost", size("1"))));
        r.add(
                drying(
                        "half of the heating elements burnt out",
                        "not seen, the oven only heats slower",
                        one("oven-1.heater-element", "lost", size("0.5"))));
        r.add(
                drying(
                        "contactor welded",
                        "not seen before it has to open",
                        one("contactor", "stuck-on")));
        r.add(
                then(
                        "contactor welded, then the key is turned off",
                        60,
                        "",
                        one("contactor", "stuck-on"),
                        at(60, "permit-key", "taken")));
        r.add(
                then(
                        "contactor welded and heater relay stuck on, then the stop is pressed",
                        60,
                        "`welded-contactor-and-shorted-relay`",
                        one("contactor", "stuck-on"),
                        at(60, "oven-1.heater-relay", "stuck-on"),
                        at(60, "emergency-stop", "pressed")));
        r.add(drying("contactor drops and does not pull in", "", one("contactor", "stuck-off")));
        r.add(
                drying(
                        "watchdog relay stuck",
                        "not seen before the next closing of the contactor (L-4)",
                        one("watchdog-relay", "stuck-on")));
        r.add(drying("damper stuck closed", ESTIMATE, one("oven-1.damper", "stuck-at", size("0"))));
        r.add(drying("damper stuck open", ESTIMATE, one("oven-1.damper", "stuck-at", size("1"))));
        r.add(drying("fan failed", "", one("oven-1.fan", "stuck-off")));
        r.add(drying("fan of an idle oven runs by itself", UNSEEN, one("oven-2.fan", "stuck-on")));
        r.add(
                drying(
                        "filter blocked by half",
                        ESTIMATE,
                        one("oven-1.filter", "blocked", size("0.5"))));
        r.add(
                drying(
                        "filter blocked by nine tenths",
                        "",
                        one("oven-1.filter", "blocked", size("0.9"))));
        for (String drift : List.of("-600", "-60", "60", "600")) {
            r.add(
                    drying(
                            "air probe drifts by " + drift + " K/h",
                            "not seen: less than 10 °C against the exhaust (limits.md)",
                            one("oven-1.air", "drift", size(drift + " K/h"))));
        }
        r.add(drying("air probe frozen", "`air-probe-wrong`", one("oven-1.air", "frozen")));
        r.add(drying("air probe fallen out", "`air-probe-wrong`", one("oven-1.air", "lost")));
        r.add(
                drying(
                        "air probe swapped with that of an idle oven",
                        "`air-probe-wrong`",
                        one("oven-1.air", "swapped", ", with: oven-2.air")));
        r.add(drying("air probe open", "", one("oven-1.air", "open")));
        r.add(drying("air probe shorted", "", one("oven-1.air", "short")));
        r.add(drying("garbage from the air probe's chip", "", one("oven-1.air", "garbage")));
        r.add(drying("air probe's chip missing", "", one("oven-1.air", "missing")));
        r.add(
                drying(
                        "exhaust humidity drifts by 0.2 per hour",
                        ESTIMATE,
                        one("oven-1.exhaust", "drift", size("0.2 per hour"))));
        r.add(drying("exhaust probe frozen", ESTIMATE, one("oven-1.exhaust", "frozen")));
        r.add(drying("exhaust probe fallen out", ESTIMATE, one("oven-1.exhaust", "lost")));
        r.add(
                drying(
                        "exhaust probe swapped with that of an idle oven",
                        ESTIMATE,
                        one("oven-1.exhaust", "swapped", ", with: oven-2.exhaust")));
        r.add(drying("garbage from the exhaust probe", "", one("oven-1.exhaust", "garbage")));
        r.add(drying("exhaust probe missing", "", one("oven-1.exhaust", "missing")));
        r.add(
                drying(
                        "load cell knocked by 0.4 kg",
                        ESTIMATE,
                        one("oven-1.scale", "knocked", size("-0.4 kg"))));
        r.add(
                drying(
                        "load cell drifts by 1 kg/h",
                        ESTIMATE,
                        one("oven-1.scale", "drift", size("1 kg/h"))));
        r.add(drying("load cell frozen", ESTIMATE, one("oven-1.scale", "frozen")));
        r.add(drying("load cell open", "", one("oven-1.scale", "open")));
        r.add(drying("load cell's chip missing", "", one("oven-1.scale", "missing")));
        r.add(drying("room sensor missing", "", one("room", "missing")));
        r.add(drying("room sensor frozen", ESTIMATE, one("room", "frozen")));
        r.add(drying("barometer missing", "", one("barometer", "missing")));
        r.add(
                drying(
                        "barometer drifts by 10 kPa/h",
                        ESTIMATE,
                        one("barometer", "drift", size("10 kPa/h"))));
        r.add(drying("supply at 0.7 of its voltage", "", one("supply", "low", size("0.7"))));
        r.add(drying("supply gone", "", one("supply", "lost")));
        r.add(drying("clock stepped by 5 h", UNSEEN, one("clock", "stepped", size("5 h"))));
        r.add(drying("clock stepped back by 5 h", UNSEEN, one("clock", "stepped", size("-5 h"))));
        for (String button : List.of("start", "reset", "confirm", "silence")) {
            r.add(drying(button + " button stuck on", "", one(button + "-button", "stuck-on")));
        }
        r.add(drying("I2C bus hung for 3 s", "", one("i2c-1", "hung").replace(REST, "3 s")));
        r.add(drying("I2C bus hung", "", one("i2c-1", "hung")));
        r.add(drying("line's inputs frozen", "", one("inputs-0x20", "frozen")));
        r.add(drying("garbage from the line's inputs", "", one("inputs-0x20", "garbage")));
        r.add(drying("line's inputs missing", "", one("inputs-0x20", "missing")));
        r.add(drying("oven's inputs frozen", "", one("inputs-0x22", "frozen")));
        r.add(drying("garbage from the oven's inputs", "", one("inputs-0x22", "garbage")));
        r.add(drying("oven's inputs missing", "", one("inputs-0x22", "missing")));
        r.add(
                drying(
                        "dampers' chip missing",
                        "not seen: nobody is told that dampers and belt speed do not follow (limits.md)",
                        one("levers-0x40", "missing")));
        r.add(drying("multiplexer missing", "", one("mux-0x71", "missing")));
        r.add(
                drying(
                        "door held open for a minute",
                        "",
                        one("oven-1.door", "opened").replace(REST, "60 s")));
        r.add(
                then(
                        "door contact stuck closed, then the door is held open for a minute",
                        60,
                        "`door-contact-stuck-closed`",
                        one("oven-1.door-switch", "stuck-on"),
                        at(60, "oven-1.door", "opened").replace(REST, "60 s")));
        r.add(
                drying(
                        "airflow contact stuck",
                        "not seen before the fan stops (O-10)",
                        one("oven-1.airflow", "stuck-on")));
        r.add(
                then(
                        "airflow contact stuck, then the fan fails",
                        60,
                        "`airflow-contact-stuck-and-no-air`",
                        one("oven-1.airflow", "stuck-on"),
                        at(60, "oven-1.fan", "stuck-off")));
        r.add(drying("high limit dead", LATENT, one("oven-1.high-limit", "stuck-on")));
        r.add(drying("high limit's wire broken", "", one("oven-1.high-limit", "open")));
        r.add(drying("heater current contact dead", UNSEEN, one("oven-1.heater-current", "open")));
        r.add(
                drying(
                        "emergency stop pressed",
                        "",
                        one("emergency-stop", "pressed").replace(REST, "60 s")));
        r.add(drying("emergency stop's wire broken", "", one("emergency-stop", "open")));
        r.add(
                drying(
                        "emergency stop's input stuck healthy",
                        LATENT,
                        one("emergency-stop", "stuck-on")));
        r.add(
                then(
                        "emergency stop's input stuck healthy, then the stop is pressed",
                        60,
                        "",
                        one("emergency-stop", "stuck-on"),
                        at(60, "emergency-stop", "pressed")));
        r.add(drying("smoke", "", one("smoke", "present")));
        r.add(
                drying(
                        "fire of 3 kW in the oven",
                        "not seen as a fire; heat waits (O-19) while it burns",
                        one("oven-1.fire", "present", size("3000 W"))));
        r.add(
                drying(
                        "fire of 20 kW in the oven",
                        "",
                        one("oven-1.fire", "present", size("20000 W"))));
        r.add(steaming("chest probe open", "", one("chest-a", "open")));
        r.add(steaming("chest probe shorted", "", one("chest-a", "short")));
        r.add(steaming("chest probe frozen", UNSEEN, one("chest-a", "frozen")));
        r.add(steaming("chest probe fallen out", "", one("chest-a", "lost")));
        r.add(
                steaming(
                        "chest probe drifts by 300 K/h",
                        "",
                        one("chest-a", "drift", size("300 K/h"))));
        r.add(
                steaming(
                        "chest probes swapped",
                        UNSEEN,
                        one("chest-a", "swapped", ", with: chest-b")));
        r.add(
                steaming(
                        "one steam valve stuck open",
                        "not seen: the other one closes",
                        one("steam-valve", "stuck-on")));
        r.add(
                steaming(
                        "both steam valves stuck open",
                        "`both-steam-valves-stuck-open`",
                        one("steam-valve", "stuck-on"),
                        one("second-steam-valve", "stuck-on")));
        r.add(steaming("steam valve does not open", "", one("steam-valve", "stuck-off")));
        r.add(steaming("no steam from the boiler", "", one("steam-supply", "lost")));
        r.add(steaming("both belt ends blocked", "", one("chest-openings", "blocked", size("1"))));
        r.add(steaming("over-pressure switch dead", LATENT, one("over-pressure", "stuck-on")));
        r.add(steaming("belt jammed", "", one("belt", "blocked")));
        r.add(steaming("belt's pulse wire broken", "", one("belt-pulse", "open")));
        r.add(steaming("hood's bolt does not catch", "", one("hood-bolt", "stuck-off")));
        r.add(
                steaming(
                        "hood's bolt does not catch, hood lifted",
                        "",
                        one("hood-bolt", "stuck-off"),
                        one("hood", "opened")));
        r.add(steaming("hood's wire broken", "", one("hood-closed", "open")));
        r.add(steaming("hood's contact stuck closed", LATENT, one("hood-closed", "stuck-on")));
        r.add(steaming("extractor failed", "", one("extractor", "stuck-off")));
        return r;
    }

    @TempDir Path folder;

    @Test
    void thePageOfFaultsIsWhatTheRunsShow() throws Exception {
        List<FaultSheet.Row> rows = rows();
        FaultSheet sheet = new FaultSheet(folder);
        sheet.begin();
        List<FaultSheet.Seen> seen = new ArrayList<>();
        try (ExecutorService workers = Executors.newFixedThreadPool(2)) {
            List<Future<FaultSheet.Seen>> running = new ArrayList<>();
            for (int i = 0; i < rows.size(); i++) {
                int number = i;
                running.add(workers.submit(() -> sheet.run(rows.get(number), number)));
            }
            for (Future<FaultSheet.Seen> future : running) {
                seen.add(future.get());
            }
        }
        String page = HEAD + FaultSheet.table(rows, seen);
        if (Boolean.getBoolean("steamleaf.write-docs")) {
            Files.writeString(DOCUMENT, page, StandardCharsets.UTF_8);
        }
        List<String> unexplained = new ArrayList<>();
        for (int i = 0; i < rows.size(); i++) {
            boolean silent = seen.get(i).rule() == null && seen.get(i).alarm().isEmpty();
            boolean unsafe = !seen.get(i).unsafe().isEmpty();
            if ((silent || unsafe) && rows.get(i).otherwise().isEmpty()) {
                unexplained.add(rows.get(i).what() + " " + seen.get(i).unsafe());
            }
        }
        assertEquals(List.of(), unexplained, "neither detected nor explained");
        assertEquals(
                page,
                Files.readString(DOCUMENT, StandardCharsets.UTF_8),
                "run this test with -Dsteamleaf.write-docs=true");
    }
}
