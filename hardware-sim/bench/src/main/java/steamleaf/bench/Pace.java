package steamleaf.bench;

import java.util.List;
import java.util.Locale;
import java.util.Queue;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import steamleaf.core.batch.Answer;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Refusal;
import steamleaf.core.cycle.UnitView;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.fault.FaultCase;
import steamleaf.sim.fault.FaultKind;
import steamleaf.sim.plant.Act;
import steamleaf.sim.plant.Button;
import steamleaf.sim.plant.Plant;

/**
 * Lets line time run: as many times real time as asked while nobody is waited for, real time while
 * the panel waits for a person. Between cycles it takes words and presses.
 */
final class Pace {
    private static final double PRESS_S = 0.6;
    private static final long CATCH_UP_NS = 50_000_000L;

    /** Whoever's page was too old looks again and repeats; it must not be too old again. */
    private static final long REPEAT_NS = 20_000_000_000L;

    private final Rig rig;
    private final Hands hands;
    private final LineProcess.Network network;
    private final StandInPresses presses;
    private final Queue<Word> words;
    private final Consumer<String> told;
    private final BooleanSupplier ending;
    private long speed;
    private boolean somebodyCame;
    private boolean wasTooOld;
    private long tooOldNs;
    private final double[] releaseAtS = new double[Button.values().length];
    private boolean ended;
    private boolean contactorClosed;
    private boolean hornSounds;

    Pace(
            Rig rig,
            Hands hands,
            LineProcess.Network network,
            StandInPresses presses,
            Queue<Word> words,
            long speed,
            Consumer<String> told,
            BooleanSupplier ending) {
        this.rig = rig;
        this.hands = hands;
        this.network = network;
        this.presses = presses;
        this.words = words;
        this.speed = speed;
        this.told = told;
        this.ending = ending;
        java.util.Arrays.fill(releaseAtS, Double.POSITIVE_INFINITY);
        contactorClosed = rig.line().plant().contactorClosed();
        hornSounds = rig.line().plant().hornSounds();
    }

    void keep() {
        long nextNs = System.nanoTime();
        for (long cycle = 1; !ended && !ending.getAsBoolean(); cycle++) {
            for (Word word = words.poll(); word != null; word = words.poll()) {
                somebodyCame = true;
                take(word);
            }
            for (Button button = presses.poll(); button != null; button = presses.poll()) {
                press(button);
            }
            release();
            rig.cycle();
            hear(rig.result().answers());
            tellOfTheMachine();
            if (cycle % LineProcess.cyclesPerLook() == 0) {
                hands.look();
            }
            nextNs += LineProcess.cycleNs() / (isPersonAwaited() ? 1 : speed);
            long now = System.nanoTime();
            nextNs = Math.max(nextNs, now - CATCH_UP_NS);
            LineProcess.waitNs(nextNs - now);
        }
    }

    /** What somebody in the room would hear: the contactor's clack, the horn. */
    private void tellOfTheMachine() {
        boolean closed = rig.line().plant().contactorClosed();
        boolean sounds = rig.line().plant().hornSounds();
        if (closed != contactorClosed) {
            contactorClosed = closed;
            told.accept(
                    atCycle()
                            + (closed ? "the main contactor closes" : "the main contactor opens"));
        }
        if (sounds != hornSounds) {
            hornSounds = sounds;
            told.accept(atCycle() + (sounds ? "the horn sounds" : "the horn is silent"));
        }
    }

    private String atCycle() {
        return "cycle " + rig.controller().cycleNumber() + ": ";
    }

    private void hear(List<Answer> answers) {
        somebodyCame |= !answers.isEmpty();
        for (int i = 0; i < answers.size(); i++) {
            if (answers.get(i) instanceof Answer.Refused refused
                    && refused.reason() == Refusal.STALE) {
                wasTooOld = true;
                tooOldNs = System.nanoTime();
            }
        }
    }

    /**
     * Something is armed, or a page was too old just now; or the hands have done what they can and
     * somebody is asked for more, or no batch is on its way that one could wait for.
     */
    private boolean isPersonAwaited() {
        if (hands.help() == Hands.Help.ALL) {
            return false;
        }
        wasTooOld = wasTooOld && System.nanoTime() - tooOldNs < REPEAT_NS;
        if (wasTooOld || rig.floor().armed() != null) {
            return true; // ten seconds to the machine are ten seconds, whatever the hands do
        }
        if (hands.busy()) {
            return false;
        }
        boolean running = false;
        for (OvenSlot slot : rig.floor().slots()) {
            Batch batch = slot.batch();
            if (batch != null) {
                running |= batch.isIn(ProcedureState.RUNNING);
                if (!batch.prompts().isEmpty()
                        || batch.isIn(ProcedureState.PLANNED)
                        || batch.samples().stream().anyMatch(s -> s.isOpen())) {
                    return true;
                }
            }
        }
        return !running || !somebodyCame;
    }

    private void press(Button button) {
        rig.line().plant().hold(button, true);
        releaseAtS[button.ordinal()] = rig.nowS() + PRESS_S;
    }

    private void release() {
        for (Button button : Button.values()) {
            if (rig.nowS() >= releaseAtS[button.ordinal()]) {
                releaseAtS[button.ordinal()] = Double.POSITIVE_INFINITY;
                rig.line().plant().hold(button, false);
            }
        }
    }

    private void take(Word word) {
        Plant plant = rig.line().plant();
        switch (word) {
            case Word.Press(Button button) -> press(button);
            case Word.EmergencyStop(boolean pressed) -> {
                if (pressed) {
                    plant.pressEmergencyStop();
                } else {
                    plant.releaseEmergencyStop();
                }
            }
            case Word.Key(boolean on) -> plant.permitKey(on);
            case Word.Door(int oven, boolean open) -> door(plant, oven, open);
            case Word.Hood(boolean open) -> answer(open ? plant.openHood() : plant.closeHood());
            case Word.Break broken -> breakIt(broken);
            case Word.Mend(var component, var kind) -> mend(component, kind);
            case Word.Network(boolean there) -> network(there);
            case Word.HandsAre(boolean on) -> hands.help(on ? Hands.Help.ALL : Hands.Help.BODY);
            case Word.Pace(long times) -> speed = times;
            case Word.What() -> what();
            case Word.Faults() ->
                    rig.line()
                            .faults()
                            .catalogue()
                            .cases()
                            .forEach(c -> told.accept(c.component() + " " + c.kind().word()));
            case Word.Help() -> Word.HELP.lines().forEach(told);
            case Word.End() -> ended = true;
            case Word.Misunderstood(String why) -> why.lines().forEach(told);
        }
    }

    private void door(Plant plant, int oven, boolean open) {
        if (oven > plant.ovens()) {
            told.accept("there is no oven " + oven + "; allowed: 1 to " + plant.ovens());
        } else {
            answer(open ? plant.openDoor(oven) : plant.closeDoor(oven));
        }
    }

    private void answer(Act act) {
        if (act instanceof Act.Refused(String why)) {
            told.accept("can't be done: " + why);
        }
    }

    private void breakIt(Word.Break broken) {
        for (FaultKind kind : FaultKind.values()) {
            FaultCase found =
                    kind.word().equals(broken.kind())
                            ? rig.line().faults().catalogue().find(broken.component(), kind)
                            : null;
            if (found == null) {
                continue;
            }
            FaultCase.Size size = found.size();
            double how =
                    size == null
                            ? 0
                            : Double.isNaN(broken.size())
                                    ? (size.from() + size.to()) / 2
                                    : broken.size();
            try {
                told.accept(
                        "broken: "
                                + rig.line()
                                        .faults()
                                        .inject(
                                                broken.component(),
                                                kind,
                                                broken.forS(),
                                                how,
                                                null));
            } catch (IllegalArgumentException e) {
                told.accept(String.valueOf(e.getMessage()));
            }
            return;
        }
        told.accept(
                "\""
                        + broken.component()
                        + " "
                        + broken.kind()
                        + "\" is not in the fault catalogue; \"faults\" lists it");
    }

    private void mend(
            @org.jspecify.annotations.Nullable String component,
            @org.jspecify.annotations.Nullable String kind) {
        if (component == null || kind == null) {
            rig.line().faults().mendAll();
            told.accept("everything is whole again");
            return;
        }
        for (FaultKind known : FaultKind.values()) {
            if (known.word().equals(kind)) {
                rig.line().faults().mend(component, known);
            }
        }
    }

    private void network(boolean there) {
        if (!network.ours()) {
            told.accept("the broker is not ours; it stays as it is");
        } else if (there) {
            network.come();
            told.accept("the network is back");
        } else {
            network.go();
            told.accept("the network is cut; the controller goes on and keeps everything");
        }
    }

    private void what() {
        told.accept(
                rig.lineTime().toString().substring(11, 19)
                        + ", "
                        + (isPersonAwaited()
                                ? "real time: a person is waited for"
                                : speed + " times real time"));
        for (int n = 1; n <= rig.line().plant().ovens(); n++) {
            UnitView view = rig.controller().view(UnitId.oven(n));
            if (view != null) {
                told.accept(
                        String.format(
                                Locale.ROOT,
                                "oven %d: %s %s %s",
                                n,
                                view.state().name().toLowerCase(Locale.ROOT),
                                view.operation() == null
                                        ? ""
                                        : view.operation().name().toLowerCase(Locale.ROOT),
                                view.prompts().isEmpty()
                                        ? ""
                                        : "waits for: "
                                                + view.prompts()
                                                        .getFirst()
                                                        .kind()
                                                        .name()
                                                        .toLowerCase(Locale.ROOT)
                                                        .replace('_', ' ')));
            }
        }
    }
}
