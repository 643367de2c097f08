package steamleaf.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.logging.Logger;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.app.journal.Cursor;
import steamleaf.app.journal.Journal;
import steamleaf.bench.MortalLine.Tear;
import steamleaf.contract.CommandMessage.Args;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.alarm.AlarmStage;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Event;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.PackedLot;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Sample;
import steamleaf.core.cycle.CycleResult;
import steamleaf.core.estimate.Band;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.GuardState;
import steamleaf.core.interlock.OvenOutputs;
import steamleaf.core.interlock.Rule;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.fault.FaultKind;
import steamleaf.sim.plant.Button;
import steamleaf.sim.plant.PlantSettings;

/** Whole batches in which the controller dies again and again, at moments that a seed draws. */
final class KilledAtAnyMomentTest {
    private static final Logger LOG = Logger.getLogger("killed");
    private static final UnitId OVEN = UnitId.oven(1);
    private static final UnitId OTHER_OVEN = UnitId.oven(2);
    private static final double LONGEST_S = 30 * 3600;
    private static final int CYCLES_PER_LOOK = 5;

    /** Of its two thermometers, lag included. */
    private static final double CHEST_ERROR_K = 2;

    private static final List<String> RECIPES = List.of("deep", "standard", "light");
    private static final String ACKNOWLEDGED = "oven-2.scale-bad";
    private static final String SHELVED = "oven-3.scale-bad";
    private static final String OUT = "oven-2.exhaust-humidity-bad";

    /** Both valves, belt and heaters of one cycle. */
    private static boolean runsAnything(AllowedOutputs outputs) {
        return outputs.contactor()
                || outputs.steamValve()
                || outputs.secondSteamValve()
                || outputs.beltRun()
                || outputs.ovens().stream().anyMatch(OvenOutputs::heater);
    }

    /** Where in the batch, and how long that lasts at least on a good day; measured. */
    enum Stage {
        INTAKE(18),
        WARMING(400),
        HEATING_CHEST(100),
        FEEDING(40),
        STEAMING(30),
        COOLING_LEAF(250),
        FIRST_DRYING(4000),
        TURNING(45),
        TAKING_OUT(45),
        ROLLING(880),
        REWEIGHING(70),
        SECOND_DRYING(2000),
        SHAPING(1180),
        THIRD_DRYING(1500),
        RESTING(500), // and time for a value before the shortest rest ends
        LAST_DRYING(900),
        COOLING_IN_OVEN(200),
        WEIGHING(20),
        PACKING(55);

        final double lastsS;

        Stage(double lastsS) {
            this.lastsS = lastsS;
        }

        static Stage of(@Nullable Batch batch) {
            if (batch == null) {
                return INTAKE;
            }
            return switch (batch.phase()) {
                case Phase.Waiting _ -> INTAKE;
                case Phase.Warming _, Phase.AwaitingPerson _ -> WARMING;
                case Phase.HeatingChest _ -> HEATING_CHEST;
                case Phase.Feeding _ -> FEEDING;
                case Phase.Steaming _ -> STEAMING;
                case Phase.Spreading _ -> COOLING_LEAF;
                case Phase.Drying _ ->
                        switch (batch.procedure().operation()) {
                            case 2 -> FIRST_DRYING;
                            case 4 -> SECOND_DRYING;
                            case 6 -> THIRD_DRYING;
                            default -> LAST_DRYING;
                        };
                case Phase.Turning _ -> TURNING;
                case Phase.TakingOut _ -> TAKING_OUT;
                case Phase.Working _ ->
                        switch (batch.operation()) {
                            case Operation.Roll _ -> ROLLING;
                            case Operation.Shape _ -> SHAPING;
                            default -> RESTING;
                        };
                case Phase.PuttingBack _ -> REWEIGHING;
                case Phase.CoolingInOven _ -> COOLING_IN_OVEN;
                case Phase.Weighing _ -> WEIGHING;
                case Phase.Packing _ -> PACKING;
            };
        }
    }

    /** What else is the case at the moment of the kill. */
    enum With {
        NOTHING,
        /** Two trips stand, one after the other. */
        TRIPS,
        /** Another oven is being tuned. */
        TUNING,
        /** A hand sample was taken, its value is not there yet. */
        SAMPLE_TAKEN,
        SAMPLE_ANSWERED,
        /** A person's command is on its way to the controller. */
        COMMAND,
        /** Killed once more while it is held. */
        AGAIN
    }

    record Kill(Stage stage, With with, Tear tear) {}

    /** What every build runs. */
    private static final List<Kill> MORNING =
            List.of(
                    new Kill(Stage.INTAKE, With.COMMAND, Tear.NONE),
                    new Kill(Stage.WARMING, With.NOTHING, Tear.JOURNAL),
                    new Kill(Stage.FEEDING, With.NOTHING, Tear.RECOLLECTION),
                    new Kill(Stage.STEAMING, With.NOTHING, Tear.NONE),
                    new Kill(Stage.COOLING_LEAF, With.COMMAND, Tear.NONE),
                    new Kill(Stage.FIRST_DRYING, With.TRIPS, Tear.JOURNAL),
                    new Kill(Stage.ROLLING, With.NOTHING, Tear.NEWEST_RECOLLECTION),
                    new Kill(Stage.REWEIGHING, With.NOTHING, Tear.RECOLLECTION),
                    new Kill(Stage.SECOND_DRYING, With.TUNING, Tear.NONE),
                    new Kill(Stage.THIRD_DRYING, With.AGAIN, Tear.RECOLLECTION),
                    new Kill(Stage.RESTING, With.SAMPLE_TAKEN, Tear.NEWEST_RECOLLECTION),
                    new Kill(Stage.LAST_DRYING, With.NOTHING, Tear.JOURNAL),
                    new Kill(Stage.COOLING_IN_OVEN, With.NOTHING, Tear.NONE),
                    new Kill(Stage.PACKING, With.NOTHING, Tear.NONE));

    private static final List<Kill> AFTERNOON =
            List.of(
                    new Kill(Stage.INTAKE, With.NOTHING, Tear.NONE),
                    new Kill(Stage.WARMING, With.COMMAND, Tear.NONE),
                    new Kill(Stage.HEATING_CHEST, With.NOTHING, Tear.JOURNAL),
                    new Kill(Stage.FEEDING, With.NOTHING, Tear.NONE),
                    new Kill(Stage.FIRST_DRYING, With.NOTHING, Tear.NEWEST_RECOLLECTION),
                    new Kill(Stage.TURNING, With.NOTHING, Tear.JOURNAL),
                    new Kill(Stage.TAKING_OUT, With.NOTHING, Tear.NONE),
                    new Kill(Stage.SECOND_DRYING, With.AGAIN, Tear.RECOLLECTION),
                    new Kill(Stage.SHAPING, With.NOTHING, Tear.JOURNAL),
                    new Kill(Stage.REWEIGHING, With.COMMAND, Tear.NONE),
                    new Kill(Stage.RESTING, With.SAMPLE_ANSWERED, Tear.NONE),
                    new Kill(Stage.LAST_DRYING, With.TRIPS, Tear.NONE),
                    new Kill(Stage.COOLING_IN_OVEN, With.NOTHING, Tear.RECOLLECTION),
                    new Kill(Stage.WEIGHING, With.NOTHING, Tear.NONE));

    @TempDir Path folder;

    /** {@code -Dsteamleaf.killed-days=N}: N mornings and afternoons in place of one morning. */
    @TestFactory
    List<DynamicTest> itComesBackHeldWithEverythingItKnewAndTheBatchGoesOn() {
        Quiet.logs();
        int days = Integer.getInteger("steamleaf.killed-days", 0);
        List<DynamicTest> batches = new ArrayList<>();
        for (int day = 1; day <= Math.max(1, days); day++) {
            int seed = day;
            String recipe = RECIPES.get(day % RECIPES.size());
            batches.add(
                    DynamicTest.dynamicTest(
                            "morning " + day, () -> new Day(MORNING, recipe, seed, folder).live()));
            if (days > 0) {
                batches.add(
                        DynamicTest.dynamicTest(
                                "afternoon " + day,
                                () -> new Day(AFTERNOON, recipe, 100 + seed, folder).live()));
            }
        }
        return batches;
    }

    /** One batch with its kills. */
    private static final class Day {
        private final List<Kill> kills;
        private final String recipe;
        private final long seed;
        private final SplittableRandom random;
        private final MortalLine line;
        private final Hands hands;
        private final Colleague colleague;
        private final List<String> story = new ArrayList<>();
        private final Map<Tear, Integer> torn = new EnumMap<>(Tear.class);
        private int next;
        private double dueS = Double.NaN;
        private boolean provoked;
        private boolean pressed;
        private double valueAtS = Double.NaN;
        private double reading;
        private boolean mayRun;
        private int killedWithBatch;
        private boolean unlocked;
        private int alarmsAsked;
        private int alarmsChecked;
        private double trueMoisture = Double.NaN;
        private @Nullable PackedLot packed;

        Day(List<Kill> kills, String recipe, long seed, Path folder) throws IOException {
            this.kills = kills;
            this.recipe = recipe;
            this.seed = seed;
            random = new SplittableRandom(seed);
            line =
                    new MortalLine(
                            PlantSettings.drawn(seed), seed, folder.resolve("journal-" + seed));
            hands = new Hands(line.plant(), line, Hands.Help.ALL, _ -> {}, 1000);
            colleague = new Colleague(line, hands);
        }

        void live() throws IOException {
            try (line) {
                line.cycle();
                hands.beginDay();
                takeIn();
                for (long cycle = 2; packed == null; cycle++) {
                    cycle();
                    assertTrue(line.nowS() < LONGEST_S, () -> "never finished: " + story);
                    if (cycle % CYCLES_PER_LOOK == 0) {
                        alarms();
                        hands.look();
                        colleague.look();
                        watchKills();
                    }
                }
                assertTrue(unlocked, "the hood was unlocked at last");
                assertTrue(alarmsChecked > 8, "kills with alarms of every kind");
                assertEquals(kills.size(), next, () -> "some moments never came: " + story);
                theBatchIsInsideTheBandOrSaidNotToBe();
                theJournalTellsOfIt();
                LOG.info(() -> seed + ": " + trueMoisture + ", " + packed + ", " + torn + story);
            } catch (AssertionError e) {
                throw new AssertionError("seed " + seed + ": " + story, e);
            }
        }

        /** One alarm is acknowledged, one shelved and one out of service, and they stay so. */
        private void alarms() {
            if (alarmsAsked == 0) {
                line.line().faults().inject("oven-2.scale", FaultKind.OPEN, 1e9);
                line.line().faults().inject("oven-3.scale", FaultKind.OPEN, 1e9);
                alarmsAsked = 1;
            } else if (alarmsAsked == 1
                    && line.rig()
                                    .result()
                                    .state()
                                    .alarms()
                                    .stage(UnitId.oven(3), AlarmKind.SCALE_BAD)
                            == AlarmStage.UNACKNOWLEDGED) {
                line.send("oven-2", "acknowledge", Args.alarm(ACKNOWLEDGED, null, null));
                line.send("oven-3", "shelve", Args.alarm(SHELVED, 480.0, "new cell ordered"));
                line.send("oven-2", "take-out-of-service", Args.alarm(OUT, null, "not fitted"));
                alarmsAsked = 2;
            }
        }

        private void takeIn() {
            PlantSettings settings = line.plant().settings();
            hands.runBatch(BenchRun.lot(settings), recipe, OVEN, BenchRun.chargeKg(settings));
        }

        private void cycle() {
            line.cycle();
            CycleResult result = line.rig().result();
            for (Event event : result.events()) {
                switch (event) {
                    case Event.BatchStarted _, Event.BatchResumed _, Event.TuningBegan _ ->
                            mayRun = true;
                    case Event.BatchCompleted completed -> packed = completed.packed();
                    case Event.SampleQuestioned questioned ->
                            throw new AssertionError(questioned + ", true " + truth());
                    default -> {}
                }
            }
            if (!mayRun) {
                assertFalse(runsAnything(result.outputs()), "before anybody pressed");
                line.assertNothingRuns("before anybody pressed");
            }
            if (Stage.of(line.floor().batch(OVEN)) == Stage.PACKING) {
                double now = truth();
                trueMoisture = Double.isNaN(now) ? trueMoisture : now;
            }
        }

        private double truth() {
            Batch batch = line.floor().batch(OVEN);
            Integer charge = batch == null ? null : hands.charge(batch.id());
            return charge == null ? Double.NaN : line.plant().charge(charge).moistureWb;
        }

        // ---- when to kill

        private void watchKills() throws IOException {
            double nowS = line.nowS();
            enterValue(nowS);
            if (next == kills.size()) {
                return;
            }
            Kill kill = kills.get(next);
            Batch batch = line.floor().batch(OVEN);
            boolean there = Stage.of(batch) == kill.stage();
            if (Double.isNaN(dueS)) {
                if (!there || (batch != null && batch.isIn(ProcedureState.HELD))) {
                    return;
                }
                dueS = nowS + random.nextDouble() * kill.stage().lastsS;
            }
            if (nowS >= dueS && isDue(kill, nowS)) {
                assertTrue(
                        there || provoked, () -> "the moment of " + kill + " has passed: " + story);
                kill(kill);
            }
        }

        /** Brings about what shall be the case; whether it is. */
        private boolean isDue(Kill kill, double nowS) {
            boolean first = !provoked;
            provoked = true;
            return switch (kill.with()) {
                case NOTHING, AGAIN -> true;
                case COMMAND -> line.commandOnItsWay();
                case TRIPS -> {
                    if (first) {
                        line.line().faults().inject("emergency-stop", FaultKind.PRESSED, 20);
                        dueS = nowS + random.nextDouble(5, 25); // nobody has reset it yet
                    } else if (!pressed) {
                        line.line().faults().inject("oven-1.air", FaultKind.OPEN, 60);
                        pressed = true;
                        dueS = nowS + random.nextDouble(2, 30);
                        yield false;
                    }
                    yield !first;
                }
                case TUNING -> {
                    if (first) {
                        line.send(OTHER_OVEN.label(), "arm", Args.action("tune"));
                        dueS = nowS + 1;
                        yield false;
                    }
                    if (!pressed) {
                        line.plant().hold(Button.START, true);
                        pressed = true;
                        dueS = nowS + 1;
                        yield false;
                    }
                    if (line.plant().held(Button.START)) {
                        line.plant().hold(Button.START, false);
                        dueS = nowS + random.nextDouble(5, 900);
                        yield false;
                    }
                    assertTrue(line.floor().slots().get(1).tunes(), () -> "no tuning: " + story);
                    yield true;
                }
                case SAMPLE_TAKEN, SAMPLE_ANSWERED -> {
                    if (first) {
                        takeSample(nowS);
                        boolean answered = kill.with() == With.SAMPLE_ANSWERED;
                        dueS =
                                answered
                                        ? valueAtS + random.nextDouble(1, 40)
                                        : nowS + random.nextDouble(1, 200);
                        yield false;
                    }
                    Batch batch = line.floor().batch(OVEN);
                    Sample sample = batch == null ? null : batch.samples().getLast();
                    assertTrue(
                            sample != null
                                    && sample.isOpen() == (kill.with() == With.SAMPLE_TAKEN));
                    yield true;
                }
            };
        }

        private void takeSample(double nowS) {
            Batch batch = line.floor().batch(OVEN);
            Integer charge = batch == null ? null : hands.charge(batch.id());
            if (charge == null) {
                throw new AssertionError("no leaf to sample");
            }
            line.send(OVEN.label(), "sample-taken", Args.NONE);
            reading = line.plant().handSample(charge, 5).value();
            valueAtS = nowS + 300;
        }

        private void enterValue(double nowS) {
            Batch batch = line.floor().batch(OVEN);
            if (nowS >= valueAtS && batch != null) {
                valueAtS = Double.NaN;
                line.send(
                        OVEN.label(),
                        "sample-value",
                        Args.sample(
                                batch.samples().getLast().id(),
                                Math.round(reading * 1000) / 1000.0,
                                "wet",
                                "meter"));
            }
        }

        // ---- the kill

        private void kill(Kill kill) throws IOException {
            die(kill, kill.tear());
            if (kill.with() == With.AGAIN) {
                die(kill, Tear.NONE);
            }
            next++;
            dueS = Double.NaN;
            provoked = false;
            pressed = false;
        }

        private void die(Kill kill, Tear wanted) throws IOException {
            Known known = Known.of(line.rig());
            double awayS = Math.round(10 * 5 * Math.pow(120, random.nextDouble())) / 10.0;
            double alone = random.nextDouble(15, 90);
            String how =
                    String.format(
                            Locale.ROOT,
                            "%.1f s: %s, %s, %s, away %.1f s, alone %.1f s",
                            line.nowS(),
                            kill,
                            line.floor().batch(OVEN) == null
                                    ? "no batch"
                                    : line.floor().batch(OVEN).procedure(),
                            known.trips(),
                            awayS,
                            alone);
            story.add(how);
            if (kill.with() == With.TRIPS) {
                assertTrue(
                        known.trips().stream().anyMatch(GuardState.KeptTrip::firstOut)
                                && known.trips().stream().anyMatch(trip -> !trip.firstOut()),
                        () -> "two trips, one of them first: " + known.trips());
            }
            MortalLine.Found found = line.dieAndComeBackAfter(awayS, wanted, random);
            torn.merge(found.torn(), 1, Integer::sum);
            killedWithBatch += known.floor().batch(OVEN) == null ? 0 : 1;
            mayRun = false;
            cycle();
            assertRestored(awayS);
            double lostS = found.torn() == Tear.NEWEST_RECOLLECTION ? Known.RECOLLECTED_EVERY_S : 0;
            known.isFoundAgainBy(line.rig(), awayS, lostS, found.leaf());
            double backS = line.nowS();
            while (line.nowS() < backS + alone) {
                cycle();
                hoodStaysLocked(line.nowS() - backS);
            }
            Known later = Known.of(line.rig());
            assertEquals(
                    line.startsWithinHour() >= 3,
                    later.trips().stream()
                            .anyMatch(t -> t.rule().equals(Rule.RESTARTED_TOO_OFTEN.id())),
                    () -> line.startsWithinHour() + " starts within the hour before");
            for (AlarmStage stage : List.of(AlarmStage.SHELVED, AlarmStage.OUT_OF_SERVICE)) {
                assertEquals(known.alarmsIn(stage), later.alarmsIn(stage), stage.name());
            }
            if (known.alarmsIn(AlarmStage.ACKNOWLEDGED).contains(ACKNOWLEDGED)) {
                assertTrue(later.alarmsIn(AlarmStage.ACKNOWLEDGED).contains(ACKNOWLEDGED));
                alarmsChecked++;
            }
            letGo(kill);
        }

        private void assertRestored(double awayS) {
            List<Event> events = line.rig().result().events();
            if (line.recollected()) {
                assertTrue(
                        events.stream()
                                .anyMatch(
                                        event ->
                                                event instanceof Event.Restored restored
                                                        && restored.gapKnown()
                                                        && restored.gapS() >= awayS),
                        () -> "the gap of " + awayS + " s is not told: " + events);
            }
        }

        /** Until the chest is below 60 °C and the extractor has vented it, for 10 s. */
        private void hoodStaysLocked(double sinceS) {
            boolean unlocks = line.rig().result().outputs().hoodUnlock();
            double chestC = line.plant().truth("steamer").airC;
            assertTrue(
                    !unlocks || (chestC < 60 + CHEST_ERROR_K && sinceS >= 10),
                    () -> "the hood unlocks at " + chestC + " °C after " + sinceS + " s");
            unlocked |= unlocks;
        }

        /** Hands that wait for what will not come let go of it. */
        private void letGo(Kill kill) {
            if (kill.stage() == Stage.FEEDING) {
                hands.drop();
            }
            if (kill.stage() == Stage.INTAKE && line.floor().batch(OVEN) == null) {
                hands.drop();
                takeIn();
            }
        }

        /** Numbered without a break over all starts; every start, gap and torn end is in it. */
        private void theJournalTellsOfIt() throws IOException {
            Journal journal = line.rig().controller().journal();
            journal.writeOut();
            Pattern number = Pattern.compile("\"n\":(\\d+),");
            long n = 0;
            int started = 0;
            int gaps = 0;
            int tails = 0;
            try (Cursor cursor = journal.from(1)) {
                for (byte[] bytes = cursor.next(); bytes != null; bytes = cursor.next()) {
                    String text = new String(bytes, StandardCharsets.UTF_8);
                    Matcher found = number.matcher(text);
                    assertTrue(found.find(), text);
                    assertEquals(++n, Long.parseLong(found.group(1)), text);
                    started += text.contains("\"kind\":\"started\"") ? 1 : 0;
                    gaps += text.contains("\"what\":\"gap\"") ? 1 : 0;
                    tails += text.contains("\"what\":\"torn-tail\"") ? 1 : 0;
                }
            }
            assertEquals(line.starts(), started, "starts");
            assertEquals(killedWithBatch, gaps, "gaps of a batch");
            assertEquals(torn.getOrDefault(Tear.JOURNAL, 0), tails, "torn ends");
        }

        private void theBatchIsInsideTheBandOrSaidNotToBe() {
            PackedLot lot = packed;
            assertTrue(lot != null);
            boolean inside =
                    trueMoisture >= Band.GREEN_TEA.lowest()
                            && trueMoisture <= Band.GREEN_TEA.highest();
            double likely = Band.GREEN_TEA.probability(lot.moisture(), lot.moistureDeviation());
            assertTrue(
                    inside || likely < 0.5,
                    () -> trueMoisture + " said to be " + lot.moisture() + "; " + story);
            assertEquals(
                    trueMoisture, lot.moisture(), 3 * lot.moistureDeviation(), "said at the end");
        }
    }
}
