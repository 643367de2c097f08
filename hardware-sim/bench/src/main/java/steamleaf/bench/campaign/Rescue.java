package steamleaf.bench.campaign;

import java.util.List;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import steamleaf.bench.Hands;
import steamleaf.bench.Rig;
import steamleaf.contract.CommandMessage.Args;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.interlock.Cause;
import steamleaf.core.interlock.ContactorPhase;
import steamleaf.core.interlock.GuardState;
import steamleaf.core.interlock.Latch;
import steamleaf.core.interlock.Rule;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.fault.Fault;
import steamleaf.sim.plant.Button;
import steamleaf.sim.plant.Plant;

/**
 * The person who comes once everything is mended: shuts doors, resets high limits, resets what
 * tripped, resumes what is held, presses what is asked for; tries it too when the rest is broken
 * for good. Does nothing before anything broke, so a good day is not touched. Looked at as often as
 * {@link Hands}.
 */
public final class Rescue {
    /** Nobody gives up before; the hottest oven has cooled below its high limit's reset by then. */
    public static final double LONGEST_S = 1200;

    private static final double PRESS_S = 0.6;
    private static final double BETWEEN_S = 3;
    private static final double WAIT_FOR_OTHERS_S = 20;

    /** Where something is never mended, people still try, though not without a break. */
    private static final double LASTING_S = 60;

    private final Rig rig;
    private final Hands hands;
    private final Plant plant;
    private @Nullable Button pressing;
    private double downS;
    private double nextS;
    private double mendedS = Double.NaN;
    private double quietS = Double.NaN;
    private boolean told;
    private final Consumer<String> cannotRun;

    /**
     * @param cannotRun hears, once per time, why the line does not run again although all is mended
     */
    public Rescue(Rig rig, Hands hands, Consumer<String> cannotRun) {
        this.rig = rig;
        this.hands = hands;
        this.cannotRun = cannotRun;
        plant = rig.line().plant();
    }

    public void look() {
        double nowS = rig.nowS();
        if (pressing != null) {
            boolean over = nowS >= downS + PRESS_S;
            plant.hold(pressing, nowS >= downS && !over);
            if (over) {
                pressing = null;
                nextS = nowS + BETWEEN_S;
            }
            return;
        }
        List<Fault> broken = rig.line().faults().active();
        boolean lasting = !broken.isEmpty();
        if (broken.stream().anyMatch(fault -> Double.isFinite(fault.durationS()))
                || rig.line().faults().story().isEmpty()) {
            mendedS = Double.NaN;
            told = false;
            return;
        }
        if (Double.isNaN(mendedS) || glows()) {
            mendedS = nowS;
        }
        quietS = hands.busy() ? Double.NaN : Double.isNaN(quietS) ? nowS : quietS;
        if (nowS < nextS) {
            return;
        }
        String why = notFit();
        if (why == null) {
            mendedS = nowS; // whatever comes later is another story
            told = false;
            return;
        }
        if (nowS - mendedS > LONGEST_S && !told && !lasting) {
            told = true;
            cannotRun.accept(why);
        }
        boolean mayAct = nowS - quietS > WAIT_FOR_OTHERS_S || nowS - mendedS > LONGEST_S / 3;
        if (mayAct) {
            act(nowS);
            nextS += lasting ? LASTING_S : 0;
        }
    }

    /** After a fire an oven may be hotter than its probe can tell: nobody can run that yet. */
    private boolean glows() {
        for (int oven = 1; oven <= plant.ovens(); oven++) {
            if (plant.truth(oven).airC > plant.settings().oven().highLimitC()) {
                return true;
            }
        }
        return false;
    }

    /** The line runs, or could be started. */
    boolean fit() {
        return notFit() == null;
    }

    /** Why the line neither runs nor could be started; null when it does or could. */
    @Nullable String notFit() {
        GuardState guard = rig.result().state().guard();
        for (Cause cause : guard.causes()) {
            if (cause.isStanding() && cause.rule().blocksStart()) {
                return cause.unit().label() + " " + cause.rule();
            }
            if (cause.latched() && cause.rule().latch() == Latch.INTERLOCK && needs(cause.unit())) {
                return cause.unit().label() + " waits for a press after " + cause.rule();
            }
        }
        for (OvenSlot slot : rig.floor().slots()) {
            Batch batch = slot.batch();
            if (batch != null
                    && (batch.isIn(ProcedureState.HELD) || batch.isIn(ProcedureState.STOPPED))) {
                return batch.id() + " is " + batch.state();
            }
        }
        return null;
    }

    /** A batch that runs wants heat or steam of this unit now; with the leaf outside it waits. */
    private boolean needs(UnitId unit) {
        Batch batch = unit.isOven() ? rig.floor().batch(unit) : rig.floor().inSteamer();
        boolean wants =
                batch != null && (unit.isOven() ? batch.phase() instanceof Phase.Drying : true);
        return batch != null && wants && batch.isIn(ProcedureState.RUNNING);
    }

    private void act(double nowS) {
        GuardState guard = rig.result().state().guard();
        nextS = nowS + BETWEEN_S;
        if (hands.busy()) {
            hands.drop(); // waits for what will not come
        }
        plant.closeHood();
        for (int oven = 1; oven <= plant.ovens(); oven++) {
            plant.closeDoor(oven);
            if (!plant.sensing().highLimitHealthy[oven - 1]) {
                plant.resetHighLimit(oven);
            }
        }
        for (UnitId unit : units()) {
            if (guard.tripped(unit)) {
                rig.send(unit.label(), "arm", Args.action("reset"));
                press(Button.RESET, nowS + 1);
                return;
            }
        }
        for (Cause cause : guard.causes()) {
            if (cause.rule() == Rule.DOOR_NOT_SEEN_OPEN && cause.present()) {
                plant.openDoor(cause.unit().number());
                return; // closed again at the next look
            }
        }
        if (guard.contactor() == ContactorPhase.AWAITING_RESET) {
            press(Button.RESET, nowS);
            return;
        }
        for (OvenSlot slot : rig.floor().slots()) {
            Batch batch = slot.batch();
            if (batch != null && goOn(batch, guard, nowS)) {
                return;
            }
        }
    }

    private boolean goOn(Batch batch, GuardState guard, double nowS) {
        if (batch.isIn(ProcedureState.STOPPED)) {
            rig.send(batch.oven().label(), "arm", Args.action("reset"));
            press(Button.RESET, nowS + 1);
            return true;
        }
        if (batch.isIn(ProcedureState.HELD)) {
            rig.send(batch.oven().label(), "arm", Args.action("resume"));
            press(Button.START, nowS + 1);
            return true;
        }
        for (Cause cause : guard.causes()) {
            if (cause.latched() && cause.rule().latch() == Latch.INTERLOCK) {
                press(Button.CONFIRM, nowS);
                return true;
            }
        }
        return false;
    }

    /** From then on, so that what was armed has arrived. */
    private void press(Button button, double fromS) {
        pressing = button;
        downS = fromS;
    }

    private List<UnitId> units() {
        return plant.ovens() == 3
                ? List.of(
                        UnitId.LINE, UnitId.STEAMER, UnitId.oven(1), UnitId.oven(2), UnitId.oven(3))
                : List.of(UnitId.LINE, UnitId.STEAMER, UnitId.oven(1));
    }
}
