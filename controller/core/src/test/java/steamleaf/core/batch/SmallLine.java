package steamleaf.core.batch;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import steamleaf.core.estimate.Band;
import steamleaf.core.learn.Lesson;
import steamleaf.core.reading.UnitId;

/**
 * Two ovens and a steamer in a few lines, for the procedures alone: one step is one second. The
 * guard is a permission per unit that the door takes away and a press gives.
 */
final class SmallLine implements Sight {
    static final UnitId OVEN_1 = UnitId.oven(1);
    static final UnitId OVEN_2 = UnitId.oven(2);

    final BatchSettings settings;
    Floor floor = Floor.empty(2);
    final List<Event> events = new ArrayList<>();
    final List<LeafAction> leafActions = new ArrayList<>();
    FloorStep last;

    long cycle;
    double nowS;
    final Set<Button> pressed = EnumSet.noneOf(Button.class);
    final double[] airC = {20.0, 20.0};
    final boolean[] open = new boolean[2];
    final boolean[] heatPermitted = new boolean[2];
    boolean steamPermitted;
    boolean waitsForReset;
    boolean doorUnknown;
    double chestC = 20.0;
    double dwellToFloorS = 20.0;
    double doneS = Double.NaN;

    /** From the end of the work that runs to the end of the batch. */
    double afterWorkS = Double.NaN;

    double[] moisture = {Double.NaN, Double.NaN};
    final double[] deviation = {0.01, 0.01};
    @Nullable SampleHelp help;
    double aim = Double.NaN;
    @Nullable FinishPlan finishPlan;
    final Set<UnitId> tripped = new java.util.HashSet<>();
    @Nullable String blockedBy;
    private long nextCommand;

    SmallLine() {
        settings =
                new BatchSettings(
                        1.0,
                        List.of(oven(), oven()),
                        new SteamerSettings(800.0, 40.0, 5.0),
                        StockRecipes.all(),
                        12.0,
                        20.0,
                        10.0,
                        5.0,
                        60.0,
                        3.0,
                        1200.0,
                        600.0);
        step();
    }

    private static OvenSettings oven() {
        return new OvenSettings(100.0, 6000.0, 200.0, 6.0, 6.0, true);
    }

    // ---- time

    FloorStep step(Command... commands) {
        cycle++;
        nowS++;
        last = Procedures.step(settings, floor, this, List.of(commands));
        floor = last.floor();
        events.addAll(last.events());
        for (LeafAction action : last.leafActions()) {
            leafActions.add(action);
            leaf(action);
        }
        for (UnitId unit : last.starts()) {
            permit(unit, true);
        }
        for (UnitId unit : last.stops()) {
            permit(unit, false);
        }
        plant();
        return last;
    }

    private void permit(UnitId unit, boolean on) {
        switch (unit.kind()) {
            case LINE -> {
                steamPermitted = on;
                java.util.Arrays.fill(heatPermitted, on);
            }
            case STEAMER -> steamPermitted = on;
            case OVEN -> heatPermitted[unit.number() - 1] = on && !open[unit.number() - 1];
        }
    }

    private void leaf(LeafAction action) {
        int i = action.oven().number() - 1;
        switch (action) {
            case LeafAction.Loaded _ -> moisture[i] = 0.78;
            case LeafAction.Gone _ -> moisture[i] = Double.NaN;
            case LeafAction.Sampled sampled -> moisture[i] = sampled.sample().valueWet();
            case LeafAction.Fed _,
                    LeafAction.Turned _,
                    LeafAction.TakenOut _,
                    LeafAction.Worked _,
                    LeafAction.PutBack _,
                    LeafAction.Weighed _,
                    LeafAction.SampleOut _ -> {}
        }
    }

    private void plant() {
        for (int i = 0; i < 2; i++) {
            Batch batch = floor.slots().get(i).batch();
            heatPermitted[i] &= !open[i];
            OvenWish wish = Wishes.oven(batch);
            double wantC = wish.heat() && heatPermitted[i] ? wish.airC() : 20.0;
            airC[i] += (wantC - airC[i]) / 120.0;
            boolean inside = batch != null && batch.charge().place() == Place.OVEN;
            if (inside && airC[i] > 30.0) {
                moisture[i] -= moisture[i] * (airC[i] - 30.0) * 5e-6;
            }
        }
        boolean steam = Wishes.steamer(floor.inSteamer(), settings.steamer()).steam();
        chestC += ((steam && steamPermitted ? 99.9 : 20.0) - chestC) / 30.0;
    }

    void run(double seconds) {
        for (int i = 0; i < seconds; i++) {
            step();
        }
    }

    /** Steps until it holds; fails with the story if it does not within the time. */
    void runUntil(String what, double withinS, java.util.function.BooleanSupplier holds) {
        for (int i = 0; i < withinS; i++) {
            if (holds.getAsBoolean()) {
                return;
            }
            step();
        }
        throw new AssertionError(what + " did not come within " + withinS + " s\n" + story());
    }

    String story() {
        StringBuilder story = new StringBuilder("at " + nowS + " s\n");
        events.forEach(event -> story.append("  ").append(event).append('\n'));
        floor.slots().forEach(slot -> story.append("  ").append(slot).append('\n'));
        return story.toString();
    }

    // ---- people

    Stamp stamp(@Nullable ProcedureState seen) {
        return new Stamp("c" + nextCommand++, "Aki", false, cycle, seen);
    }

    Answer tell(Command command) {
        step(command);
        return last.answers().getLast();
    }

    void press(Button button) {
        pressed.add(button);
        step();
        pressed.remove(button);
        step();
    }

    String takeInLot(double massKg) {
        Answer answer =
                tell(
                        new Command.TakeInLot(
                                stamp(null),
                                "Lower terrace",
                                "field-7",
                                "Green",
                                0,
                                Ripeness.MEDIUM,
                                false,
                                2.0,
                                massKg,
                                24.0));
        return ((Answer.Moved) answer).subject();
    }

    Command.PlanBatch planOf(UnitId oven, String recipe, Portion... portions) {
        return new Command.PlanBatch(
                stamp(ProcedureState.IDLE), oven, recipe, List.of(portions), null);
    }

    void plan(UnitId oven, String recipe, double massKg) {
        String lot = takeInLot(massKg);
        moved(tell(planOf(oven, recipe, new Portion(lot, massKg))));
    }

    void start(UnitId oven) {
        moved(tell(new Command.Arm(stamp(ProcedureState.PLANNED), oven, ArmedAction.START)));
        press(Button.START);
    }

    Answer arm(UnitId unit, ArmedAction action) {
        Batch batch = unit.isOven() ? floor.batch(unit) : floor.inSteamer();
        return tell(
                new Command.Arm(
                        stamp(batch == null ? ProcedureState.IDLE : batch.state()), unit, action));
    }

    Batch batch(UnitId oven) {
        Batch batch = floor.batch(oven);
        if (batch == null) {
            throw new AssertionError("no batch in " + oven.label() + "\n" + story());
        }
        return batch;
    }

    boolean asks(UnitId oven, PromptKind kind) {
        Batch batch = floor.batch(oven);
        return batch != null && batch.prompt(kind) != null;
    }

    Answer answer(UnitId oven, PromptKind kind, @Nullable Double massKg) {
        Prompt prompt = batch(oven).prompt(kind);
        if (prompt == null) {
            throw new AssertionError("not asked: " + kind + "\n" + story());
        }
        return tell(new Command.AnswerPrompt(stamp(null), prompt.id(), massKg));
    }

    void openAndShut(UnitId oven) {
        open[oven.number() - 1] = true;
        run(30);
        open[oven.number() - 1] = false;
        run(5);
    }

    static Answer.Moved moved(Answer answer) {
        if (answer instanceof Answer.Moved moved) {
            return moved;
        }
        throw new AssertionError("expected to be moved: " + answer);
    }

    static Refusal refused(Answer answer) {
        if (answer instanceof Answer.Refused refused) {
            return refused.reason();
        }
        throw new AssertionError("expected a refusal: " + answer);
    }

    /** Two hands that do what is asked, a little later. */
    void serve(UnitId oven) {
        Batch batch = floor.batch(oven);
        if (batch == null || batch.prompts().isEmpty()) {
            return;
        }
        Prompt prompt = batch.prompts().getFirst();
        switch (prompt.kind()) {
            case STEAM_READY, FEED, PRESS_CONFIRM -> {
                run(20);
                press(Button.CONFIRM);
            }
            case COOL_AND_LOAD, PUT_BACK -> {
                openAndShut(oven);
                moved(answer(oven, prompt.kind(), 4.0));
                press(Button.CONFIRM);
            }
            case TURN, TAKE_OUT -> {
                openAndShut(oven);
                press(Button.CONFIRM);
            }
            case HAND_SAMPLE -> {
                String sample = moved(tell(new Command.SampleTaken(stamp(null), oven))).subject();
                run(300);
                moved(
                        tell(
                                new Command.SampleValue(
                                        stamp(null),
                                        sample,
                                        moisture[oven.number() - 1],
                                        Basis.WET,
                                        "oven",
                                        0.005)));
            }
            case WEIGH, PACK -> moved(answer(oven, prompt.kind(), 0.9));
            case TAKE_OUT_AND_SPREAD, PRESS_RESET, RESUME_OR_ABORT -> run(1);
        }
    }

    void runWithHands(UnitId oven, double withinS) {
        double endS = nowS + withinS;
        while (floor.batch(oven) != null && nowS < endS) {
            serve(oven);
            step();
        }
    }

    // ---- what the procedures see

    @Override
    public long cycle() {
        return cycle;
    }

    @Override
    public double nowS() {
        return nowS;
    }

    @Override
    public boolean second() {
        return true;
    }

    @Override
    public boolean buttonOn(Button button) {
        return pressed.contains(button);
    }

    @Override
    public boolean buttonOff(Button button) {
        return !pressed.contains(button);
    }

    @Override
    public double airC(UnitId oven) {
        return airC[oven.number() - 1];
    }

    @Override
    public boolean doorOpen(UnitId oven) {
        return open[oven.number() - 1] && !doorUnknown;
    }

    @Override
    public boolean doorClosed(UnitId oven) {
        return !open[oven.number() - 1] && !doorUnknown;
    }

    @Override
    public double chestC() {
        return chestC;
    }

    @Override
    public double boilingC() {
        return 99.6;
    }

    @Override
    public double steamLogReduction() {
        return 3.0;
    }

    @Override
    public boolean steamFloorReached() {
        return true;
    }

    boolean keyOff;
    Tuning.@Nullable Outcome tuned;

    @Override
    public boolean keyOff() {
        return keyOff;
    }

    @Override
    public Tuning.@Nullable Outcome tuned(UnitId oven) {
        return tuned;
    }

    @Override
    public @Nullable Lesson lesson(UnitId oven, String batchId) {
        Lesson.Part rate = new Lesson.Part(-0.3, 0.2, Lesson.Worth.COUNTS);
        return new Lesson(batchId, rate, new Lesson.Part(0.0, 0.2, Lesson.Worth.VAGUE));
    }

    @Override
    public double steamActivityLeft() {
        return 0.05;
    }

    @Override
    public double dwellToFloorS(double steamC) {
        return dwellToFloorS;
    }

    @Override
    public double moisture(UnitId oven) {
        return moisture[oven.number() - 1];
    }

    @Override
    public double moistureDeviation(UnitId oven) {
        return deviation[oven.number() - 1];
    }

    @Override
    public double moistureAfterCarryOver(UnitId oven) {
        return moisture[oven.number() - 1];
    }

    @Override
    public double aim(UnitId oven) {
        return aim;
    }

    @Override
    public @Nullable SampleHelp sampleHelp(UnitId oven) {
        return help;
    }

    @Override
    public @Nullable EndPoint endPoint(UnitId oven) {
        return Double.isNaN(aim)
                ? null
                : EndPoint.of(Band.GREEN_TEA, 0.05, deviation[oven.number() - 1], 0.0, 0.0);
    }

    @Override
    public @Nullable FinishPlan finishPlan(UnitId oven, double wantedS) {
        return finishPlan;
    }

    @Override
    public double outS(UnitId oven) {
        return Double.NaN;
    }

    @Override
    public double regain(UnitId oven) {
        return Double.NaN;
    }

    @Override
    public double doneS(UnitId oven) {
        double untilS = Promises.workUntilS(batch(oven));
        return Double.isNaN(untilS) ? doneS : untilS + afterWorkS;
    }

    @Override
    public double landsInS(UnitId oven) {
        return Double.NaN;
    }

    @Override
    public boolean waitsForReset() {
        return waitsForReset;
    }

    @Override
    public Trouble trouble(UnitId unit) {
        if (tripped.contains(unit)) {
            return Trouble.TRIP;
        }
        if (!unit.isOven()) {
            return steamPermitted ? Trouble.NONE : Trouble.WAITS_FOR_PRESS;
        }
        int i = unit.number() - 1;
        return heatPermitted[i]
                ? Trouble.NONE
                : open[i] ? Trouble.INTERLOCK : Trouble.WAITS_FOR_PRESS;
    }

    @Override
    public @Nullable String startBlockedBy(UnitId unit) {
        return blockedBy;
    }
}
