package steamleaf.core.interlock;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;
import org.junit.jupiter.api.Test;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.alarm.Alarms;
import steamleaf.core.alarm.Priority;
import steamleaf.core.reading.UnitId;
import steamleaf.core.reading.UnitKind;

/**
 * The interlock matrix and the alarm table are made from the rows in the code and stand in {@code
 * docs}; a stale one fails. To write them anew: {@code -Dsteamleaf.write-docs=true}.
 */
class DocumentsTest {
    private static final String MADE =
            "<!-- Made from the code by DocumentsTest; -Dsteamleaf.write-docs=true writes it anew. -->\n\n";

    @Test
    void theInterlockMatrixIsTheRuleTable() throws IOException {
        same("docs/interlocks.md", interlocks());
    }

    @Test
    void theAlarmTableIsTheCodesTable() throws IOException {
        same("docs/alarms.md", alarms());
    }

    @Test
    void everyReasonAndAlarmHasItsSentenceAndWhatToDoInBothLanguages() throws IOException {
        Map<String, String[]> texts = texts();
        for (Reason reason : Reason.values()) {
            assertText(texts, reason.key());
        }
        for (AlarmKind kind : AlarmKind.values()) {
            assertText(texts, kind.key());
        }
        for (String key : texts.keySet()) {
            String plain = key.endsWith(".do") ? key.substring(0, key.length() - 3) : key;
            boolean used =
                    AlarmKind.of(plain) != null
                            || Arrays.stream(Reason.values()).anyMatch(r -> r.key().equals(plain));
            assertTrue(used, key + " is said by nothing");
        }
    }

    /** A trip stands until its reset; telling nobody so leaves it standing. */
    @Test
    void whatToDoNamesThePressThatThenReallyWorksAndNoOther() throws IOException {
        Map<String, String[]> texts = texts();
        for (Rule rule : Rule.values()) {
            String key = rule.reason().key() + ".do";
            String english = texts.get(key)[1].toLowerCase(java.util.Locale.ROOT);
            String japanese = texts.get(key)[2];
            // the relay's reset and the press after an opened door come besides
            boolean reset = rule.latch() == Latch.TRIP || rule == Rule.PERMIT_KEY_OFF;
            boolean confirm = rule.latch() == Latch.INTERLOCK || rule == Rule.DOOR_NOT_SEEN_OPEN;
            assertEquals(reset, english.contains("reset"), key);
            assertEquals(reset, japanese.contains("リセット"), key);
            assertEquals(confirm, english.contains("confirm"), key);
            assertEquals(confirm, japanese.contains("確認ボタン"), key);
            boolean resume = rule.latch() == Latch.INTERLOCK;
            assertTrue(!resume || english.contains("resume"), key);
            assertTrue(!resume || japanese.contains("再開"), key);
        }
    }

    /** What the page says of priorities. */
    @Test
    void timeToRespondAndPriorityAgree() {
        for (AlarmKind kind : AlarmKind.values()) {
            boolean agrees =
                    switch (kind.priority()) {
                        case HIGH -> kind.respondS() <= 300;
                        case MEDIUM -> kind.respondS() >= 300 && kind.respondS() <= 3_600;
                        case LOW -> kind.respondS() >= 600 && kind.respondS() <= 3_600;
                    };
            assertTrue(agrees, () -> kind + " has " + kind.respondS() + " s");
        }
    }

    private static void assertText(Map<String, String[]> texts, String key) {
        for (String k : new String[] {key, key + ".do"}) {
            assertTrue(texts.containsKey(k), "no text for " + k);
            assertTrue(texts.get(k)[1].endsWith("."), k);
            assertTrue(texts.get(k)[2].endsWith("。"), k);
        }
    }

    private static Map<String, String[]> texts() throws IOException {
        Path file =
                Repository.root()
                        .resolve(
                                "controller/contract/src/main/resources/steamleaf/contract/texts-guard.tsv");
        Map<String, String[]> texts = new HashMap<>();
        for (String line : Files.readAllLines(file)) {
            if (!line.isBlank() && !line.startsWith("#")) {
                String[] cells = line.split("\t", -1);
                assertEquals(3, cells.length, line);
                texts.put(cells[0], cells);
            }
        }
        return texts;
    }

    private static void same(String name, String expected) throws IOException {
        Path file = Repository.root().resolve(name);
        if (Boolean.getBoolean("steamleaf.write-docs")) {
            Files.writeString(file, expected);
        }
        assertEquals(
                expected, Files.exists(file) ? Files.readString(file) : "", name + " is stale");
    }

    private static String interlocks() throws IOException {
        Map<String, String[]> texts = texts();
        GuardSettings stock = GuardSettings.stock(1);
        StringBuilder out = new StringBuilder(MADE);
        out.append("# Interlock matrix\n\n");
        out.append(
                """
                What takes heat, steam and belt away, and what gives them back. One table in the code (`core.interlock.Rule`) is the
                single truth; this page is made from it and a test fails when it is stale. **Software is not the safety system**: the
                column *without the program* says what acts when the controller is dead, and no integrity level is claimed. What
                nobody here protects against stands in [limits.md](limits.md).

                - Conditions are stated as what must be *provably* well: a bad, missing or stale value takes the effect. Where two values
                  are compared, the row that watches the bad one takes it: O-6 at once for an oven's air, S-4 at once for the chest, O-16 after
                  ten minutes for an exhaust (until then O-8 and O-14 see nothing). A frozen input chip shows at once (loop-back), a thermometer
                  that stands still in O-13 and S-5 only.
                - *Off* means heat, steam and belt. Fans and extractor run on for %s after heat or steam at least (the fan only while the door
                  is closed), unless the cause is like a fire. Off is never refused, in any state; there is no bypass, and no output can be forced.
                - **trip**: stays until a person, once the cause is gone, resets it at the machine; the start is a further press.
                  **interlock**: goes with its cause, but the unit needs a press at the machine: *confirm*, or *start* to resume a
                  batch that was held meanwhile. **follows**: comes and goes with its cause.
                - Every trip and interlock takes back the unit's *start*. Nothing is started after a restart of the controller.
                - The first trip of a group is kept as *first-out*: of the same unit, or any that opens the contactor. Within one cycle
                  the upper row came first.
                - In the first %s after the controller's start everything is off and nothing trips: sensors make their first
                  conversions.
                - *Reaction* is from the cause at the terminals to the effect there at 10 Hz: time in which the cause shows + delay +
                  one cycle for the scan, with the chip's own conversion, and one for the drive (%s) + contactor (%s) or valve (%s). The
                  values of exhaust and room take turns and may be %s old. Nothing else filters or averages. *Process safety time* is from
                  the cause to harm if nothing acted. Delays, limits and safety times are engineering choices and our own arithmetic for
                  the stock line; they prove nothing for another oven or steamer.

                ## Before each closing of the contactor

                The pulse is withheld for %s, so that the watchdog relay drops (the horn sounds through its closed contact); then the
                coil is driven for %s: the contactor must stay open, else *L-4*. The pulse comes back for %s, and a person
                presses *reset* at the machine, so that the relay picks up. Only then does the contactor close, and heat waits until its
                feedback proves it. An oven that starts while another is heated finds the contactor closed: nothing is tried then. The
                pulse is given only by a complete cycle that was on time and whose contactor, heaters, valves and belt took what they were
                told, and is withheld as long as L-4 stands.

                ## Hood

                It unlocks only when asked, with both chest sensors good and below %.0f °C, the extractor driven and proven for
                %s with the valves closed, its contact seen open with the extractor off since the controller's start, and belt and valves
                off. After a restart the chest counts as unvented.

                """
                        .formatted(
                                seconds(Guard.RUN_ON_S),
                                seconds(Guard.SETTLE_S),
                                seconds(Rule.CYCLES_S),
                                seconds(Rule.DROP_OUT_S),
                                seconds(Rule.VALVE_S),
                                seconds(Row.EXHAUST_ROUND_S),
                                seconds(stock.watchdogDropS()),
                                seconds(ContactorWatch.PROVING_S),
                                seconds(stock.watchdogSteadyS()),
                                SteamerWatch.VENTED_C,
                                seconds(SteamerWatch.VENTING_S)));
        table(out, UnitKind.LINE, "Line", texts);
        table(out, UnitKind.STEAMER, "Steamer", texts);
        table(out, UnitKind.OVEN, "Each oven", texts);
        out.append("## What is sensed, worked out\n\n");
        out.append("| id | process safety time | where it comes from |\n| --- | --- | --- |\n");
        for (Rule rule : Rule.values()) {
            out.append("| ")
                    .append(rule.id())
                    .append(" | ")
                    .append(seconds(rule.safetyTimeS()))
                    .append(" | ")
                    .append(rule.arithmetic())
                    .append(" |\n");
        }
        out.append(
                """

                ## What people are told

                | id | sentence | what to do | 文 | すること |
                | --- | --- | --- | --- | --- |
                """);
        for (Rule rule : Rule.values()) {
            String key = rule.reason().key();
            out.append("| ")
                    .append(rule.id())
                    .append(" | ")
                    .append(texts.get(key)[1].replace("{0}", "oven-1"))
                    .append(" | ")
                    .append(texts.get(key + ".do")[1])
                    .append(" | ")
                    .append(texts.get(key)[2].replace("{0}", "oven-1"))
                    .append(" | ")
                    .append(texts.get(key + ".do")[2])
                    .append(" |\n");
        }
        return out.toString();
    }

    private static void table(
            StringBuilder out, UnitKind kind, String title, Map<String, String[]> texts) {
        assertTrue(texts.size() > 10);
        out.append("## ").append(title).append("\n\n");
        out.append(
                "| id | cause | effect | delay | latch | let go by | without the program | reaction"
                        + " | safety time | proof test |\n"
                        + "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |\n");
        for (Rule rule : Rule.rules(kind)) {
            out.append("| ").append(rule.id());
            out.append(" | ").append(rule.cause());
            out.append(" | ").append(effect(rule));
            out.append(" | ").append(rule.delayS() == 0.0 ? "none" : seconds(rule.delayS()));
            out.append(" | ").append(latch(rule.latch()));
            out.append(" | ").append(rule.letGoBy());
            out.append(" | ").append(rule.hardWired());
            out.append(" | ").append(seconds(rule.reactionS()));
            out.append(" | ").append(seconds(rule.safetyTimeS()));
            out.append(" | ").append(rule.proofTest()).append(" |\n");
        }
        out.append('\n');
    }

    private static String effect(Rule rule) {
        return switch (rule.effect()) {
            case CONTACTOR_OFF -> "contactor open: all heat, steam and belt off";
            case FIRE ->
                    "contactor open; fan off and damper closed ("
                            + (rule.scope() == UnitKind.LINE ? "all ovens" : "that oven")
                            + "), extractor off, signal to evacuate";
            case STEAM_OFF -> "both steam valves and belt off";
            case HEAT_OFF -> "that oven's heater off";
            case ALARM_ONLY -> "alarm only";
        };
    }

    private static String latch(Latch latch) {
        return switch (latch) {
            case TRIP -> "trip";
            case INTERLOCK -> "interlock";
            case FOLLOWS -> "follows";
        };
    }

    private static String seconds(double s) {
        if (Double.isNaN(s)) {
            return "not timed";
        }
        return s == Math.rint(s)
                ? Long.toString(Math.round(s)) + " s"
                : String.format(java.util.Locale.ROOT, "%.1f s", s);
    }

    private static String alarms() throws IOException {
        Map<String, String[]> texts = texts();
        StringBuilder out = new StringBuilder(MADE);
        out.append("# Alarms\n\n");
        out.append(
                """
                Each row: what happened, what it leads to, what to do, how long you have. One table in the code
                (`core.alarm.AlarmKind`) is the single truth; this page is made from it and a test fails when it is stale. Japanese
                sentences stand beside the English ones in the contract's table of texts.

                States are those of IEC 62682 (as recalled; its text was not opened): normal, unacknowledged, acknowledged,
                returned-unacknowledged, shelved, suppressed by design, out of service.

                """);
        out.append(
                "- The horn sounds for new alarms of high and medium priority, until the button at the machine silences\n");
        out.append(
                "  it; nothing else does. A new alarm sounds again. To evacuate, it sounds in beats of half a second. Besides, it\n");
        out.append(
                "  sounds by wire while the watchdog relay is dropped, until *reset* at the machine picks it up.\n");
        out.append(
                "- *High*: people or the building may come to harm, or a charge is lost, within five minutes. *Medium*: a charge is\n");
        out.append(
                "  lost, or nothing can be heated, if nobody comes within five minutes to an hour. *Low*: ten minutes to an hour, and\n");
        out.append("  the quality of leaf or record is at stake.\n");
        out.append("- Reasons that ring nothing, since they come and go in normal running: ")
                .append(silent())
                .append(".\n");
        out.append(
                "- *On / off delay* is the alarm's own. Where a rule finds the cause, its delay ([interlocks.md](interlocks.md))\n");
        out.append(
                "  comes before. What batch, estimate and disk say is looked at once a second.\n");
        out.append(
                "- Lamps (IEC 60073): red while a high one stands, yellow while a medium or low one stands, blue while one waits\n");
        out.append(
                "  for an acknowledgement or a prompt waits for a person, green while heat or steam is permitted and nothing is red.\n");
        out.append(
                "- Alarms of trips stand until the trip is reset. They are never shelved, suppressed or taken out of service.\n");
        out.append("- Others may be shelved with a reason, for at most ")
                .append(Math.round(Alarms.LONGEST_SHELVING_S / 3600))
                .append(
                        " h; then they come back and sound. Or they are taken out of service with a reason,\n");
        out.append(
                "  until somebody puts them back. The page of the alarms shows who did it and why.\n");
        out.append(
                "- *Only in use*: suppressed by design while the unit has no batch and does not run. *Said by*: suppressed while\n");
        out.append("  that alarm of the same unit stands.\n");
        out.append(
                "- The first cause of a storm is what was raised in the earliest cycle; of the same cycle, the lower number in the\n");
        out.append(
                "  first column, likely causes first. It stands before all others; these by urgency, then by cycle and number.\n");
        out.append(
                "  *Smoke* has a lower number than *emergency-stop*, which is the first row of the interlock matrix: people leave first.\n\n");
        for (Priority priority : Priority.values()) {
            String name = priority.name().toLowerCase(java.util.Locale.ROOT);
            out.append("## Priority ").append(name).append("\n\n");
            out.append(
                    "| no. | key | where | what happened | what it leads to | what to do | respond"
                            + " within | on / off delay | notes |\n"
                            + "| --- | --- | --- | --- | --- | --- | --- | --- | --- |\n");
            for (AlarmKind kind : AlarmKind.values()) {
                if (kind.priority() == priority) {
                    row(out, kind, texts);
                }
            }
            out.append('\n');
        }
        return out.toString();
    }

    private static String silent() {
        return Arrays.stream(Rule.values())
                .filter(rule -> AlarmKind.of(rule.reason().key()) == null)
                .map(rule -> rule.id() + " " + rule.reason().key())
                .collect(java.util.stream.Collectors.joining(", "));
    }

    private static void row(StringBuilder out, AlarmKind kind, Map<String, String[]> texts) {
        String where =
                Arrays.stream(UnitKind.values())
                        .filter(kind.scope()::contains)
                        .map(k -> k.name().toLowerCase(java.util.Locale.ROOT))
                        .reduce((a, b) -> a + ", " + b)
                        .orElseThrow();
        out.append("| ").append(kind.ordinal() + 1);
        out.append(" | ").append(kind.key());
        out.append(" | ").append(where);
        out.append(" | ").append(texts.get(kind.key())[1].replace("{0}", UnitId.oven(1).label()));
        out.append(" | ").append(kind.consequence());
        out.append(" | ").append(texts.get(kind.key() + ".do")[1]);
        out.append(" | ")
                .append(
                        kind.respondS() < 120
                                ? seconds(kind.respondS())
                                : Math.round(kind.respondS() / 60) + " min");
        out.append(" | ").append(seconds(kind.onDelayS()) + " / " + seconds(kind.offDelayS()));
        out.append(" | ").append(notes(kind)).append(" |\n");
    }

    private static String notes(AlarmKind kind) {
        AlarmKind other = kind.hiddenBy();
        StringBuilder notes = new StringBuilder();
        if (kind.isTrip()) {
            notes.append("trip");
        }
        if (kind.isEvacuation()) {
            notes.append(", evacuate");
        }
        if (kind.isOnlyInUse()) {
            notes.append("only in use");
        }
        if (other != null) {
            notes.append(notes.isEmpty() ? "" : "; ").append("said by ").append(other.key());
        }
        if (kind.value() != null) {
            notes.append("above ")
                    .append(kind.limit())
                    .append(", dead band ")
                    .append(kind.deadBand());
        }
        return notes.toString();
    }
}
