package steamleaf.core.interlock;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.HashSet;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import steamleaf.core.batch.Tuning;
import steamleaf.core.reading.UnitId;

/** Walks the rule table: every row is brought about, timed, healed and let go of. */
class RuleTableTest {
    private static Rig prepared(Rule rule, Story story) {
        Rig rig =
                switch (rule) {
                    case RESTARTED_TOO_OFTEN -> new Rig(3, GuardState.Kept.NOTHING, 3);
                    case ANOTHER_OVEN_WARMS_FIRST -> new Rig(3).closed();
                    default -> new Rig(3).running();
                };
        story.prepare().accept(rig);
        return rig;
    }

    /**
     * Runs from the cause until the rule is in effect; returns seconds, the first cycle being 0.
     */
    private static double until(Rig rig, Rule rule, UnitId unit, double longestS) {
        double s = 0;
        for (int n = 0; s <= longestS + 1; n++) {
            if (rule == Rule.AIR_FROZEN) {
                rig.wantHeat[unit.number() - 1] = n / 100 % 2 == 0; // time-proportioned, 10 s each
            }
            rig.cycle();
            if (rig.present(rule, unit)) {
                return s;
            }
            s += Rig.CYCLE_S;
        }
        return Double.NaN;
    }

    private static void assertEffect(Rig rig, Rule rule, UnitId unit) {
        switch (rule.effect()) {
            case CONTACTOR_OFF -> assertAllOff(rig);
            case FIRE -> {
                assertAllOff(rig);
                assertTrue(rig.state.evacuate(), rig::story);
                assertFalse(rig.out.extractor(), rig::story);
                for (int n = 1; n <= rig.ovens; n++) {
                    boolean burning = !unit.isOven() || unit.number() == n;
                    OvenOutputs oven = rig.out.ovens().get(n - 1);
                    assertEquals(burning ? 0.0 : 0.5, oven.damper(), rig::story);
                    assertEquals(!burning, oven.fan(), rig::story);
                }
            }
            case STEAM_OFF -> {
                assertFalse(
                        rig.steam() || rig.out.beltRun() || rig.out.beltSpeed() > 0, rig::story);
                assertFalse(rig.state.steamAllowed(), rig::story);
            }
            case HEAT_OFF -> {
                assertFalse(rig.heater(unit.number()), rig::story);
                assertFalse(rig.state.heatAllowed(unit), rig::story);
            }
            case ALARM_ONLY -> {}
        }
    }

    private static void assertAllOff(Rig rig) {
        assertFalse(rig.out.contactor() || rig.steam() || rig.out.beltRun(), rig::story);
        assertEquals(0.0, rig.out.beltSpeed());
        for (OvenOutputs oven : rig.out.ovens()) {
            assertFalse(oven.heater(), rig::story);
        }
    }

    @ParameterizedTest
    @EnumSource(Rule.class)
    void eachCauseHasItsEffectWithinItsDelayAndInTheSameCycleWhereItHasNone(Rule rule) {
        Story story = Story.of(rule);
        Rig rig = prepared(rule, story);
        boolean calm = rig.state.causes().isEmpty();
        assertTrue(calm || rule == Rule.RESTARTED_TOO_OFTEN, rig::story);
        story.cause().accept(rig);
        if (rule == Rule.RESTARTED_TOO_OFTEN) {
            rig.run(Guard.SETTLE_S - 0.1);
        }
        double tookS = until(rig, rule, story.unit(), rule.delayS() + rule.windowS());
        // what a cycle drives is seen a cycle later, and asked for a cycle before
        assertTrue(
                tookS <= rule.delayS() + rule.windowS() + Rule.CYCLES_S + 1e-6,
                () -> tookS + " s " + rig.story());
        if (rule.windowS() == 0.0) {
            assertTrue(tookS >= rule.delayS() - 1e-6, () -> tookS + " s " + rig.story());
        }
        assertEffect(rig, rule, story.unit());
        assertEquals(
                rule.latch() == Latch.TRIP,
                rig.latched(rule, story.unit()) && rule.latch() != Latch.INTERLOCK);
    }

    @ParameterizedTest
    @EnumSource(value = Rule.class)
    void noCauseTakesAnotherOvensHeatUnlessItOpensTheContactor(Rule rule) {
        Story story = Story.of(rule);
        Rig rig = prepared(rule, story);
        if (rule.opensContactor()) {
            return;
        }
        story.cause().accept(rig);
        until(rig, rule, story.unit(), rule.delayS() + rule.windowS());
        assertTrue(rig.heater(1) && rig.heater(3), rig::story);
    }

    @ParameterizedTest
    @EnumSource(Rule.class)
    void whatALatchHoldsComesBackOnlyThroughItsPerson(Rule rule) {
        Story story = Story.of(rule);
        Rig rig = prepared(rule, story);
        story.cause().accept(rig);
        double tookS = until(rig, rule, story.unit(), 3 + rule.delayS() + rule.windowS());
        assertFalse(Double.isNaN(tookS), rig::story);
        UnitId unit = story.unit();
        switch (rule.latch()) {
            case TRIP -> {
                rig.cycle(); // some causes end by their own effect
                if (rig.present(rule, unit)) {
                    rig.askReset(UnitId.LINE);
                    rig.cycle();
                    assertTrue(rig.latched(rule, unit), "no reset while it lasts");
                    assertTrue(
                            rig.lastEvents.contains(new GuardEvent.ResetRefused(rule, unit)),
                            rig::story);
                }
                story.heal().accept(rig);
                rig.run(40);
                assertTrue(rig.latched(rule, unit), rig::story);
                assertFalse(rig.present(rule, unit), rig::story);
                rig.askStart(unit.equals(UnitId.LINE) ? Story.OVEN : unit);
                rig.cycle();
                assertTrue(rig.latched(rule, unit), "a start resets no trip");
                assertEffect(rig, rule, unit);
                rig.askReset(unit);
                rig.cycle();
                assertFalse(rig.latched(rule, unit), rig::story);
                rig.run(1);
                assertNothingStarted(rig, rule, unit);
            }
            case INTERLOCK -> {
                story.heal().accept(rig);
                rig.run(5);
                assertFalse(rig.present(rule, unit), rig::story);
                assertTrue(rig.latched(rule, unit), rig::story);
                assertEffect(rig, rule, unit);
                rig.askReset(unit);
                rig.cycle();
                assertEffect(rig, rule, unit);
                rig.askStart(unit);
                rig.run(3);
                assertTrue(unit.isOven() ? rig.heater(unit.number()) : rig.steam(), rig::story);
            }
            case FOLLOWS -> {
                story.heal().accept(rig);
                rig.run(0.5);
                assertFalse(rig.present(rule, unit) || rig.latched(rule, unit), rig::story);
            }
        }
    }

    /** A reset starts nothing. */
    private static void assertNothingStarted(Rig rig, Rule rule, UnitId unit) {
        switch (rule.effect()) {
            case CONTACTOR_OFF, FIRE -> {
                assertFalse(rig.steam(), rig::story);
                for (OvenOutputs oven : rig.out.ovens()) {
                    assertFalse(oven.heater(), rig::story);
                }
            }
            case STEAM_OFF -> assertFalse(rig.steam() || rig.out.beltRun(), rig::story);
            case HEAT_OFF -> assertFalse(rig.heater(unit.number()), rig::story);
            case ALARM_ONLY -> {}
        }
    }

    @ParameterizedTest
    @EnumSource(Rule.class)
    void eachRowSaysEverythingAndReactsWithinItsSafetyTime(Rule rule) {
        assertFalse(rule.cause().isBlank());
        assertFalse(rule.hardWired().isBlank());
        assertFalse(rule.proofTest().isBlank());
        assertFalse(rule.arithmetic().isBlank());
        assertNotNull(rule.reason());
        if (Double.isNaN(rule.safetyTimeS())) {
            assertTrue(rule.arithmetic().startsWith("not timed"), rule.arithmetic());
        } else {
            assertTrue(
                    rule.reactionS() <= rule.safetyTimeS(),
                    rule + " reacts in " + rule.reactionS() + " s, has " + rule.safetyTimeS());
        }
    }

    /**
     * What the cause's sentence says in figures, from the constants that the guard counts with; NaN
     * stands for a figure that only the condition itself has ({@link ConditionsAtTheirLimitsTest},
     * {@link Story}).
     */
    private static double[] figures(Rule rule) {
        GuardSettings stock = GuardSettings.stock(1);
        GuardSettings.Oven oven = GuardSettings.Oven.STOCK;
        double itself = Double.NaN;
        return switch (rule) {
            case CYCLE_LATE -> new double[] {stock.longestCycleS()};
            case CHEST_SENSORS_DISAGREE, CHEST_ABOVE_BOILING -> new double[] {itself};
            case CHEST_NOT_COOLING ->
                    new double[] {
                        SteamerWatch.DRAINING_S,
                        SteamerWatch.COOLING_S,
                        SteamerWatch.COOLING_K,
                        SteamerWatch.COOL_ENOUGH_C
                    };
            case EXTRACTOR_NOT_PROVEN, EXTRACTOR_STUCK_PROVEN, AIRFLOW_STUCK_PROVEN ->
                    new double[] {rule.windowS()};
            case FIRE_LIKE ->
                    new double[] {
                        OvenWatch.CONTACTOR_SETTLED_S,
                        OvenWatch.FAN_SETTLED_S,
                        itself,
                        OvenWatch.FIRE_K
                    };
            case RISING_WITH_HEAT_OFF ->
                    new double[] {
                        OvenWatch.HEAT_SETTLED_S,
                        OvenWatch.FAN_SETTLED_S,
                        itself,
                        OvenWatch.RISING_K
                    };
            case AIRFLOW_NOT_PROVEN -> new double[] {itself, itself};
            case AIR_ABOVE_RECIPE_LIMIT -> new double[] {stock.recipeTripK()};
            case RISING_TOO_FAST ->
                    new double[] {
                        oven.riseLimitKPerS() * RiseWatch.WINDOW_S,
                        RiseWatch.WINDOW_S,
                        oven.riseLimitKPerS()
                    };
            case AIR_FROZEN -> new double[] {FrozenWatch.FROZEN_S};
            case AIR_DISAGREES_EXHAUST -> new double[] {itself};
            case HEAT_WITHOUT_RISE ->
                    new double[] {DemandWatch.WINDOW_S, DemandWatch.RISE_K, DemandWatch.WARM_K};
            case HEATED_TOO_LONG -> new double[] {Tuning.LONGEST_S / 3600};
            case HEAT_PAUSED_AIR_WARM ->
                    new double[] {stock.heatStopK(), stock.heatStopK() - LimitWatch.BACK_K};
            case ANOTHER_OVEN_WARMS_FIRST ->
                    new double[] {WarmingTurn.ANSWER_K, WarmingTurn.LONGEST_S};
            case EMERGENCY_STOP,
                    SMOKE,
                    CONTACTOR_WELDED,
                    CONTACTOR_NOT_CLOSING,
                    UNDERVOLTAGE,
                    RESTARTED_TOO_OFTEN,
                    PERMIT_KEY_OFF,
                    HOOD_OPEN,
                    HOOD_NOT_LOCKED,
                    OVER_PRESSURE,
                    CHEST_SENSOR_BAD,
                    BELT_STOPPED,
                    NO_STEAM_AVAILABLE,
                    CURRENT_WITH_HEAT_OFF,
                    HIGH_LIMIT_OPEN,
                    DOOR_OPEN,
                    AIR_SENSOR_BAD,
                    AIR_ABOVE_OVEN_LIMIT,
                    EXHAUST_ABOVE_LIMIT,
                    EXHAUST_SENSOR_BAD,
                    DOOR_NOT_SEEN_OPEN,
                    NO_HEATER_CURRENT ->
                    new double[0];
        };
    }

    @ParameterizedTest
    @EnumSource(Rule.class)
    void theFiguresInTheSentenceAreThoseTheGuardCountsWith(Rule rule) {
        double[] said =
                Pattern.compile("(\\d+(?:\\.\\d+)?) (?:s|h|°C)\\b")
                        .matcher(rule.cause())
                        .results()
                        .mapToDouble(m -> Double.parseDouble(m.group(1)))
                        .toArray();
        double[] counted = figures(rule);
        assertEquals(counted.length, said.length, rule.cause());
        for (int i = 0; i < said.length; i++) {
            if (!Double.isNaN(counted[i])) {
                assertEquals(counted[i], said[i], 1e-9, rule.cause());
            }
        }
    }

    @Test
    void idsAndReasonsStandOnce() {
        assertEquals(
                Rule.values().length,
                new HashSet<>(Arrays.stream(Rule.values()).map(Rule::id).toList()).size());
        assertEquals(
                Rule.values().length,
                new HashSet<>(Arrays.stream(Rule.values()).map(Rule::reason).toList()).size());
    }

    @Test
    void nothingFollowsByItselfThatCouldHurt() {
        for (Rule rule : Rule.values()) {
            if (rule.latch() == Latch.FOLLOWS && rule.opensContactor()) {
                assertEquals(Rule.PERMIT_KEY_OFF, rule);
            }
        }
    }
}
