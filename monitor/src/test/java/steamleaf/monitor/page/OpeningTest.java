package steamleaf.monitor.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.Because;
import steamleaf.contract.Language;
import steamleaf.contract.Status;
import steamleaf.contract.UnitLive;
import steamleaf.monitor.Ridge;
import steamleaf.monitor.live.Live;
import steamleaf.monitor.store.Rows;

final class OpeningTest {
    private static final Instant AT = Instant.parse("2026-05-12T16:30:00Z");
    private static final Freshness FRESH = new Freshness(true, "", AT);

    private static String plain(String sentence) {
        return sentence.replace('\u00a0', ' ');
    }

    private static String english(UnitLive live) {
        return plain(Opening.unit(Language.ENGLISH, ZoneOffset.UTC, live.unit(), live, FRESH));
    }

    private static String japanese(UnitLive live) {
        return plain(Opening.unit(Language.JAPANESE, ZoneOffset.UTC, live.unit(), live, FRESH));
    }

    private static UnitLive with(
            UnitLive u,
            String state,
            @Nullable String operation,
            @Nullable String phase,
            List<UnitLive.Cause> causes,
            UnitLive.@Nullable Armed armed,
            @Nullable Because note) {
        return new UnitLive(
                u.unit(),
                u.start(),
                u.cycle(),
                u.at(),
                state,
                u.stateNumber(),
                operation,
                phase,
                u.stepNumber(),
                u.stepCount(),
                u.stepElapsedS(),
                u.batch(),
                u.recipe(),
                u.lots(),
                u.readings(),
                u.outputs(),
                u.setAirC(),
                u.moisture(),
                u.prompt(),
                causes,
                u.permissives(),
                armed,
                note);
    }

    private static UnitLive state(UnitLive u, String state) {
        return with(u, state, u.operation(), u.phase(), List.of(), null, null);
    }

    @Test
    void anOvenThatDriesSaysWhereTheLeafIsAndWhenItLands() {
        UnitLive drying = Ridge.drying("oven-2", "b-1", 1, AT);
        assertEquals(
                "Oven 2 is drying. The leaf is at 8.1 % and lands at 5.5 % at about 16:42.",
                english(drying));
        assertEquals("乾燥炉2は乾燥中です。葉は8.1 %、16:42ごろ5.5 %に達します。", japanese(drying));
    }

    @Test
    void theLastDryingSaysWhereItAimsAndWhy() {
        UnitLive u = Ridge.drying("oven-2", "b-1", 1, AT);
        Because aim = Because.of("aim.unsure", "5.4", "5", "0.57", "99", "8.6");
        UnitLive aiming =
                new UnitLive(
                        u.unit(),
                        u.start(),
                        u.cycle(),
                        u.at(),
                        u.state(),
                        u.stateNumber(),
                        u.operation(),
                        u.phase(),
                        u.stepNumber(),
                        u.stepCount(),
                        null,
                        u.batch(),
                        u.recipe(),
                        u.lots(),
                        u.readings(),
                        u.outputs(),
                        u.setAirC(),
                        new UnitLive.Moisture(
                                0.08, 0.006, 0.1, 68.0, 0.054, 720.0, 120.0, 0.99, aim),
                        null,
                        u.causes(),
                        u.permissives(),
                        null,
                        null);
        assertEquals(
                "Aims at 5.4 % instead of 5 %, because the estimate is sure only to ± 0.57 points;"
                        + " so 99 % of such batches end between 4 and 7 %."
                        + " The wettest part is at 10.0 %.",
                Opening.second(Language.ENGLISH, aiming, true, false).replace('\u00a0', ' '));
        assertTrue(
                Opening.second(Language.JAPANESE, aiming, true, false)
                        .contains("5 %ではなく5.4 %を狙います"));
    }

    @Test
    void aPromptIsSaidBeforeAnythingElseThatRuns() {
        assertEquals(
                "You are wanted at Oven 1: lot 41 waits.",
                english(Ridge.prompting("oven-1", "b-1", 1, AT)));
    }

    @Test
    void whileTheOvenWarmsNobodySaysThatItSteams() {
        UnitLive u = Ridge.drying("oven-1", "b-1", 1, AT);
        UnitLive warming = with(u, "running", "steam", "warming", List.of(), null, null);
        assertEquals("Lot 40 of Oven 1: warming the empty oven, step 9 of 12.", english(warming));
    }

    @Test
    void aTripIsNamedByItsFirstCause() {
        UnitLive u = Ridge.drying("oven-2", "b-1", 1, AT);
        UnitLive tripped =
                with(
                        u,
                        "held",
                        "dry",
                        "drying",
                        List.of(
                                new UnitLive.Cause(
                                        "O-2",
                                        "trip",
                                        true,
                                        false,
                                        Because.of("fan-off", "oven-2"),
                                        "reset"),
                                new UnitLive.Cause(
                                        "O-1",
                                        "trip",
                                        true,
                                        true,
                                        Because.of("airflow-not-proven", "oven-2"),
                                        "reset")),
                        null,
                        null);
        assertEquals(
                "Oven 2 has its heat held off: Oven 2 has no proven airflow: its heat is off.",
                english(tripped));
    }

    /** The door is shut again: nobody says that it is open. */
    @Test
    void anInterlockThatOnlyWaitsForThePressSaysSo() {
        UnitLive u = Ridge.drying("oven-2", "b-1", 1, AT);
        List<UnitLive.Cause> latched =
                List.of(
                        new UnitLive.Cause(
                                "O-5",
                                "interlock",
                                false,
                                true,
                                Because.of("door-open", "oven-2"),
                                "start"));
        assertEquals(
                "Oven 2 gets no heat until start is pressed at the machine. Earlier: The door of Oven 2 is open.",
                english(with(u, "running", "dry", "drying", latched, null, null)));
        assertEquals(
                "Oven 3 is empty, air at 24 °C.",
                english(
                        with(
                                Ridge.idleOven("oven-3", 1, AT),
                                "idle",
                                null,
                                null,
                                latched,
                                null,
                                null)));
        assertTrue(
                english(
                                with(
                                        Ridge.prompting("oven-1", "b-1", 1, AT),
                                        "running",
                                        "dry",
                                        "taking-out",
                                        latched,
                                        null,
                                        null))
                        .startsWith("You are wanted at Oven 1"));
    }

    @Test
    void armedIsACountdown() {
        UnitLive u = Ridge.idleOven("oven-3", 1, AT);
        UnitLive armed =
                with(u, "planned", null, null, List.of(), new UnitLive.Armed("start", 7.2), null);
        assertEquals(
                "Press start at the machine within 8 s: Oven 3 begins to heat.", english(armed));
    }

    @Test
    void whatIsHeldSaysWhy() {
        UnitLive u = Ridge.drying("oven-2", "b-1", 1, AT);
        UnitLive held =
                with(
                        u,
                        "held",
                        "dry",
                        "drying",
                        List.of(),
                        null,
                        Because.of("held.asked", "oven-2"));
        assertEquals(
                "Oven 2: Held because somebody asked for it. The batch is kept.", english(held));
    }

    @Test
    void everyStateHasASentenceThatNamesTheUnit() {
        UnitLive u = Ridge.idleOven("oven-3", 1, AT);
        for (String state :
                List.of(
                        "idle",
                        "planned",
                        "running",
                        "held",
                        "stopped",
                        "aborted",
                        "from-tomorrow")) {
            assertTrue(english(state(u, state)).contains("Oven 3"), state);
            assertTrue(japanese(state(u, state)).contains("乾燥炉3"), state);
        }
        assertEquals("Oven 3 is empty, air at 24 °C.", english(u));
    }

    @Test
    void aStaleUnitIsNotDescribedAsIfItWereNow() {
        UnitLive u = Ridge.drying("oven-2", "b-1", 1, AT);
        Freshness stale = new Freshness(false, "the controller is not there", AT);
        assertEquals(
                "Oven 2 is not heard from: the controller is not there.",
                plain(Opening.unit(Language.ENGLISH, ZoneOffset.UTC, "oven-2", u, stale)));
        assertEquals(
                "Nothing has been heard of Oven 2 yet: why.",
                plain(
                        Opening.unit(
                                Language.ENGLISH,
                                ZoneOffset.UTC,
                                "oven-2",
                                null,
                                new Freshness(false, "why", null))));
    }

    private static Live live() {
        Live live = new Live(() -> 0);
        live.broker(true);
        live.status(new Status(true, "j", 1, 2, "s", AT, false));
        return live;
    }

    @Test
    void freshnessNeedsBrokerControllerAndNews() {
        long[] nowNs = {0};
        Live live = new Live(() -> nowNs[0]);
        assertEquals("the monitor has no connection to the broker", why(live, 0));
        live.broker(true);
        assertEquals("the controller is not there", why(live, 0));
        live.status(new Status(true, "j", 1, 2, "s", AT, false));
        assertEquals("nothing has been heard of it yet", why(live, 0));
        live.unit("oven-1", Ridge.idleOven("oven-1", 1, AT), true);
        assertEquals("only an old message is known", why(live, 0));
        live.unit("oven-1", Ridge.idleOven("oven-1", 2, AT), false);
        assertEquals("", why(live, Freshness.LIMIT_NS));
        assertEquals("nothing has come for 6 s", why(live, 6_000_000_000L));
        live.status(new Status(false, "j", 1, 2, "s", null, false));
        assertEquals("the controller is not there", why(live, 0));
    }

    private static String why(Live live, long nowNs) {
        return Freshness.of(live.now(), "oven-1", nowNs, Language.ENGLISH).why();
    }

    @Test
    void theLineSaysHowManyWorkAndWhoLandsNext() {
        Live live = live();
        live.unit("line", Ridge.line(1, AT), false);
        live.unit("oven-2", Ridge.drying("oven-2", "b-1", 1, AT), false);
        live.unit("oven-3", Ridge.idleOven("oven-3", 1, AT), false);
        assertEquals(
                "The line is ready: 1 of 2 ovens are at work. Oven 2 lands next, at about 16:42.",
                plain(Opening.line(Language.ENGLISH, ZoneOffset.UTC, live.now(), FRESH)));
    }

    @Test
    void alarmsAreCountedAndTheMostUrgentIsNamed() {
        Live live = live();
        assertEquals(
                "Nothing is wrong: no alarm stands.", Opening.alarms(Language.ENGLISH, live.now()));
        live.alarm("oven-1.airflow", Ridge.alarm("oven-1", AT));
        live.alarm(
                "line.room-warm",
                new AlarmLive(
                        "line.room-warm",
                        "line",
                        "room-warm",
                        "acknowledged",
                        "low",
                        600,
                        1,
                        AT,
                        "Ines",
                        Because.of("room-warm", "line")));
        assertEquals(
                "2 alarms stand; the most urgent: Oven 1 has no proven airflow: its heat is off. Not acknowledged: 1.",
                Opening.alarms(Language.ENGLISH, live.now()));
        live.broker(false);
        assertTrue(
                Opening.alarms(Language.ENGLISH, live.now())
                        .startsWith("Whether an alarm stands is not known"));
    }

    private static Rows.BatchRow batch(@Nullable Instant landedAt, double moisture, String state) {
        return new Rows.BatchRow(
                "b-1",
                "oven-2",
                state,
                "standard",
                1,
                List.of(),
                AT,
                AT,
                landedAt,
                landedAt,
                moisture,
                0.004,
                0.84,
                AT);
    }

    @Test
    void aBatchSaysWhereItLandedHowLongItTookAndWhatWentWrong() {
        Instant landed = AT.plusSeconds(16_500);
        assertEquals(
                "Lot 40 landed at 5.2 %. It took 4 h 35 min from steam to landing. No alarm on the way.",
                plain(
                        Opening.batch(
                                Language.ENGLISH,
                                ZoneOffset.UTC,
                                "Lot 40",
                                batch(landed, 0.052, "complete"),
                                0,
                                null,
                                null)));
        assertEquals(
                "Lot 40 landed at 8.0 %. It took 4 h 35 min from steam to landing. That is outside 4–7 %."
                        + " On the way, from 17:00: Airflow low.",
                plain(
                        Opening.batch(
                                Language.ENGLISH,
                                ZoneOffset.UTC,
                                "Lot 40",
                                batch(landed, 0.08, "complete"),
                                1,
                                AT.plusSeconds(1_800),
                                "Airflow low.")));
        assertEquals(
                "Lot 40 ended without landing: aborted.",
                plain(
                        Opening.batch(
                                Language.ENGLISH,
                                ZoneOffset.UTC,
                                "Lot 40",
                                batch(null, 0.3, "aborted"),
                                0,
                                null,
                                null)));
    }

    @Test
    void batchesAreCountedInWords() {
        Rows.BatchRow landed = batch(AT.plusSeconds(16_500), 0.052, "complete");
        assertEquals(
                "One batch. The last to land, lot 40, ended at 5.2 % on 12 May.",
                batches(List.of(landed)));
        assertEquals(
                "2 batches; none has landed yet.",
                batches(List.of(batch(null, 0.3, "running"), batch(null, 0.3, "aborted"))));
    }

    private static String batches(List<Rows.BatchRow> rows) {
        return plain(Opening.batches(Language.ENGLISH, ZoneOffset.UTC, rows, _ -> "Lot 40"));
    }

    private static Rows.LotRow lot(String id, double leftKg, double ageH, boolean packed) {
        return new Rows.LotRow(
                id,
                id,
                "f",
                "c",
                0,
                "tender",
                false,
                AT.minusSeconds(Math.round(ageH * 3_600)),
                5.0,
                leftKg,
                null,
                AT,
                packed,
                null);
    }

    @Test
    void leafThatWaitsIsWeighedAndItsTimeSinceplucking() {
        assertEquals(
                "No leaf waits.",
                Opening.lots(
                        Language.ENGLISH,
                        List.of(lot("41", 0, 1, false), lot("p", 1, 1, true)),
                        AT,
                        null));
        assertEquals(
                "6.00 kg of leaf waits in 2 lots; the oldest was plucked 9 h ago."
                        + " Lot 40 is 9 h from plucking: steam it soon (limit 16 h).",
                plain(
                        Opening.lots(
                                Language.ENGLISH,
                                List.of(lot("41", 4, 1, false), lot("40", 2, 9, false)),
                                AT,
                                Ridge.description())));
        assertTrue(
                plain(
                                Opening.lots(
                                        Language.ENGLISH,
                                        List.of(lot("40", 2, 17, false)),
                                        AT,
                                        Ridge.description()))
                        .endsWith("beyond the limit of 16 h."));
    }

    @Test
    void theStartNamesWhatIsInItsWayAndNotWhatComesWithIt() {
        UnitLive oven = Ridge.idleOven("oven-3", 1, AT);
        assertEquals(
                "Oven 3 cannot start yet: The door of Oven 3 is open.",
                plain(Opening.start(Language.ENGLISH, "oven-3", oven, FRESH, oven.permissives())));
        List<UnitLive.Permissive> shut =
                oven.permissives().stream().filter(p -> !p.rule().equals("door-open")).toList();
        assertEquals(
                "Everything is good. Hold the button, then press start at the machine.",
                plain(Opening.start(Language.ENGLISH, "oven-3", oven, FRESH, shut)));
        assertTrue(
                plain(Opening.start(Language.ENGLISH, "oven-3", oven, FRESH, List.of()))
                        .startsWith("Oven 3 cannot start yet"),
                "knowing nothing is not good");
    }

    @Test
    void figuresCarryTheirUnitAndADashStandsForWhatIsNotKnown() {
        assertEquals("8.1 ± 0.6 %", plain(Figures.percent(0.081, 0.006)));
        assertEquals("–", Figures.celsius(null));
        assertEquals("–", Figures.kg(Double.NaN));
        assertEquals("0.0 °C", plain(Figures.celsius(-0.01)));
        assertEquals("1 h", plain(Figures.duration(Language.ENGLISH, 3_599)));
        assertEquals("4時間35分", Figures.duration(Language.JAPANESE, 16_500));
    }
}
