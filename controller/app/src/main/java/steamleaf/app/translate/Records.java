package steamleaf.app.translate;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Because;
import steamleaf.contract.Bodies;
import steamleaf.contract.Kinds;
import steamleaf.contract.UnitLive;
import steamleaf.core.alarm.AlarmEvent;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Event;
import steamleaf.core.batch.Lot;
import steamleaf.core.batch.PackedLot;
import steamleaf.core.batch.Portion;
import steamleaf.core.batch.Prompt;
import steamleaf.core.batch.Sample;
import steamleaf.core.cycle.CycleResult;
import steamleaf.core.cycle.LineState;
import steamleaf.core.cycle.MoistureView;
import steamleaf.core.interlock.GuardEvent;
import steamleaf.core.reading.UnitId;

/** From the core's events to the bodies of journal records. */
public final class Records {
    /** One record without its envelope. */
    public record Entry(String kind, Object body) {}

    private final LineState state;
    private final Instant at;
    private final Function<UnitId, @Nullable MoistureView> leaf;
    private final List<Entry> entries = new ArrayList<>();

    private Records(LineState state, Instant at, Function<UnitId, @Nullable MoistureView> leaf) {
        this.state = state;
        this.at = at;
        this.leaf = leaf;
    }

    /**
     * @param result of the cycle in which they happened
     * @param at line time of that cycle
     * @param leaf what is known of the leaf in an oven; asked only when a record wants it
     */
    public static List<Entry> of(
            CycleResult result, Instant at, Function<UnitId, @Nullable MoistureView> leaf) {
        Records records = new Records(result.state(), at, leaf);
        result.events().forEach(records::event);
        result.guardEvents().forEach(records::guard);
        result.alarmEvents().forEach(records::alarm);
        return records.entries;
    }

    private void add(String kind, Object body) {
        entries.add(new Entry(kind, body));
    }

    // ---- leaf, batches, prompts ----

    private void event(Event event) {
        switch (event) {
            case Event.LotTakenIn(var lot, var by) -> takenIn(lot, by);
            case Event.BatchPlanned(var batch, var by, var override) ->
                    planned(batch, by, override);
            case Event.PlanCancelled(var id, var oven, var by) ->
                    changed(oven, id, "cancelled", null, by);
            case Event.ButtonArmed(var unit, var action, var by, var forS) ->
                    changed(
                            unit,
                            null,
                            "armed",
                            Because.of(
                                    "armed." + Words.word(action),
                                    unit.label(),
                                    Words.number(forS, 0)),
                            by);
            case Event.ArmingLapsed(var unit, var action) ->
                    changed(
                            unit,
                            null,
                            "arming-lapsed",
                            Because.of("arming-lapsed", unit.label()),
                            null);
            case Event.PressRefused(var button, var reason, var subject) ->
                    changed(
                            UnitId.LINE,
                            null,
                            "press-refused",
                            Answers.because(reason, subject, java.util.Map.of()),
                            "machine");
            case Event.ButtonStuck(var button) ->
                    changed(
                            UnitId.LINE,
                            null,
                            "button-stuck",
                            Because.of("button-is-stuck", Words.word(button)),
                            null);
            case Event.BatchStarted(var id, var oven) -> changed(oven, id, "started", null, null);
            case Event.PhaseBegan(var id, var unit, var operation, var kind, var phase) ->
                    step(unit, id, "phase", operation, Because.of("phase." + Words.phase(phase)));
            case Event.OperationBegan(var id, var unit, var operation, var kind) ->
                    step(unit, id, "operation", operation, null);
            case Event.OperationEnded ended -> operationEnded(ended);
            case Event.Landed(var id, var unit, var operation, var moisture, var end) ->
                    step(unit, id, "landed", operation, Live.aim(end, "landed."));
            case Event.EndedByTime(var id, var unit, var operation, var longestS) ->
                    step(
                            unit,
                            id,
                            "ended-by-time",
                            operation,
                            Because.of("ended-by-time", minutes(longestS)));
            case Event.NotTurned(var id, var oven) ->
                    changed(oven, id, "not-turned", Because.of("not-turned"), null);
            case Event.LeafSteamed steamed -> steamed(steamed);
            case Event.SteamingJudged judged -> judged(judged);
            case Event.TuningBegan(var oven, var by) ->
                    changed(
                            oven,
                            null,
                            "tuning-began",
                            Because.of("tuning.runs", oven.label()),
                            by);
            case Event.TuningEnded(var oven, var why) ->
                    changed(
                            oven,
                            null,
                            "tuning-ended",
                            Because.of("tuning.ended-" + why, oven.label()),
                            null);
            case Event.TuningProposed(var oven, var proposal) ->
                    changed(oven, null, "tuning-proposed", Live.proposal(oven, proposal), null);
            case Event.TuningAccepted(var oven, var settings, var by) ->
                    changed(
                            oven,
                            null,
                            "tuning-accepted",
                            Because.of(
                                    "tuning.accepted",
                                    oven.label(),
                                    Words.number(settings.gainDutyPerK(), 4),
                                    Words.number(settings.integralS(), 0),
                                    Words.number(settings.derivativeS(), 0)),
                            by);
            case Event.TuningDiscarded(var oven, var by) ->
                    changed(
                            oven,
                            null,
                            "tuning-discarded",
                            Because.of("tuning.discarded", oven.label()),
                            by);
            case Event.LessonLearned(var oven, var grade, var lesson, _) ->
                    add(
                            Kinds.LEARNED,
                            new Bodies.Learned(
                                    oven.label(),
                                    "lesson",
                                    Words.ripeness(grade),
                                    Lessons.lesson(lesson),
                                    null));
            case Event.LearnedForgotten(var oven, var grade, var by) ->
                    add(
                            Kinds.LEARNED,
                            new Bodies.Learned(
                                    oven.label(),
                                    "forgotten",
                                    grade == null ? null : Words.ripeness(grade),
                                    null,
                                    by));
            case Event.PromptOpened(var prompt) -> prompted(prompt, "asked", null, null);
            case Event.PromptOverdue(var prompt) -> prompted(prompt, "overdue", null, null);
            case Event.PromptAnswered(var prompt, var by, var massKg) ->
                    prompted(prompt, "answered", massKg, by);
            case Event.PromptWithdrawn(var prompt) -> prompted(prompt, "withdrawn", null, null);
            case Event.HumidityZeroed(var id, var oven, var offset) ->
                    changed(
                            oven,
                            id,
                            "humidity-zeroed",
                            Because.of("humidity-zeroed", points(offset)),
                            null);
            case Event.HumidityNotZeroed(var id, var oven, var offset) ->
                    changed(
                            oven,
                            id,
                            "humidity-not-zeroed",
                            Because.of("humidity-not-zeroed", points(offset)),
                            null);
            case Event.FinishPlanned(var id, var oven, var finish) ->
                    changed(oven, id, "finish-planned", Live.finishText(finish), finish.by());
            case Event.FinishAccepted(var id, var oven, var finish, var by) ->
                    changed(oven, id, "finish-accepted", Live.acceptedText(finish), by);
            case Event.FinishTrimmed(var id, var oven, var finish) ->
                    changed(oven, id, "finish-trimmed", Live.finishText(finish), null);
            case Event.FinishDiscarded(var id, var oven, var by) ->
                    changed(oven, id, "finish-discarded", Because.of("finish.discarded"), by);
            case Event.EndPromised(var id, var oven, double inS) ->
                    changed(
                            oven,
                            id,
                            "end-promised",
                            Because.of("end-promised", minutes(inS)),
                            null);
            case Event.Regained(var id, var oven, double outS, double regain) ->
                    changed(
                            oven,
                            id,
                            "regained",
                            Because.of("regained", minutes(outS), Words.number(100.0 * regain, 2)),
                            null);
            case Event.DoorOpened(var oven, var id) -> changed(oven, id, "door-opened", null, null);
            case Event.DoorClosed(var oven, var id) -> changed(oven, id, "door-closed", null, null);
            case Event.BatchHeld(var id, var oven, var cause) ->
                    changed(oven, id, "held", Because.of(Words.heldKey(cause), oven.label()), null);
            case Event.BatchResumed(var id, var oven) -> changed(oven, id, "resumed", null, null);
            case Event.BatchStopped(var id, var oven, var by) ->
                    changed(oven, id, "stopped", null, by);
            case Event.BatchAborted(var id, var oven, var by) ->
                    changed(oven, id, "aborted", null, by);
            case Event.BatchCompleted(var id, var oven, var packed) -> completed(id, oven, packed);
            case Event.LotsWrittenOff(var portions, var by) ->
                    portions.forEach(portion -> lotMoved(portion, "discarded", null, by));
            case Event.LeafDiscarded(var id, var oven, var portions) ->
                    discarded(id, oven, portions);
            case Event.SampleStamped(var sample, var by) -> sample(sample, "taken", by);
            case Event.SampleValued(var sample, var by) -> sample(sample, "valued", by);
            case Event.SampleQuestioned(var sample) -> sample(sample, "questioned", null);
            case Event.WeighingQuestioned(var oven, var massKg) ->
                    weighed(
                            oven,
                            null,
                            "weighing-questioned",
                            massKg,
                            Because.of("weighing-questioned", Words.number(massKg, 2)),
                            null);
            case Event.WeighedIn(var id, var oven, var massKg, var by) ->
                    weighed(oven, id, "weighed", massKg, null, by);
            case Event.Restored(var gapS, var gapKnown, var ids) -> restored(gapS, gapKnown, ids);
        }
    }

    private void changed(
            UnitId unit,
            @Nullable String batch,
            String what,
            @Nullable Because because,
            @Nullable String by) {
        add(Kinds.CHANGED, body(unit, batch, what, null, null, null, null, because, by));
    }

    private void step(
            UnitId unit, String batch, String what, int operation, @Nullable Because because) {
        add(Kinds.CHANGED, body(unit, batch, what, operation, null, null, null, because, null));
    }

    private void weighed(
            UnitId unit,
            @Nullable String batch,
            String what,
            double massKg,
            @Nullable Because because,
            @Nullable String by) {
        add(Kinds.CHANGED, body(unit, batch, what, null, null, massKg, null, because, by));
    }

    private Bodies.Changed body(
            UnitId unit,
            @Nullable String batchId,
            String what,
            @Nullable Integer operationIndex,
            @Nullable List<Bodies.Portion> lots,
            @Nullable Double massKg,
            UnitLive.@Nullable Moisture moisture,
            @Nullable Because because,
            @Nullable String by) {
        Batch batch = batch(unit, batchId);
        Integer index =
                operationIndex != null || batch == null
                        ? operationIndex
                        : Integer.valueOf(batch.procedure().operation());
        String operation =
                batch == null || index == null
                        ? null
                        : Words.operation(batch.recipe().procedure().get(index).kind());
        return new Bodies.Changed(
                unit.label(),
                batch != null ? batch.id() : batchId,
                what,
                batch == null ? "idle" : Words.state(batch.state()),
                operation,
                index == null ? null : index + 1,
                batch == null ? null : batch.recipe().name(),
                batch == null ? null : batch.recipe().version(),
                lots,
                massKg == null ? null : Words.rounded(massKg, 1000),
                moisture != null ? moisture : moisture(unit, batch),
                because,
                by);
    }

    /** The batch as it is now, by its id or else by its oven; null when it has left. */
    private @Nullable Batch batch(UnitId unit, @Nullable String id) {
        if (id == null) {
            return unit.isOven() ? state.floor().batch(unit) : null;
        }
        for (int i = 0; i < state.floor().slots().size(); i++) {
            Batch batch = state.floor().slots().get(i).batch();
            if (batch != null && batch.id().equals(id)) {
                return batch;
            }
        }
        return null;
    }

    private UnitLive.@Nullable Moisture moisture(UnitId unit, @Nullable Batch batch) {
        if (batch == null || !unit.isOven()) {
            return null;
        }
        return Live.moisture(leaf.apply(unit));
    }

    /** With its sign: + 1.2. */
    static String points(double share) {
        return (share < 0.0 ? "−" : "+") + Words.number(Math.abs(100.0 * share), 1);
    }

    private static String minutes(double seconds) {
        return Words.number(seconds / 60.0, 0);
    }

    private static List<Bodies.Portion> portions(List<Portion> portions) {
        List<Bodies.Portion> all = new ArrayList<>(portions.size());
        for (Portion portion : portions) {
            all.add(new Bodies.Portion(portion.lotId(), portion.massKg()));
        }
        return all;
    }

    private void takenIn(Lot lot, String by) {
        double agoS = state.nowS() - lot.pluckedAtS();
        add(
                Kinds.LOT,
                new Bodies.Lot(
                        lot.id(),
                        "taken-in",
                        lot.label(),
                        lot.field(),
                        lot.cultivar(),
                        lot.shadingDays(),
                        Words.ripeness(lot.ripeness()),
                        lot.wetByRain(),
                        Double.isFinite(agoS) ? at.minusMillis(Math.round(agoS * 1000)) : null,
                        lot.takenG() / 1000.0,
                        lot.leftG() / 1000.0,
                        Words.orNull(lot.heapC()),
                        null,
                        null,
                        by));
    }

    private void planned(Batch batch, String by, @Nullable String override) {
        add(
                Kinds.CHANGED,
                body(
                        batch.oven(),
                        batch.id(),
                        "planned",
                        null,
                        portions(batch.charge().portions()),
                        batch.charge().freshKg(),
                        null,
                        override == null ? null : Because.of("freshness-override", override),
                        by));
        for (Portion portion : batch.charge().portions()) {
            lotMoved(portion, "charged", batch.id(), by);
        }
    }

    private void lotMoved(
            Portion portion, String event, @Nullable String batch, @Nullable String by) {
        Lot lot = state.floor().stock().lot(portion.lotId());
        add(
                Kinds.LOT,
                new Bodies.Lot(
                        portion.lotId(),
                        event,
                        lot == null ? portion.lotId() : lot.label(),
                        null,
                        null,
                        null,
                        null,
                        null,
                        null,
                        portion.massKg(),
                        lot == null ? null : lot.leftG() / 1000.0,
                        null,
                        batch,
                        null,
                        by));
    }

    private void operationEnded(Event.OperationEnded ended) {
        add(
                Kinds.CHANGED,
                body(
                        ended.unit(),
                        ended.batchId(),
                        "operation-ended",
                        ended.operation(),
                        null,
                        null,
                        null,
                        Because.of("operation-ended", minutes(ended.durationS())),
                        null));
    }

    private void steamed(Event.LeafSteamed steamed) {
        changed(
                UnitId.STEAMER,
                steamed.batchId(),
                "steamed",
                Because.of(
                        steamed.floorReached() ? "steamed" : "steamed-below-floor",
                        Words.number(steamed.dwellS(), 0),
                        Words.number(steamed.logReduction(), 1),
                        Words.number(steamed.boilingC(), 1),
                        Words.number(100.0 * steamed.activityLeft(), 1)),
                null);
    }

    /** One record for each lot: the factor is the lot's. */
    private void judged(Event.SteamingJudged judged) {
        for (Lot lot : judged.lots()) {
            changed(
                    judged.oven(),
                    judged.batchId(),
                    "steaming-judged",
                    Because.of(
                            "judged." + Words.word(judged.verdict()),
                            lot.label(),
                            Words.number(lot.dwellFactor(), 2)),
                    judged.by());
        }
    }

    private void prompted(
            Prompt prompt, String event, @Nullable Double massKg, @Nullable String by) {
        add(
                Kinds.PROMPT,
                new Bodies.Prompted(
                        prompt.id(),
                        prompt.unit().label(),
                        prompt.batchId(),
                        Words.word(prompt.kind()),
                        event,
                        massKg,
                        by,
                        Live.promptText(prompt)));
    }

    private void completed(String batch, UnitId oven, PackedLot packed) {
        Double mean = Words.orNull(packed.moisture());
        Double deviation = Words.orNull(packed.moistureDeviation());
        UnitLive.Moisture moisture =
                mean == null || deviation == null
                        ? null
                        : new UnitLive.Moisture(
                                mean, deviation, mean, null, null, null, null, null);
        add(
                Kinds.CHANGED,
                body(
                        oven,
                        batch,
                        "completed",
                        null,
                        portions(packed.portions()),
                        packed.massKg(),
                        moisture,
                        null,
                        null));
        add(
                Kinds.LOT,
                new Bodies.Lot(
                        packed.id(),
                        "packed",
                        packed.id(),
                        null,
                        null,
                        null,
                        null,
                        null,
                        null,
                        Words.orNull(packed.massKg()),
                        null,
                        null,
                        batch,
                        portions(packed.portions()),
                        null));
    }

    private void discarded(String batch, UnitId oven, List<Portion> portions) {
        add(
                Kinds.CHANGED,
                body(oven, batch, "discarded", null, portions(portions), null, null, null, null));
        for (Portion portion : portions) {
            lotMoved(portion, "discarded", batch, null);
        }
    }

    private void sample(Sample sample, String event, @Nullable String by) {
        Batch batch = batch(UnitId.LINE, sample.batchId());
        add(
                Kinds.SAMPLE,
                new Bodies.Sample(
                        sample.id(),
                        batch == null ? UnitId.LINE.label() : batch.oven().label(),
                        sample.batchId(),
                        event,
                        Words.orNull(sample.valueWet()),
                        Words.orNull(sample.deviationWet()),
                        sample.method().isEmpty() ? null : sample.method(),
                        sample.isOpen() ? null : "wet",
                        Words.orNull(sample.estimateWhenTaken()),
                        Words.orNull(sample.deviationWhenTaken()),
                        by));
    }

    private void restored(double gapS, boolean gapKnown, List<String> batches) {
        Because because = Because.of(gapKnown ? "gap" : "gap-unknown", minutes(gapS));
        if (batches.isEmpty()) {
            changed(UnitId.LINE, null, "gap", because, null);
        }
        for (String id : batches) {
            Batch batch = batch(UnitId.LINE, id);
            changed(batch == null ? UnitId.LINE : batch.oven(), id, "gap", because, null);
        }
    }

    // ---- guard and alarms ----

    private void guard(GuardEvent event) {
        switch (event) {
            case GuardEvent.TookEffect(var rule, var unit, var firstOut) ->
                    guard(unit, rule.id(), "caused", firstOut, Words.because(rule.reason(), unit));
            case GuardEvent.Returned(var rule, var unit) ->
                    guard(unit, rule.id(), "cleared", false, Words.because(rule.reason(), unit));
            case GuardEvent.LetGo(var rule, var unit) ->
                    guard(unit, rule.id(), "reset", false, Words.because(rule.reason(), unit));
            case GuardEvent.ResetRefused(var rule, var unit) ->
                    guard(
                            unit,
                            rule.id(),
                            "reset-refused",
                            false,
                            Words.because(rule.reason(), unit));
            case GuardEvent.Started(var unit) ->
                    guard(unit, "", "started", false, Because.of("guard-started", unit.label()));
            case GuardEvent.StartRefused(var unit, var reason) ->
                    guard(unit, "", "start-refused", false, Words.because(reason, unit));
            case GuardEvent.Stopped(var unit) ->
                    guard(unit, "", "stopped", false, Because.of("guard-stopped", unit.label()));
            case GuardEvent.ContactorMoved(var from, var to) ->
                    guard(
                            UnitId.LINE,
                            "",
                            "contactor-moved",
                            false,
                            Because.of("contactor." + Words.word(to)));
        }
    }

    private void guard(UnitId unit, String rule, String event, boolean firstOut, Because because) {
        add(Kinds.GUARD, new Bodies.Guard(unit.label(), rule, event, firstOut, because));
    }

    private void alarm(AlarmEvent event) {
        switch (event) {
            case AlarmEvent.Changed(var alarm, var from, var to, var by, var reason) -> {
                AlarmKind kind = alarm.kind();
                add(
                        Kinds.ALARM,
                        new Bodies.Alarm(
                                alarm.label(),
                                alarm.unit().label(),
                                kind.key(),
                                Words.stage(from),
                                Words.stage(to),
                                Words.word(kind.priority()),
                                by.isEmpty() ? null : by,
                                Because.of(kind.key(), alarm.unit().label()),
                                reason.isEmpty() ? null : reason));
            }
            case AlarmEvent.Silenced _ ->
                    changed(
                            UnitId.LINE,
                            null,
                            "horn-silenced",
                            Because.of("horn-silenced"),
                            "machine");
            case AlarmEvent.Refused _ -> {
                // its command is recorded with the answer
            }
        }
    }
}
