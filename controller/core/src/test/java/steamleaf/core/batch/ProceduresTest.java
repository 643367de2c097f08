package steamleaf.core.batch;

import static java.util.Objects.requireNonNull;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static steamleaf.core.batch.SmallLine.OVEN_1;
import static steamleaf.core.batch.SmallLine.OVEN_2;
import static steamleaf.core.batch.SmallLine.moved;
import static steamleaf.core.batch.SmallLine.refused;

import java.util.List;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.core.estimate.FreshnessClock;
import steamleaf.core.learn.Learned;
import steamleaf.core.reading.UnitId;

class ProceduresTest {
    private final SmallLine line = new SmallLine();

    private static final double NIGHT_S = 14 * 3600.0;

    private void started(UnitId oven) {
        line.plan(oven, "standard", 5.0);
        line.start(oven);
    }

    private void drying() {
        started(OVEN_1);
        untilDrying();
    }

    private void untilDrying() {
        line.runUntil(
                "drying",
                3600,
                () -> {
                    line.serve(OVEN_1);
                    return line.batch(OVEN_1).phase() instanceof Phase.Drying
                            && line.heatPermitted[0];
                });
    }

    private void untilSampleAsked(double withinS) {
        line.runUntil(
                "sample",
                withinS,
                () -> {
                    if (line.asks(OVEN_1, PromptKind.HAND_SAMPLE)) {
                        return true;
                    }
                    line.serve(OVEN_1);
                    return false;
                });
    }

    private Batch steaming() {
        return requireNonNull(line.floor.inSteamer());
    }

    private boolean happened(Predicate<Event> what) {
        return line.events.stream().anyMatch(what);
    }

    private long count(Predicate<Event> what) {
        return line.events.stream().filter(what).count();
    }

    // ---- the whole way

    @ParameterizedTest
    @ValueSource(strings = {"light", "standard", "deep"})
    void everyStockRecipeRunsFromLeafToPackedLot(String recipe) {
        line.plan(OVEN_1, recipe, 5.0);
        line.start(OVEN_1);

        line.runWithHands(OVEN_1, NIGHT_S);

        assertNull(line.floor.batch(OVEN_1), line::story);
        assertTrue(happened(event -> event instanceof Event.BatchCompleted), line::story);
        List<OperationKind> ended =
                line.events.stream()
                        .filter(event -> event instanceof Event.OperationEnded)
                        .map(event -> ((Event.OperationEnded) event).kind())
                        .toList();
        assertEquals(
                List.of(
                        OperationKind.STEAM,
                        OperationKind.COOL,
                        OperationKind.DRY,
                        OperationKind.ROLL,
                        OperationKind.DRY,
                        OperationKind.SHAPE,
                        OperationKind.DRY,
                        OperationKind.REST,
                        OperationKind.DRY,
                        OperationKind.COOL,
                        OperationKind.WEIGH,
                        OperationKind.PACK),
                ended,
                line::story);
        assertFalse(happened(event -> event instanceof Event.BatchHeld), line::story);
    }

    @Test
    void dryingEndsAtTheMoistureOfTheRecipe() {
        started(OVEN_1);
        line.runWithHands(OVEN_1, NIGHT_S);

        List<Double> ends =
                line.events.stream()
                        .filter(event -> event instanceof Event.OperationEnded)
                        .map(event -> (Event.OperationEnded) event)
                        .filter(event -> event.kind() == OperationKind.DRY)
                        .map(Event.OperationEnded::moisture)
                        .toList();
        double[] wanted = {0.50, 0.25, 0.13, 0.05};
        for (int i = 0; i < wanted.length; i++) {
            assertTrue(ends.get(i) <= wanted[i] && ends.get(i) > wanted[i] - 0.001, line::story);
        }
    }

    @Test
    void theLastDryingEndsWhereTheEstimateAimsAndSaysWhy() {
        started(OVEN_1);
        line.deviation[0] = 0.005;
        line.runUntil(
                "the last drying",
                NIGHT_S,
                () -> {
                    line.serve(OVEN_1);
                    Batch batch = line.floor.batch(OVEN_1);
                    return batch != null
                            && batch.operation() instanceof Operation.Dry dry
                            && dry.endMoisture() < 0.1;
                });
        line.aim = 0.055;
        line.runWithHands(OVEN_1, NIGHT_S);

        List<Event.Landed> landed =
                line.events.stream()
                        .filter(event -> event instanceof Event.Landed)
                        .map(event -> (Event.Landed) event)
                        .toList();
        assertEquals(1, landed.size(), line::story);
        assertEquals(0.055, landed.getFirst().moisture(), 0.001);
        assertEquals(EndPoint.Why.UNSURE, landed.getFirst().endPoint().why());
    }

    @Test
    void twoBatchesShareTheSteamerOneAfterTheOther() {
        started(OVEN_1);
        started(OVEN_2);
        line.runUntil(
                "both warm",
                1800,
                () ->
                        line.asks(OVEN_1, PromptKind.STEAM_READY)
                                && line.asks(OVEN_2, PromptKind.STEAM_READY));

        line.press(Button.CONFIRM);
        assertTrue(
                happened(
                        event ->
                                event instanceof Event.PressRefused refused
                                        && refused.reason() == Refusal.SEVERAL_PROMPTS));
        moved(line.arm(OVEN_2, ArmedAction.CONFIRM));
        line.press(Button.CONFIRM);
        assertEquals(OVEN_2, steaming().oven());
        moved(line.arm(OVEN_1, ArmedAction.CONFIRM));
        line.press(Button.CONFIRM);

        assertEquals(OVEN_2, steaming().oven(), "still the first one's");
        assertInstanceOf(Phase.AwaitingPerson.class, line.batch(OVEN_1).phase());
    }

    @Test
    void aPressAnswersTheOnePromptThatCanBeAnsweredNow() {
        drying();
        started(OVEN_2);
        line.runUntil("turn", 3600, () -> line.asks(OVEN_1, PromptKind.TURN));
        line.runUntil("warm", 290, () -> line.asks(OVEN_2, PromptKind.STEAM_READY));
        assertTrue(line.asks(OVEN_1, PromptKind.TURN), "its door was not opened yet");
        line.press(Button.CONFIRM);

        assertInstanceOf(Phase.HeatingChest.class, line.batch(OVEN_2).phase());
        assertTrue(line.asks(OVEN_1, PromptKind.TURN));
    }

    // ---- starting

    @Test
    void aPlanDoesNotHeatBeforeThePressAtTheMachine() {
        line.plan(OVEN_1, "standard", 5.0);
        moved(line.arm(OVEN_1, ArmedAction.START));
        line.run(5);

        assertEquals(ProcedureState.PLANNED, line.batch(OVEN_1).state());
        assertFalse(Wishes.oven(line.batch(OVEN_1)).heat());
    }

    @Test
    void anArmedStartLapsesAfterTenSeconds() {
        line.plan(OVEN_1, "standard", 5.0);
        moved(line.arm(OVEN_1, ArmedAction.START));
        line.run(10);
        line.press(Button.START); // in the first moment that is too late

        assertEquals(ProcedureState.PLANNED, line.batch(OVEN_1).state());
        assertTrue(happened(event -> event instanceof Event.ArmingLapsed));
    }

    @Test
    void aButtonThatIsStuckOnStartsNothing() {
        line.pressed.add(Button.START);
        line.plan(OVEN_1, "standard", 5.0);
        line.run(12);
        moved(line.arm(OVEN_1, ArmedAction.START));
        line.run(5);

        assertEquals(ProcedureState.PLANNED, line.batch(OVEN_1).state());
        assertTrue(
                happened(
                        event ->
                                event instanceof Event.ButtonStuck(Button button)
                                        && button == Button.START));
    }

    @Test
    void aButtonThatWasOnAtTheStartOfTheProgramIsNoPress() {
        assertFalse(Buttons.Seen.UNKNOWN.then(true, false, 1.0).isPressAfter(Buttons.Seen.UNKNOWN));
        Buttons.Seen on = Buttons.Seen.UNKNOWN.then(true, false, 1.0);
        Buttons.Seen bad = on.then(false, false, 2.0);
        assertFalse(bad.then(true, false, 3.0).isPressAfter(bad), "bad quality is not released");
    }

    @Test
    void nothingStartsWhileThePermissivesAreNotGood() {
        line.plan(OVEN_1, "standard", 5.0);
        line.blockedBy = "permit-key-off";

        Answer answer = line.arm(OVEN_1, ArmedAction.START);

        assertEquals(Refusal.NOT_PERMITTED, refused(answer));
        assertEquals("permit-key-off", ((Answer.Refused) answer).subject());
    }

    @Test
    void steamWaitsForAWarmOvenAndAPerson() {
        started(OVEN_1);
        assertInstanceOf(Phase.Warming.class, line.batch(OVEN_1).phase());
        line.runUntil("warm", 1800, () -> line.asks(OVEN_1, PromptKind.STEAM_READY));
        line.run(120);

        assertFalse(
                Wishes.steamer(line.floor.inSteamer(), line.settings.steamer()).steam(),
                "nobody was there");
        assertEquals(
                Refusal.NEEDS_MACHINE, refused(line.answer(OVEN_1, PromptKind.STEAM_READY, null)));
        line.press(Button.CONFIRM);
        assertInstanceOf(Phase.HeatingChest.class, line.batch(OVEN_1).phase());
    }

    @Test
    void aPanelBoundAsAtTheMachineIsTheButton() {
        line.plan(OVEN_1, "standard", 5.0);
        Stamp stamp = new Stamp("p1", "Aki", true, line.cycle, ProcedureState.PLANNED);
        moved(line.tell(new Command.Arm(stamp, OVEN_1, ArmedAction.START)));

        assertEquals(ProcedureState.RUNNING, line.batch(OVEN_1).state());
    }

    @Test
    void theBeltCarriesTheLeafThroughInTheDwellOfTheRecipe() {
        assertEquals(800.0 / 50.0, beltWhenFed(), 1e-12);
    }

    @Test
    void theEnzymeFloorComesBeforeTheStyleButNotBeforeTheRecipesLongestDwell() {
        line.dwellToFloorS = 53.5;
        assertEquals(800.0 / 53.5, beltWhenFed(), 1e-12);
    }

    @Test
    void aFloorThatIsOutOfReachGetsTheLongestDwell() {
        line.dwellToFloorS = Double.NaN;
        assertEquals(800.0 / 60.0, beltWhenFed(), 1e-12);
    }

    private double beltWhenFed() {
        started(OVEN_1);
        line.runUntil(
                "feed",
                3600,
                () -> {
                    if (line.asks(OVEN_1, PromptKind.STEAM_READY)) {
                        line.press(Button.CONFIRM);
                    }
                    return line.asks(OVEN_1, PromptKind.FEED);
                });
        return Wishes.steamer(line.floor.inSteamer(), line.settings.steamer()).beltMmPerS();
    }

    @Test
    void ripenessMovesTheDwellInsideTheStylesRange() {
        Stock stock = Stock.EMPTY;
        for (Ripeness ripeness : Ripeness.values()) {
            stock =
                    stock.takingIn(
                            new Lot(
                                    ripeness.name(),
                                    "",
                                    "",
                                    "",
                                    0,
                                    ripeness,
                                    false,
                                    0.0,
                                    20.0,
                                    1000,
                                    1000,
                                    1.0,
                                    ""),
                            java.util.Set.of());
        }
        Recipe recipe = StockRecipes.standard();
        assertEquals(42.5, Recipes.dwellS(recipe, stock, List.of(new Portion("TENDER", 1))));
        assertEquals(50.0, Recipes.dwellS(recipe, stock, List.of(new Portion("MEDIUM", 1))));
        assertEquals(57.5, Recipes.dwellS(recipe, stock, List.of(new Portion("MATURE", 1))));
        assertEquals(
                50.0,
                Recipes.dwellS(
                        recipe,
                        stock,
                        List.of(new Portion("TENDER", 0.5), new Portion("MATURE", 0.5))),
                1e-9);
    }

    @Test
    void thePressOfResetThatTheRelayNeedsIsAskedFor() {
        started(OVEN_1);
        line.waitsForReset = true;
        line.run(2);
        assertTrue(line.asks(OVEN_1, PromptKind.PRESS_RESET));
        assertEquals(
                Refusal.NEEDS_MACHINE, refused(line.answer(OVEN_1, PromptKind.PRESS_RESET, null)));
        line.waitsForReset = false;
        line.run(2);
        assertFalse(line.asks(OVEN_1, PromptKind.PRESS_RESET));
    }

    // ---- doors and turning

    @Test
    void closingTheDoorDoesNotHeatAgainAPressAtTheMachineDoes() {
        drying();
        line.openAndShut(OVEN_1);
        line.run(20);
        assertFalse(line.heatPermitted[0]);
        assertTrue(line.asks(OVEN_1, PromptKind.PRESS_CONFIRM), line::story);

        line.press(Button.CONFIRM);
        assertTrue(line.heatPermitted[0]);
        assertFalse(line.asks(OVEN_1, PromptKind.PRESS_CONFIRM));
        assertEquals(ProcedureState.RUNNING, line.batch(OVEN_1).state());
    }

    @Test
    void aDoorThatCannotBeBelievedIsNotClosed() {
        drying();
        line.openAndShut(OVEN_1);
        line.doorUnknown = true;
        line.press(Button.CONFIRM);
        assertFalse(line.heatPermitted[0]);
    }

    @Test
    void traysCountAsTurnedOnlyAfterTheDoorWasSeenOpen() {
        drying();
        line.runUntil("turn", 3600, () -> line.asks(OVEN_1, PromptKind.TURN));
        assertEquals(
                Refusal.DOOR_NOT_SEEN_OPEN, refused(line.answer(OVEN_1, PromptKind.TURN, null)));

        line.openAndShut(OVEN_1);
        line.press(Button.CONFIRM);
        assertFalse(line.asks(OVEN_1, PromptKind.TURN));
        assertTrue(line.leafActions.stream().anyMatch(a -> a instanceof LeafAction.Turned));
    }

    @Test
    void leafIsNotLoadedThroughAClosedDoor() {
        started(OVEN_1);
        line.runUntil(
                "load",
                3600,
                () -> {
                    if (line.asks(OVEN_1, PromptKind.STEAM_READY)
                            || line.asks(OVEN_1, PromptKind.FEED)) {
                        line.press(Button.CONFIRM);
                    }
                    return line.asks(OVEN_1, PromptKind.COOL_AND_LOAD);
                });
        assertEquals(
                Refusal.DOOR_NOT_SEEN_OPEN,
                refused(line.answer(OVEN_1, PromptKind.COOL_AND_LOAD, 4.0)));
        line.open[0] = true;
        line.run(5);
        assertEquals(
                Refusal.DOOR_NOT_CLOSED,
                refused(line.answer(OVEN_1, PromptKind.COOL_AND_LOAD, 4.0)));
        line.open[0] = false;
        line.run(5);
        moved(line.answer(OVEN_1, PromptKind.COOL_AND_LOAD, 4.0));
        assertEquals(4.0, line.batch(OVEN_1).charge().latestKg());
    }

    @Test
    void anUnansweredTurnDoesNotStopTheDrying() {
        drying();
        line.runUntil("turn", 3600, () -> line.asks(OVEN_1, PromptKind.TURN));
        line.run(400);

        assertTrue(happened(event -> event instanceof Event.NotTurned), line::story);
        assertEquals(ProcedureState.RUNNING, line.batch(OVEN_1).state());
    }

    @Test
    void aDoorLeftOpenHoldsTheBatch() {
        drying();
        line.open[0] = true;
        line.run(700);

        assertEquals(ProcedureState.HELD, line.batch(OVEN_1).state());
        assertEquals(HeldCause.DOOR_LEFT_OPEN, line.batch(OVEN_1).procedure().heldCause());
    }

    // ---- held, stopped, aborted

    @Test
    void heldWetLeafIsAiredWithoutHeatAndTakenOutAfterTwentyMinutes() {
        drying();
        moved(line.tell(new Command.Hold(line.stamp(null), OVEN_1)));
        OvenWish wish = Wishes.oven(line.batch(OVEN_1));
        assertFalse(wish.heat());
        assertTrue(wish.fan());
        assertEquals(1.0, wish.damper());
        assertFalse(line.heatPermitted[0], "the guard was told");
        assertTrue(line.asks(OVEN_1, PromptKind.RESUME_OR_ABORT));

        line.run(1190);
        assertFalse(line.asks(OVEN_1, PromptKind.TAKE_OUT_AND_SPREAD));
        line.run(20);
        assertTrue(line.asks(OVEN_1, PromptKind.TAKE_OUT_AND_SPREAD));
        moved(line.answer(OVEN_1, PromptKind.TAKE_OUT_AND_SPREAD, null));
        assertEquals(Place.BENCH, line.batch(OVEN_1).charge().place());
    }

    @Test
    void aHeldBatchGoesOnWhereItWasAfterAPressAtTheMachine() {
        drying();
        Phase phase = line.batch(OVEN_1).phase();
        moved(line.tell(new Command.Hold(line.stamp(null), OVEN_1)));
        line.run(60);
        moved(line.arm(OVEN_1, ArmedAction.RESUME));
        line.press(Button.START);

        assertEquals(ProcedureState.RUNNING, line.batch(OVEN_1).state());
        assertEquals(phase, line.batch(OVEN_1).phase());
        assertTrue(line.heatPermitted[0]);
        assertFalse(line.asks(OVEN_1, PromptKind.RESUME_OR_ABORT));
    }

    @Test
    void afterAResumePeopleGetTheirTimeAgain() {
        started(OVEN_1);
        line.runUntil("warm", 1800, () -> line.asks(OVEN_1, PromptKind.STEAM_READY));
        line.run(1900);
        assertEquals(HeldCause.NOBODY_CAME, line.batch(OVEN_1).procedure().heldCause());
        moved(line.arm(OVEN_1, ArmedAction.RESUME));
        line.press(Button.START);
        line.run(600);
        assertEquals(ProcedureState.RUNNING, line.batch(OVEN_1).state(), line::story);
    }

    @Test
    void leafThatNobodyTookOutMayStillBeTakenOutAfterTheResume() {
        drying();
        line.runUntil(
                "held",
                NIGHT_S,
                () -> {
                    if (!line.asks(OVEN_1, PromptKind.TAKE_OUT)) {
                        line.serve(OVEN_1);
                    }
                    return line.batch(OVEN_1).isIn(ProcedureState.HELD);
                });
        moved(line.arm(OVEN_1, ArmedAction.RESUME));
        line.press(Button.START);
        line.run(300);
        assertEquals(ProcedureState.RUNNING, line.batch(OVEN_1).state(), line::story);
        line.serve(OVEN_1);
        assertInstanceOf(Phase.Working.class, line.batch(OVEN_1).phase());
    }

    @Test
    void leafThatWasSpreadGoesBackBeforeItDriesOn() {
        drying();
        moved(line.tell(new Command.Hold(line.stamp(null), OVEN_1)));
        line.run(1300);
        moved(line.answer(OVEN_1, PromptKind.TAKE_OUT_AND_SPREAD, null));
        moved(line.arm(OVEN_1, ArmedAction.RESUME));
        line.press(Button.START);

        assertTrue(line.asks(OVEN_1, PromptKind.PUT_BACK), line::story);
        line.serve(OVEN_1);
        assertInstanceOf(Phase.Drying.class, line.batch(OVEN_1).phase());
        assertTrue(line.heatPermitted[0]);
    }

    @Test
    void aTripHoldsTheBatchThatWantsTheHeat() {
        drying();
        line.tripped.add(OVEN_1);
        line.run(2);
        assertEquals(HeldCause.TRIPPED, line.batch(OVEN_1).procedure().heldCause());
    }

    @Test
    void wetLeafThatNobodyTakesOutIsHeld() {
        drying();
        line.runUntil(
                "take out",
                NIGHT_S,
                () -> {
                    if (!line.asks(OVEN_1, PromptKind.TAKE_OUT)) {
                        line.serve(OVEN_1);
                    }
                    return line.asks(OVEN_1, PromptKind.TAKE_OUT);
                });
        line.run(16 * 60);
        assertEquals(HeldCause.NOBODY_CAME, line.batch(OVEN_1).procedure().heldCause());
        assertTrue(Wishes.oven(line.batch(OVEN_1)).fan());
    }

    @Test
    void stopIsNeverRefusedHoweverOldOrRepeated() {
        drying();
        Stamp old = new Stamp("old", "Aki", false, -1_000_000, null);
        moved(line.tell(new Command.Stop(old, UnitId.LINE)));
        assertEquals(ProcedureState.STOPPED, line.batch(OVEN_1).state());
        assertTrue(line.last.stops().contains(UnitId.LINE));
        moved(line.tell(new Command.Stop(old, UnitId.LINE)));
        assertTrue(line.last.stops().contains(UnitId.LINE), "again");
    }

    /** The guard records them in this order, and the same cycle must give the same record. */
    @Test
    void severalStopsInOneCycleStayInTheOrderTheyWereAsked() {
        List<UnitId> asked = List.of(UnitId.oven(2), UnitId.STEAMER, UnitId.LINE, OVEN_1);
        Command[] stops =
                asked.stream()
                        .map(unit -> new Command.Stop(line.stamp(null), unit))
                        .toArray(Command[]::new);
        assertEquals(asked, List.copyOf(line.step(stops).stops()));
    }

    @Test
    void aStoppedBatchNeedsAResetAndAResume() {
        drying();
        moved(line.tell(new Command.Stop(line.stamp(null), OVEN_1)));
        assertEquals(Refusal.WRONG_STATE, refused(line.arm(OVEN_1, ArmedAction.RESUME)));
        moved(line.arm(OVEN_1, ArmedAction.RESET));
        line.press(Button.RESET);
        assertEquals(ProcedureState.HELD, line.batch(OVEN_1).state());
        moved(line.arm(OVEN_1, ArmedAction.RESUME));
        line.press(Button.START);
        assertEquals(ProcedureState.RUNNING, line.batch(OVEN_1).state());
    }

    @Test
    void anAbortedBatchGivesItsOvenFreeWhenTheLeafIsOut() {
        drying();
        moved(line.tell(new Command.Abort(line.stamp(ProcedureState.RUNNING), OVEN_1)));
        assertEquals(ProcedureState.ABORTED, line.batch(OVEN_1).state());
        assertFalse(line.heatPermitted[0]);
        moved(line.answer(OVEN_1, PromptKind.TAKE_OUT, null));

        assertNull(line.floor.batch(OVEN_1));
        assertEquals(5000, line.floor.stock().discardedG());
    }

    @Test
    void abortingBeforeTheLeafIsSteamedGivesItBackToItsLot() {
        started(OVEN_1);
        moved(line.tell(new Command.Abort(line.stamp(null), OVEN_1)));

        assertNull(line.floor.batch(OVEN_1));
        assertEquals(5000, line.floor.stock().leftG());
    }

    // ---- samples

    @Test
    void aSampleIsStampedWhenTakenAndValuedLater() {
        drying();
        String id = moved(line.tell(new Command.SampleTaken(line.stamp(null), OVEN_1))).subject();
        double then = line.batch(OVEN_1).samples().getFirst().estimateWhenTaken();
        line.run(300);
        moved(
                line.tell(
                        new Command.SampleValue(
                                line.stamp(null), id, 3.0, Basis.DRY, "oven", 0.05)));

        Sample sample = line.batch(OVEN_1).samples().getFirst();
        assertEquals(then, sample.estimateWhenTaken());
        assertEquals(0.75, sample.valueWet(), 1e-12); // w = X/(1 + X)
        assertEquals(0.05 / 16.0, sample.deviationWet(), 1e-12); // dw = dX/(1 + X)²
        assertEquals(
                Refusal.ALREADY_MOVED,
                refused(
                        line.tell(
                                new Command.SampleValue(
                                        line.stamp(null), id, 0.5, Basis.WET, "oven", 0.01))));
    }

    @Test
    void rolledLeafIsSampledWhileItIsOutsideAnyway() {
        line.deviation[0] = 0.02;
        line.help = new SampleHelp(0.8, 0.9, 0.9);
        drying();
        untilSampleAsked(NIGHT_S);
        Batch batch = line.batch(OVEN_1);
        assertInstanceOf(Operation.Roll.class, batch.operation());
        assertTrue(requireNonNull(batch.prompt(PromptKind.HAND_SAMPLE)).leafOutside());
        moved(line.tell(new Command.SampleTaken(line.stamp(null), OVEN_1)));
        line.run(60);
        assertFalse(line.asks(OVEN_1, PromptKind.HAND_SAMPLE), "asked once");
    }

    /** Runs to the last drying and five minutes into it. */
    private void lastDrying() {
        drying();
        line.runUntil(
                "last drying",
                NIGHT_S,
                () -> {
                    Batch batch = line.batch(OVEN_1);
                    boolean last =
                            batch.operation() instanceof Operation.Dry dry
                                    && dry.endMoisture() < 0.1
                                    && batch.phase() instanceof Phase.Drying;
                    if (last) {
                        return true;
                    }
                    line.serve(OVEN_1);
                    return false;
                });
        line.moisture[0] = 0.1;
        line.run(330);
    }

    @Test
    void inTheLastDryingASampleIsAskedForWhenItHelpsMostAndSaysHowMuch() {
        line.deviation[0] = 0.004;
        lastDrying();
        line.help = new SampleHelp(0.95, 0.975, 0.975);
        line.run(5);
        assertFalse(line.asks(OVEN_1, PromptKind.HAND_SAMPLE), "not worth it");
        line.help = new SampleHelp(0.71, 0.92, 0.98);
        line.run(5);
        assertFalse(line.asks(OVEN_1, PromptKind.HAND_SAMPLE), "later is better");
        line.help = null;
        line.run(5);
        assertFalse(line.asks(OVEN_1, PromptKind.HAND_SAMPLE), "nothing is known");
        SampleHelp most = new SampleHelp(0.71, 0.978, 0.98);
        line.help = most;
        line.run(5);
        Prompt asked = requireNonNull(line.batch(OVEN_1).prompt(PromptKind.HAND_SAMPLE));
        assertEquals(most, asked.help());
        moved(line.tell(new Command.SampleTaken(line.stamp(null), OVEN_1)));
        line.run(60);
        assertFalse(line.asks(OVEN_1, PromptKind.HAND_SAMPLE), "asked once");
    }

    @Test
    void whoIsTurningTheLeafIsNotAskedForASampleToo() {
        knowsTheLeaf();
        lastDrying();
        line.help = null;
        line.runUntil("turn", 3600, () -> line.asks(OVEN_1, PromptKind.TURN));
        line.help = new SampleHelp(0.71, 0.978, 0.98);
        line.run(20);
        assertFalse(line.asks(OVEN_1, PromptKind.HAND_SAMPLE), "one thing after the other");
        untilSampleAsked(600);
        assertFalse(line.asks(OVEN_1, PromptKind.TURN));
    }

    /** Enough batches have taught the oven this leaf; all is sure from now on. */
    private void knowsTheLeaf() {
        line.deviation[0] = 0.004;
        for (int i = 0; i < Learned.FEWEST; i++) {
            started(OVEN_1);
            line.runWithHands(OVEN_1, NIGHT_S);
        }
        line.events.clear();
    }

    @Test
    void anOvenThatIsNewToTheLeafIsTaughtByASampleInTheLastDrying() {
        line.deviation[0] = 0.004;
        lastDrying();
        line.help = null;
        line.moisture[0] = 0.095;
        line.run(5);
        assertFalse(line.asks(OVEN_1, PromptKind.HAND_SAMPLE), "too wet to teach");
        line.moisture[0] = 0.0895;
        line.run(5);
        assertTrue(line.asks(OVEN_1, PromptKind.HAND_SAMPLE));
    }

    @Test
    void anOvenThatKnowsTheLeafIsNotTaughtAgain() {
        knowsTheLeaf();
        lastDrying();
        line.help = null;
        line.moisture[0] = 0.0895;
        line.run(5);
        assertFalse(line.asks(OVEN_1, PromptKind.HAND_SAMPLE));
    }

    @Test
    void anEstimateThatIsSureAsksForNone() {
        knowsTheLeaf();
        line.help = new SampleHelp(0.96, 0.98, 0.98);
        started(OVEN_1);
        line.runWithHands(OVEN_1, NIGHT_S);
        assertFalse(
                happened(
                        event ->
                                event instanceof Event.PromptOpened(Prompt prompt)
                                        && prompt.kind() == PromptKind.HAND_SAMPLE));
    }

    /** Its length is to answer to what is found. */
    @Test
    void leafThatRestsIsSampledAtOnceWhateverASampleIsWorth() {
        line.help = new SampleHelp(0.96, 0.98, 0.98);
        line.deviation[0] = 0.01;
        started(OVEN_1);
        untilSampleAsked(NIGHT_S);
        Batch batch = line.batch(OVEN_1);
        assertInstanceOf(Operation.Rest.class, batch.operation());
        assertTrue(line.nowS() - batch.phase().sinceS() < 10.0, "while all of it is ahead");
        assertEquals(line.help, requireNonNull(batch.prompt(PromptKind.HAND_SAMPLE)).help());
    }

    @Test
    void leafThatRestsIsSampledThoughNobodyKnowsWhatItIsWorth() {
        line.deviation[0] = 0.01;
        started(OVEN_1);
        line.runWithHands(OVEN_1, NIGHT_S);
        assertTrue(
                line.events.stream()
                        .anyMatch(
                                event ->
                                        event instanceof Event.PromptOpened(Prompt prompt)
                                                && prompt.kind() == PromptKind.HAND_SAMPLE
                                                && prompt.help() == null));
    }

    @Test
    void theEndOfADryingWaitsForTheValueOfASampleButNotForEver() {
        drying();
        line.run(600);
        moved(line.tell(new Command.SampleTaken(line.stamp(null), OVEN_1)));
        line.moisture[0] = 0.49;
        line.run(800);
        assertInstanceOf(Operation.Dry.class, line.batch(OVEN_1).operation());
        line.run(200);
        assertInstanceOf(Operation.Roll.class, line.batch(OVEN_1).operation());
    }

    // ---- commands

    @Test
    void aRefusedCommandChangesNothing() {
        line.plan(OVEN_1, "standard", 5.0);
        Portion none = new Portion("lot-99", 1.0);
        List<Command> bad =
                List.of(
                        line.planOf(OVEN_2, "no-such-recipe", none),
                        line.planOf(OVEN_2, "standard", none),
                        line.planOf(OVEN_2, "standard", new Portion("lot-1", 1.0)),
                        line.planOf(OVEN_2, "standard"),
                        line.planOf(OVEN_1, "standard", none),
                        line.planOf(UnitId.oven(7), "standard", none),
                        new Command.CancelPlan(line.stamp(null), OVEN_2),
                        new Command.Arm(line.stamp(ProcedureState.IDLE), OVEN_2, ArmedAction.START),
                        new Command.Arm(line.stamp(ProcedureState.IDLE), OVEN_1, ArmedAction.START),
                        new Command.AnswerPrompt(line.stamp(null), "prompt-77", null),
                        new Command.SampleTaken(line.stamp(null), OVEN_1),
                        new Command.SampleValue(
                                line.stamp(null), "sample-1", 0.5, Basis.WET, "oven", 0.01),
                        new Command.WeighIn(line.stamp(null), OVEN_1, 3.0),
                        new Command.Abort(line.stamp(null), OVEN_2),
                        new Command.TakeInLot(
                                line.stamp(null),
                                "x",
                                "",
                                "",
                                0,
                                Ripeness.TENDER,
                                false,
                                1.0,
                                Double.NaN,
                                20.0));
        for (Command command : bad) {
            Floor before = line.floor;
            Answer answer = line.tell(command);
            assertInstanceOf(Answer.Refused.class, answer, command::toString);
            Floor after = line.floor;
            assertEquals(before.stock(), after.stock(), command::toString);
            assertEquals(before.slots(), after.slots(), command::toString);
            assertEquals(before.numbers(), after.numbers(), command::toString);
            assertEquals(before.armed(), after.armed(), command::toString);
        }
    }

    @Test
    void aRepeatedCommandGetsItsFirstAnswerAndDoesNothing() {
        String lot = line.takeInLot(5.0);
        Command.PlanBatch plan = line.planOf(OVEN_1, "standard", new Portion(lot, 2.0));
        Answer first = line.tell(plan);
        Floor before = line.floor;
        Answer second = line.tell(plan);

        assertSame(first, second);
        assertSame(before, line.floor);
    }

    @Test
    void aPageOlderThanFiveSecondsStartsNoHeat() {
        line.plan(OVEN_1, "standard", 5.0);
        Stamp old = new Stamp("old", "Aki", false, line.cycle - 6, ProcedureState.PLANNED);
        assertEquals(
                Refusal.STALE, refused(line.tell(new Command.Arm(old, OVEN_1, ArmedAction.START))));
        Stamp future = new Stamp("future", "Aki", false, line.cycle + 9, ProcedureState.PLANNED);
        assertEquals(
                Refusal.STALE,
                refused(line.tell(new Command.Arm(future, OVEN_1, ArmedAction.START))));
    }

    @Test
    void ofTwoPanelsTheSecondHearsAlreadyMoved() {
        line.plan(OVEN_1, "standard", 5.0);
        Command.CancelPlan cancel =
                new Command.CancelPlan(line.stamp(ProcedureState.PLANNED), OVEN_1);
        Command.Arm arm =
                new Command.Arm(line.stamp(ProcedureState.PLANNED), OVEN_1, ArmedAction.START);
        line.step(cancel, arm);

        moved(line.last.answers().getFirst());
        assertEquals(Refusal.ALREADY_MOVED, refused(line.last.answers().getLast()));
    }

    @Test
    void moreLeafThanTheLotHasIsRefusedWithBothMasses() {
        String lot = line.takeInLot(5.0);
        Answer answer = line.tell(line.planOf(OVEN_1, "standard", new Portion(lot, 5.5)));

        assertEquals(Refusal.NOT_ENOUGH_LEAF, refused(answer));
        assertEquals("Lower terrace", ((Answer.Refused) answer).subject(), "as people call it");
        assertEquals(5.5, ((Answer.Refused) answer).values().get("askedKg"));
        assertEquals(5.0, ((Answer.Refused) answer).values().get("leftKg"));
    }

    @Test
    void leafBeyondItsLimitNeedsAReason() {
        String lot = line.takeInLot(5.0);
        line.nowS += 19 * 3600.0; // two hours old when it came
        Portion portion = new Portion(lot, 2.0);
        assertEquals(
                Refusal.NOT_FRESH, refused(line.tell(line.planOf(OVEN_1, "standard", portion))));
        moved(
                line.tell(
                        new Command.PlanBatch(
                                line.stamp(ProcedureState.IDLE),
                                OVEN_1,
                                "standard",
                                List.of(portion),
                                "cool night, smells fine")));
    }

    // ---- tuning

    private static final Tuning.Proposed PROPOSAL =
            new Tuning.Proposed(new LoopTuning(0.025, 110.0, 0.0), 1.5, 40.0);

    @Test
    void anEmptyOvenIsTunedOnlyAfterAPressAtTheMachine() {
        moved(line.arm(OVEN_1, ArmedAction.TUNE));
        line.run(3);
        assertFalse(line.floor.slots().getFirst().tunes(), "armed is not pressed");
        line.press(Button.START);
        assertTrue(line.floor.slots().getFirst().tunes());
        assertTrue(Wishes.oven(line.floor.slots().getFirst()).heat());
        assertTrue(happened(event -> event instanceof Event.TuningBegan));
        assertEquals(
                Refusal.OVEN_TUNES, refused(line.arm(OVEN_1, ArmedAction.TUNE)), "one at a time");
        String lot = line.takeInLot(5.0);
        assertEquals(
                Refusal.OVEN_TUNES,
                refused(line.tell(line.planOf(OVEN_1, "standard", new Portion(lot, 2.0)))));

        line.plan(OVEN_2, "standard", 5.0);
        assertEquals(Refusal.OVEN_TAKEN, refused(line.arm(OVEN_2, ArmedAction.TUNE)));
    }

    @Test
    void aStopEndsATuningAndItsHeat() {
        moved(line.arm(OVEN_1, ArmedAction.TUNE));
        line.press(Button.START);
        moved(line.tell(new Command.Stop(line.stamp(null), UnitId.LINE)));
        assertFalse(line.floor.slots().getFirst().tunes());
        assertFalse(Wishes.oven(line.floor.slots().getFirst()).heat());
        assertTrue(happened(event -> event.equals(new Event.TuningEnded(OVEN_1, "stopped"))));
    }

    @Test
    void aProposalIsAcceptedByAPersonWithTheKeyOffAndTheLineIdle() {
        moved(line.arm(OVEN_1, ArmedAction.TUNE));
        line.press(Button.START);
        line.tuned = new Tuning.Outcome.Found(PROPOSAL);
        line.run(2);
        line.tuned = null;
        assertEquals(PROPOSAL, line.floor.slots().getFirst().tuning());
        assertFalse(Wishes.oven(line.floor.slots().getFirst()).heat(), "the heat is off again");

        assertEquals(Refusal.KEY_IS_ON, refused(line.tell(accept(OVEN_1))));
        line.keyOff = true;
        assertEquals(Refusal.NO_PROPOSAL, refused(line.tell(accept(OVEN_2))));
        line.plan(OVEN_2, "standard", 5.0);
        line.start(OVEN_2);
        assertEquals(Refusal.LINE_NOT_IDLE, refused(line.tell(accept(OVEN_1))));
        moved(line.tell(new Command.Abort(line.stamp(null), OVEN_2)));

        moved(line.tell(accept(OVEN_1)));
        assertEquals(PROPOSAL.settings(), line.floor.slots().getFirst().accepted());
        assertTrue(
                happened(
                        event ->
                                event instanceof Event.TuningAccepted accepted
                                        && accepted.settings().equals(PROPOSAL.settings())));
    }

    private Command.AcceptTuning accept(UnitId oven) {
        return new Command.AcceptTuning(line.stamp(null), oven);
    }

    /** One batch of medium leaf through oven 1. */
    private void finishOne() {
        line.plan(OVEN_1, "standard", 5.0);
        line.start(OVEN_1);
        line.runWithHands(OVEN_1, NIGHT_S);
        assertNull(line.floor.batch(OVEN_1), line::story);
    }

    private int lessons(Ripeness grade) {
        return line.floor.slots().getFirst().learned(grade).lessons().size();
    }

    @Test
    void aPackedBatchTeachesItsOvenAboutItsGradeOfLeaf() {
        finishOne();
        assertEquals(1, lessons(Ripeness.MEDIUM));
        assertEquals(0, lessons(Ripeness.TENDER));
        assertEquals(0, line.floor.slots().get(1).learned(Ripeness.MEDIUM).lessons().size());
        assertTrue(
                happened(
                        event ->
                                event instanceof Event.LessonLearned taught
                                        && taught.oven().equals(OVEN_1)
                                        && taught.grade() == Ripeness.MEDIUM
                                        && taught.now().lessons().size() == 1));
    }

    @Test
    void anAbortedBatchTeachesNothing() {
        line.plan(OVEN_1, "standard", 5.0);
        line.start(OVEN_1);
        untilDrying();
        moved(line.tell(new Command.Abort(line.stamp(null), OVEN_1)));
        line.runWithHands(OVEN_1, NIGHT_S);
        assertNull(line.floor.batch(OVEN_1), line::story);
        assertEquals(0, lessons(Ripeness.MEDIUM));
    }

    @Test
    void whatWasLearnedIsForgottenAsSettingsChangeWithTheKeyOffAndTheLineIdle() {
        assertEquals(Refusal.NOTHING_LEARNED, refused(line.tell(forget(OVEN_1, null))));
        finishOne();
        assertEquals(Refusal.KEY_IS_ON, refused(line.tell(forget(OVEN_1, null))));
        line.keyOff = true;
        assertEquals(Refusal.UNKNOWN_UNIT, refused(line.tell(forget(UnitId.STEAMER, null))));
        assertEquals(Refusal.UNKNOWN_UNIT, refused(line.tell(forget(UnitId.oven(7), null))));
        assertEquals(Refusal.NOTHING_LEARNED, refused(line.tell(forget(OVEN_1, Ripeness.TENDER))));
        assertEquals(Refusal.NOTHING_LEARNED, refused(line.tell(forget(OVEN_2, null))));
        line.plan(OVEN_2, "standard", 5.0);
        line.start(OVEN_2);
        assertEquals(Refusal.LINE_NOT_IDLE, refused(line.tell(forget(OVEN_1, null))));
        moved(line.tell(new Command.Abort(line.stamp(null), OVEN_2)));
        assertEquals(1, lessons(Ripeness.MEDIUM), "refused so far");

        moved(line.tell(forget(OVEN_1, Ripeness.MEDIUM)));
        assertEquals(0, lessons(Ripeness.MEDIUM));
        assertTrue(
                happened(
                        event ->
                                event instanceof Event.LearnedForgotten forgotten
                                        && forgotten.oven().equals(OVEN_1)
                                        && forgotten.by().equals("Aki")));
    }

    @Test
    void theWholeLineForgetsAtOnce() {
        finishOne();
        line.keyOff = true;
        moved(line.tell(forget(UnitId.LINE, null)));
        assertEquals(0, lessons(Ripeness.MEDIUM));
        assertEquals(1, count(Event.LearnedForgotten.class::isInstance), "of one oven only");
    }

    private Command.ForgetLearned forget(UnitId unit, @Nullable Ripeness grade) {
        return new Command.ForgetLearned(line.stamp(null), unit, grade);
    }

    @Test
    void aDiscardedProposalChangesNothing() {
        moved(line.arm(OVEN_1, ArmedAction.TUNE));
        line.press(Button.START);
        line.tuned = new Tuning.Outcome.Found(PROPOSAL);
        line.run(2);
        moved(line.tell(new Command.DiscardTuning(line.stamp(null), OVEN_1)));
        assertEquals(null, line.floor.slots().getFirst().accepted());
        assertEquals(null, line.floor.slots().getFirst().tuning());
    }

    @Test
    void aTuningThatFailsSaysWhyAndLeavesTheOvenCold() {
        moved(line.arm(OVEN_1, ArmedAction.TUNE));
        line.press(Button.START);
        line.tuned = new Tuning.Outcome.Failed("interrupted");
        line.run(2);
        assertEquals(OvenSlot.EMPTY.tuning(), line.floor.slots().getFirst().tuning());
        assertTrue(happened(event -> event.equals(new Event.TuningEnded(OVEN_1, "interrupted"))));
    }

    @Test
    void aWarmHeapAgesFasterAndAHotOneNeedsAReason() {
        Command.TakeInLot warm = lot(35.0);
        String id = moved(line.tell(warm)).subject();
        Lot lot = java.util.Objects.requireNonNull(line.floor.stock().lot(id));
        // twice as fast at 35 °C: Q10 = 2 from 25 °C, an engineering choice
        assertEquals(2 * 2 * 3600.0, lot.freshness(line.nowS).countedS(), 1e-6);
        assertEquals(FreshnessClock.Verdict.WARNING, lot.fresh(line.nowS, 1e9, 2e9), "reddens");

        String hot = moved(line.tell(lot(39.0))).subject();
        Portion portion = new Portion(hot, 2.0);
        assertEquals(
                Refusal.HEAP_HOT, refused(line.tell(line.planOf(OVEN_1, "standard", portion))));
        moved(
                line.tell(
                        new Command.PlanBatch(
                                line.stamp(ProcedureState.IDLE),
                                OVEN_1,
                                "standard",
                                List.of(portion),
                                "spread and cooled since")));
        assertEquals(
                "spread and cooled since",
                line.events.stream()
                        .filter(Event.BatchPlanned.class::isInstance)
                        .map(event -> ((Event.BatchPlanned) event).freshnessOverrideReason())
                        .reduce((first, last) -> last)
                        .orElseThrow(),
                "recorded");
    }

    @Test
    void leafThatIsWrittenOffLeavesItsLotAndTheBalanceCloses() {
        String id = line.takeInLot(5.0);
        moved(line.tell(line.planOf(OVEN_1, "standard", new Portion(id, 2.0))));
        assertEquals(Refusal.NOT_ENOUGH_LEAF, refused(line.tell(writeOff(id, 3.1))));
        assertEquals(Refusal.UNKNOWN_LOT, refused(line.tell(writeOff("lot-99", 1.0))));
        assertEquals(Refusal.OUT_OF_RANGE, refused(line.tell(writeOff(id, 0.0))));
        assertEquals(
                Refusal.OUT_OF_RANGE,
                refused(line.tell(new Command.WriteOff(line.stamp(null), List.of()))));
        assertEquals(id, moved(line.tell(writeOff(id, 3.0))).subject());
        Stock stock = line.floor.stock();
        assertEquals(0, stock.leftG());
        assertEquals(3000, stock.discardedG());
        assertEquals(5000, stock.takenG());
        assertTrue(
                happened(
                        event ->
                                event instanceof Event.LotsWrittenOff(var portions, String by)
                                        && portions.equals(List.of(new Portion(id, 3.0)))
                                        && !by.isEmpty()));
    }

    private Command.WriteOff writeOff(String lot, double massKg) {
        return new Command.WriteOff(line.stamp(null), List.of(new Portion(lot, massKg)));
    }

    private Command.TakeInLot lot(double heapC) {
        return new Command.TakeInLot(
                line.stamp(null), "x", "", "", 0, Ripeness.MEDIUM, false, 2.0, 5.0, heapC);
    }

    @Test
    void whatWasSeenInATestChargeMovesTheDwellOfItsLotsNextCharge() {
        String id = line.takeInLot(10.0);
        moved(line.tell(line.planOf(OVEN_1, "standard", new Portion(id, 2.0))));
        Command.JudgeSteaming early =
                new Command.JudgeSteaming(line.stamp(null), OVEN_1, SteamVerdict.RED_STEMS);
        assertEquals(Refusal.WRONG_STATE, refused(line.tell(early)), "nothing steamed yet");
        line.start(OVEN_1);
        line.runUntil(
                "drying",
                7200,
                () -> {
                    line.serve(OVEN_1);
                    return line.batch(OVEN_1).phase() instanceof Phase.Drying;
                });
        moved(
                line.tell(
                        new Command.JudgeSteaming(
                                line.stamp(null), OVEN_1, SteamVerdict.RED_STEMS)));
        assertEquals(
                Refusal.ALREADY_MOVED,
                refused(
                        line.tell(
                                new Command.JudgeSteaming(
                                        line.stamp(null), OVEN_1, SteamVerdict.MUSH))),
                "one charge is judged once");

        moved(line.tell(line.planOf(OVEN_2, "standard", new Portion(id, 2.0))));
        assertEquals(56.0, line.batch(OVEN_2).dwellS(), 1e-9, "50 s, and 12 % longer");
        String other = line.takeInLot(5.0);
        Lot untouched = java.util.Objects.requireNonNull(line.floor.stock().lot(other));
        assertEquals(1.0, untouched.dwellFactor(), "another lot is other leaf");
    }

    @Test
    void howeverOftenALotIsJudgedItsDwellKeepsToTheStyle() {
        String id = line.takeInLot(5.0);
        Lot lot = java.util.Objects.requireNonNull(line.floor.stock().lot(id));
        Lot longer = lot;
        Lot shorter = lot;
        for (int i = 0; i < 20; i++) {
            longer = longer.judged("batch-" + i, SteamVerdict.RED_STEMS);
            shorter = shorter.judged("batch-" + i, SteamVerdict.MUSH);
        }
        assertEquals(1.6, longer.dwellFactor());
        assertEquals(0.6, shorter.dwellFactor());
        assertEquals(1.0, lot.judged("batch-1", SteamVerdict.RIGHT).dwellFactor());
        for (Lot judged : List.of(longer, shorter)) {
            Stock stock = Stock.EMPTY.takingIn(judged, java.util.Set.of());
            double dwellS =
                    Recipes.dwellS(StockRecipes.deep(), stock, List.of(new Portion(id, 1.0)));
            assertTrue(dwellS >= 60.0 && dwellS <= 120.0, () -> "dwell " + dwellS);
        }
    }

    // ---- done at a wanted time

    private static FinishPlan.Outlook outlook(double inS, FinishPlan.Stage... stages) {
        return new FinishPlan.Outlook(List.of(stages), inS, 600.0, 0.055, 0.01, 0.9);
    }

    private static FinishPlan cooler() {
        return new FinishPlan.Reached(
                outlook(
                        7_200.0,
                        new FinishPlan.Stage(2, 66.0, 0.8),
                        new FinishPlan.Stage(8, 60.0, 0.2)));
    }

    private Answer wants(double inS) {
        return line.tell(new Command.PlanFinish(line.stamp(null), OVEN_1, inS));
    }

    private Answer accepts() {
        return line.tell(new Command.AcceptFinish(line.stamp(null), OVEN_1));
    }

    private FinishBy finish() {
        return requireNonNull(line.batch(OVEN_1).finishBy());
    }

    @Test
    void aWantedTimeIsProposedThenAcceptedAndItsAirHoldsFromThenOn() {
        drying();
        List<Operation> recipe = line.batch(OVEN_1).recipe().procedure();
        moved(wants(7_200.0));
        line.run(3);
        assertEquals(null, finish().plan(), "it is being looked for");
        assertEquals(Refusal.NO_FINISH, refused(accepts()));
        line.finishPlan = cooler();
        line.run(1);
        assertTrue(happened(e -> e instanceof Event.FinishPlanned));
        assertEquals(recipe, line.batch(OVEN_1).recipe().procedure(), "only proposed");
        moved(accepts());
        assertTrue(happened(e -> e instanceof Event.FinishAccepted));
        assertEquals(66.0, Wishes.oven(line.batch(OVEN_1)).airC());
        assertEquals(0.8, Wishes.oven(line.batch(OVEN_1)).damper());
        assertEquals(60.0, ((Operation.Dry) line.batch(OVEN_1).recipe().procedure().get(8)).airC());
        assertEquals(recipe.get(4), line.batch(OVEN_1).recipe().procedure().get(4));
        assertEquals(Refusal.ALREADY_MOVED, refused(accepts()));
        assertEquals(38.0, Wishes.oven(line.batch(OVEN_1)).leafMaxC(), "the leaf's limit stays");
    }

    @Test
    void whatWasAcceptedIsPlannedAnewEveryFiveMinutesFromTheRecipeAndALostTimeIsTold() {
        drying();
        moved(wants(7_200.0));
        line.finishPlan = cooler();
        line.run(1);
        moved(accepts());
        line.finishPlan =
                new FinishPlan.OnlyNear(
                        outlook(7_500.0, new FinishPlan.Stage(2, 90.0, 1.0)),
                        FinishPlan.Bound.RECIPE_RANGE);
        line.run(FinishBy.TRIM_EVERY_S - 10.0);
        assertEquals(66.0, Wishes.oven(line.batch(OVEN_1)).airC());
        line.run(15.0);
        assertEquals(90.0, Wishes.oven(line.batch(OVEN_1)).airC());
        assertEquals(1, count(e -> e instanceof Event.FinishTrimmed));
        Operation.Dry last = (Operation.Dry) line.batch(OVEN_1).recipe().procedure().get(8);
        assertEquals(75.0, last.airC(), "from the recipe, not from the plan before");
        line.run(FinishBy.TRIM_EVERY_S + 5.0);
        assertEquals(1, count(e -> e instanceof Event.FinishTrimmed), "told once");
    }

    @Test
    void aDiscardedTimeGivesTheRecipesAirBack() {
        drying();
        List<Operation> recipe = line.batch(OVEN_1).recipe().procedure();
        Answer nothing = line.tell(new Command.DiscardFinish(line.stamp(null), OVEN_1));
        assertEquals(Refusal.NO_FINISH, refused(nothing));
        moved(wants(7_200.0));
        line.finishPlan = cooler();
        line.run(1);
        moved(accepts());
        moved(line.tell(new Command.DiscardFinish(line.stamp(null), OVEN_1)));
        assertEquals(recipe, line.batch(OVEN_1).recipe().procedure());
        assertEquals(null, line.batch(OVEN_1).finishBy());
        assertTrue(happened(e -> e instanceof Event.FinishDiscarded));
    }

    @Test
    void ofATimeThatCantBeDoneTheNearestIsAccepted() {
        drying();
        moved(wants(600.0));
        line.finishPlan =
                new FinishPlan.OnlyNear(
                        outlook(6_000.0, new FinishPlan.Stage(2, 88.0, 1.0)),
                        FinishPlan.Bound.RESERVE);
        line.run(1);
        double plannedS = finish().plannedS();
        line.run(30);
        moved(accepts());
        assertEquals(plannedS + 6_000.0, finish().wantedS(), 1e-9);
        assertEquals(88.0, Wishes.oven(line.batch(OVEN_1)).airC());
        assertTrue(
                finish().plan() instanceof FinishPlan.Reached(FinishPlan.Outlook outlook)
                        && outlook.inS() == 6_000.0,
                "the accepted time is not one that can't be kept");
        line.run(FinishBy.TRIM_EVERY_S + 5.0);
        assertEquals(1, count(e -> e instanceof Event.FinishTrimmed), "now it is lost");
    }

    @Test
    void noTimeIsAcceptedThatCantBeHadOrWasProposedLongAgo() {
        drying();
        moved(wants(7_200.0));
        line.finishPlan = new FinishPlan.Never();
        line.run(1);
        assertEquals(Refusal.NO_FINISH, refused(accepts()));
        moved(wants(7_200.0));
        line.finishPlan = cooler();
        line.run(2);
        line.run(FinishBy.PROPOSED_FOR_S);
        assertEquals(Refusal.NO_FINISH, refused(accepts()));
    }

    @Test
    void aTimeIsWantedOnlyOfLeafThatIsBeingDriedAndWithinADay() {
        assertEquals(Refusal.NO_BATCH, refused(wants(7_200.0)));
        started(OVEN_1);
        assertEquals(Refusal.WRONG_STATE, refused(wants(7_200.0)));
        untilDrying();
        assertEquals(Refusal.OUT_OF_RANGE, refused(wants(10.0)));
        assertEquals(Refusal.OUT_OF_RANGE, refused(wants(90_000.0)));
        assertEquals(Refusal.OUT_OF_RANGE, refused(wants(Double.NaN)));
        moved(wants(7_200.0));
        moved(line.tell(new Command.Hold(line.stamp(null), OVEN_1)));
        line.finishPlan = cooler();
        line.run(5);
        assertEquals(null, finish().plan(), "nothing is planned while it is held");
        assertEquals(Refusal.WRONG_STATE, refused(wants(7_200.0)));
    }

    @Test
    void whoCountsOnATimeIsAskedForASampleWhileTheLeafIsShapedAndRests() {
        drying();
        moved(wants(7_200.0));
        line.finishPlan = cooler();
        line.run(1);
        moved(accepts());
        line.deviation[0] = 0.02;
        line.runWithHands(OVEN_1, NIGHT_S);
        List<Integer> askedIn =
                line.events.stream()
                        .filter(Event.PromptOpened.class::isInstance)
                        .map(e -> ((Event.PromptOpened) e).prompt())
                        .filter(p -> p.kind() == PromptKind.HAND_SAMPLE)
                        .map(p -> 1)
                        .toList();
        assertTrue(askedIn.size() >= 2, askedIn + "\n" + line.story());
    }

    // ---- balance and restart

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5})
    void everyGramIsAlwaysSomewhere(long seed) {
        java.util.Random random = new java.util.Random(seed);
        for (int i = 0; i < 3000; i++) {
            Command command = randomCommand(random);
            line.step(command);
            if (random.nextInt(4) == 0) {
                line.press(Button.values()[random.nextInt(3)]);
            }
            if (random.nextInt(20) == 0) {
                line.open[random.nextInt(2)] ^= true;
            }
            Stock stock = line.floor.stock();
            long somewhere =
                    stock.leftG()
                            + line.floor.inProcessG()
                            + stock.packedFromG()
                            + stock.discardedG();
            assertEquals(stock.takenG(), somewhere, () -> "seed " + seed + line.story());
            assertTrue(stock.lots().stream().allMatch(lot -> lot.leftG() >= 0));
        }
        assertTrue(line.floor.stock().takenG() > 0);
        assertTrue(count(event -> event instanceof Event.BatchPlanned) > 3, line::story);
    }

    private Command randomCommand(java.util.Random random) {
        UnitId oven = random.nextBoolean() ? OVEN_1 : OVEN_2;
        Batch batch = line.floor.batch(oven);
        ProcedureState state = batch == null ? ProcedureState.IDLE : batch.state();
        Stamp stamp = line.stamp(state);
        String prompt =
                batch == null || batch.prompts().isEmpty()
                        ? "prompt-1"
                        : batch.prompts().get(random.nextInt(batch.prompts().size())).id();
        String lot = "lot-" + (1 + random.nextInt((int) line.floor.numbers().lot() + 1));
        return switch (random.nextInt(8)) {
            case 0 ->
                    new Command.TakeInLot(
                            stamp,
                            "a",
                            "b",
                            "c",
                            0,
                            Ripeness.MATURE,
                            true,
                            1.0,
                            random.nextDouble() * 3.0,
                            Double.NaN);
            case 1 ->
                    new Command.PlanBatch(
                            stamp,
                            oven,
                            "light",
                            List.of(new Portion(lot, random.nextDouble() * 2.0)),
                            null);
            case 2 -> new Command.CancelPlan(stamp, oven);
            case 3 -> new Command.Arm(stamp, oven, ArmedAction.values()[random.nextInt(4)]);
            case 4, 5 -> new Command.AnswerPrompt(stamp, prompt, 1.0);
            case 6 ->
                    random.nextInt(10) == 0
                            ? new Command.Abort(stamp, oven)
                            : new Command.SampleTaken(stamp, oven);
            default ->
                    random.nextInt(10) == 0
                            ? new Command.Stop(stamp, oven)
                            : new Command.WeighIn(stamp, oven, 2.0);
        };
    }

    @Test
    void afterARestartEveryRunningBatchIsHeldAndAsks() {
        drying();
        Batch before = line.batch(OVEN_1);
        line.nowS += 900.0;
        FloorStep step = Procedures.restored(line.settings, line.floor, line, 900.0, true);
        Batch after = requireNonNull(step.floor().batch(OVEN_1));

        assertEquals(ProcedureState.HELD, after.state());
        assertEquals(HeldCause.RESTARTED, after.procedure().heldCause());
        assertEquals(before.phase(), after.phase());
        assertEquals(before.charge(), after.charge());
        assertEquals(before.recipe(), after.recipe());
        assertEquals(Buttons.UNKNOWN, step.floor().buttons());
        assertNull(step.floor().armed());
        assertTrue(after.prompt(PromptKind.RESUME_OR_ABORT) != null);
        assertTrue(step.stops().contains(OVEN_1));
        assertFalse(Wishes.oven(after).heat());
    }

    @Test
    void aQuietCycleHandsOnTheSameFloor() {
        started(OVEN_1);
        line.run(5);
        Floor before = line.floor;
        line.step();
        assertSame(before, line.floor);
    }

    // ---- what an enumeration of all states found

    @Test
    void aSampleOfLeafThatWasNotLoadedYetIsRefusedBecauseNothingIsKnownOfIt() {
        started(OVEN_1);
        line.runUntil(
                "spreading",
                7200,
                () -> {
                    boolean spreads = line.batch(OVEN_1).phase() instanceof Phase.Spreading;
                    if (!spreads) {
                        line.serve(OVEN_1);
                    }
                    return spreads;
                });
        assertEquals(Place.BENCH, line.batch(OVEN_1).charge().place());

        Answer early = line.tell(new Command.SampleTaken(line.stamp(null), OVEN_1));

        assertEquals(Refusal.WRONG_STATE, refused(early));
        assertTrue(line.batch(OVEN_1).samples().isEmpty());
    }

    @Test
    void thePressThatStartedSteamerAndOvenEndsWithTheirWork() {
        started(OVEN_1);
        line.runUntil(
                "steam",
                7200,
                () -> {
                    boolean steams = line.batch(OVEN_1).phase() instanceof Phase.Steaming;
                    if (!steams) {
                        line.serve(OVEN_1);
                    }
                    return steams;
                });
        assertTrue(line.steamPermitted);
        line.runUntil(
                "out of the steam",
                300,
                () -> line.batch(OVEN_1).phase() instanceof Phase.Spreading);
        assertFalse(line.steamPermitted);
        assertTrue(line.heatPermitted[0]);

        line.runWithHands(OVEN_1, NIGHT_S);

        assertNull(line.floor.batch(OVEN_1), line::story);
        assertFalse(line.heatPermitted[0]);
    }
}
