package steamleaf.bench;

import org.jspecify.annotations.Nullable;
import steamleaf.contract.CommandMessage.Args;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Prompt;
import steamleaf.core.interlock.Cause;
import steamleaf.core.interlock.ContactorPhase;
import steamleaf.core.interlock.GuardState;
import steamleaf.core.interlock.Latch;
import steamleaf.sim.plant.Button;

/**
 * Who comes when the hands have nothing to do and the panel still asks: a press or an answer was
 * lost with the controller that died. Does once more what is asked for. Looked at as often as
 * {@link Hands}.
 */
final class Colleague {
    private static final double PRESS_S = 0.6;
    private static final double BETWEEN_S = 5;
    private static final double COMES_AFTER_S = 30;

    private final MortalLine line;
    private final Hands hands;
    private @Nullable Button pressing;
    private double downS;
    private double nextS;
    private double idleSinceS = Double.NaN;

    Colleague(MortalLine line, Hands hands) {
        this.line = line;
        this.hands = hands;
    }

    void look() {
        double nowS = line.nowS();
        if (pressing != null) {
            boolean over = nowS >= downS + PRESS_S;
            line.plant().hold(pressing, nowS >= downS && !over);
            if (over) {
                pressing = null;
                nextS = nowS + BETWEEN_S;
            }
            return;
        }
        if (hands.busy()) {
            idleSinceS = Double.NaN;
            return;
        }
        idleSinceS = Double.isNaN(idleSinceS) ? nowS : idleSinceS;
        if (nowS >= nextS && nowS - idleSinceS >= COMES_AFTER_S) {
            nextS = nowS + BETWEEN_S;
            act(nowS);
        }
    }

    private void act(double nowS) {
        GuardState guard = line.rig().result().state().guard();
        for (Cause cause : guard.causes()) {
            if (cause.latched() && cause.rule().latch() == Latch.TRIP) {
                line.send(cause.unit().label(), "arm", Args.action("reset"));
                press(Button.RESET, nowS + 1);
                return;
            }
        }
        if (guard.contactor() == ContactorPhase.AWAITING_RESET) {
            press(Button.RESET, nowS);
            return;
        }
        for (OvenSlot slot : line.floor().slots()) {
            Batch batch = slot.batch();
            if (batch != null && goOn(batch, guard, nowS)) {
                return;
            }
        }
    }

    private boolean goOn(Batch batch, GuardState guard, double nowS) {
        if (batch.isIn(ProcedureState.HELD) || batch.isIn(ProcedureState.PLANNED)) {
            String action = batch.isIn(ProcedureState.HELD) ? "resume" : "start";
            line.send(batch.oven().label(), "arm", Args.action(action));
            press(Button.START, nowS + 1);
            return true;
        }
        for (Cause cause : guard.causes(batch.oven())) {
            if (cause.latched() && cause.rule().latch() == Latch.INTERLOCK) {
                press(Button.CONFIRM, nowS);
                return true;
            }
        }
        for (Prompt prompt : batch.prompts()) {
            if (line.nowS() - idleSinceS > 2 * COMES_AFTER_S) {
                return answer(prompt, nowS);
            }
        }
        return false;
    }

    private boolean answer(Prompt prompt, double nowS) {
        switch (prompt.kind()) {
            case STEAM_READY, TURN, PRESS_CONFIRM -> press(Button.CONFIRM, nowS);
            case PRESS_RESET, RESUME_OR_ABORT -> press(Button.RESET, nowS);
            case FEED, COOL_AND_LOAD, TAKE_OUT, PUT_BACK, TAKE_OUT_AND_SPREAD -> say(prompt, null);
            case WEIGH, PACK -> {
                Integer leaf = hands.charge(prompt.batchId());
                say(prompt, leaf == null ? 0 : line.plant().weigh(leaf).value());
            }
            case HAND_SAMPLE -> {
                return false;
            }
        }
        return true;
    }

    private void say(Prompt prompt, @Nullable Double massKg) {
        Double rounded = massKg == null ? null : Math.round(massKg * 1000) / 1000.0;
        line.send(prompt.unit().label(), "answer-prompt", Args.prompt(prompt.id(), rounded));
    }

    /** From then on, so that what was armed has arrived. */
    private void press(Button button, double fromS) {
        pressing = button;
        downS = fromS;
    }
}
