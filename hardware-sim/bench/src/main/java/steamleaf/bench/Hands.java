package steamleaf.bench;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Queue;
import java.util.Set;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import java.util.function.DoubleSupplier;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Bodies;
import steamleaf.contract.CommandMessage.Args;
import steamleaf.contract.CommandMessage.LotDraft;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Prompt;
import steamleaf.core.batch.PromptKind;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.plant.Act;
import steamleaf.sim.plant.Button;
import steamleaf.sim.plant.LeafSpec;
import steamleaf.sim.plant.Place;
import steamleaf.sim.plant.Plant;

/**
 * A pair of hands at the simulated line. They do what a prompt asks of a body (feed, spread, turn,
 * roll, weigh, pack), one job after the other, with the pauses that a person needs. What a prompt
 * asks of a mind (answers, masses, presses) they do too when they run the whole batch; otherwise
 * that is left to whoever sits at the panel.
 *
 * <p>Pauses are common practice, no source.
 */
public final class Hands {
    /** How much is done for the person at the panel. */
    public enum Help {
        /** Everything: bench, or a demo that plays by itself. */
        ALL,
        /** Only the physical work. */
        BODY
    }

    private static final double REACH_S = 8;
    private static final double DOOR_S = 4;
    private static final double TURN_S = 35;
    private static final double SPREAD_S = 60;
    private static final double METER_S = 300;
    private static final double PRESS_S = 0.6;

    /** What was tried and still waits is tried again: the cause may be gone. */
    private static final double AGAIN_S = 120;

    /** A job that could not be done is looked at anew. */
    private static final double ANEW_S = 30;

    /** A batch that is held again and again is given up. */
    private static final int MOST_RESUMES = 3;

    /** Leaf goes into the oven below this; a hand feels it. */
    private static final double COOL_C = 33.0;

    /** Some step of a job: true when it is over. */
    private interface Step {
        boolean over(double nowS);
    }

    private final Plant plant;
    private final Talk talk;
    private Consumer<String> told;
    private final Queue<Job> waiting = new ArrayDeque<>();
    private final Set<String> seen = new HashSet<>();

    /** Prompts, by when their job may be taken up once more. */
    private final Map<String, Double> again = new HashMap<>();

    /** Held batches that were looked into, by their prompt. */
    private final Set<String> lookedInto = new HashSet<>();

    /** Batches that somebody meant to start, by oven, with the time of the last press. */
    private final Map<UnitId, Double> toStart = new LinkedHashMap<>();

    private final Map<String, Integer> charges = new HashMap<>();
    private final Map<String, LeafSpec> leaf = new HashMap<>();
    private final Map<UnitId, Integer> resumed = new HashMap<>();
    private final List<Later> later = new ArrayList<>();

    /** Jobs whose part for the mind was left to others, by prompt. */
    private final Map<String, Job> leftToOthers = new LinkedHashMap<>();

    private @Nullable Job running;
    private Help help;
    private int doing;
    private final int mostResumes;

    private record Later(double atS, Runnable act) {}

    /**
     * @param told hears, in words, what the hands did and read
     */
    public Hands(Plant plant, Talk talk, Help help, Consumer<String> told) {
        this(plant, talk, help, told, MOST_RESUMES);
    }

    /**
     * @param mostResumes a batch that is held more often is given up
     */
    Hands(Plant plant, Talk talk, Help help, Consumer<String> told, int mostResumes) {
        this.mostResumes = mostResumes;
        this.plant = plant;
        this.talk = talk;
        this.help = help;
        this.told = told;
    }

    /** Who begins to do everything also does what was left to others and still waits. */
    void help(Help now) {
        help = now;
        if (now == Help.ALL) {
            leftToOthers.forEach(this::takeOver);
            leftToOthers.clear();
        }
    }

    private void takeOver(String promptId, Job job) {
        if (isOpen(promptId)) {
            waiting.add(job.ofTheMind());
        }
    }

    /** From now on this hears what the hands did and read. */
    void telling(Consumer<String> now) {
        told = now;
    }

    Help help() {
        return help;
    }

    /** What the leaf of a batch is like when it is fed. */
    void leafOf(String batchId, LeafSpec spec) {
        leaf.put(batchId, spec);
    }

    /** Leaf that lies somewhere already when the hands come in. */
    void knowCharge(String batchId, int charge) {
        charges.put(batchId, charge);
    }

    public @Nullable Integer charge(String batchId) {
        return charges.get(batchId);
    }

    /** The first person in the morning: turns the key. */
    public void beginDay() {
        plant.permitKey(true);
        waiting.add(new Job().pause(REACH_S));
    }

    /** Takes in a lot, plans a batch of it and starts it at the machine. */
    public void runBatch(LotDraft lot, String recipe, UnitId oven, double massKg) {
        int[] lots = {0};
        waiting.add(
                new Job()
                        .act(() -> lots[0] = talk.floor().stock().lots().size(), null)
                        .act(() -> talk.send("line", "take-in-lot", Args.lot(lot)), null)
                        .until(() -> talk.floor().stock().lots().size() > lots[0])
                        .act(
                                () ->
                                        talk.send(
                                                oven.label(),
                                                "plan-batch",
                                                Args.batch(
                                                        recipe,
                                                        List.of(
                                                                new Bodies.Portion(
                                                                        talk.floor()
                                                                                .stock()
                                                                                .lots()
                                                                                .getLast()
                                                                                .id(),
                                                                        massKg)),
                                                        null)),
                                null)
                        .until(() -> talk.floor().batch(oven) != null)
                        .pause(REACH_S)
                        .act(() -> talk.send(oven.label(), "arm", Args.action("start")), null)
                        .pause(2)
                        .press(Button.START)
                        .act(() -> toStart.put(oven, talk.nowS()), null));
    }

    /** Somebody who pressed start and sees that nothing began resets what tripped and presses. */
    private Job startAgain(UnitId oven) {
        return resetting(new Job(), oven)
                .mind(() -> talk.send(oven.label(), "arm", Args.action("start")))
                .pause(2)
                .press(Button.START)
                .act(() -> toStart.put(oven, talk.nowS()), null);
    }

    /** What the job in hand answers; empty where it answers nothing that was asked. */
    public String doing() {
        return running == null ? "" : running.what;
    }

    /** Whether a job is under way or waits. */
    public boolean busy() {
        return running != null || !waiting.isEmpty();
    }

    /** Lets go of the job in hand; what is still asked for is looked at anew. */
    public void drop() {
        Job job = running;
        if (job != null && job.prompt != null) {
            again.put(job.prompt, talk.nowS() + ANEW_S);
        }
        running = null;
        for (Button button : Button.values()) {
            plant.hold(button, false);
        }
    }

    /**
     * Looks at the panel and goes on with the job in hand; called several times a second of line
     * time.
     */
    public void look() {
        double nowS = talk.nowS();
        for (int i = 0; i < later.size(); i++) {
            if (nowS >= later.get(i).atS()) {
                later.remove(i--).act().run();
            }
        }
        List<OvenSlot> slots = talk.floor().slots();
        for (int i = 0; i < slots.size(); i++) {
            Batch batch = slots.get(i).batch();
            if (batch != null) {
                takeUp(batch);
            }
        }
        if (help == Help.ALL && !busy()) {
            startWhatStands();
            putBackWhatIsMissed();
        }
        Job job = running;
        if (job == null) {
            job = next();
            running = job;
            doing = 0;
        }
        while (job != null && job.steps.get(doing).over(nowS)) {
            doing++;
            if (doing == job.steps.size()) {
                running = null;
                if (job.prompt != null) {
                    again.put(job.prompt, nowS + AGAIN_S);
                }
                keepWhatIsLeft(job);
                return;
            }
        }
    }

    /** The next job that is still wanted. */
    private @Nullable Job next() {
        Job job = waiting.poll();
        while (job != null && help == Help.ALL && job.prompt != null && !isOpen(job.prompt)) {
            job = waiting.poll();
        }
        return job;
    }

    private boolean isOpen(String promptId) {
        for (OvenSlot slot : talk.floor().slots()) {
            Batch batch = slot.batch();
            if (batch != null
                    && batch.prompts().stream().anyMatch(open -> open.id().equals(promptId))) {
                return true;
            }
        }
        return false;
    }

    private void startWhatStands() {
        for (Map.Entry<UnitId, Double> start : toStart.entrySet()) {
            Batch batch = talk.floor().batch(start.getKey());
            boolean stands = batch != null && batch.isIn(ProcedureState.PLANNED);
            if (stands && talk.nowS() >= start.getValue() + AGAIN_S) {
                waiting.add(startAgain(start.getKey()));
                return;
            }
        }
    }

    /** Leaf that was taken out just as somebody resumed its batch: the line thinks it is inside. */
    private void putBackWhatIsMissed() {
        for (OvenSlot slot : talk.floor().slots()) {
            Batch batch = slot.batch();
            if (batch == null || !batch.isIn(ProcedureState.RUNNING) || !meantInside(batch)) {
                continue;
            }
            int oven = batch.oven().number();
            Integer charge = charges.get(batch.id());
            if (charge != null && plant.chargeIn(oven) == 0) {
                waiting.add(
                        new Job()
                                .pause(REACH_S)
                                .open(oven)
                                .act(
                                        () -> putIn(batch.id(), oven),
                                        "the leaf goes back into oven " + oven)
                                .pause(SPREAD_S)
                                .close(oven)
                                .press(Button.CONFIRM));
                return;
            }
        }
    }

    private static boolean meantInside(Batch batch) {
        return batch.charge().place() == steamleaf.core.batch.Place.OVEN
                && (batch.phase() instanceof Phase.Drying
                        || batch.phase() instanceof Phase.CoolingInOven);
    }

    private void keepWhatIsLeft(Job job) {
        String prompt = job.prompt;
        if (prompt == null || !job.leftSomething) {
            return;
        }
        if (help == Help.ALL) {
            takeOver(prompt, job);
        } else {
            leftToOthers.put(prompt, job);
        }
    }

    private void takeUp(Batch batch) {
        for (int i = 0; i < batch.prompts().size(); i++) {
            Prompt prompt = batch.prompts().get(i);
            if (seen.add(prompt.id()) || isDueAgain(prompt)) {
                Job job = jobFor(batch, prompt);
                if (!job.steps.isEmpty()) {
                    waiting.add(job);
                }
            }
        }
    }

    /** A sample that was taken waits for its value; everything else may be tried again. */
    private boolean isDueAgain(Prompt prompt) {
        Double fromS = again.get(prompt.id());
        boolean due =
                help == Help.ALL
                        && prompt.kind() != PromptKind.HAND_SAMPLE
                        && fromS != null
                        && talk.nowS() >= fromS;
        if (due) {
            again.remove(prompt.id());
        }
        return due;
    }

    private Job jobFor(Batch batch, Prompt prompt) {
        int oven = batch.oven().number();
        String id = batch.id();
        Job job = new Job();
        job.prompt = prompt.id();
        job.what = prompt.kind().name().toLowerCase(Locale.ROOT).replace('_', '-');
        switch (prompt.kind()) {
            case STEAM_READY -> job.pause(REACH_S).press(Button.CONFIRM);
            case FEED -> {
                double massKg = batch.charge().freshKg();
                job.pause(REACH_S)
                        .act(() -> feed(id, massKg), null)
                        .until(() -> plant.hopperKg() <= 0)
                        .act(() -> {}, "the last of the leaf is on the belt")
                        .pause(3)
                        .answer(prompt, null);
            }
            case COOL_AND_LOAD ->
                    job.until(() -> !plant.steamerBusy())
                            .pause(SPREAD_S)
                            .act(() -> spread(id, oven), "the steamed leaf is on the cooling table")
                            .until(() -> plant.charge(chargeOf(id)).temperatureC < COOL_C)
                            .weigh(() -> plant.weigh(chargeOf(id)).value())
                            .open(oven)
                            .act(() -> putIn(id, oven), "the leaf is on its trays in oven " + oven)
                            .pause(SPREAD_S)
                            .close(oven)
                            .answerWithMass(prompt);
            case TURN ->
                    job.pause(REACH_S)
                            .open(oven)
                            .pause(TURN_S)
                            .act(
                                    () -> swapTrays(id, oven),
                                    "the trays of oven " + oven + " are turned and swapped")
                            .close(oven)
                            .press(Button.CONFIRM);
            case TAKE_OUT -> {
                boolean over = batch.isIn(ProcedureState.ABORTED);
                Operation next = workAfter(batch);
                job.pause(REACH_S)
                        .open(oven)
                        .pause(TURN_S)
                        .act(() -> takeOut(oven), "the leaf is out of oven " + oven)
                        .close(oven)
                        .act(() -> work(id, oven, over ? null : next), null)
                        .answer(prompt, null);
            }
            case PUT_BACK ->
                    job.pause(REACH_S)
                            .act(() -> takeOut(oven), null)
                            .weigh(() -> plant.weigh(chargeOf(id)).value())
                            .open(oven)
                            .act(() -> putIn(id, oven), "the leaf is back in oven " + oven)
                            .pause(SPREAD_S)
                            .close(oven)
                            .answerWithMass(prompt);
            case HAND_SAMPLE -> {
                boolean inside = plant.chargeIn(oven) != 0;
                job.pause(REACH_S);
                if (inside) {
                    job.open(oven)
                            .sample(batch, () -> sampled(id, oven))
                            .close(oven)
                            .press(Button.CONFIRM);
                } else {
                    job.sample(batch, () -> sampled(id, oven));
                }
            }
            case WEIGH ->
                    job.pause(REACH_S)
                            .open(oven)
                            .act(() -> takeOut(oven), "the dried leaf is out of oven " + oven)
                            .close(oven)
                            .weigh(() -> plant.weigh(chargeOf(id)).value())
                            .answerWithMass(prompt);
            case PACK ->
                    job.act(() -> takeOut(oven), "the leaf of oven " + oven + " is being packed")
                            .pause(SPREAD_S)
                            .weigh(() -> pack(chargeOf(id)))
                            .answerWithMass(prompt);
            case TAKE_OUT_AND_SPREAD ->
                    job.pause(REACH_S)
                            .open(oven)
                            .act(
                                    () -> takeOut(oven),
                                    "the leaf of oven " + oven + " is out and spread")
                            .close(oven)
                            .answer(prompt, null);
            case PRESS_CONFIRM -> job.pause(REACH_S).press(Button.CONFIRM);
            case PRESS_RESET -> job.pause(REACH_S).press(Button.RESET);
            case RESUME_OR_ABORT -> resumeOrAbort(job, batch.oven(), prompt.id());
        }
        return job;
    }

    /**
     * Looks for a minute, resets what tripped, resumes; after the third time the batch is given up.
     */
    private void resumeOrAbort(Job job, UnitId oven, String promptId) {
        int before = resumed.merge(oven, lookedInto.add(promptId) ? 1 : 0, Integer::sum);
        job.pause(60);
        if (before > mostResumes) {
            job.mind(() -> talk.send(oven.label(), "abort", Args.NONE));
            return;
        }
        resetting(job, oven)
                .mind(() -> talk.send(oven.label(), "arm", Args.action("resume")))
                .pause(2)
                .press(Button.START);
    }

    private Job resetting(Job job, UnitId oven) {
        for (UnitId unit : List.of(UnitId.LINE, UnitId.STEAMER, oven)) {
            job.mind(() -> sendIf(talk.tripped(unit), unit, "reset"))
                    .pause(2)
                    .pressIf(() -> talk.tripped(unit), Button.RESET);
        }
        return job;
    }

    private void sendIf(boolean wanted, UnitId unit, String action) {
        if (wanted) {
            talk.send(unit.label(), "arm", Args.action(action));
        }
    }

    private static Operation workAfter(Batch batch) {
        Operation now = batch.operation();
        return now instanceof Operation.Dry
                ? batch.recipe().procedure().get(batch.procedure().operation() + 1)
                : now;
    }

    // ---- the leaf: whoever comes looks where it is and does what is left to do

    private void feed(String batchId, double massKg) {
        Integer known = charges.get(batchId);
        if (known != null) {
            plant.feed(true); // what still lies before the belt; none when it went through
            told.accept("the leaf lies before the belt already");
            return;
        }
        charges.put(batchId, plant.loadSteamer(massKg, leafFor(batchId)).charge());
        told.accept(String.format(Locale.ROOT, "%.2f kg of leaf go onto the belt", massKg));
    }

    private void spread(String batchId, int oven) {
        int charge = chargeOf(batchId);
        if (plant.place(charge) == Place.STEAMER) {
            plant.takeFromSteamer().charge();
        }
        takeOut(oven);
        plant.spreadOnCoolingTable(charge).charge();
    }

    private void takeOut(int oven) {
        if (plant.chargeIn(oven) != 0) {
            plant.openDoor(oven);
            plant.takeOut(oven).charge();
        }
    }

    private void putIn(String batchId, int oven) {
        int charge = chargeOf(batchId);
        if (plant.chargeIn(oven) != charge) {
            plant.openDoor(oven);
            plant.putIntoOven(charge, oven).charge();
        }
    }

    private void swapTrays(String batchId, int oven) {
        putIn(batchId, oven); // where it is not in there, the line thinks it is
        plant.openDoor(oven);
        plant.swapTrays(oven).charge();
    }

    private double pack(int charge) {
        return (plant.place(charge) == Place.PACKED ? plant.weigh(charge) : plant.pack(charge))
                .value();
    }

    private Act sampled(String batchId, int oven) {
        if (plant.chargeIn(oven) == 0) {
            return plant.handSample(chargeOf(batchId), 5);
        }
        plant.openDoor(oven);
        return plant.handSampleFromOven(oven, 5);
    }

    /**
     * @param operation null where the batch is over: the leaf stays where it was put
     */
    private void work(String batchId, int oven, @Nullable Operation operation) {
        takeOut(oven);
        if (operation == null) {
            return;
        }
        int charge = chargeOf(batchId);
        switch (operation) {
            case Operation.Roll roll -> {
                told.accept("the leaf is being rolled, " + minutes(roll.forS()));
                plant.roll(charge, roll.forS() / 60).charge();
            }
            case Operation.Shape shape -> {
                told.accept("the leaf is being shaped, " + minutes(shape.forS()));
                plant.shape(charge, shape.forS() / 60).charge();
            }
            case Operation.Rest _ -> {
                told.accept("the leaf rests, heaped and covered");
                plant.rest(charge).charge();
            }
            case Operation.Steam _,
                    Operation.CoolOnBench _,
                    Operation.CoolInOven _,
                    Operation.Dry _,
                    Operation.Turn _,
                    Operation.Weigh _,
                    Operation.Pack _ ->
                    plant.layOnBench(charge).charge();
        }
    }

    private static String minutes(double s) {
        return Math.round(s / 60) + " minutes";
    }

    private int chargeOf(String batchId) {
        Integer charge = charges.get(batchId);
        if (charge == null) {
            throw new IllegalStateException("the leaf of batch " + batchId + " was never fed");
        }
        return charge;
    }

    private LeafSpec leafFor(String batchId) {
        LeafSpec spec = leaf.get(batchId);
        return spec == null ? LeafSpec.of(plant.settings().leaf()) : spec;
    }

    /** The steps of one errand, in order. */
    private final class Job {
        private final List<Step> steps = new ArrayList<>();
        private final List<Runnable> minds = new ArrayList<>();
        private double massKg = Double.NaN;

        /** What it answers, null for what nobody asked for. */
        private @Nullable String prompt;

        /** In words. */
        private String what = "";

        /** Some of it was left to whoever sits at the panel. */
        private boolean leftSomething;

        /** Only the part for the mind, once more. */
        Job ofTheMind() {
            Job again = new Job();
            minds.forEach(mind -> again.mind(mind).pause(PRESS_S));
            return again;
        }

        Job pause(double forS) {
            double[] untilS = {Double.NaN};
            steps.add(
                    nowS -> {
                        if (Double.isNaN(untilS[0])) {
                            untilS[0] = nowS + forS;
                        }
                        return nowS >= untilS[0];
                    });
            return this;
        }

        Job until(BooleanSupplier condition) {
            steps.add(_ -> condition.getAsBoolean());
            return this;
        }

        Job act(Runnable act, @Nullable String words) {
            steps.add(
                    _ -> {
                        act.run();
                        if (words != null) {
                            told.accept(words + weighed());
                        }
                        return true;
                    });
            return this;
        }

        /** The reading stays in view until the errand is over: whoever answers needs it. */
        private String weighed() {
            return Double.isNaN(massKg)
                    ? ""
                    : String.format(Locale.ROOT, "; the bench scale showed %.3f kg", massKg);
        }

        Job open(int oven) {
            return act(() -> plant.openDoor(oven), null).pause(DOOR_S);
        }

        Job close(int oven) {
            return act(() -> plant.closeDoor(oven), null).pause(DOOR_S);
        }

        /** Only where the hands also think. */
        Job mind(Runnable act) {
            minds.add(act);
            steps.add(
                    _ -> {
                        if (help == Help.ALL) {
                            act.run();
                        } else {
                            leftSomething = true;
                        }
                        return true;
                    });
            return this;
        }

        Job press(Button button) {
            return mind(() -> plant.hold(button, true))
                    .pause(PRESS_S)
                    .mind(() -> plant.hold(button, false));
        }

        Job pressIf(BooleanSupplier wanted, Button button) {
            return mind(() -> plant.hold(button, wanted.getAsBoolean()))
                    .pause(PRESS_S)
                    .mind(() -> plant.hold(button, false))
                    .pause(PRESS_S);
        }

        Job weigh(DoubleSupplier scale) {
            return act(
                    () -> {
                        massKg = scale.getAsDouble();
                        told.accept(
                                String.format(
                                        Locale.ROOT, "the bench scale shows %.3f kg", massKg));
                    },
                    null);
        }

        Job answer(Prompt prompt, @Nullable Double mass) {
            return mind(
                    () ->
                            talk.send(
                                    prompt.unit().label(),
                                    "answer-prompt",
                                    Args.prompt(prompt.id(), mass)));
        }

        Job answerWithMass(Prompt prompt) {
            return mind(
                    () ->
                            talk.send(
                                    prompt.unit().label(),
                                    "answer-prompt",
                                    Args.prompt(prompt.id(), rounded(massKg))));
        }

        /** Stamped when taken; the meter needs its time, so the value comes later. */
        Job sample(Batch batch, Supplier<Act> taking) {
            String unit = batch.oven().label();
            return mind(() -> talk.send(unit, "sample-taken", Args.NONE))
                    .act(
                            () -> {
                                if (taking.get()
                                        instanceof Act.Sampled(int _, double _, double reading)) {
                                    told.accept(
                                            String.format(
                                                    Locale.ROOT,
                                                    "a hand sample from five places; in five minutes the meter shows %.1f %%",
                                                    100 * reading));
                                    later.add(
                                            new Later(
                                                    talk.nowS() + METER_S,
                                                    () -> value(batch.id(), unit, reading)));
                                }
                            },
                            null)
                    .pause(TURN_S);
        }

        private static double rounded(double kg) {
            return Math.round(kg * 1000) / 1000.0;
        }
    }

    private void value(String batchId, String unit, double reading) {
        if (help != Help.ALL) {
            return;
        }
        for (OvenSlot slot : talk.floor().slots()) {
            Batch batch = slot.batch();
            if (batch != null && batch.id().equals(batchId) && !batch.samples().isEmpty()) {
                String sample = batch.samples().getLast().id();
                talk.send(
                        unit,
                        "sample-value",
                        Args.sample(sample, Math.round(reading * 1000) / 1000.0, "wet", "meter"));
            }
        }
    }
}
