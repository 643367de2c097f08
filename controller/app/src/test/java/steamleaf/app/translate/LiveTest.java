package steamleaf.app.translate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;

import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.Because;
import steamleaf.contract.Language;
import steamleaf.contract.Sentences;
import steamleaf.contract.UnitLive;
import steamleaf.core.alarm.AlarmEvent;
import steamleaf.core.alarm.AlarmKey;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.alarm.AlarmStage;
import steamleaf.core.alarm.AlarmStates;
import steamleaf.core.alarm.AlarmStatus;
import steamleaf.core.batch.FinishBy;
import steamleaf.core.batch.FinishPlan;
import steamleaf.core.batch.Prompt;
import steamleaf.core.batch.PromptKind;
import steamleaf.core.batch.SampleHelp;
import steamleaf.core.cycle.HotZero;
import steamleaf.core.reading.UnitId;

final class LiveTest {
    private static Prompt prompt(PromptKind kind, double dueS) {
        return new Prompt(
                kind.name(), kind, UnitId.oven(1), "batch-1", false, 1, 0, dueS, false, null);
    }

    private static PromptKind first(Prompt... prompts) {
        Prompt first = Live.mostPressing(List.of(prompts));
        assertNotNull(first);
        return first.kind();
    }

    @Test
    void whatIsDueSoonestIsAskedFirstAndAHandSampleLast() {
        Prompt sample = prompt(PromptKind.HAND_SAMPLE, 10);
        Prompt turn = prompt(PromptKind.TURN, 300);
        assertEquals(PromptKind.TURN, first(sample, turn));
        assertEquals(PromptKind.PRESS_CONFIRM, first(turn, prompt(PromptKind.PRESS_CONFIRM, 60)));
    }

    @Test
    void aHeldBatchAsksToBeResumedBeforeItAsksForTurningAndForTheLeafBeforeThat() {
        Prompt turn = prompt(PromptKind.TURN, 4);
        Prompt resume = prompt(PromptKind.RESUME_OR_ABORT, Double.POSITIVE_INFINITY);
        Prompt takeOut = prompt(PromptKind.TAKE_OUT_AND_SPREAD, 900);
        assertEquals(PromptKind.RESUME_OR_ABORT, first(turn, resume));
        assertEquals(PromptKind.TAKE_OUT_AND_SPREAD, first(turn, resume, takeOut));
    }

    private static final Instant AT = Instant.parse("2026-05-12T12:00:00Z");

    @Test
    void aShelvedAlarmSaysWhoShelvedItWhyUntilWhenAndWhenItWasRaised() {
        AlarmKey key = new AlarmKey(UnitId.oven(1), AlarmKind.SCALE_BAD);
        AlarmStatus status =
                new AlarmStatus(
                        key, AlarmStage.SHELVED, 70, 90, 100.0, "Mo", "it is cleaned", 1_900.0);
        AlarmStates states = AlarmStates.recalled(1, List.of(status), 700.0);
        AlarmLive live =
                Live.alarm(
                        new AlarmEvent.Changed(
                                key,
                                AlarmStage.UNACKNOWLEDGED,
                                AlarmStage.SHELVED,
                                "Mo",
                                "it is cleaned"),
                        states,
                        90,
                        AT);
        assertEquals("shelved", live.state());
        assertEquals("Mo", live.by());
        assertEquals("it is cleaned", live.reason());
        assertEquals(AT.plusSeconds(1_200), live.until(), "1,900 s less the 700 s that it is now");
        assertEquals(70L, live.raised());
        assertEquals(AlarmKind.SCALE_BAD.ordinal(), live.rank());
        assertEquals(false, live.trip());
        assertEquals(
                live, Live.alarm(status, 700.0, AT), "somebody who comes later hears the same");
    }

    @Test
    void anAlarmThatHasGoneHasNeitherAReasonNorACycleInWhichItWasRaisedAndATripSaysThatItIsOne() {
        AlarmKey key = new AlarmKey(UnitId.oven(1), AlarmKind.HIGH_LIMIT_OPEN);
        AlarmLive live =
                Live.alarm(
                        new AlarmEvent.Changed(
                                key, AlarmStage.ACKNOWLEDGED, AlarmStage.NORMAL, "", ""),
                        AlarmStates.none(1),
                        90,
                        AT);
        assertEquals(true, live.trip());
        assertNull(live.raised());
        assertNull(live.reason());
        assertNull(live.until());
    }

    @Test
    void theZeroOfAHumiditySensorIsSaidWithItsOffsetAndHowSureItIs() {
        assertNull(Live.hotZero(null));
        assertEquals(
                new UnitLive.HotZero("under-way", null, null, Because.of("zero.under-way")),
                Live.hotZero(new HotZero.UnderWay()));
        assertEquals(
                new UnitLive.HotZero(
                        "zeroed", -0.0123, 0.005, Because.of("zero.zeroed", "−1.2", "0.5")),
                Live.hotZero(new HotZero.Zeroed(-0.012345, 0.005)));
        assertEquals(
                new UnitLive.HotZero("refused", 0.31, 0.02, Because.of("zero.refused", "+31", "2")),
                Live.hotZero(new HotZero.Refused(0.31, 0.02)));
    }

    private static FinishBy finish(boolean accepted, FinishPlan plan) {
        return new FinishBy(9_000.0, "Mo", List.of(), accepted, 1_800.0, plan);
    }

    @Test
    void aTimeSaysWhetherItIsProposedAcceptedKeptOrLost() {
        FinishPlan.Outlook outlook =
                new FinishPlan.Outlook(
                        List.of(new FinishPlan.Stage(8, 65.4, 0.5)),
                        7_200.0,
                        480.0,
                        0.055,
                        0.008,
                        0.91);
        FinishPlan reached = new FinishPlan.Reached(outlook);
        FinishPlan near = new FinishPlan.OnlyNear(outlook, FinishPlan.Bound.LEAF_LIMIT);
        String[] values = {"120", "8", "5.5", "0.8", "91", "65"};
        assertEquals(Because.of("finish.reached", values), Live.finishText(finish(false, reached)));
        assertEquals(Because.of("finish.leaf-limit", values), Live.finishText(finish(false, near)));
        assertEquals(
                Because.of("finish.accepted", values), Live.acceptedText(finish(true, reached)));
        assertEquals(Because.of("finish.kept", values), Live.finishText(finish(true, reached)));
        assertEquals(Because.of("finish.lost", values), Live.finishText(finish(true, near)));
    }

    @Test
    void aSampleIsAskedForWithTheTwoChances() {
        Prompt asked =
                new Prompt(
                        "prompt-1",
                        PromptKind.HAND_SAMPLE,
                        UnitId.oven(2),
                        "batch-1",
                        false,
                        1,
                        0,
                        600,
                        false,
                        new SampleHelp(0.712, 0.984, 0.985));
        assertEquals(
                Because.of("prompt.hand-sample-helps", "2", "71", "98"), Live.promptText(asked));
        assertEquals(
                "Take a hand sample from five places of oven 2: one sample now takes the chance of"
                        + " 4 to 7 % from 71 to 98 %",
                Sentences.say(Language.ENGLISH, Live.promptText(asked)));
        Prompt outside =
                new Prompt(
                        "prompt-2",
                        PromptKind.HAND_SAMPLE,
                        UnitId.oven(2),
                        "batch-1",
                        true,
                        1,
                        0,
                        600,
                        false,
                        new SampleHelp(0.941, 0.987, 0.987));
        assertEquals(
                "Take a hand sample from five places of the leaf of oven 2: one sample now takes"
                        + " the chance of 4 to 7 % from 94 to 99 % and makes the time of its end"
                        + " surer",
                Sentences.say(Language.ENGLISH, Live.promptText(outside)));
    }
}
