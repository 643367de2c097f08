package steamleaf.core.interlock;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/**
 * What each watch remembers, at its limits: one step before, at, and after. Times are whole seconds
 * where they can be, so that "at" is exact. A watch that has nothing new stays the same object: the
 * cycle's bytes depend on it.
 */
class WatchesTest {
    private static final UnitId OVEN_1 = UnitId.oven(1);
    private static final double NAN = Double.NaN;

    @Nested
    class OfAFan {
        private final FanWatch off = new FanWatch(false, 100, false);
        private final FanWatch on = new FanWatch(true, 100, false);

        @Test
        void theContactIsProvenOnlyByBeingOpenWithTheFanOff() {
            assertTrue(off.next(false, true, 110).seenOff());
            assertSame(off, off.next(false, false, 110));
            assertSame(on, on.next(true, true, 110), "open contact of a driven fan proves nothing");
            FanWatch seen = new FanWatch(false, 100, true);
            assertSame(seen, seen.next(false, false, 110), "once seen, seen");
            assertTrue(seen.next(true, false, 110).seenOff());
        }

        @Test
        void aChangeOfTheCommandBeginsItsTime() {
            assertEquals(new FanWatch(true, 110, false), off.next(true, true, 110));
            assertEquals(new FanWatch(false, 110, true), on.next(false, true, 110));
            assertEquals(new FanWatch(false, 100, true), off.next(false, true, 110));
        }

        @Test
        void onAndOffAreCountedFromTheirChange() {
            assertFalse(on.onFor(15, 114.9));
            assertTrue(on.onFor(15, 115));
            assertFalse(on.offFor(15, 200));
            assertFalse(off.offFor(60, 159.9));
            assertTrue(off.offFor(60, 160));
            assertFalse(off.onFor(15, 200));
        }
    }

    @Nested
    class OfAHeater {
        private final HeaterWatch on = new HeaterWatch(true, 100, 7, 3, 5);
        private final HeaterWatch off = new HeaterWatch(false, 100, 7, 3, 5);

        @Test
        void secondsOnAddUpOverSwitchings() {
            assertEquals(17, on.onS(110));
            assertEquals(7, off.onS(110));
            assertEquals(new HeaterWatch(false, 110, 17, 4, 5), on.next(false, 5, 110));
            assertEquals(new HeaterWatch(true, 110, 7, 4, 5), off.next(true, 5, 110));
            assertSame(on, on.next(true, 5, 110));
            assertSame(off, off.next(false, 5, 110));
        }

        @Test
        void aNewBatchCountsFromZeroAndIsNoSwitching() {
            assertEquals(new HeaterWatch(true, 110, 0, 3, 6), on.next(true, 6, 110));
            assertEquals(new HeaterWatch(false, 110, 0, 4, 0), on.next(false, 0, 110));
            assertEquals(new HeaterWatch(true, 110, 0, 4, 6), off.next(true, 6, 110));
            assertEquals(
                    new HeaterWatch(false, 100, 0, 3, 6), off.next(false, 6, 110), "off since 100");
        }

        @Test
        void offIsCountedFromTheLastChange() {
            assertFalse(off.offFor(30, 129.9));
            assertTrue(off.offFor(30, 130));
            assertFalse(on.offFor(30, 200));
        }
    }

    @Nested
    class OfACharge {
        @Test
        void aNewChargeIsProvenOnlyByADoorThatWasOpenSinceTheLastOne() {
            ChargeWatch first = new ChargeWatch(1, false, true);
            assertEquals(new ChargeWatch(2, false, false), first.next(2, false));
            assertEquals(new ChargeWatch(2, true, true), first.next(2, true));
            assertEquals(
                    new ChargeWatch(2, false, true), new ChargeWatch(1, true, true).next(2, false));
            assertEquals(
                    new ChargeWatch(0, false, true),
                    new ChargeWatch(1, false, false).next(0, false),
                    "an empty oven needs no proof");
        }

        @Test
        void aDoorSeenOpenProvesTheChargeThatIsThere() {
            assertEquals(
                    new ChargeWatch(1, true, true), new ChargeWatch(1, false, false).next(1, true));
            assertEquals(
                    new ChargeWatch(1, true, true), new ChargeWatch(1, false, true).next(1, true));
            assertEquals(
                    new ChargeWatch(1, true, true), new ChargeWatch(1, true, false).next(1, true));
            ChargeWatch known = new ChargeWatch(1, true, true);
            assertSame(known, known.next(1, true));
            ChargeWatch unproven = new ChargeWatch(1, false, false);
            assertSame(unproven, unproven.next(1, false));
        }
    }

    @Nested
    class OfARise {
        private final RiseWatch from20 = new RiseWatch(100, 20, false);

        @Test
        void asFastAsTheHeaterCanIsNotTooFast() {
            assertSame(from20, from20.next(70, 5, 105), "50 K in the window's length: allowed");
            assertTrue(from20.next(70.1, 5, 105).tooFast());
            assertEquals(new RiseWatch(100, 20, true), from20.next(80, 5, 105));
            RiseWatch fast = new RiseWatch(100, 20, true);
            assertEquals(new RiseWatch(100, 20, false), fast.next(30, 5, 106));
            assertSame(fast, fast.next(90, 5, 106));
        }

        @Test
        void theWindowBeginsAgainWhenItIsOverAndWhenTheAirBecomesKnownOrUnknown() {
            assertSame(from20, from20.next(30, 5, 109.9));
            assertEquals(new RiseWatch(110, 30, false), from20.next(30, 5, 110));
            assertEquals(new RiseWatch(110, 80, true), from20.next(80, 5, 110));
            assertEquals(new RiseWatch(103, NAN, false), from20.next(NAN, 5, 103));
            RiseWatch unknown = new RiseWatch(100, NAN, false);
            assertEquals(new RiseWatch(103, 80, false), unknown.next(80, 5, 103));
            assertSame(unknown, unknown.next(NAN, 5, 103));
        }
    }

    @Nested
    class OfAFrozenValue {
        private final FrozenWatch stands = new FrozenWatch(50, 100, 200, 10);

        @Test
        void aValueIsLookedAtEveryFiveSeconds() {
            assertSame(stands, stands.next(60, 14, 204.9));
            assertEquals(new FrozenWatch(60, 205, 205, 14), stands.next(60, 14, 205));
            assertEquals(new FrozenWatch(50, 100, 205, 10), stands.next(50, 14, 205));
            assertEquals(
                    new FrozenWatch(NAN, 205, 205, 14),
                    new FrozenWatch(NAN, 100, 200, 10).next(NAN, 14, 205),
                    "an unknown value does not stand");
        }

        @Test
        void itIsFrozenAfterTwoMinutesAndFourSwitchings() {
            assertTrue(new FrozenWatch(50, 100, 220, 10).frozen(14));
            assertFalse(new FrozenWatch(50, 100, 219.9, 10).frozen(14));
            assertFalse(new FrozenWatch(50, 100, 220, 10).frozen(13));
        }
    }

    @Nested
    class OfTheRecipesLimit {
        private static final double STOP_K = 2;

        @Test
        void theAirKeepsALimitWhenItIsInsideWithASettledDoor() {
            LimitWatch fresh = new LimitWatch(80, false, false);
            assertTrue(fresh.next(80, 80, STOP_K, true).kept());
            assertFalse(fresh.next(80, 80.1, STOP_K, true).kept());
            assertFalse(fresh.next(80, 70, STOP_K, false).kept());
            assertFalse(fresh.next(80, NAN, STOP_K, true).kept());
        }

        @Test
        void aLoweredLimitIsNotKeptBeforeTheAirWasInside() {
            LimitWatch kept = new LimitWatch(80, true, false);
            assertFalse(kept.next(35, 79, STOP_K, true).kept());
            assertTrue(kept.next(90, 91, STOP_K, true).kept(), "raised");
            assertSame(kept, kept.next(80, 81, STOP_K, true), "left, but it had been kept");
        }

        @Test
        void heatWaitsAboveTheLimitAndComesBackOneDegreeLower() {
            LimitWatch kept = new LimitWatch(80, true, false);
            assertFalse(kept.next(80, 82, STOP_K, true).paused());
            LimitWatch paused = kept.next(80, 82.1, STOP_K, true);
            assertEquals(new LimitWatch(80, true, true), paused);
            assertSame(paused, paused.next(80, 81.1, STOP_K, true));
            assertFalse(paused.next(80, 81, STOP_K, true).paused());
            assertTrue(kept.next(80, NAN, STOP_K, true).paused(), "not a number is not cool");
        }

        @Test
        void nothingNewIsTheSameObject() {
            LimitWatch kept = new LimitWatch(80, true, false);
            assertSame(kept, kept.next(80, 70, STOP_K, true));
            assertNotEquals(kept, kept.next(81, 70, STOP_K, true));
            assertNotEquals(
                    new LimitWatch(80, false, false),
                    new LimitWatch(80, false, false).next(80, 70, STOP_K, true));
        }
    }

    @Nested
    class OfWarmth {
        private final WarmthWatch quiet = new WarmthWatch(true, 1000, 50, 60, 55);

        @Test
        void itKnowsTheWarmestOfThreeBlocks() {
            assertEquals(60, quiet.warmestC());
            assertEquals(70, new WarmthWatch(true, 0, 70, 60, 55).warmestC());
            assertEquals(75, new WarmthWatch(true, 0, 70, 60, 75).warmestC());
            assertEquals(42, WarmthWatch.recalled(42, 0).warmestC());
        }

        @Test
        void aBlockEndsAfterFiveMinutes() {
            assertSame(quiet, quiet.next(true, 50.1, 1299.9));
            assertEquals(new WarmthWatch(true, 1300, 49, 50, 60), quiet.next(true, 49, 1300));
        }

        @Test
        void smallStepsAreNotWorthARecord() {
            assertSame(quiet, quiet.next(true, 50.2, 1100));
            assertEquals(new WarmthWatch(true, 1000, 50.25, 60, 55), quiet.next(true, 50.25, 1100));
            assertSame(quiet, quiet.next(true, 45, 1100));
            assertSame(quiet, quiet.next(true, NAN, 1400));
        }

        @Test
        void whenHeatBeginsAgainTheBlockGoesOn() {
            assertEquals(new WarmthWatch(false, 1000, 50, 60, 55), quiet.next(false, 45, 1100));
            assertEquals(new WarmthWatch(false, 1000, 52, 60, 55), quiet.next(false, 52, 1100));
        }

        @Test
        void whenHeatHasSettledEverythingSoFarLiesBefore() {
            WarmthWatch heated = new WarmthWatch(false, 1000, 80, 60, 55);
            assertEquals(new WarmthWatch(true, 1100, 70, 80, 55), heated.next(true, 70, 1100));
            assertEquals(new WarmthWatch(true, 1100, 82, 82, 55), heated.next(true, 82, 1100));
            WarmthWatch colder = new WarmthWatch(false, 1000, 40, 60, 55);
            assertEquals(new WarmthWatch(true, 1100, 39, 60, 55), colder.next(true, 39, 1100));
            assertSame(heated, heated.next(false, 70, 1100));
        }

        @Test
        void theFirstKnownAirIsTheWarmestSoFar() {
            WarmthWatch unknown = WarmthWatch.recalled(NAN, 0);
            assertSame(unknown, unknown.next(true, NAN, 10));
            assertEquals(new WarmthWatch(true, 10, 30, 30, 30), unknown.next(true, 30, 10));
        }

        @Test
        void onlyWithHeatOffIsWarmerThanEverBeforeAFinding() {
            assertTrue(quiet.exceededBy(6, 66));
            assertFalse(quiet.exceededBy(6, 65.9));
            assertFalse(quiet.exceededBy(6, NAN));
            assertTrue(new WarmthWatch(true, 0, 50, 55, 60).exceededBy(6, 66));
            assertFalse(new WarmthWatch(true, 0, 50, 55, 60).exceededBy(6, 65.9));
            assertFalse(new WarmthWatch(false, 0, 50, 60, 55).exceededBy(6, 99));
        }
    }

    @Nested
    class OfDemand {
        private final DemandWatch window = new DemandWatch(100, 1000, 20, false);

        @Test
        void fullHeatWithoutARiseIsNoAnswer() {
            assertSame(window, window.next(true, 1100, 20.9, 22, 219.9));
            assertEquals(
                    new DemandWatch(225, 1100, 20.9, true), window.next(true, 1100, 20.9, 22, 225));
            assertFalse(
                    window.next(true, 1099.9, 20.9, 22, 225).noAnswer(), "less than four fifths");
            assertTrue(window.next(true, 1100, 20.9, 22, 220).noAnswer());
        }

        @Test
        void aDegreeOfRiseOrWarmAirIsAnAnswer() {
            assertFalse(window.next(true, 1100, 21, 22, 220).noAnswer());
            DemandWatch warm = new DemandWatch(100, 1000, 37, false);
            assertFalse(warm.next(true, 1100, 37, 22, 220).noAnswer());
            assertTrue(warm.next(true, 1100, 36.9, 22, 220).noAnswer());
            assertTrue(warm.next(true, 1100, 37, NAN, 220).noAnswer(), "room assumed at 35 °C");
            DemandWatch hot = new DemandWatch(100, 1000, 50, false);
            assertFalse(hot.next(true, 1100, 50, NAN, 220).noAnswer());
        }

        @Test
        void aWindowThatMeansNothingBeginsAgain() {
            assertEquals(
                    new DemandWatch(105, 1004, 22, false), window.next(false, 1004, 22, 22, 105));
            assertEquals(
                    new DemandWatch(105, 0, 22, false),
                    window.next(true, 0, 22, 22, 105),
                    "a new charge counts from zero");
            assertSame(window, window.next(true, 1000, 22, 22, 105), "heater still off");
            assertEquals(
                    new DemandWatch(105, 1004, 22, false),
                    new DemandWatch(100, 1000, NAN, false).next(true, 1004, 22, 22, 105));
        }

        @Test
        void itBeginsAgainAtMostOnceASecond() {
            assertSame(window, window.next(false, 1000, 22, 22, 100.9));
            assertEquals(
                    new DemandWatch(101, 1000, 22, false), window.next(false, 1000, 22, 22, 101));
            DemandWatch found = new DemandWatch(100, 1000, 20, true);
            assertEquals(
                    new DemandWatch(100.5, 1000, 22, false),
                    found.next(false, 1000, 22, 22, 100.5));
        }
    }

    @Nested
    class OfTheFirstWarming {
        private static final int STARTED = 0b1110;
        private final WarmingTurn second = new WarmingTurn(2, 100, 20, 0b1000);

        @Test
        void theTurnIsOverWhenTheAirHasAnsweredOrTheTimeIsUp() {
            assertSame(second, second.next(STARTED, 25.9, 349.9));
            WarmingTurn free = new WarmingTurn(0, 110, NAN, 0b1100);
            assertEquals(free, second.next(STARTED, 26, 110));
            assertEquals(new WarmingTurn(0, 350, NAN, 0b1100), second.next(STARTED, NAN, 350));
            assertSame(free, free.next(STARTED, 99, 999), "nobody's");
        }

        @Test
        void anOvenThatIsNoLongerStartedHasNotHadItsTurn() {
            assertEquals(new WarmingTurn(0, 110, NAN, 0b1000), second.next(0b1010, 30, 110));
        }

        @Test
        void theFirstHeatTakesTheTurnIfItIsFreeAndNotHadYet() {
            WarmingTurn free = new WarmingTurn(0, 50, NAN, 0b1000);
            assertEquals(new WarmingTurn(1, 60, 22, 0b1000), free.heated(1, 22, 60));
            assertSame(free, free.heated(3, 22, 60), "has had it");
            assertSame(second, second.heated(1, 22, 60), "not free");
        }

        @Test
        void whoMayHeat() {
            assertTrue(second.mayHeat(2) && second.mayHeat(3));
            assertFalse(second.mayHeat(1));
            assertTrue(WarmingTurn.NONE.mayHeat(1));
        }
    }

    @Nested
    class OfTheContactor {
        private final GuardSettings settings = GuardSettings.stock(1);

        private ContactorWatch at(ContactorPhase phase) {
            return new ContactorWatch(phase, 0, NAN, true);
        }

        /** At guard time 0 in a phase that began before it, so that differences are exact. */
        private ContactorPhase after(
                ContactorWatch from, boolean closed, boolean open, boolean down, double inPhaseS) {
            return new ContactorWatch(from.phase(), -inPhaseS, NAN, from.resetUp())
                    .next(true, closed, open, down, !down, settings, 0)
                    .phase();
        }

        @ParameterizedTest
        @EnumSource(ContactorPhase.class)
        void whatMayNotBeClosedIsOpen(ContactorPhase phase) {
            ContactorWatch next = at(phase).next(false, true, true, false, true, settings, 50);
            assertEquals(ContactorPhase.OPEN, next.phase());
        }

        @Test
        void eachPhaseLastsAsLongAsItMust() {
            assertEquals(
                    ContactorPhase.OPEN, after(at(ContactorPhase.OPEN), false, false, false, 9));
            assertEquals(
                    ContactorPhase.RELAY_DROPPING,
                    after(at(ContactorPhase.OPEN), false, true, false, 9));
            double drop = settings.watchdogDropS();
            assertEquals(
                    ContactorPhase.RELAY_DROPPING,
                    after(at(ContactorPhase.RELAY_DROPPING), false, true, false, drop - 0.01));
            assertEquals(
                    ContactorPhase.PROVING_OPEN,
                    after(at(ContactorPhase.RELAY_DROPPING), false, true, false, drop));
            assertEquals(
                    ContactorPhase.PROVING_OPEN,
                    after(at(ContactorPhase.PROVING_OPEN), false, true, false, 0.79));
            assertEquals(
                    ContactorPhase.PULSE_SETTLING,
                    after(at(ContactorPhase.PROVING_OPEN), false, true, false, 0.8));
            assertEquals(
                    ContactorPhase.PROVING_OPEN,
                    after(at(ContactorPhase.PROVING_OPEN), true, false, false, 5));
            double steady = settings.watchdogSteadyS();
            assertEquals(
                    ContactorPhase.PULSE_SETTLING,
                    after(at(ContactorPhase.PULSE_SETTLING), false, true, false, steady - 0.01));
            assertEquals(
                    ContactorPhase.AWAITING_RESET,
                    after(at(ContactorPhase.PULSE_SETTLING), false, true, false, steady));
            assertEquals(
                    ContactorPhase.AWAITING_RESET,
                    after(at(ContactorPhase.AWAITING_RESET), false, true, false, 99));
            assertEquals(
                    ContactorPhase.CLOSING,
                    after(at(ContactorPhase.AWAITING_RESET), false, true, true, 99));
            assertEquals(
                    ContactorPhase.CLOSING,
                    after(at(ContactorPhase.CLOSING), false, true, false, 99));
            assertEquals(
                    ContactorPhase.CLOSED,
                    after(at(ContactorPhase.CLOSING), true, false, false, 99));
            assertEquals(
                    ContactorPhase.CLOSED,
                    after(at(ContactorPhase.CLOSED), true, false, false, 99));
        }

        @Test
        void aResetButtonThatWasNeverSeenReleasedIsNotAPress() {
            ContactorWatch stuck = new ContactorWatch(ContactorPhase.AWAITING_RESET, 0, NAN, false);
            assertEquals(ContactorPhase.AWAITING_RESET, after(stuck, false, true, true, 9));
            ContactorWatch up = stuck.next(true, false, true, false, true, settings, 9);
            assertTrue(up.resetUp());
            assertEquals(ContactorPhase.CLOSING, after(up, false, true, true, 10));
            assertFalse(up.next(true, false, true, true, false, settings, 10).resetUp());
        }

        @Test
        void aPhaseThatStaysKeepsItsTimeAndAChangeBeginsOne() {
            ContactorWatch closing = new ContactorWatch(ContactorPhase.CLOSING, 3, 2, true);
            assertSame(closing, closing.next(true, false, true, false, true, settings, 9));
            assertEquals(
                    new ContactorWatch(ContactorPhase.CLOSING, 3, 2, false),
                    closing.next(true, false, true, true, false, settings, 9));
            assertEquals(
                    new ContactorWatch(ContactorPhase.CLOSED, 9, 2, true),
                    closing.next(true, true, false, false, true, settings, 9));
        }

        @Test
        void provenOpenIsCountedOnlyWithTheCoilOff() {
            ContactorWatch watch = ContactorWatch.starting(0);
            assertSame(watch, watch.seen(false, false, 5));
            assertSame(watch, watch.seen(true, true, 5), "the coil is driven");
            ContactorWatch open = watch.seen(true, false, 5);
            assertEquals(5, open.openSinceS());
            assertSame(open, open.seen(true, false, 8));
            assertEquals(3, open.openForS(8));
            assertTrue(Double.isNaN(open.seen(false, false, 8).openForS(8)));
        }

        @ParameterizedTest
        @CsvSource({
            "OPEN, false, false, true",
            "RELAY_DROPPING, false, true, true",
            "PROVING_OPEN, true, true, true",
            "PULSE_SETTLING, false, false, true",
            "AWAITING_RESET, false, false, true",
            "CLOSING, true, false, false",
            "CLOSED, true, false, false",
        })
        void eachPhaseDrivesWhatItSays(
                ContactorPhase phase, boolean coil, boolean withheld, boolean mustBeOpen) {
            assertEquals(coil, at(phase).coil());
            assertEquals(withheld, at(phase).withholdsPulse());
            assertEquals(mustBeOpen, at(phase).mustBeOpen());
        }
    }

    @Nested
    class OfTheSteamer {
        private double aC = 98;
        private double bC = 97;
        private boolean proven = true;

        private Readings readings() {
            return new Readings.Collector(1)
                    .set(UnitId.STEAMER, Quantity.CHEST_A_C, aC, Quality.GOOD)
                    .set(UnitId.STEAMER, Quantity.CHEST_B_C, bC, Quality.GOOD)
                    .set(UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN, proven)
                    .build();
        }

        private WantedOutputs driven(boolean valve, boolean second, boolean extractor) {
            WantedOutputs off = WantedOutputs.off(1);
            return new WantedOutputs(false, valve, second, false, 0, extractor, false, off.ovens());
        }

        private SteamerWatch next(SteamerWatch from, boolean extractor, double nowS) {
            return from.next(readings(), driven(false, false, extractor), nowS);
        }

        private SteamerWatch watch(double valveSinceS, double fromS, double fromC, boolean stuck) {
            FanWatch extractor = new FanWatch(true, 0, true);
            return new SteamerWatch(false, valveSinceS, fromS, fromC, stuck, extractor, NAN, false);
        }

        @ParameterizedTest
        @CsvSource({"true, false", "false, true", "true, true"})
        void eitherValveIsSteam(boolean valve, boolean second) {
            SteamerWatch on =
                    watch(0, 5, 90, true).next(readings(), driven(valve, second, true), 50);
            assertEquals(
                    new SteamerWatch(
                            true, 50, NAN, NAN, false, new FanWatch(true, 0, true), NAN, false),
                    on);
            assertSame(on, on.next(readings(), driven(valve, second, true), 60));
            SteamerWatch closed = next(on, true, 70);
            assertFalse(closed.valveOn());
            assertEquals(70, closed.valveSinceS());
        }

        @Test
        void coolingIsJudgedAfterTheChestHasDrained() {
            SteamerWatch closed = watch(100, NAN, NAN, false);
            assertSame(closed, next(closed, true, 129.9));
            SteamerWatch drained = next(closed, true, 130);
            assertEquals(130, drained.coolFromS());
            assertEquals(98, drained.coolFromC(), "the warmer one");
            bC = 99;
            assertEquals(99, next(closed, true, 130).coolFromC());
        }

        @Test
        void aChestThatFellByLessThanThreeDegreesIsNotCooling() {
            SteamerWatch window = watch(0, 100, 98, false);
            aC = bC = 95.1;
            assertSame(window, next(window, true, 279.9));
            SteamerWatch stuck = next(window, true, 280);
            assertTrue(stuck.notCooling());
            assertEquals(280, stuck.coolFromS());
            assertEquals(95.1, stuck.coolFromC());
            aC = bC = 95;
            assertFalse(next(window, true, 280).notCooling());
        }

        @Test
        void aCoolChestNeedNotCool() {
            SteamerWatch window = watch(0, 100, 70, true);
            aC = bC = 70;
            assertFalse(next(window, true, 280).notCooling());
            aC = 70.1;
            assertTrue(next(window, true, 280).notCooling());
        }

        @Test
        void anUnknownChestBeginsTheWindowAgainAndKeepsWhatWasFound() {
            aC = NAN;
            SteamerWatch next = next(watch(0, 100, 98, true), true, 150);
            assertTrue(Double.isNaN(next.coolFromS()) && Double.isNaN(next.coolFromC()));
            assertTrue(next.notCooling());
            assertFalse(next(watch(0, 100, 98, false), true, 150).notCooling());
        }

        @Test
        void ventingNeedsBothSensorsCoolAndTheExtractorProven() {
            aC = bC = 59.9;
            SteamerWatch hot = watch(0, NAN, NAN, false);
            assertEquals(20, next(hot, true, 20).ventingSinceS());
            aC = 60;
            assertTrue(Double.isNaN(next(hot, true, 20).ventingSinceS()));
            aC = 59.9;
            bC = 60;
            assertTrue(Double.isNaN(next(hot, true, 20).ventingSinceS()));
            bC = 59.9;
            proven = false;
            assertTrue(Double.isNaN(next(hot, true, 20).ventingSinceS()));
            proven = true;
            assertTrue(Double.isNaN(next(hot, false, 20).ventingSinceS()), "not driven");
            SteamerWatch neverSeenOff =
                    new SteamerWatch(
                            false, 0, NAN, NAN, false, new FanWatch(true, 0, false), NAN, false);
            assertTrue(Double.isNaN(next(neverSeenOff, true, 20).ventingSinceS()));
            SteamerWatch steaming = hot.next(readings(), driven(true, false, true), 20);
            assertTrue(Double.isNaN(steaming.ventingSinceS()));
        }

        @Test
        void tenSecondsOfVentingAreVentedAndStayVentedUntilSteamComes() {
            aC = bC = 40;
            SteamerWatch venting =
                    new SteamerWatch(
                            false, 0, 15, 40, false, new FanWatch(true, 0, true), 20, false);
            assertSame(venting, next(venting, true, 29.9));
            assertFalse(venting.mayUnlock());
            SteamerWatch vented = next(venting, true, 30);
            assertTrue(vented.vented() && vented.mayUnlock());
            aC = 61;
            SteamerWatch warm = next(vented, true, 31);
            assertTrue(warm.vented());
            assertFalse(warm.mayUnlock(), "warm now");
            aC = 40;
            assertTrue(next(warm, true, 32).mayUnlock(), "no steam came meanwhile");
            assertFalse(vented.next(readings(), driven(true, false, true), 31).vented());
        }

        @Test
        void theExtractorsContactIsWatched() {
            proven = false;
            SteamerWatch fresh = SteamerWatch.starting(0);
            SteamerWatch seen = next(fresh, false, 5);
            assertTrue(seen.extractor().seenOff());
            assertFalse(seen.mayUnlock());
        }

        @Test
        void aClosedValveIsCountedFromItsChange() {
            SteamerWatch closed = watch(100, NAN, NAN, false);
            assertFalse(closed.valveOffFor(60, 159.9));
            assertTrue(closed.valveOffFor(60, 160));
            SteamerWatch open =
                    new SteamerWatch(
                            true, 100, NAN, NAN, false, new FanWatch(true, 0, true), NAN, false);
            assertFalse(open.valveOffFor(60, 500));
        }
    }

    @Nested
    class OfAnOven {
        private double airC = 80;
        private boolean closed = true;
        private double openForS = NAN;
        private boolean heater = true;
        private boolean fan = true;
        private long charge = 4;
        private long batch = 5;

        private OvenWatch next(OvenWatch from, double nowS) {
            Readings readings =
                    new Readings.Collector(1)
                            .set(OVEN_1, Quantity.AIR_C, airC, Quality.GOOD)
                            .set(OVEN_1, Quantity.DOOR_CLOSED, closed)
                            .set(OVEN_1, Quantity.AIRFLOW_PROVEN, fan)
                            .set(UnitId.LINE, Quantity.ROOM_C, 22, Quality.GOOD)
                            .build();
            return from.next(
                    OVEN_1,
                    readings,
                    new OvenOutputs(heater, fan, 0),
                    openForS,
                    new OvenActivity(charge, batch),
                    85,
                    5,
                    2,
                    nowS);
        }

        private OvenWatch watch(boolean heaterOn, double heaterSinceS, double fanSinceS) {
            return new OvenWatch(
                    new FanWatch(true, fanSinceS, true),
                    new HeaterWatch(heaterOn, heaterSinceS, 0, 1, 5),
                    new ChargeWatch(4, true, true),
                    0,
                    new RiseWatch(495, 80, false),
                    new DemandWatch(450, 0, 80, false),
                    new FrozenWatch(79, 0, 499, 0),
                    new WarmthWatch(false, 490, 80, 80, 80),
                    new WarmthWatch(false, 490, 80, 80, 80),
                    new LimitWatch(85, true, false));
        }

        @Test
        void withNothingNewItIsTheSameObject() {
            OvenWatch watch = watch(true, 400, 0);
            assertSame(watch, next(watch, 500));
        }

        @Test
        void everyPartThatChangesMakesANewOne() {
            OvenWatch watch = watch(true, 400, 0);
            fan = false;
            assertFalse(next(watch, 500).fan().on());
            fan = true;
            heater = false;
            assertFalse(next(watch, 500).heater().on());
            heater = true;
            charge = 5;
            assertEquals(5, next(watch, 500).charge().charge());
            charge = 4;
            batch = 6;
            assertEquals(6, next(watch, 500).heater().batch());
            batch = 5;
            closed = false;
            assertTrue(Double.isNaN(next(watch, 500).doorClosedSinceS()));
            closed = true;
            airC = 140;
            assertTrue(next(watch, 500).rise().tooFast());
            airC = 80;
            assertEquals(504, next(watch, 504).frozen().sampledAtS());
            assertEquals(570, next(watch, 570).demand().atS());
            airC = 87.1;
            assertTrue(next(watch, 500).limit().paused());
            assertEquals(87.1, next(watch, 500).heatOff().blockC());
            assertEquals(87.1, next(watch, 500).contactorOpen().blockC());
        }

        @Test
        void eachPartAloneMakesANewOne() {
            // parts that always come together in a step are told apart by what else is new: nothing
            OvenWatch closedDoor = watch(true, 400, 0);
            closed = false;
            OvenWatch open = next(closedDoor, 500);
            assertTrue(Double.isNaN(open.doorClosedSinceS()));
            closed = true;
            assertEquals(501, next(open, 501).doorClosedSinceS());
            openForS = 20;
            assertTrue(next(closedDoor, 500).contactorOpen().quiet());
            openForS = NAN;
            OvenWatch off = watch(false, 470, 0);
            heater = false;
            assertTrue(next(off, 500).heatOff().quiet());
        }

        @ParameterizedTest
        @ValueSource(doubles = {469.9, 470})
        void heatIsQuietThirtySecondsAfterTheHeater(double heaterSinceS) {
            heater = false;
            // 500 − 470 is 30
            OvenWatch next = next(watch(false, heaterSinceS, 0), 499.95);
            assertEquals(heaterSinceS < 470, next.heatOff().quiet());
        }

        @Test
        void heatIsQuietOnlyAMinuteAfterTheFan() {
            heater = false;
            assertTrue(next(watch(false, 0, 440), 500).heatOff().quiet());
            assertFalse(next(watch(false, 0, 440.1), 500).heatOff().quiet());
            assertFalse(next(watch(true, 0, 0), 500).heatOff().quiet(), "switched off just now");
        }

        @Test
        void theContactorIsQuietTwentySecondsAfterItWasProvenOpen() {
            openForS = 20;
            assertTrue(next(watch(true, 0, 440), 500).contactorOpen().quiet());
            openForS = 19.9;
            assertFalse(next(watch(true, 0, 440), 500).contactorOpen().quiet());
            openForS = 20;
            assertFalse(next(watch(true, 0, 440.1), 500).contactorOpen().quiet());
        }

        @Test
        void whatHasRisenKeepsCountingWhenTheFanStops() {
            OvenWatch settled = watch(false, 0, 0);
            OvenWatch risen =
                    new OvenWatch(
                            new FanWatch(true, 490, true),
                            settled.heater(),
                            settled.charge(),
                            0,
                            settled.rise(),
                            settled.demand(),
                            settled.frozen(),
                            new WarmthWatch(true, 490, 80, 74, 74),
                            new WarmthWatch(true, 490, 80, 70, 70),
                            settled.limit());
            heater = false;
            openForS = 30;
            OvenWatch next = next(risen, 500);
            assertTrue(next.heatOff().quiet());
            assertTrue(next.contactorOpen().quiet());
            airC = 79.9;
            next = next(risen, 500);
            assertFalse(next.heatOff().quiet());
            assertFalse(next.contactorOpen().quiet());
        }

        @Test
        void demandIsSteadyWithTheDoorShutTheFanOnTheContactorClosedAndTheHeaterLatelyOn() {
            OvenWatch watch = watch(true, 400, 0);
            assertSame(watch.demand(), next(watch, 500).demand(), "the window goes on");
            fan = false;
            assertEquals(500, next(watch, 500).demand().atS());
            fan = true;
            closed = false;
            assertEquals(500, next(watch, 500).demand().atS());
            closed = true;
            openForS = 1;
            assertEquals(500, next(watch, 500).demand().atS());
            openForS = NAN;
            heater = false;
            assertSame(watch.demand(), next(watch, 500).demand(), "off for no time yet");
            assertEquals(500, next(watch(false, 470, 0), 500).demand().atS());
            OvenWatch lately = watch(false, 470.1, 0);
            assertSame(lately.demand(), next(lately, 500).demand());
        }

        @Test
        void theDoorSettlesTwoMinutesAfterItWasShut() {
            OvenWatch watch = watch(true, 400, 0);
            OvenWatch shut =
                    new OvenWatch(
                            watch.fan(),
                            watch.heater(),
                            watch.charge(),
                            380,
                            watch.rise(),
                            watch.demand(),
                            watch.frozen(),
                            watch.heatOff(),
                            watch.contactorOpen(),
                            new LimitWatch(85, false, false));
            assertTrue(next(shut, 500).limit().kept());
            assertFalse(next(shut, 499.9).limit().kept());
        }

        @Test
        void aShutDoorIsCountedFromItsShutting() {
            OvenWatch watch = watch(true, 400, 0);
            assertTrue(next(watch, 500).doorClosedFor(500, 500));
            assertFalse(next(watch, 500).doorClosedFor(500, 499.9));
            closed = false;
            OvenWatch open = next(watch, 500);
            closed = true;
            assertTrue(next(open, 510).doorClosedFor(10, 520));
            assertFalse(next(open, 510).doorClosedFor(10, 519.9));
            closed = false;
            assertFalse(next(watch, 500).doorClosedFor(0, 500), "open");
        }

        @Test
        void aStartRecallsTheChargeAndNothingElse() {
            OvenWatch start =
                    OvenWatch.starting(new GuardState.KeptOven(0, 55, true, false, 61, 4L), 7);
            assertEquals(new HeaterWatch(false, 7, 55, 0, 4), start.heater());
            assertEquals(new ChargeWatch(0, true, false), start.charge());
            assertEquals(61, start.heatOff().warmestC());
            assertEquals(61, start.contactorOpen().warmestC());
            assertFalse(start.fan().seenOff());
            assertTrue(Double.isNaN(start.doorClosedSinceS()));
        }

        @Test
        void heatThatWasKeptByChargeIsItsBatchs() {
            OvenWatch start =
                    OvenWatch.starting(new GuardState.KeptOven(4, 55, true, false, 61, null), 7);
            assertEquals(new HeaterWatch(false, 7, 55, 0, 4), start.heater());
        }
    }
}
