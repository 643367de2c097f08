package steamleaf.core.batch;

import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;

/** What happens by itself: doors, timers, end conditions, patience. */
final class Progress {
    /** The chest counts as hot this close below the boiling point. Engineering choice. */
    private static final double CHEST_HOT_WITHIN_K = 2.0;

    /**
     * Cold leaf on the belt holds the chest this far below boiling. Engineering choice; the
     * simulated steamer sags by 2.4 K.
     */
    private static final double SAG_UNDER_LEAF_K = 4.0;

    /** And has to stay there for so long. Engineering choice. */
    private static final double CHEST_STEADY_S = 10.0;

    /** Longest warming of an empty oven, and of the chest. Engineering choice. */
    private static final double LONGEST_WARMING_S = 45 * 60.0;

    private static final double LONGEST_CHEST_HEATING_S = 20 * 60.0;

    /** After a press the guard has answered by then. Engineering choice. */
    private static final double PRESS_ANSWERED_S = 3.0;

    /** Trays are not turned this shortly before the leaf lands. Engineering choice. */
    private static final double NO_TURN_BEFORE_END_S = 5 * 60.0;

    /** Leaf and oven come to their temperatures before the estimate is believed to end it. */
    private static final double LEAST_DRYING_S = 5 * 60.0;

    /** How long a hand sample is asked for. Engineering choice. */
    private static final double SAMPLE_PATIENCE_S = 10 * 60.0;

    /**
     * Before the last drying, a sample is asked for this close to the end: early enough to act on,
     * late enough that what is learned of the dry mass still holds. Engineering choice.
     */
    private static final double SAMPLE_WITHIN = 0.08;

    /** Before the last drying, an estimate this sure needs no sample. */
    private static final double SURE_BETWEEN = 0.02;

    /** And none where the leaf is out of the oven anyway: after rolling and resting. */
    private static final double SURE_ROLLED = 0.010;

    private static final double SURE_RESTED = 0.006;

    /** By then a sample's worth is known, or will not be. Engineering choice. */
    private static final double LOOKED_AT_S = 5.0;

    /** The end of a drying waits this long for the value of a sample that was taken. */
    private static final double VALUE_PATIENCE_S = 15 * 60.0;

    /** The drying that ends below this is the last. */
    private static final double LAST_BELOW = 0.10;

    /**
     * A sample of leaf below this teaches an oven that is new to the leaf how it dries at the end,
     * and its value comes before the end does. Engineering choice.
     */
    private static final double TEACHES_BELOW = 0.09;

    /** Below this moisture leaf does not go stewed or brown while it waits. Engineering choice. */
    private static final double DRY_BELOW = 0.20;

    private Progress() {}

    /** Every cycle: doors. */
    static void doors(Change change) {
        for (int n = 1; n <= change.ovens(); n++) {
            UnitId oven = UnitId.oven(n);
            OvenSlot slot = change.slot(oven);
            boolean opened = !slot.doorOpen() && change.sight.doorOpen(oven);
            boolean closed = slot.doorOpen() && change.sight.doorClosed(oven);
            if (opened || closed) {
                Batch batch = slot.batch();
                String batchId = batch == null ? null : batch.id();
                change.event(
                        opened
                                ? new Event.DoorOpened(oven, batchId)
                                : new Event.DoorClosed(oven, batchId));
                Batch seen = batch != null && opened ? seenOpen(batch) : batch;
                change.slot(oven, slot.door(seen, opened, change.nowS()));
            }
        }
    }

    private static Batch seenOpen(Batch batch) {
        Phase phase =
                switch (batch.phase()) {
                    case Phase.Spreading(double sinceS, _) -> new Phase.Spreading(sinceS, true);
                    case Phase.Turning(double sinceS, _) -> new Phase.Turning(sinceS, true);
                    case Phase.TakingOut(double sinceS, _) -> new Phase.TakingOut(sinceS, true);
                    case Phase.PuttingBack(double sinceS, _) -> new Phase.PuttingBack(sinceS, true);
                    case Phase.Waiting _,
                            Phase.Warming _,
                            Phase.AwaitingPerson _,
                            Phase.HeatingChest _,
                            Phase.Feeding _,
                            Phase.Steaming _,
                            Phase.Drying _,
                            Phase.Working _,
                            Phase.CoolingInOven _,
                            Phase.Weighing _,
                            Phase.Packing _ ->
                            batch.phase();
                };
        return batch.with(batch.procedure().on(phase));
    }

    /** Once a second: everything else. */
    static void second(Change change) {
        for (int n = 1; n <= change.ovens(); n++) {
            if (change.slot(UnitId.oven(n)).tuning() instanceof Tuning.Running running) {
                Tunings.goOn(change, UnitId.oven(n), running);
            }
            Batch batch = change.batch(UnitId.oven(n));
            if (batch != null) {
                Batch after = advanced(change, Prompts.overdue(change, batch));
                if (after != batch) {
                    change.keep(after);
                }
            }
        }
    }

    private static Batch advanced(Change change, Batch batch) {
        return moved(change, Promises.second(change, batch));
    }

    private static Batch moved(Change change, Batch batch) {
        return switch (batch.state()) {
            case RUNNING -> {
                HeldCause cause = holdCause(change, batch);
                yield cause != null
                        ? Ways.hold(change, batch, cause)
                        : running(change, pressAsked(change, Finishes.second(change, batch)));
            }
            case HELD -> spreadAsked(change, workedOut(change, batch));
            case STOPPED -> spreadAsked(change, batch);
            case IDLE, PLANNED, ABORTED -> batch;
        };
    }

    // ---- reasons to hold

    private static @Nullable HeldCause holdCause(Change change, Batch batch) {
        Trouble oven =
                Ways.wantsOvenHeat(batch) ? change.sight.trouble(batch.oven()) : Trouble.NONE;
        Trouble steamer = batch.hasSteamer() ? change.sight.trouble(UnitId.STEAMER) : Trouble.NONE;
        if (oven == Trouble.TRIP || steamer == Trouble.TRIP) {
            return HeldCause.TRIPPED;
        }
        if (oven == Trouble.PERMIT || steamer == Trouble.PERMIT) {
            return HeldCause.PERMIT;
        }
        boolean leafUnderSteam =
                batch.phase() instanceof Phase.Feeding || batch.phase() instanceof Phase.Steaming;
        if (leafUnderSteam && steamer != Trouble.NONE) {
            return HeldCause.INTERLOCKED;
        }
        OvenSlot slot = change.slot(batch.oven());
        double doorS = change.nowS() - slot.doorSinceS();
        if (oven == Trouble.INTERLOCK
                && slot.doorOpen()
                && doorS > change.settings.doorPatienceS()
                && !(batch.phase() instanceof Phase.Spreading)) {
            return HeldCause.DOOR_LEFT_OPEN;
        }
        boolean doorShut = change.sight.doorClosed(batch.oven()) && doorS > PRESS_ANSWERED_S;
        if (oven == Trouble.INTERLOCK && doorShut) {
            return HeldCause.TRIPPED; // an interlock that no door explains
        }
        return nobodyCame(batch) ? HeldCause.NOBODY_CAME : null;
    }

    private static boolean nobodyCame(Batch batch) {
        for (int i = 0; i < batch.prompts().size(); i++) {
            Prompt prompt = batch.prompts().get(i);
            boolean holds =
                    switch (prompt.kind()) {
                        case STEAM_READY, COOL_AND_LOAD, TAKE_OUT, PUT_BACK, PRESS_CONFIRM -> true;
                        case TURN ->
                                batch.phase() instanceof Phase.Turning(_, boolean seenOpen)
                                        && seenOpen;
                        case FEED,
                                HAND_SAMPLE,
                                WEIGH,
                                PACK,
                                TAKE_OUT_AND_SPREAD,
                                PRESS_RESET,
                                RESUME_OR_ABORT ->
                                false;
                    };
            if (holds && prompt.overdue()) {
                return true;
            }
        }
        return false;
    }

    // ---- running

    /** Asks for the press that is missing, where no other prompt says it already. */
    private static Batch pressAsked(Change change, Batch batch) {
        return resetAsked(change, confirmAsked(change, batch));
    }

    private static Batch resetAsked(Change change, Batch batch) {
        return change.sight.waitsForReset()
                ? Prompts.open(
                        change, batch, PromptKind.PRESS_RESET, BatchSettings.PERSON_PATIENCE_S)
                : Prompts.withdrawn(change, batch, PromptKind.PRESS_RESET);
    }

    private static Batch confirmAsked(Change change, Batch batch) {
        boolean said =
                batch.phase() instanceof Phase.Turning || batch.phase() instanceof Phase.Spreading;
        boolean missing = !said && Presses.waitsForPress(change, batch);
        if (!missing) {
            return Prompts.withdrawn(change, batch, PromptKind.PRESS_CONFIRM);
        }
        double closedS = change.nowS() - change.slot(batch.oven()).doorSinceS();
        double phaseS = change.nowS() - batch.phase().sinceS();
        return closedS > PRESS_ANSWERED_S && phaseS > PRESS_ANSWERED_S
                ? Prompts.open(
                        change, batch, PromptKind.PRESS_CONFIRM, change.settings.doorPatienceS())
                : batch;
    }

    private static Batch running(Change change, Batch batch) {
        double nowS = change.nowS();
        return switch (batch.phase()) {
            case Phase.Warming(double sinceS) -> warming(change, batch, nowS - sinceS);
            case Phase.HeatingChest heating -> heatingChest(change, batch, heating);
            case Phase.Feeding _ -> feeding(change, batch);
            case Phase.Steaming(_, double untilS) ->
                    nowS >= untilS ? steamed(change, batch) : batch;
            case Phase.Drying(_, double nextTurnS) -> drying(change, batch, nextTurnS);
            case Phase.Turning(_, boolean seenOpen) -> turning(change, batch, seenOpen);
            case Phase.Working _ -> workedOut(change, batch);
            case Phase.CoolingInOven _ -> cooling(change, batch);
            case Phase.Waiting _,
                    Phase.AwaitingPerson _,
                    Phase.Spreading _,
                    Phase.TakingOut _,
                    Phase.PuttingBack _,
                    Phase.Weighing _,
                    Phase.Packing _ ->
                    batch; // a person moves these
        };
    }

    private static Batch warming(Change change, Batch batch, double sinceS) {
        double setpointC = Recipes.firstAirC(batch.recipe());
        if (change.sight.airC(batch.oven()) >= setpointC - change.settings.warmWithinK()) {
            return awaitPerson(change, batch);
        }
        return sinceS > LONGEST_WARMING_S
                ? Ways.hold(change, batch, HeldCause.TOOK_TOO_LONG)
                : batch;
    }

    private static Batch awaitPerson(Change change, Batch batch) {
        return Prompts.open(
                change,
                Ways.to(change, batch, new Phase.AwaitingPerson(change.nowS())),
                PromptKind.STEAM_READY,
                BatchSettings.PERSON_PATIENCE_S);
    }

    private static Batch heatingChest(Change change, Batch batch, Phase.HeatingChest heating) {
        double nowS = change.nowS();
        double sinceS = nowS - heating.sinceS();
        Trouble trouble = change.sight.trouble(UnitId.STEAMER);
        if (sinceS > PRESS_ANSWERED_S && trouble != Trouble.NONE) {
            return awaitPerson(change, batch); // the guard did not take the press
        }
        if (sinceS > LONGEST_CHEST_HEATING_S) {
            return Ways.hold(change, batch, HeldCause.TOOK_TOO_LONG);
        }
        boolean hot = change.sight.chestC() >= change.sight.boilingC() - CHEST_HOT_WITHIN_K;
        boolean wasHot = !Double.isNaN(heating.hotSinceS());
        if (hot && wasHot) {
            return nowS - heating.hotSinceS() >= CHEST_STEADY_S ? feed(change, batch) : batch;
        }
        double hotSinceS = hot ? nowS : Double.NaN;
        return hot == wasHot
                ? batch
                : batch.with(
                        batch.procedure().on(new Phase.HeatingChest(heating.sinceS(), hotSinceS)));
    }

    /**
     * The belt is set here. The floor comes before the style: leaf rides as long as the floor takes
     * while the cold leaf holds the chest down, but not longer than the recipe allows.
     */
    private static Batch feed(Change change, Batch planned) {
        Operation.Steam steam = (Operation.Steam) planned.operation();
        double floorS = change.sight.dwellToFloorS(change.sight.boilingC() - SAG_UNDER_LEAF_K);
        double neededS = Double.isNaN(floorS) ? steam.mostDwellS() : floorS;
        Batch batch =
                planned.dwelling(Math.max(planned.dwellS(), Math.min(neededS, steam.mostDwellS())));
        Batch feeding =
                Ways.to(
                        change,
                        batch.with(batch.charge().at(Place.BELT)),
                        new Phase.Feeding(change.nowS()));
        change.leaf(new LeafAction.Fed(batch.oven(), feeding));
        return Prompts.open(change, feeding, PromptKind.FEED, BatchSettings.FEED_PATIENCE_S);
    }

    /** Nobody says that the last of it is on the belt: steam does not wait for ever. */
    private static Batch feeding(Change change, Batch batch) {
        return Prompts.isOverdue(batch, PromptKind.FEED)
                ? Replies.lastOnBelt(change, Prompts.withdrawn(change, batch, PromptKind.FEED))
                : batch;
    }

    /** The next charge needs a press of its own: what started the steamer ends here. */
    private static Batch steamed(Change change, Batch batch) {
        change.stop(UnitId.STEAMER);
        boolean floorReached = change.sight.steamFloorReached();
        change.event(
                new Event.LeafSteamed(
                        batch.id(),
                        batch.dwellS(),
                        change.sight.steamLogReduction(),
                        floorReached,
                        change.sight.boilingC(),
                        change.sight.steamActivityLeft()));
        return Ways.next(change, batch.steamed(floorReached));
    }

    // ---- drying

    private static Batch drying(Change change, Batch batch, double nextTurnS) {
        Operation.Dry dry = (Operation.Dry) batch.operation();
        if (isLanded(change, batch, dry)) {
            return landed(change, batch);
        }
        Batch asked = sampleAsked(change, batch, dry);
        boolean soonDone = change.sight.landsInS(batch.oven()) < NO_TURN_BEFORE_END_S;
        if (change.nowS() < nextTurnS || soonDone) {
            return asked;
        }
        boolean open = change.sight.doorOpen(batch.oven());
        return Prompts.open(
                change,
                Ways.to(change, asked, new Phase.Turning(change.nowS(), open)),
                PromptKind.TURN,
                dry.turn().patienceS());
    }

    private static Batch turning(Change change, Batch batch, boolean seenOpen) {
        Operation.Dry dry = (Operation.Dry) batch.operation();
        if (isLanded(change, batch, dry)) {
            return landed(change, Prompts.withdrawn(change, batch, PromptKind.TURN));
        }
        Batch asked = sampleAsked(change, batch, dry);
        if (!seenOpen && Prompts.isOverdue(asked, PromptKind.TURN)) {
            change.event(new Event.NotTurned(batch.id(), batch.oven()));
            return Ways.dry(change, Prompts.withdrawn(change, asked, PromptKind.TURN), dry);
        }
        return asked;
    }

    private static boolean isLanded(Change change, Batch batch, Operation.Dry dry) {
        double sinceS = change.nowS() - batch.procedure().operationSinceS();
        double aim = change.sight.aim(batch.oven());
        double end = Double.isNaN(aim) ? dry.endMoisture() : aim;
        boolean dryEnough = change.sight.moistureAfterCarryOver(batch.oven()) <= end;
        if (dryEnough && sinceS >= LEAST_DRYING_S && !awaitsValue(change, batch)) {
            EndPoint endPoint = change.sight.endPoint(batch.oven());
            if (endPoint != null) {
                change.event(
                        new Event.Landed(
                                batch.id(),
                                batch.oven(),
                                batch.procedure().operation(),
                                change.sight.moistureAfterCarryOver(batch.oven()),
                                endPoint));
            }
            return true;
        }
        if (sinceS > dry.longestS()) {
            change.event(
                    new Event.EndedByTime(
                            batch.id(),
                            batch.oven(),
                            batch.procedure().operation(),
                            dry.longestS()));
            return true;
        }
        return false;
    }

    /** A sample that was taken may change everything; but nobody waits for it for ever. */
    private static boolean awaitsValue(Change change, Batch batch) {
        if (batch.samples().isEmpty()) {
            return false;
        }
        Sample last = batch.samples().getLast();
        return last.isOpen() && change.nowS() - last.takenS() < VALUE_PATIENCE_S;
    }

    private static Batch landed(Change change, Batch batch) {
        Batch quiet = Prompts.withdrawn(change, batch, PromptKind.HAND_SAMPLE);
        return Ways.next(change, Prompts.withdrawn(change, quiet, PromptKind.PRESS_CONFIRM));
    }

    private static Batch sampleAsked(Change change, Batch batch, Operation.Dry dry) {
        if (Prompts.isOverdue(batch, PromptKind.HAND_SAMPLE)) {
            return Prompts.withdrawn(change, batch, PromptKind.HAND_SAMPLE);
        }
        double sinceS = change.nowS() - batch.procedure().operationSinceS();
        boolean may =
                dry.askForSample()
                        && batch.prompts().isEmpty() // one thing after the other
                        && batch.sampleAskedIn() != batch.procedure().operation()
                        && sinceS >= LEAST_DRYING_S;
        if (!may) {
            return batch;
        }
        if (dry.endMoisture() < LAST_BELOW) {
            SampleHelp help = change.sight.sampleHelp(batch.oven());
            if (help != null && help.isMost()) {
                return askForSample(change, batch, help);
            }
            boolean teaches = change.sight.moisture(batch.oven()) < TEACHES_BELOW;
            return teaches && Lessons.wanted(change, batch)
                    ? askForSample(change, batch, null)
                    : batch;
        }
        boolean helps =
                change.sight.moisture(batch.oven()) < dry.endMoisture() + SAMPLE_WITHIN
                        && change.sight.moistureDeviation(batch.oven()) > SURE_BETWEEN;
        return helps ? askForSample(change, batch, null) : batch;
    }

    // ---- off the heat

    private static Batch workedOut(Change change, Batch batch) {
        return workEnded(change, sampleOutside(change, batch));
    }

    /** Leaf that is out of the oven anyway costs nothing to sample. */
    private static Batch sampleOutside(Change change, Batch batch) {
        if (Prompts.isOverdue(batch, PromptKind.HAND_SAMPLE)) {
            return Prompts.withdrawn(change, batch, PromptKind.HAND_SAMPLE);
        }
        double sure =
                switch (batch.operation()) {
                    case Operation.Roll _ -> SURE_ROLLED;
                    case Operation.Rest _ -> SURE_RESTED;
                    case Operation.Shape _,
                            Operation.Steam _,
                            Operation.CoolOnBench _,
                            Operation.CoolInOven _,
                            Operation.Dry _,
                            Operation.Turn _,
                            Operation.Weigh _,
                            Operation.Pack _ ->
                            Double.POSITIVE_INFINITY;
                };
        if (Finishes.isCountedOn(batch.finishBy())
                && SampleHelp.mayBeAskedForFinish(batch)
                && change.sight.moistureDeviation(batch.oven()) > SURE_RESTED) {
            return askForSample(change, batch, null);
        }
        boolean unsure =
                SampleHelp.mayBeAskedOutside(batch, change.nowS())
                        && change.sight.moistureDeviation(batch.oven()) > sure;
        SampleHelp help = unsure ? change.sight.sampleHelp(batch.oven()) : null;
        if (unsure && batch.operation() instanceof Operation.Rest) {
            // end and moisture hang on it, and it costs no heat: whatever it is worth
            boolean lookedAt = change.nowS() - batch.phase().sinceS() >= LOOKED_AT_S;
            return help != null || lookedAt ? askForSample(change, batch, help) : batch;
        }
        return help != null && help.isWorthIt() ? askForSample(change, batch, help) : batch;
    }

    private static Batch askForSample(Change change, Batch batch, @Nullable SampleHelp help) {
        return Prompts.open(
                change,
                batch.withSamples(batch.samples(), batch.procedure().operation()),
                PromptKind.HAND_SAMPLE,
                SAMPLE_PATIENCE_S,
                help);
    }

    private static Batch workEnded(Change change, Batch batch) {
        if (batch.phase() instanceof Phase.Working(double sinceS, double untilS)
                && change.nowS() >= untilS) {
            change.leaf(
                    new LeafAction.Worked(
                            batch.oven(), batch.operation().kind(), change.nowS() - sinceS));
            return Ways.next(change, batch);
        }
        return batch;
    }

    private static Batch cooling(Change change, Batch batch) {
        Operation.CoolInOven cool = (Operation.CoolInOven) batch.operation();
        double sinceS = change.nowS() - batch.procedure().operationSinceS();
        boolean cooled = change.sight.airC(batch.oven()) < cool.belowC();
        return cooled || sinceS > cool.longestS() ? Ways.next(change, batch) : batch;
    }

    /**
     * Leaf must not stay in an oven that does not dry it: wet leaf a while, dry leaf not at all.
     */
    private static Batch spreadAsked(Change change, Batch batch) {
        if (batch.charge().place() != Place.OVEN
                || batch.phase() instanceof Phase.TakingOut
                || batch.phase() instanceof Phase.Weighing) {
            return batch;
        }
        double sinceS = change.nowS() - batch.procedure().stateSinceS();
        if (change.sight.moisture(batch.oven()) < DRY_BELOW) {
            return Prompts.open(
                    change, batch, PromptKind.TAKE_OUT, BatchSettings.PERSON_PATIENCE_S);
        }
        return sinceS >= change.settings.spreadAfterS()
                ? Prompts.open(
                        change,
                        batch,
                        PromptKind.TAKE_OUT_AND_SPREAD,
                        BatchSettings.PERSON_PATIENCE_S)
                : batch;
    }
}
