package steamleaf.core.batch;

import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;

/**
 * The way of a tuning: armed and pressed like a start, run under the guard, proposed, and taken
 * over only by a person, with the key off and the line idle.
 */
final class Tunings {
    private Tunings() {}

    /** Why no experiment can begin in this oven now; null if one can. */
    static @Nullable Refusal objection(Change change, UnitId unit) {
        if (!unit.isOven() || unit.number() > change.ovens()) {
            return Refusal.UNKNOWN_UNIT;
        }
        OvenSlot slot = change.slot(unit);
        if (slot.batch() != null) {
            return Refusal.OVEN_TAKEN;
        }
        if (slot.tunes()) {
            return Refusal.OVEN_TUNES;
        }
        return change.sight.startBlockedBy(unit) == null ? null : Refusal.NOT_PERMITTED;
    }

    static void begin(Change change, UnitId oven, String by) {
        change.start(oven);
        change.slot(oven, change.slot(oven).tuning(new Tuning.Running(by, change.nowS())));
        change.event(new Event.TuningBegan(oven, by));
    }

    /** Once a second. */
    static void goOn(Change change, UnitId oven, Tuning.Running running) {
        switch (change.sight.tuned(oven)) {
            case null -> {
                if (change.nowS() - running.sinceS() > Tuning.LONGEST_S) {
                    end(change, oven, "never-steady");
                }
            }
            case Tuning.Outcome.Failed(String why) -> end(change, oven, why);
            case Tuning.Outcome.Found(Tuning.Proposed proposal) -> {
                if (!proposal.settings().isSensible()) {
                    end(change, oven, "lopsided");
                    return;
                }
                change.stop(oven);
                change.slot(oven, change.slot(oven).tuning(proposal));
                change.event(new Event.TuningProposed(oven, proposal));
            }
        }
    }

    /** Heat off; whatever the experiment saw is forgotten. */
    static void end(Change change, UnitId oven, String why) {
        if (change.slot(oven).tunes()) {
            change.stop(oven);
            change.slot(oven, change.slot(oven).tuning(null));
            change.event(new Event.TuningEnded(oven, why));
        }
    }

    static void accept(Change change, Command.AcceptTuning accept) {
        UnitId oven = accept.oven();
        if (!oven.isOven() || oven.number() > change.ovens()) {
            change.refused(accept, Refusal.UNKNOWN_UNIT, oven.label());
        } else if (!(change.slot(oven).tuning() instanceof Tuning.Proposed proposal)) {
            change.refused(accept, Refusal.NO_PROPOSAL, oven.label());
        } else if (!change.sight.keyOff()) {
            change.refused(accept, Refusal.KEY_IS_ON, oven.label());
        } else if (!isIdle(change)) {
            change.refused(accept, Refusal.LINE_NOT_IDLE, oven.label());
        } else {
            change.slot(oven, change.slot(oven).accepting(proposal.settings()));
            change.event(new Event.TuningAccepted(oven, proposal.settings(), accept.stamp().by()));
            change.moved(accept, oven.label());
        }
    }

    static void discard(Change change, Command.DiscardTuning discard) {
        UnitId oven = discard.oven();
        if (!oven.isOven() || oven.number() > change.ovens()) {
            change.refused(discard, Refusal.UNKNOWN_UNIT, oven.label());
        } else if (!(change.slot(oven).tuning() instanceof Tuning.Proposed)) {
            change.refused(discard, Refusal.NO_PROPOSAL, oven.label());
        } else {
            change.slot(oven, change.slot(oven).tuning(null));
            change.event(new Event.TuningDiscarded(oven, discard.stamp().by()));
            change.moved(discard, oven.label());
        }
    }

    /** Plans may wait; anything that was started may not. */
    static boolean isIdle(Change change) {
        for (int n = 1; n <= change.ovens(); n++) {
            OvenSlot slot = change.slot(UnitId.oven(n));
            Batch batch = slot.batch();
            if (slot.tunes() || (batch != null && !batch.isIn(ProcedureState.PLANNED))) {
                return false;
            }
        }
        return true;
    }
}
