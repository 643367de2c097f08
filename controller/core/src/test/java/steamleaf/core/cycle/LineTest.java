package steamleaf.core.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static steamleaf.core.cycle.TinyLine.OVEN_1;

import java.util.List;
import java.util.Objects;
import java.util.function.Consumer;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.core.alarm.AlarmKey;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.alarm.AlarmStage;
import steamleaf.core.alarm.AlarmStatus;
import steamleaf.core.batch.Answer;
import steamleaf.core.batch.ArmedAction;
import steamleaf.core.batch.Basis;
import steamleaf.core.batch.Button;
import steamleaf.core.batch.Command;
import steamleaf.core.batch.Event;
import steamleaf.core.batch.Floor;
import steamleaf.core.batch.GradeLearned;
import steamleaf.core.batch.HeldCause;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.Place;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Prompt;
import steamleaf.core.batch.PromptKind;
import steamleaf.core.batch.Refusal;
import steamleaf.core.batch.Ripeness;
import steamleaf.core.batch.SampleHelp;
import steamleaf.core.estimate.LeafParameters;
import steamleaf.core.interlock.ContactorPhase;
import steamleaf.core.interlock.GuardEvent;
import steamleaf.core.interlock.Latch;
import steamleaf.core.learn.Applied;
import steamleaf.core.learn.Learned;
import steamleaf.core.learn.Lesson;
import steamleaf.core.reading.Channel;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Reading;
import steamleaf.core.reading.UnitId;

class LineTest {
    private final TinyLine line = new TinyLine(1);

    private static final double PRESSURE_THAT_NOBODY_BELIEVES_KPA = 100.0;
    private static final double NIGHT_S = 14 * 3600.0;

    private boolean happened(Predicate<Event> what) {
        return line.events.stream().anyMatch(what);
    }

    private void force(UnitId unit, Quantity quantity, double value) {
        line.forced.put(new Channel(unit, quantity), new Reading(value, Quality.GOOD));
    }

    private void drying(TinyLine on, UnitId oven) {
        on.start(oven, "standard", 5.0);
        on.runWithHands(
                oven,
                7200.0,
                () ->
                        on.batch(oven).phase() instanceof Phase.Drying(double sinceS, _)
                                && on.state.nowS() - sinceS > 600.0);
    }

    // ---- the whole way

    @ParameterizedTest
    @ValueSource(strings = {"light", "standard", "deep"})
    void aBatchRunsFromLeafToPackedLotAndLandsInItsBand(String recipe) {
        double[] hottestWetLeafC = {0.0}; // as estimated: what the loop can know
        double[] heatOnS = {0.0};
        line.each =
                () -> {
                    MoistureView leaf = line.state.leaves().getFirst().view();
                    boolean firstDrying =
                            line.isInOven(OVEN_1)
                                    && line.batch(OVEN_1).procedure().operation() == 2;
                    if (leaf != null && firstDrying) {
                        hottestWetLeafC[0] = Math.max(hottestWetLeafC[0], leaf.leafC());
                    }
                    boolean over = line.state.floor().batch(OVEN_1) == null;
                    double nowOnS = line.state.guard().heatOnS(OVEN_1);
                    assertTrue(over || nowOnS >= heatOnS[0], "counted for the whole batch");
                    heatOnS[0] = nowOnS;
                };
        line.start(OVEN_1, recipe, 5.0);
        line.runWithHands(OVEN_1, NIGHT_S, () -> line.state.floor().batch(OVEN_1) == null);

        assertTrue(happened(event -> event instanceof Event.BatchCompleted), line::story);
        double end = line.ovens.getFirst().moisture();
        assertTrue(end > 0.04 && end < 0.07, () -> end + line.story());
        assertTrue(
                hottestWetLeafC[0] < 38.5, () -> "wet leaf reached " + hottestWetLeafC[0] + " °C");
        assertEquals(List.of(), line.unsafe);
        assertFalse(
                line.guardEvents.stream()
                        .anyMatch(
                                event ->
                                        event instanceof GuardEvent.TookEffect effect
                                                && effect.rule().latch() == Latch.TRIP),
                line::story);
        assertFalse(line.last.outputs().contactor());
        sampleIsAskedForBecauseItHelps();
    }

    /** What a charge of medium leaf began with, in an oven that knows of this grade. */
    private Applied begunWith(Ripeness grade) {
        TinyLine on = new TinyLine(1);
        Lesson.Part slower = new Lesson.Part(-0.6, 0.2, Lesson.Worth.COUNTS);
        Lesson lesson =
                new Lesson("batch-0", slower, new Lesson.Part(0.0, 0.2, Lesson.Worth.VAGUE));
        Learned learned = Learned.NOTHING.with(lesson).with(lesson).with(lesson);
        LineSnapshot kept = on.line.snapshot(on.state);
        Floor floor = kept.floor();
        List<GradeLearned> grades = List.of(new GradeLearned(grade, learned));
        on.state =
                on.line.restored(
                        new LineSnapshot(
                                kept.nowS(),
                                new Floor(
                                        floor.stock(),
                                        List.of(new OvenSlot(null, false, 0, null, null, grades)),
                                        floor.numbers(),
                                        null,
                                        floor.buttons(),
                                        floor.answered()),
                                kept.guard(),
                                kept.alarms(),
                                kept.alarmsNowS(),
                                kept.leaves()),
                        60.0,
                        true,
                        1);
        on.relayHolds = false;
        on.run(10.0);
        drying(on, OVEN_1);
        return Objects.requireNonNull(on.line.snapshot(on.state).leaves().getFirst().learned());
    }

    @Test
    void aChargeBeginsWithWhatItsOvenLearnedOfThatGradeOfLeaf() {
        assertEquals(Applied.nothing(LeafParameters.STOCK), begunWith(Ripeness.TENDER));
        assertTrue(begunWith(Ripeness.MEDIUM).nearlyDryLn() < -0.2);
    }

    private void sampleIsAskedForBecauseItHelps() {
        List<Prompt> asked =
                line.events.stream()
                        .mapMulti(
                                (Event event, Consumer<Prompt> prompts) -> {
                                    if (event instanceof Event.PromptOpened(Prompt prompt)
                                            && prompt.kind() == PromptKind.HAND_SAMPLE
                                            && prompt.leafOutside()) {
                                        prompts.accept(prompt);
                                    }
                                })
                        .toList();
        assertFalse(asked.isEmpty(), line::story);
        for (Prompt prompt : asked) {
            SampleHelp help = Objects.requireNonNull(prompt.help(), line::story);
            assertTrue(help.without() > 0.3 && help.now() <= 1, help::toString);
            assertTrue(help.now() >= help.without() + 0.03, help::toString);
        }
        // the last one, after the rest, settles it
        assertTrue(asked.getLast().help().now() > 0.95, line::story);
    }

    @Test
    void twoOvensDryTwoBatchesAtOnce() {
        TinyLine two = new TinyLine(2);
        UnitId second = UnitId.oven(2);
        drying(two, OVEN_1);
        two.start(second, "light", 4.0);
        two.runWithHands(second, 7200.0, () -> two.batch(second).phase() instanceof Phase.Drying);

        assertTrue(two.isInOven(OVEN_1) && two.isInOven(second), two::story);
        assertNull(two.state.floor().inSteamer());
        assertEquals(9000, two.state.floor().inProcessG());
    }

    @Test
    void whileAnOvenIsHotAndEmptyItsHumidityIsZeroed() {
        TinyLine biased = line;
        biased.start(OVEN_1, "standard", 5.0);
        biased.runUntil("warm", 1800, () -> biased.asks(OVEN_1, PromptKind.STEAM_READY));
        biased.run(120.0);

        double bias = biased.line.snapshot(biased.state).leaves().getFirst().zeroBias();
        assertEquals(0.0, bias, 0.01, "the sensor of the small line has no offset");
    }

    @Test
    void whatTheEmptyOvenSaidOfItsHumiditySensorIsToldWhenLeafIsInIt() {
        drying(line, OVEN_1);
        assertTrue(
                happened(
                        event ->
                                event instanceof Event.HumidityZeroed zeroed
                                        && Math.abs(zeroed.offset()) < 0.01),
                line::story);
    }

    private @Nullable HotZero shownHotZero() {
        return line.line.view(line.last, OVEN_1, line.readings()).hotZero();
    }

    @Test
    void theOvensPageIsToldOfItsZeroWhileItWaitsAndAsLongAsLeafIsInIt() {
        line.start(OVEN_1, "standard", 5.0);
        assertNull(shownHotZero(), "it is not warm yet");
        line.runUntil("warm", 1800, () -> line.asks(OVEN_1, PromptKind.STEAM_READY));
        line.run(2.0);
        assertEquals(new HotZero.UnderWay(), shownHotZero());
        line.ovens.getFirst().open = true;
        line.run(2.0);
        assertNull(shownHotZero(), "through an open door it says nothing");
        line.ovens.getFirst().open = false;
        line.runWithHands(OVEN_1, 7200.0, () -> line.batch(OVEN_1).phase() instanceof Phase.Drying);
        assertTrue(
                shownHotZero() instanceof HotZero.Zeroed(double offset, double sd)
                        && Math.abs(offset) < 0.01
                        && sd == 0.005,
                line::story);
    }

    @Test
    void aRefusedZeroStandsOnTheOvensPage() {
        line.start(OVEN_1, "standard", 5.0);
        line.runUntil("warm", 1800, () -> line.asks(OVEN_1, PromptKind.STEAM_READY));
        force(OVEN_1, Quantity.EXHAUST_RH, 0.4);
        line.run(90.0);
        assertTrue(
                shownHotZero() instanceof HotZero.Refused(double offset, double sd)
                        && offset > 0.10
                        && sd == 0.02,
                line::story);
    }

    // ---- the guard has the last word

    @Test
    void anEmergencyStopOpensTheContactorAndHoldsTheBatch() {
        drying(line, OVEN_1);
        force(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY, 0.0);
        line.run(1.0);
        assertFalse(line.last.outputs().contactor());
        assertFalse(line.last.outputs().ovens().getFirst().heater());
        line.run(1.1);
        assertEquals(HeldCause.TRIPPED, line.batch(OVEN_1).procedure().heldCause());
        assertTrue(line.last.outputs().ovens().getFirst().fan(), "wet leaf is aired");
    }

    @Test
    void afterATripAPersonResetsAndResumesAtTheMachine() {
        drying(line, OVEN_1);
        force(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY, 0.0);
        line.run(5.0);
        line.forced.clear();
        line.run(1.0);
        Answer tooEarly = arm(OVEN_1, ArmedAction.RESUME);
        assertEquals(Refusal.NOT_PERMITTED, ((Answer.Refused) tooEarly).reason());
        line.moved(arm(UnitId.LINE, ArmedAction.RESET));
        line.press(Button.RESET);
        line.moved(arm(OVEN_1, ArmedAction.RESUME));
        line.press(Button.START);
        line.pickUpRelay();
        line.run(30.0);

        assertEquals(ProcedureState.RUNNING, line.batch(OVEN_1).state(), line::story);
        assertTrue(line.state.guard().heatAllowed(OVEN_1), line::story);
    }

    private Answer arm(UnitId unit, ArmedAction action) {
        return line.tell(
                new Command.Arm(
                        line.stamp(unit.isOven() ? line.batch(unit).state() : ProcedureState.IDLE),
                        unit,
                        action));
    }

    @Test
    void theKeyTakesTheHeatAndHoldsTheBatch() {
        drying(line, OVEN_1);
        force(UnitId.LINE, Quantity.PERMIT_KEY_ON, 0.0);
        line.run(3.0);
        assertFalse(line.last.outputs().contactor());
        assertEquals(HeldCause.PERMIT, line.batch(OVEN_1).procedure().heldCause());
    }

    @Test
    void aStopIsObeyedInItsOwnCycle() {
        drying(line, OVEN_1);
        line.runUntil(
                "a heater that is on", 60.0, () -> line.last.outputs().ovens().getFirst().heater());
        line.moved(line.tell(new Command.Stop(line.stamp(null), OVEN_1)));
        assertFalse(line.last.outputs().ovens().getFirst().heater());
        line.run(10.0);
        assertFalse(line.last.outputs().ovens().getFirst().heater());
        assertEquals(ProcedureState.STOPPED, line.batch(OVEN_1).state());
    }

    @Test
    void anOpenDoorTakesTheHeatAndOnlyAPressGivesItBack() {
        drying(line, OVEN_1);
        line.ovens.getFirst().open = true;
        line.run(0.1);
        line.run(20.0);
        line.ovens.getFirst().open = false;
        line.run(20.0);
        assertFalse(line.state.guard().heatAllowed(OVEN_1));
        assertTrue(line.asks(OVEN_1, PromptKind.PRESS_CONFIRM));
        line.press(Button.CONFIRM);
        line.run(3.0);
        assertTrue(line.state.guard().heatAllowed(OVEN_1), line::story);
    }

    @Test
    void leafThatLeftTheSteamBelowTheEnzymeFloorIsToldUntilItIsLoaded() {
        line.each =
                () -> {
                    if (line.state.floor().inSteamer() != null
                            && !(line.batch(OVEN_1).phase() instanceof Phase.HeatingChest)) {
                        line.chestC = Math.min(line.chestC, 80.0); // cold steam
                    }
                };
        line.start(OVEN_1, "standard", 5.0);
        line.runWithHands(
                OVEN_1, 7200.0, () -> line.batch(OVEN_1).phase() instanceof Phase.Spreading);
        line.run(2.0);
        assertTrue(
                happened(e -> e instanceof Event.LeafSteamed steamed && !steamed.floorReached()),
                line::story);
        assertTrue(floorMissedStands(), line::story);

        line.runWithHands(OVEN_1, 7200.0, () -> line.batch(OVEN_1).phase() instanceof Phase.Drying);
        line.run(2.0);
        assertFalse(floorMissedStands(), line::story);
    }

    @Test
    void leafThatWasSteamedEnoughRaisesNoAlarmOfIt() {
        line.start(OVEN_1, "light", 5.0);
        line.runWithHands(
                OVEN_1, 7200.0, () -> line.batch(OVEN_1).phase() instanceof Phase.Spreading);
        line.run(2.0);
        assertTrue(
                happened(e -> e instanceof Event.LeafSteamed steamed && steamed.floorReached()),
                line::story);
        assertFalse(floorMissedStands(), line::story);
    }

    @Test
    void withoutTheBarometerTheBoilingPointIsUnknownAndThereIsNoSteam() {
        line.start(OVEN_1, "standard", 5.0);
        line.runWithHands(
                OVEN_1, 7200.0, () -> line.batch(OVEN_1).phase() instanceof Phase.HeatingChest);
        line.runUntil("steam", 30.0, () -> line.last.outputs().steamValve());
        line.forced.put(
                new Channel(UnitId.LINE, Quantity.ROOM_PRESSURE_KPA),
                new Reading(PRESSURE_THAT_NOBODY_BELIEVES_KPA, Quality.NO_ANSWER));
        line.run(1.0 + 4.0); // the next second, then the end of the valve's window
        for (int i = 0; i < 100; i++) {
            line.step();
            assertFalse(line.last.outputs().steamValve(), line::story);
        }
    }

    private boolean floorMissedStands() {
        AlarmKey key = new AlarmKey(UnitId.STEAMER, AlarmKind.STEAM_FLOOR_MISSED);
        return line.state.alarms().standing().stream()
                .anyMatch(
                        status ->
                                status.alarm().equals(key)
                                        && status.stage() == AlarmStage.UNACKNOWLEDGED);
    }

    // ---- restart

    @Test
    void aRestartInMidDryingComesBackHeldWithBatchAndEstimateIntactButLessSure() {
        drying(line, OVEN_1);
        LineSnapshot kept = line.line.snapshot(line.state);
        MoistureView before = line.state.leaves().getFirst().view();
        assertNotNull(before);
        line.state = line.line.restored(kept, 600.0, true, 1);
        line.relayHolds = false;
        line.step();

        assertEquals(ProcedureState.HELD, line.batch(OVEN_1).state());
        assertEquals(HeldCause.RESTARTED, line.batch(OVEN_1).procedure().heldCause());
        assertEquals(Place.OVEN, line.batch(OVEN_1).charge().place());
        assertTrue(
                happened(
                        event ->
                                event instanceof Event.Restored(double gapS, boolean known, var ids)
                                        && gapS == 600.0
                                        && known
                                        && ids.equals(List.of("batch-1"))));
        MoistureView after = line.state.leaves().getFirst().view();
        assertNotNull(after);
        assertTrue(after.deviation() > before.deviation());
        assertEquals(before.mean(), after.mean(), 3.0 * after.deviation());
        line.run(60.0);
        assertFalse(line.last.outputs().contactor());
        assertTrue(line.last.outputs().extractor(), "the hood counts as not vented");
        assertTrue(line.asks(OVEN_1, PromptKind.RESUME_OR_ABORT));
    }

    @Test
    void aBatchThatWasHeldByARestartCanBeFinished() {
        drying(line, OVEN_1);
        line.state = line.line.restored(line.line.snapshot(line.state), 60.0, true, 1);
        line.relayHolds = false;
        line.run(10.0);
        line.moved(arm(OVEN_1, ArmedAction.RESUME));
        line.press(Button.START);
        line.pickUpRelay();
        line.runWithHands(OVEN_1, NIGHT_S, () -> line.state.floor().batch(OVEN_1) == null);

        assertTrue(happened(event -> event instanceof Event.BatchCompleted), line::story);
        double end = line.ovens.getFirst().moisture();
        assertTrue(end > 0.04 && end < 0.07, () -> end + line.story());
    }

    @Test
    void whatWasShelvedForAnHourComesBackAfterThatHourWhoeverWasAwayMeanwhile() {
        String alarm = "oven-1.door-open";
        line.moved(line.tell(new Command.Shelve(line.stamp(null), alarm, 60.0, "being mended")));
        LineSnapshot kept = line.line.snapshot(line.state);
        LineState soon = line.line.restored(kept, 3_000.0, true, 1);
        AlarmStatus status = soon.alarms().standing().getFirst();
        assertEquals(AlarmStage.SHELVED, status.stage());
        assertEquals(600.0, status.untilS() - soon.alarms().nowS(), 1.0);

        line.state = line.line.restored(kept, 3_700.0, true, 1);
        line.step();
        assertEquals(AlarmStage.NORMAL, line.state.alarms().stage(OVEN_1, AlarmKind.DOOR_OPEN));
    }

    @Test
    void aGapOfUnknownLengthCountsAsTheWorstCase() {
        drying(line, OVEN_1);
        LineSnapshot kept = line.line.snapshot(line.state);
        LineState state = line.line.restored(kept, 0.0, false, 1);
        assertEquals(kept.nowS() + Line.UNKNOWN_GAP_S, state.nowS());
    }

    /** Dried leaf of oven 1 lies outside, to be packed, and the controller starts again. */
    private void restartedWithDriedLeafOutside(double gapS, boolean known) {
        line.start(OVEN_1, "light", 5.0);
        line.runWithHands(OVEN_1, NIGHT_S, () -> line.asks(OVEN_1, PromptKind.PACK));
        line.run(30.0);
        MoistureView.Bench before = bench();
        assertNotNull(before);
        assertEquals(30.0, before.outS(), 2.0);
        line.state = line.line.restored(line.line.snapshot(line.state), gapS, known, 1);
        line.relayHolds = false;
        line.run(10.0);
    }

    private MoistureView.@Nullable Bench bench() {
        MoistureView view = line.state.leaves().getFirst().view();
        return view == null ? null : view.bench();
    }

    private void packed() {
        line.moved(arm(OVEN_1, ArmedAction.RESUME));
        line.press(Button.START);
        line.runWithHands(OVEN_1, 600.0, () -> line.state.floor().batch(OVEN_1) == null);
    }

    @Test
    void aRestartWithDriedLeafOutsideStillSaysByWhenToPackItAndTheRecordWhatItTookUp() {
        restartedWithDriedLeafOutside(600.0, true);
        MoistureView.Bench bench = bench();
        assertNotNull(bench);
        assertEquals(640.0, bench.outS(), 3.0);
        packed();
        assertTrue(
                happened(
                        event ->
                                event instanceof Event.Regained(_, _, double outS, double regain)
                                        && outS > 640.0
                                        && regain > 0.0),
                line::story);
    }

    @Test
    void afterAGapOfUnknownLengthNobodyClaimsToKnowHowLongDriedLeafLay() {
        restartedWithDriedLeafOutside(0.0, false);
        line.run(100.0); // in which half a day would have been caught up
        assertNull(bench());
        packed();
        assertTrue(happened(event -> event instanceof Event.BatchCompleted), line::story);
        assertFalse(happened(event -> event instanceof Event.Regained), line::story);
    }

    @Test
    void theSameInputsGiveTheSameOutputs() {
        TinyLine one = new TinyLine(1);
        TinyLine other = new TinyLine(1);
        drying(one, OVEN_1);
        drying(other, OVEN_1);
        assertEquals(one.state.floor(), other.state.floor());
        assertEquals(one.ovens.getFirst().airC, other.ovens.getFirst().airC);
        assertEquals(
                one.line.snapshot(one.state).leaves(), other.line.snapshot(other.state).leaves());
    }

    // ---- people

    @Test
    void aHandSampleFarFromTheEstimateIsQuestionedNotSwallowed() {
        drying(line, OVEN_1);
        String id =
                line.moved(line.tell(new Command.SampleTaken(line.stamp(null), OVEN_1))).subject();
        MoistureView before = line.state.leaves().getFirst().view();
        assertNotNull(before);
        line.moved(
                line.tell(
                        new Command.SampleValue(
                                line.stamp(null), id, 0.20, Basis.WET, "oven", 0.005)));
        line.run(1.0);
        MoistureView after = line.state.leaves().getFirst().view();
        assertNotNull(after);
        assertTrue(happened(event -> event instanceof Event.SampleQuestioned), line::story);
        assertEquals(before.mean(), after.mean(), 0.002);
    }

    @Test
    void twoHandSamplesThatAgreeAreBelievedAgainstTheEstimate() {
        drying(line, OVEN_1);
        MoistureView before = line.state.leaves().getFirst().view();
        assertNotNull(before);
        double there = before.mean() - 0.20;
        for (int i = 0; i < 2; i++) {
            Command taken = new Command.SampleTaken(line.stamp(null), OVEN_1);
            String id = line.moved(line.tell(taken)).subject();
            line.run(60.0);
            line.moved(
                    line.tell(
                            new Command.SampleValue(
                                    line.stamp(null), id, there, Basis.WET, "oven", 0.005)));
            line.run(1.0);
        }
        MoistureView after = line.state.leaves().getFirst().view();
        assertNotNull(after);
        assertEquals(there, after.mean(), 0.03, line::story);
    }

    @Test
    void acknowledgingAnAlarmThatDoesNotExistIsRefused() {
        Answer answer =
                line.tell(new Command.Acknowledge(line.stamp(null), "oven-1.no-such-alarm"));
        assertEquals(Refusal.UNKNOWN_ALARM, ((Answer.Refused) answer).reason());
        Command repeated = new Command.Acknowledge(line.stamp(null), "oven-1.no-such-alarm");
        Answer first = line.tell(repeated);
        assertSame(first, line.tell(repeated));
    }

    @Test
    void theViewOfAnOvenSaysWhatPeopleNeed() {
        drying(line, OVEN_1);
        UnitView view = line.line.view(line.last, OVEN_1, line.readings());
        assertEquals(ProcedureState.RUNNING, view.state());
        assertEquals("batch-1", view.batchId());
        assertEquals(List.of("Lower terrace"), view.lotLabels());
        assertEquals("Drying", view.phase());
        assertNotNull(view.moisture());
        assertTrue(view.moisture().landsInS() > 600.0, line::story);
        assertTrue(view.airSetpointC() > 70.0);
        UnitView steamer = line.line.view(line.last, UnitId.STEAMER, line.readings());
        assertEquals(ProcedureState.IDLE, steamer.state());
        assertNotNull(steamer.steam());
        assertEquals(99.606, steamer.steam().boilingC(), 0.001); // IF97 at 100 kPa: 99.6059 °C
    }

    @Test
    void aQuietLineKeepsItsContactorOpen() {
        line.run(60.0);
        assertFalse(line.last.outputs().contactor());
        assertEquals(ContactorPhase.OPEN, line.state.guard().contactor());
        assertEquals(List.of(), line.events);
    }
}
