package steamleaf.core.interlock;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;
import steamleaf.core.reading.UnitKind;

/**
 * Each condition with a limit in it, asked at the limit and beside it, without a line around it.
 */
class ConditionsAtTheirLimitsTest {
    private static final UnitId OVEN_1 = UnitId.oven(1);

    private double airC = 80;
    private double exhaustC = 60;
    private double chestAC = 98;
    private double chestBC = 98;
    private double beltMmPerS = 8;
    private double boilingC = 99;
    private boolean steamValve = true;
    private WarmthWatch heatOff = new WarmthWatch(true, 0, 30, 30, 30);
    private WarmthWatch contactorOpen = new WarmthWatch(true, 0, 30, 30, 30);
    private HeaterWatch heater = new HeaterWatch(true, 900, 1000, 2, 1);
    private LimitWatch limit = new LimitWatch(80, true, false);
    private int started = 0b10;
    private WarmingTurn turn = WarmingTurn.NONE;

    private boolean good(Rule rule) {
        GuardSettings settings = GuardSettings.stock(1);
        Readings readings =
                new Readings.Collector(1)
                        .set(OVEN_1, Quantity.AIR_C, airC, Quality.GOOD)
                        .set(OVEN_1, Quantity.EXHAUST_C, exhaustC, Quality.GOOD)
                        .set(UnitId.STEAMER, Quantity.CHEST_A_C, chestAC, Quality.GOOD)
                        .set(UnitId.STEAMER, Quantity.CHEST_B_C, chestBC, Quality.GOOD)
                        .set(UnitId.STEAMER, Quantity.BELT_MM_PER_S, beltMmPerS, Quality.GOOD)
                        .build();
        WantedOutputs off = WantedOutputs.off(1);
        WantedOutputs driven =
                new WantedOutputs(true, steamValve, false, true, 0.5, true, false, off.ovens());
        GuardInput in =
                new GuardInput(
                        1,
                        0.1,
                        false,
                        readings,
                        off,
                        new GuardLimits(boilingC, List.of(new OvenLimits(80, 1100))),
                        new GuardRequests(Set.of(), Set.of(), Set.of()),
                        List.of(new OvenActivity(1, 1)));
        OvenWatch fresh = OvenWatch.starting(GuardState.KeptOven.NEW, 0);
        OvenWatch oven =
                new OvenWatch(
                        fresh.fan(),
                        heater,
                        fresh.charge(),
                        0,
                        fresh.rise(),
                        fresh.demand(),
                        fresh.frozen(),
                        heatOff,
                        contactorOpen,
                        limit);
        View view =
                new View(
                        settings,
                        in,
                        driven,
                        ContactorWatch.starting(0),
                        SteamerWatch.starting(0),
                        new OvenWatch[] {oven},
                        false,
                        0,
                        started,
                        turn,
                        1000);
        return rule.good(view, rule.scope() == UnitKind.STEAMER ? UnitId.STEAMER : OVEN_1);
    }

    @Test
    void theBeltMovesAboveHalfAMillimetrePerSecond() {
        beltMmPerS = 0.5;
        assertFalse(good(Rule.BELT_STOPPED));
        beltMmPerS = 0.6;
        assertTrue(good(Rule.BELT_STOPPED));
    }

    @Test
    void theChestMayBeFourDegreesAboveBoiling() {
        chestAC = 103;
        assertTrue(good(Rule.CHEST_ABOVE_BOILING));
        chestAC = 103.1;
        assertFalse(good(Rule.CHEST_ABOVE_BOILING));
        chestAC = 98;
        chestBC = 103.1;
        assertFalse(good(Rule.CHEST_ABOVE_BOILING));
        boilingC = Double.NaN;
        assertTrue(good(Rule.CHEST_ABOVE_BOILING), "an unknown pressure has its own alarm");
    }

    @Test
    void chestSensorsMayBeThreeDegreesApart() {
        chestAC = 95;
        assertTrue(good(Rule.CHEST_SENSORS_DISAGREE));
        chestAC = 94.9;
        assertFalse(good(Rule.CHEST_SENSORS_DISAGREE));
        chestAC = 101.1;
        assertFalse(good(Rule.CHEST_SENSORS_DISAGREE));
    }

    @Test
    void aFireIsWarmerThanSixtyDegrees() {
        airC = 60;
        assertTrue(good(Rule.FIRE_LIKE));
        airC = 60.1;
        assertFalse(good(Rule.FIRE_LIKE));
        contactorOpen = new WarmthWatch(true, 0, 30, 51, 30);
        assertTrue(good(Rule.FIRE_LIKE), "nine degrees above what was");
    }

    @Test
    void anUnwantedHeatIsWarmerThanFortyDegrees() {
        airC = 40;
        assertTrue(good(Rule.RISING_WITH_HEAT_OFF));
        airC = 40.1;
        assertFalse(good(Rule.RISING_WITH_HEAT_OFF));
        heatOff = new WarmthWatch(true, 0, 30, 35, 30);
        assertTrue(good(Rule.RISING_WITH_HEAT_OFF), "five degrees above what was");
    }

    @Test
    void airMayReachTheOvensLimitAndExhaustItsOwn() {
        airC = 110;
        exhaustC = 105;
        assertTrue(good(Rule.AIR_ABOVE_OVEN_LIMIT) && good(Rule.EXHAUST_ABOVE_LIMIT));
        airC = 110.1;
        exhaustC = 105.1;
        assertFalse(good(Rule.AIR_ABOVE_OVEN_LIMIT) || good(Rule.EXHAUST_ABOVE_LIMIT));
    }

    @Test
    void airMayBeFifteenDegreesAboveTheRecipesLimit() {
        airC = 95;
        assertTrue(good(Rule.AIR_ABOVE_RECIPE_LIMIT));
        airC = 95.1;
        assertFalse(good(Rule.AIR_ABOVE_RECIPE_LIMIT));
        limit = new LimitWatch(80, false, false);
        assertTrue(good(Rule.AIR_ABOVE_RECIPE_LIMIT), "a limit it has not kept yet");
    }

    @Test
    void exhaustMayBeTenDegreesWarmerThanAir() {
        exhaustC = 90;
        assertTrue(good(Rule.AIR_DISAGREES_EXHAUST));
        exhaustC = 90.1;
        assertFalse(good(Rule.AIR_DISAGREES_EXHAUST));
        heater = new HeaterWatch(false, 940, 1000, 2, 1);
        assertTrue(good(Rule.AIR_DISAGREES_EXHAUST), "no heat for a minute");
        heater = new HeaterWatch(false, 940.1, 1000, 2, 1);
        assertFalse(good(Rule.AIR_DISAGREES_EXHAUST));
    }

    @Test
    void heatMayBeOnForAsLongAsTheRecipeSays() {
        assertTrue(good(Rule.HEATED_TOO_LONG), "1,000 s before and 100 s now");
        heater = new HeaterWatch(true, 899.9, 1000, 2, 1);
        assertFalse(good(Rule.HEATED_TOO_LONG));
    }

    @Test
    void anOvenThatIsStartedWaitsForAnothersFirstWarming() {
        assertTrue(good(Rule.ANOTHER_OVEN_WARMS_FIRST));
        turn = new WarmingTurn(2, 900, 20, 0);
        assertFalse(good(Rule.ANOTHER_OVEN_WARMS_FIRST));
        started = 0b100;
        assertTrue(good(Rule.ANOTHER_OVEN_WARMS_FIRST), "not started");
        started = 0b10;
        turn = new WarmingTurn(2, 900, 20, 0b10);
        assertTrue(good(Rule.ANOTHER_OVEN_WARMS_FIRST), "it has had its own");
    }

    // what the table says of itself

    /** Reaction times as printed: delay, window, two cycles, and the actuator's own time. */
    @ParameterizedTest
    @CsvSource({
        "EMERGENCY_STOP, 0.3",
        "CYCLE_LATE, 1.1",
        "EXHAUST_ABOVE_LIMIT, 1.2",
        "AIR_DISAGREES_EXHAUST, 121.2",
        "EXHAUST_SENSOR_BAD, 601.2",
        "RISING_TOO_FAST, 20.2",
        "CONTACTOR_WELDED, 0.8",
        "HOOD_OPEN, 0.5",
        "NO_STEAM_AVAILABLE, 2.5",
        "CHEST_NOT_COOLING, 390.3",
        "FIRE_LIKE, 80.3",
        "DOOR_OPEN, 0.2",
        "AIR_FROZEN, 130.2",
        "AIRFLOW_NOT_PROVEN, 3.2",
        "EXTRACTOR_NOT_PROVEN, 15.2",
    })
    void aReactionTimeIsTheSumOfItsParts(Rule rule, double reactionS) {
        assertEquals(reactionS, rule.reactionS(), 1e-9);
    }

    @ParameterizedTest
    @EnumSource(Rule.class)
    void whatOnlyAlarmsOrComesAndGoesInNormalRunningRefusesNoStart(Rule rule) {
        boolean lets =
                rule.effect() == Effect.ALARM_ONLY
                        || rule == Rule.DOOR_NOT_SEEN_OPEN
                        || rule == Rule.HEAT_PAUSED_AIR_WARM
                        || rule == Rule.ANOTHER_OVEN_WARMS_FIRST;
        assertEquals(!lets, rule.blocksStart());
    }

    @ParameterizedTest
    @EnumSource(Rule.class)
    void theTableSaysWhoLetsGo(Rule rule) {
        String who = rule.letGoBy();
        assertEquals(rule.latch() == Latch.TRIP, who.startsWith("reset at the machine"));
        assertEquals(rule.latch() == Latch.INTERLOCK, who.startsWith("confirm at the machine"));
        assertEquals(rule.latch() == Latch.FOLLOWS, who.startsWith("nobody"));
    }

    @ParameterizedTest
    @EnumSource(Reason.class)
    void aReasonsKeyIsItsName(Reason reason) {
        assertEquals(
                reason.name(), reason.key().toUpperCase(java.util.Locale.ROOT).replace('-', '_'));
    }

    @Test
    void eachRuleWatchesItsKindOfUnit() {
        int sum = 0;
        for (UnitKind kind : UnitKind.values()) {
            Rule[] rules = Rule.rules(kind);
            assertTrue(Arrays.stream(rules).allMatch(rule -> rule.scope() == kind), kind::name);
            assertEquals(rules.length, Rule.count(kind));
            sum += rules.length;
        }
        assertEquals(Rule.values().length, sum);
    }

    @Test
    void aRowWithoutAConditionIsNeverGood() {
        Row row = Row.line("L-0", Effect.CONTACTOR_OFF, Latch.TRIP, Reason.SMOKE);
        assertFalse(row.check.good(null, UnitId.LINE));
    }

    @Test
    void aCauseStandsWhilePresentAndATripUntilItsReset() {
        assertTrue(new Cause(Rule.DOOR_OPEN, OVEN_1, true, false, false, 1).isStanding());
        assertTrue(new Cause(Rule.DOOR_OPEN, OVEN_1, true, true, false, 1).isStanding());
        assertFalse(new Cause(Rule.DOOR_OPEN, OVEN_1, false, true, false, 1).isStanding());
        assertTrue(new Cause(Rule.SMOKE, UnitId.LINE, false, true, false, 1).isStanding());
        assertFalse(new Cause(Rule.SMOKE, UnitId.LINE, false, false, false, 1).isStanding());
    }

    // arithmetic of a step

    @Test
    void onlyAnHourOrMoreAndNonsenseDoNotCountAsTime() {
        assertEquals(0.1, Guard.counted(0.1));
        assertEquals(3599.9, Guard.counted(3599.9));
        assertEquals(0, Guard.counted(3600));
        assertEquals(0, Guard.counted(-0.1));
        assertEquals(0, Guard.counted(Double.NaN));
        assertEquals(0, Guard.counted(Double.POSITIVE_INFINITY));
    }

    @Test
    void aDelayIsOverToTheMillisecond() {
        assertFalse(Guard.isOver(0.499, 0.5));
        assertTrue(Guard.isOver(0.1 + 0.1 + 0.1 + 0.1 + 0.1 - 1e-9, 0.5));
        assertTrue(Guard.isOver(0, 0));
    }

    @Test
    void aRatioStaysInsideAndNotANumberIsZero() {
        assertEquals(0, Guard.ratio(Double.NaN));
        assertEquals(0, Guard.ratio(-1));
        assertEquals(1, Guard.ratio(7));
        assertEquals(0.3, Guard.ratio(0.3));
    }

    @Test
    void firstConversionsAreWaitedForThreeSeconds() {
        assertTrue(GuardState.settled(Guard.SETTLE_S - 1e-9));
        assertFalse(GuardState.settled(Guard.SETTLE_S - 1e-3));
    }

    @Test
    void allowedOutputsPrintWhatTheyAllow() {
        String printed = AllowedOutputs.off(1).toString();
        assertTrue(printed.contains("pulse=false") && printed.contains("contactor=false"), printed);
    }
}
