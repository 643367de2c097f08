package steamleaf.core.batch;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import steamleaf.core.estimate.FreshnessClock;
import steamleaf.core.reading.UnitId;
import steamleaf.core.reading.UnitKind;

/** Answers commands, one after the other, each in the cycle that takes it. */
final class Desk {
    /** Hand samples per batch. */
    static final int MOST_SAMPLES = 5;

    private static final int LONGEST_TEXT = 200;

    private Desk() {}

    static void take(Change change, Command command) {
        if (command instanceof Command.Stop stop) {
            stop(change, stop); // before every check: off is never refused
            return;
        }
        Answer first = change.answerTo(command.stamp().id());
        if (first != null) {
            change.again(first);
            return;
        }
        if (!(command instanceof Command.Hold) && isStale(change, command)) {
            double ageS = ageS(change, command.stamp());
            change.refused(command, Refusal.STALE, "", Map.of("ageS", ageS));
            return;
        }
        switch (command) {
            case Command.TakeInLot takeIn -> takeIn(change, takeIn);
            case Command.WriteOff writeOff -> writeOff(change, writeOff);
            case Command.PlanBatch plan -> plan(change, plan);
            case Command.CancelPlan cancel -> cancel(change, cancel);
            case Command.Arm arm -> arm(change, arm);
            case Command.AnswerPrompt answer -> answer(change, answer);
            case Command.SampleTaken taken -> sampleTaken(change, taken);
            case Command.SampleValue value -> sampleValue(change, value);
            case Command.WeighIn weighIn -> weighIn(change, weighIn);
            case Command.JudgeSteaming judge -> judge(change, judge);
            case Command.AcceptTuning accept -> Tunings.accept(change, accept);
            case Command.DiscardTuning discard -> Tunings.discard(change, discard);
            case Command.ForgetLearned forget -> Lessons.forget(change, forget);
            case Command.PlanFinish ask -> {
                Batch batch = batchOf(change, ask, ask.oven());
                if (batch != null) {
                    Finishes.ask(change, ask, batch);
                }
            }
            case Command.AcceptFinish accept -> {
                Batch batch = batchOf(change, accept, accept.oven());
                if (batch != null) {
                    Finishes.accept(change, accept, batch);
                }
            }
            case Command.DiscardFinish discard -> {
                Batch batch = batchOf(change, discard, discard.oven());
                if (batch != null) {
                    Finishes.discard(change, discard, batch);
                }
            }
            case Command.Hold hold -> hold(change, hold);
            case Command.Stop _ -> throw new IllegalStateException("taken above");
            case Command.Abort abort -> abort(change, abort);
            case Command.Acknowledge acknowledge -> change.alarmCommand(acknowledge);
            case Command.Shelve shelve -> change.alarmCommand(shelve);
            case Command.Unshelve unshelve -> change.alarmCommand(unshelve);
            case Command.TakeOutOfService takeOut -> change.alarmCommand(takeOut);
            case Command.PutInService putIn -> change.alarmCommand(putIn);
        }
    }

    private static double ageS(Change change, Stamp stamp) {
        return (change.sight.cycle() - stamp.seenCycle()) * change.settings.cycleS();
    }

    private static boolean isStale(Change change, Command command) {
        double allowedS =
                startsHeat(change, command)
                        ? change.settings.heatStaleS()
                        : change.settings.staleS();
        double ageS = ageS(change, command.stamp());
        return !(ageS >= 0.0 && ageS <= allowedS);
    }

    private static boolean startsHeat(Change change, Command command) {
        return switch (command) {
            case Command.Arm _ -> true;
            case Command.AnswerPrompt answer -> {
                Asked asked = find(change, answer.promptId());
                yield asked != null
                        && (asked.prompt.kind() == PromptKind.STEAM_READY
                                || asked.prompt.kind() == PromptKind.PRESS_CONFIRM);
            }
            case Command.TakeInLot _,
                    Command.WriteOff _,
                    Command.PlanBatch _,
                    Command.CancelPlan _,
                    Command.SampleTaken _,
                    Command.SampleValue _,
                    Command.WeighIn _,
                    Command.JudgeSteaming _,
                    Command.AcceptTuning _,
                    Command.DiscardTuning _,
                    Command.ForgetLearned _,
                    Command.PlanFinish _,
                    Command.AcceptFinish _,
                    Command.DiscardFinish _,
                    Command.Hold _,
                    Command.Stop _,
                    Command.Abort _,
                    Command.Acknowledge _,
                    Command.Shelve _,
                    Command.Unshelve _,
                    Command.TakeOutOfService _,
                    Command.PutInService _ ->
                    false;
        };
    }

    // ---- lots and plans

    private static void takeIn(Change change, Command.TakeInLot in) {
        Set<String> inUse = lotsInUse(change);
        String wrong = mistakeIn(in);
        if (wrong != null) {
            change.refused(in, Refusal.OUT_OF_RANGE, wrong);
        } else if (change.stock().isFull(inUse)) {
            change.refused(in, Refusal.TOO_MANY, "lots", Map.of("most", (double) Stock.KEPT));
        } else {
            long grams = Math.round(in.massKg() * 1000.0);
            Lot lot =
                    new Lot(
                            change.newLotId(),
                            in.label(),
                            in.field(),
                            in.cultivar(),
                            in.shadingDays(),
                            in.ripeness(),
                            in.wetByRain(),
                            change.nowS() - in.pluckedAgoH() * 3600.0,
                            in.heapC(),
                            grams,
                            grams,
                            1.0,
                            "");
            change.stock(change.stock().takingIn(lot, inUse));
            change.event(new Event.LotTakenIn(lot, in.stamp().by()));
            change.moved(in, lot.id());
        }
    }

    /** The name of the first argument that is not allowed; null if all are. */
    private static @Nullable String mistakeIn(Command.TakeInLot in) {
        if (in.label().isBlank() || in.label().length() > LONGEST_TEXT) {
            return "label";
        }
        if (in.field().length() > LONGEST_TEXT) {
            return "field";
        }
        if (in.cultivar().length() > LONGEST_TEXT) {
            return "cultivar";
        }
        if (in.shadingDays() < 0 || in.shadingDays() > 60) {
            return "shadingDays";
        }
        if (!(in.pluckedAgoH() >= 0.0 && in.pluckedAgoH() <= 72.0)) {
            return "pluckedAgoH";
        }
        if (!(in.massKg() >= 0.1 && in.massKg() <= 1000.0)) {
            return "massKg";
        }
        return FreshnessClock.takesHeap(in.heapC()) ? null : "heapC";
    }

    private static Set<String> lotsInUse(Change change) {
        Set<String> inUse = new HashSet<>();
        for (int n = 1; n <= change.ovens(); n++) {
            Batch batch = change.batch(UnitId.oven(n));
            if (batch != null) {
                batch.charge().portions().forEach(portion -> inUse.add(portion.lotId()));
            }
        }
        return inUse;
    }

    private static void plan(Change change, Command.PlanBatch plan) {
        if (!isOven(change, plan.oven())) {
            change.refused(plan, Refusal.UNKNOWN_UNIT, plan.oven().label());
            return;
        }
        Recipe recipe = recipe(change, plan.recipeName());
        if (recipe == null) {
            change.refused(plan, Refusal.UNKNOWN_RECIPE, plan.recipeName());
        } else if (change.slot(plan.oven()).tunes()) {
            change.refused(plan, Refusal.OVEN_TUNES, plan.oven().label());
        } else if (change.batch(plan.oven()) != null) {
            change.refused(plan, Refusal.OVEN_TAKEN, plan.oven().label());
        } else if (hasMoved(change, plan, plan.oven())) {
            change.refused(plan, Refusal.ALREADY_MOVED, plan.oven().label());
        } else if (fits(change, plan, recipe)) {
            allot(change, plan, recipe);
        }
    }

    /** Whether the leaf is there, fresh enough and not too much; refuses if not. */
    private static boolean fits(Change change, Command.PlanBatch plan, Recipe recipe) {
        OvenSettings oven = change.settings.ovens().get(plan.oven().number() - 1);
        double hottestC = Recipes.hottestAirC(recipe);
        if (hottestC > oven.maxAirC()) {
            change.refused(
                    plan,
                    Refusal.TOO_HOT_FOR_OVEN,
                    plan.oven().label(),
                    Map.of("airC", hottestC, "maxAirC", oven.maxAirC()));
            return false;
        }
        if (!isThere(change, plan, plan.portions())) {
            return false;
        }
        long grams = 0;
        for (Portion portion : plan.portions()) {
            Lot lot = java.util.Objects.requireNonNull(change.stock().lot(portion.lotId()));
            String why = plan.freshnessOverrideReason();
            boolean tooOld = isTooOld(change, lot);
            if (tooOld && (why == null || why.isBlank())) {
                if (lot.heapC() >= Lot.HEAP_HOT_C) {
                    change.refused(
                            plan,
                            Refusal.HEAP_HOT,
                            lot.label(),
                            Map.of("heapC", lot.heapC(), "limitC", Lot.HEAP_HOT_C));
                    return false;
                }
                double countedH = lot.freshness(change.nowS()).countedS() / 3600.0;
                change.refused(
                        plan,
                        Refusal.NOT_FRESH,
                        lot.label(),
                        Map.of("ageH", countedH, "limitH", change.settings.freshLimitH()));
                return false;
            }
            grams += portion.grams();
        }
        if (grams > oven.mostLeafKg() * 1000.0) {
            change.refused(
                    plan,
                    Refusal.TOO_MUCH_FOR_OVEN,
                    plan.oven().label(),
                    Map.of("askedKg", grams / 1000.0, "mostKg", oven.mostLeafKg()));
            return false;
        }
        return true;
    }

    /** Whether some leaf is named, each lot once, and no more than is left; refuses if not. */
    private static boolean isThere(Change change, Command command, List<Portion> portions) {
        Set<String> seen = new HashSet<>();
        for (Portion portion : portions) {
            Lot lot = change.stock().lot(portion.lotId());
            if (lot == null) {
                change.refused(command, Refusal.UNKNOWN_LOT, portion.lotId());
                return false;
            }
            if (!(portion.massKg() > 0.0) || portion.grams() <= 0 || !seen.add(lot.id())) {
                change.refused(command, Refusal.OUT_OF_RANGE, lot.id());
                return false;
            }
            if (portion.grams() > lot.leftG()) {
                change.refused(
                        command,
                        Refusal.NOT_ENOUGH_LEAF,
                        lot.label(),
                        Map.of("askedKg", portion.massKg(), "leftKg", lot.leftG() / 1000.0));
                return false;
            }
        }
        if (portions.isEmpty()) {
            change.refused(command, Refusal.OUT_OF_RANGE, "portions");
            return false;
        }
        return true;
    }

    private static void writeOff(Change change, Command.WriteOff writeOff) {
        if (isThere(change, writeOff, writeOff.portions())) {
            change.stock(change.stock().writingOff(writeOff.portions()));
            change.event(new Event.LotsWrittenOff(writeOff.portions(), writeOff.stamp().by()));
            change.moved(writeOff, writeOff.portions().getFirst().lotId());
        }
    }

    private static boolean isTooOld(Change change, Lot lot) {
        BatchSettings settings = change.settings;
        FreshnessClock.Verdict verdict =
                lot.fresh(
                        change.nowS(),
                        settings.freshWarningH() * 3600.0,
                        settings.freshLimitH() * 3600.0);
        return verdict == FreshnessClock.Verdict.TOO_OLD;
    }

    private static void allot(Change change, Command.PlanBatch plan, Recipe recipe) {
        double nowS = change.nowS();
        long number = change.newBatchNumber();
        Charge charge = charge(change.stock(), plan.portions());
        Batch batch =
                new Batch(
                        "batch-" + number,
                        number,
                        plan.oven(),
                        recipe,
                        Recipes.dwellS(recipe, change.stock(), plan.portions()),
                        new Procedure(
                                ProcedureState.PLANNED,
                                null,
                                nowS,
                                0,
                                nowS,
                                new Phase.Waiting(nowS)),
                        charge,
                        List.of(),
                        List.of(),
                        -1,
                        false);
        change.stock(change.stock().allotting(plan.portions()));
        change.keep(batch);
        change.event(
                new Event.BatchPlanned(batch, plan.stamp().by(), plan.freshnessOverrideReason()));
        change.moved(plan, batch.id());
    }

    private static Charge charge(Stock stock, List<Portion> portions) {
        List<String> labels = new ArrayList<>();
        double pluckedAtS = Double.POSITIVE_INFINITY;
        boolean wetByRain = false;
        long grams = 0;
        for (Portion portion : portions) {
            Lot lot = java.util.Objects.requireNonNull(stock.lot(portion.lotId()));
            labels.add(lot.label());
            pluckedAtS = Math.min(pluckedAtS, lot.pluckedAtS());
            wetByRain |= lot.wetByRain();
            grams += portion.grams();
        }
        return new Charge(portions, labels, pluckedAtS, wetByRain, grams, Place.HEAP, Double.NaN);
    }

    private static void cancel(Change change, Command.CancelPlan cancel) {
        Batch batch = batchOf(change, cancel, cancel.oven());
        if (batch == null) {
            return;
        }
        if (!batch.isIn(ProcedureState.PLANNED)) {
            change.refused(cancel, Refusal.WRONG_STATE, batch.id());
            return;
        }
        change.stock(change.stock().returning(batch.charge().portions()));
        change.free(batch.oven());
        change.event(new Event.PlanCancelled(batch.id(), batch.oven(), cancel.stamp().by()));
        change.moved(cancel, batch.id());
    }

    // ---- arming and answering

    private static void arm(Change change, Command.Arm arm) {
        UnitId unit = arm.unit();
        if (unit.isOven() && !isOven(change, unit)) {
            change.refused(arm, Refusal.UNKNOWN_UNIT, unit.label());
            return;
        }
        if (unit.kind() != UnitKind.LINE && hasMoved(change, arm, unit)) {
            change.refused(arm, Refusal.ALREADY_MOVED, unit.label());
            return;
        }
        Refusal why = Presses.objection(change, unit, arm.action());
        if (why != null) {
            String blockedBy =
                    why == Refusal.NOT_PERMITTED ? change.sight.startBlockedBy(unit) : null;
            change.refused(arm, why, blockedBy == null ? unit.label() : blockedBy);
            return;
        }
        String by = arm.stamp().by();
        double forS = change.settings.armedS();
        Armed armed = new Armed(unit, arm.action(), by, change.nowS() + forS);
        if (arm.stamp().atMachine()) {
            Presses.execute(change, armed); // the panel bound as at the machine is the button
        } else {
            change.armed(armed);
            change.event(new Event.ButtonArmed(unit, arm.action(), by, forS));
        }
        change.moved(arm, unit.label());
    }

    private record Asked(Batch batch, Prompt prompt) {}

    private static @Nullable Asked find(Change change, String promptId) {
        for (int n = 1; n <= change.ovens(); n++) {
            Batch batch = change.batch(UnitId.oven(n));
            if (batch != null) {
                for (Prompt prompt : batch.prompts()) {
                    if (prompt.id().equals(promptId)) {
                        return new Asked(batch, prompt);
                    }
                }
            }
        }
        return null;
    }

    private static void answer(Change change, Command.AnswerPrompt answer) {
        Asked asked = find(change, answer.promptId());
        if (asked == null) {
            boolean wasAsked = change.wasPrompt(answer.promptId());
            Refusal why = wasAsked ? Refusal.ALREADY_MOVED : Refusal.UNKNOWN_PROMPT;
            change.refused(answer, why, answer.promptId());
            return;
        }
        Prompt prompt = asked.prompt();
        boolean atMachine = answer.stamp().atMachine();
        Refusal why =
                Replies.objection(change, asked.batch(), prompt.kind(), answer.massKg(), atMachine);
        if (why != null) {
            change.refused(answer, why, prompt.id());
            return;
        }
        Replies.take(change, asked.batch(), prompt, answer.stamp().by(), answer.massKg());
        change.moved(answer, prompt.id());
    }

    // ---- samples and weighings

    private static void sampleTaken(Change change, Command.SampleTaken taken) {
        Batch batch = batchOf(change, taken, taken.oven());
        if (batch == null) {
            return;
        }
        Place place = batch.charge().place();
        boolean outOfSteam = place == Place.OVEN || place == Place.BENCH;
        boolean known =
                !Double.isNaN(change.sight.moisture(batch.oven())); // not before it is loaded
        if (!outOfSteam || !known) {
            change.refused(taken, Refusal.WRONG_STATE, batch.id());
        } else if (batch.samples().size() >= MOST_SAMPLES) {
            change.refused(
                    taken, Refusal.TOO_MANY, "samples", Map.of("most", (double) MOST_SAMPLES));
        } else {
            Sample sample =
                    new Sample(
                            change.newSampleId(),
                            batch.id(),
                            change.nowS(),
                            change.sight.moisture(batch.oven()),
                            change.sight.moistureDeviation(batch.oven()),
                            Double.NaN,
                            Double.NaN,
                            "");
            Batch asked = batch;
            Prompt prompt = batch.prompt(PromptKind.HAND_SAMPLE);
            if (prompt != null) {
                asked = Prompts.answered(change, batch, prompt, taken.stamp().by(), null);
            }
            List<Sample> samples = new ArrayList<>(asked.samples());
            samples.add(sample);
            change.keep(asked.withSamples(samples, asked.sampleAskedIn()));
            change.leaf(new LeafAction.SampleOut(batch.oven(), sample.id()));
            change.event(new Event.SampleStamped(sample, taken.stamp().by()));
            change.moved(taken, sample.id());
        }
    }

    private static void sampleValue(Change change, Command.SampleValue value) {
        for (int n = 1; n <= change.ovens(); n++) {
            Batch batch = change.batch(UnitId.oven(n));
            if (batch == null) {
                continue;
            }
            for (int i = 0; i < batch.samples().size(); i++) {
                Sample sample = batch.samples().get(i);
                if (sample.id().equals(value.sampleId())) {
                    sampleValue(change, value, batch, i, sample);
                    return;
                }
            }
        }
        change.refused(value, Refusal.UNKNOWN_SAMPLE, value.sampleId());
    }

    private static void sampleValue(
            Change change, Command.SampleValue value, Batch batch, int at, Sample sample) {
        if (!sample.isOpen()) {
            change.refused(value, Refusal.ALREADY_MOVED, sample.id());
            return;
        }
        double most = value.basis() == Basis.WET ? 0.95 : 19.0;
        if (!(value.fraction() >= 0.0 && value.fraction() <= most)) {
            change.refused(value, Refusal.OUT_OF_RANGE, "fraction", Map.of("most", most));
            return;
        }
        if (!(value.methodDeviation() >= 0.0005 && value.methodDeviation() <= 0.5)) {
            change.refused(
                    value,
                    Refusal.OUT_OF_RANGE,
                    "methodDeviation",
                    Map.of("least", 0.0005, "most", 0.5));
            return;
        }
        double wet = value.basis().toWet(value.fraction());
        double wetDeviation =
                value.basis().deviationToWet(value.fraction(), value.methodDeviation());
        Sample valued = sample.valued(wet, wetDeviation, value.method());
        List<Sample> samples = new ArrayList<>(batch.samples());
        samples.set(at, valued);
        change.keep(batch.withSamples(samples, batch.sampleAskedIn()));
        change.leaf(new LeafAction.Sampled(batch.oven(), valued));
        change.event(new Event.SampleValued(valued, value.stamp().by()));
        change.moved(value, sample.id());
    }

    private static void weighIn(Change change, Command.WeighIn weighIn) {
        Batch batch = batchOf(change, weighIn, weighIn.oven());
        if (batch == null) {
            return;
        }
        Place place = batch.charge().place();
        if (place != Place.OVEN && place != Place.BENCH) {
            change.refused(weighIn, Refusal.WRONG_STATE, batch.id());
        } else if (!Replies.isWeighable(weighIn.massKg())) {
            change.refused(weighIn, Refusal.OUT_OF_RANGE, "massKg");
        } else {
            change.keep(batch.with(batch.charge().weighing(weighIn.massKg())));
            change.leaf(new LeafAction.Weighed(batch.oven(), weighIn.massKg()));
            change.event(
                    new Event.WeighedIn(
                            batch.id(), batch.oven(), weighIn.massKg(), weighIn.stamp().by()));
            change.moved(weighIn, batch.id());
        }
    }

    /** Once for each batch, from when the leaf is out of the steam. */
    private static void judge(Change change, Command.JudgeSteaming judge) {
        Batch batch = batchOf(change, judge, judge.oven());
        if (batch == null) {
            return;
        }
        Place place = batch.charge().place();
        if ((place != Place.OVEN && place != Place.BENCH) || batch.isIn(ProcedureState.ABORTED)) {
            change.refused(judge, Refusal.WRONG_STATE, batch.id());
            return;
        }
        List<Portion> portions = batch.charge().portions();
        for (Portion portion : portions) {
            Lot lot = change.stock().lot(portion.lotId());
            if (lot != null && lot.judgedBatch().equals(batch.id())) {
                change.refused(judge, Refusal.ALREADY_MOVED, batch.id());
                return;
            }
        }
        change.stock(change.stock().judging(portions, batch.id(), judge.verdict()));
        List<Lot> judged = new ArrayList<>();
        for (Portion portion : portions) {
            Lot lot = change.stock().lot(portion.lotId());
            if (lot != null) {
                judged.add(lot);
            }
        }
        change.event(
                new Event.SteamingJudged(
                        batch.id(), batch.oven(), judge.verdict(), judged, judge.stamp().by()));
        change.moved(judge, batch.id());
    }

    // ---- hold, stop, abort

    private static void hold(Change change, Command.Hold hold) {
        boolean known = false;
        for (int n = 1; n <= change.ovens(); n++) {
            Batch batch = change.batch(UnitId.oven(n));
            if (batch != null && concerns(batch, hold.unit())) {
                known = true;
                if (batch.isIn(ProcedureState.RUNNING)) {
                    change.keep(Ways.hold(change, batch, HeldCause.ASKED));
                }
            }
        }
        if (known) {
            change.stop(hold.unit());
            disarm(change, hold.unit());
            change.moved(hold, hold.unit().label());
        } else {
            change.refused(hold, Refusal.NO_BATCH, hold.unit().label());
        }
    }

    private static void stop(Change change, Command.Stop stop) {
        for (int n = 1; n <= change.ovens(); n++) {
            Batch batch = change.batch(UnitId.oven(n));
            boolean hot =
                    batch != null
                            && (batch.isIn(ProcedureState.RUNNING)
                                    || batch.isIn(ProcedureState.HELD));
            if (batch != null && hot && concerns(batch, stop.unit())) {
                change.keep(Ways.stop(change, batch, stop.stamp().by()));
            }
            UnitId oven = UnitId.oven(n);
            if (stop.unit().kind() == UnitKind.LINE || stop.unit().equals(oven)) {
                Tunings.end(change, oven, "stopped");
            }
        }
        change.stop(stop.unit());
        disarm(change, stop.unit());
        change.moved(stop, stop.unit().label());
    }

    private static void disarm(Change change, UnitId unit) {
        Armed armed = change.armed();
        if (armed != null && (unit.kind() == UnitKind.LINE || armed.unit().equals(unit))) {
            change.armed(null);
        }
    }

    private static boolean concerns(Batch batch, UnitId unit) {
        return switch (unit.kind()) {
            case LINE -> true;
            case STEAMER -> batch.hasSteamer();
            case OVEN -> batch.oven().equals(unit);
        };
    }

    private static void abort(Change change, Command.Abort abort) {
        Batch batch = batchOf(change, abort, abort.oven());
        if (batch == null) {
            return;
        }
        if (batch.isIn(ProcedureState.ABORTED)) {
            change.refused(abort, Refusal.ALREADY_MOVED, batch.id());
            return;
        }
        Batch aborted = Ways.abort(change, batch, abort.stamp().by());
        if (aborted == null) {
            change.free(batch.oven());
        } else {
            change.keep(aborted);
        }
        disarm(change, batch.oven());
        change.moved(abort, batch.id());
    }

    // ---- common

    private static boolean isOven(Change change, UnitId unit) {
        return unit.isOven() && unit.number() <= change.ovens();
    }

    /** The batch of the oven a command names; refuses the command if there is none. */
    private static @Nullable Batch batchOf(Change change, Command command, UnitId oven) {
        if (!isOven(change, oven)) {
            change.refused(command, Refusal.UNKNOWN_UNIT, oven.label());
            return null;
        }
        Batch batch = change.batch(oven);
        if (batch == null) {
            change.refused(command, Refusal.NO_BATCH, oven.label());
        }
        return batch;
    }

    private static boolean hasMoved(Change change, Command command, UnitId unit) {
        return command.stamp().seenState() != stateOf(change, unit);
    }

    private static ProcedureState stateOf(Change change, UnitId unit) {
        Batch batch = unit.isOven() ? change.batch(unit) : change.inSteamer();
        return batch == null ? ProcedureState.IDLE : batch.state();
    }

    private static @Nullable Recipe recipe(Change change, String name) {
        for (Recipe recipe : change.settings.recipes()) {
            if (recipe.name().equals(name)) {
                return recipe;
            }
        }
        return null;
    }
}
