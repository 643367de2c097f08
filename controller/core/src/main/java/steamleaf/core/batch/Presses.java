package steamleaf.core.batch;

import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;
import steamleaf.core.reading.UnitKind;

/** What a press of a button at the machine does. */
final class Presses {
    private static final String AT_MACHINE = "machine";

    private Presses() {}

    static void take(Change change) {
        Buttons before = change.buttons();
        Buttons now = before.then(change.sight);
        if (now != before) {
            change.buttons(now);
            reportStuck(change, before, now);
            pressed(change, before, now);
        }
        Armed armed = change.armed();
        if (armed != null && change.nowS() > armed.untilS()) {
            change.armed(null);
            change.event(new Event.ArmingLapsed(armed.unit(), armed.action()));
        }
    }

    private static void reportStuck(Change change, Buttons before, Buttons now) {
        for (Button button : Button.values()) {
            if (now.get(button).stuck() && !before.get(button).stuck()) {
                change.event(new Event.ButtonStuck(button));
            }
        }
    }

    private static void pressed(Change change, Buttons before, Buttons now) {
        if (now.start().isPressAfter(before.start())) {
            armedPress(change, Button.START);
        }
        if (now.reset().isPressAfter(before.reset())) {
            armedPress(change, Button.RESET);
        }
        if (now.confirm().isPressAfter(before.confirm())) {
            confirm(change);
        }
        if (now.silence().isPressAfter(before.silence())) {
            change.silence = true;
        }
    }

    private static void armedPress(Change change, Button button) {
        Armed armed = change.armed();
        boolean live = armed != null && change.nowS() <= armed.untilS();
        if (armed == null || !live || buttonFor(armed.action()) != button) {
            if (button != Button.RESET) { // reset also picks up the relay, with nothing armed
                change.event(new Event.PressRefused(button, Refusal.NOTHING_ARMED, ""));
            }
            return;
        }
        change.armed(null);
        Refusal why = objection(change, armed.unit(), armed.action());
        if (why == null) {
            execute(change, armed);
        } else {
            change.event(new Event.PressRefused(button, why, armed.unit().label()));
        }
    }

    private static Button buttonFor(ArmedAction action) {
        return switch (action) {
            case START, RESUME, TUNE -> Button.START;
            case RESET -> Button.RESET;
            case CONFIRM -> Button.CONFIRM;
        };
    }

    /** Why this can't be done to this unit now; null if it can. */
    static @Nullable Refusal objection(Change change, UnitId unit, ArmedAction action) {
        return switch (action) {
            case START -> startObjection(change, unit);
            case RESUME -> resumeObjection(change, unit);
            case TUNE -> Tunings.objection(change, unit);
            case RESET -> null;
            case CONFIRM -> unit.isOven() && change.batch(unit) == null ? Refusal.NO_BATCH : null;
        };
    }

    private static @Nullable Refusal startObjection(Change change, UnitId unit) {
        if (unit.kind() == UnitKind.LINE) {
            return Refusal.UNKNOWN_UNIT;
        }
        if (unit.kind() == UnitKind.STEAMER) {
            Batch waiting = awaitingPerson(change);
            return waiting == null
                    ? Refusal.NO_BATCH
                    : Replies.objection(change, waiting, PromptKind.STEAM_READY, null, true);
        }
        Batch batch = change.batch(unit);
        if (batch == null) {
            return Refusal.NO_BATCH;
        }
        if (!batch.isIn(ProcedureState.PLANNED)) {
            return Refusal.WRONG_STATE;
        }
        return change.sight.startBlockedBy(unit) == null ? null : Refusal.NOT_PERMITTED;
    }

    private static @Nullable Refusal resumeObjection(Change change, UnitId unit) {
        Batch batch = unit.isOven() ? change.batch(unit) : change.inSteamer();
        if (batch == null) {
            return Refusal.NO_BATCH;
        }
        if (!batch.isIn(ProcedureState.HELD)) {
            return Refusal.WRONG_STATE;
        }
        boolean blocked =
                change.sight.startBlockedBy(batch.oven()) != null
                        || (batch.hasSteamer()
                                && change.sight.startBlockedBy(UnitId.STEAMER) != null);
        return blocked ? Refusal.NOT_PERMITTED : null;
    }

    /** The batch that waits for a person at a free steamer, the longest waiting first. */
    private static @Nullable Batch awaitingPerson(Change change) {
        Batch longest = null;
        for (int n = 1; n <= change.ovens(); n++) {
            Batch batch = change.batch(UnitId.oven(n));
            if (batch != null
                    && batch.phase() instanceof Phase.AwaitingPerson
                    && batch.isIn(ProcedureState.RUNNING)
                    && (longest == null || batch.phase().sinceS() < longest.phase().sinceS())) {
                longest = batch;
            }
        }
        return longest;
    }

    /** Does what was armed; there is no objection to it. */
    static void execute(Change change, Armed armed) {
        switch (armed.action()) {
            case START -> start(change, armed);
            case RESUME -> {
                Batch batch =
                        armed.unit().isOven() ? change.batch(armed.unit()) : change.inSteamer();
                if (batch != null) {
                    change.keep(Ways.resume(change, batch));
                }
            }
            case TUNE -> Tunings.begin(change, armed.unit(), armed.by());
            case RESET -> reset(change, armed.unit());
            case CONFIRM -> confirm(change, armed.unit());
        }
    }

    private static void start(Change change, Armed armed) {
        if (armed.unit().isOven()) {
            Batch batch = change.batch(armed.unit());
            if (batch != null) {
                change.keep(Ways.begin(change, batch));
            }
            return;
        }
        Batch waiting = awaitingPerson(change);
        Prompt prompt = waiting == null ? null : waiting.prompt(PromptKind.STEAM_READY);
        if (waiting != null && prompt != null) {
            Replies.take(change, waiting, prompt, armed.by(), null);
        }
    }

    private static void reset(Change change, UnitId unit) {
        change.reset(unit);
        for (int n = 1; n <= change.ovens(); n++) {
            Batch batch = change.batch(UnitId.oven(n));
            boolean meant =
                    batch != null
                            && (unit.kind() == UnitKind.LINE
                                    || batch.oven().equals(unit)
                                    || (unit.kind() == UnitKind.STEAMER && batch.hasSteamer()));
            if (batch != null && meant && batch.isIn(ProcedureState.STOPPED)) {
                change.keep(Ways.hold(change, batch, HeldCause.RESET_AFTER_STOP));
            }
        }
    }

    private static void confirm(Change change) {
        Armed armed = change.armed();
        boolean pointed = armed != null && armed.action() == ArmedAction.CONFIRM;
        if (armed != null && pointed) {
            change.armed(null);
            confirm(change, armed.unit());
        } else {
            confirm(change, UnitId.LINE);
        }
    }

    /**
     * Heat comes back where only the press was missing; if it was missing nowhere, the press
     * answers the one prompt that a press can answer.
     */
    private static void confirm(Change change, UnitId unit) {
        boolean reheated = false;
        for (int n = 1; n <= change.ovens(); n++) {
            Batch batch = change.batch(UnitId.oven(n));
            if (batch != null && isPointedAt(unit, batch) && waitsForPress(change, batch)) {
                change.start(batch.oven());
                change.keep(turnedIfAsked(change, batch));
                reheated = true;
            }
        }
        if (!reheated) {
            answerTheOne(change, unit);
        }
    }

    private static boolean isPointedAt(UnitId unit, Batch batch) {
        return switch (unit.kind()) {
            case LINE -> true;
            case STEAMER -> batch.hasSteamer() || batch.phase() instanceof Phase.AwaitingPerson;
            case OVEN -> batch.oven().equals(unit);
        };
    }

    /** The door was open, is closed again, and nothing else is in the way of the oven's heat. */
    static boolean waitsForPress(Change change, Batch batch) {
        return Ways.wantsOvenHeat(batch)
                && change.sight.doorClosed(batch.oven())
                && change.sight.trouble(batch.oven()) == Trouble.WAITS_FOR_PRESS;
    }

    private static Batch turnedIfAsked(Change change, Batch batch) {
        Batch asked = batch;
        Prompt press = batch.prompt(PromptKind.PRESS_CONFIRM);
        if (press != null) {
            asked = Prompts.answered(change, asked, press, AT_MACHINE, null);
        }
        Prompt turn = batch.prompt(PromptKind.TURN);
        if (turn != null && Replies.objection(change, asked, turn.kind(), null, true) == null) {
            asked = Prompts.answered(change, asked, turn, AT_MACHINE, null);
            asked = Replies.turned(change, asked);
        }
        return asked;
    }

    /** What one press could answer, and what stands in the way of the others. */
    private static final class Candidates {
        @Nullable Batch batch;
        @Nullable Prompt prompt;
        int fitting;
        @Nullable Refusal objection;
        String objected = "";

        void look(Change change, Batch of, Prompt asked) {
            Refusal why = Replies.objection(change, of, asked.kind(), null, true);
            if (why == null) {
                fitting++;
                batch = of;
                prompt = asked;
            } else {
                objection = why;
                objected = asked.id();
            }
        }
    }

    private static void answerTheOne(Change change, UnitId unit) {
        Candidates candidates = new Candidates();
        for (int n = 1; n <= change.ovens(); n++) {
            Batch batch = change.batch(UnitId.oven(n));
            if (batch != null && isPointedAt(unit, batch)) {
                for (Prompt prompt : batch.prompts()) {
                    if (Replies.isConfirmable(prompt.kind())) {
                        candidates.look(change, batch, prompt);
                    }
                }
            }
        }
        Batch batch = candidates.batch;
        Prompt prompt = candidates.prompt;
        Refusal objection = candidates.objection;
        if (candidates.fitting > 1) {
            refuse(change, Refusal.SEVERAL_PROMPTS, unit.label());
        } else if (batch != null && prompt != null) {
            Replies.take(change, batch, prompt, AT_MACHINE, null);
        } else if (objection != null) {
            refuse(change, objection, candidates.objected);
        } else {
            refuse(change, Refusal.UNKNOWN_PROMPT, unit.label());
        }
    }

    private static void refuse(Change change, Refusal why, String subject) {
        change.event(new Event.PressRefused(Button.CONFIRM, why, subject));
    }
}
