package steamleaf.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import steamleaf.app.config.Config;
import steamleaf.app.config.ConfigFile;
import steamleaf.app.config.Misconfigured;
import steamleaf.contract.CommandMessage.Args;
import steamleaf.contract.CommandMessage.LotDraft;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Event;
import steamleaf.core.batch.LoopTuning;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.Tuning;
import steamleaf.core.interlock.ContactorPhase;
import steamleaf.core.interlock.GuardEvent;
import steamleaf.core.interlock.Latch;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.plant.Button;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.PlantYaml;
import steamleaf.sim.plant.UnitTruth;

/**
 * The whole controller on simulated ovens whose heater, mass and lag nobody tuned for: 40 % off
 * either way, alone and together. Lag: heating element and air sensor.
 */
final class AirLoopTest {
    private static final UnitId OVEN = UnitId.oven(1);
    private static final double SETPOINT_C = 80.0;

    /** Design section 11. */
    private static final double MOST_OVERSHOOT_K = 2.0;

    /** The reading's resolution and noise, and what pulses of two seconds do to the air. */
    private static final double SETTLED_K = 0.5;

    private static final double CYCLES_PER_SECOND = 10;

    @TempDir Path folder;

    @BeforeAll
    static void quiet() {
        Quiet.logs();
    }

    record Off(double heater, double mass, double lag, long seed) {
        PlantSettings plant() {
            PlantSettings drawn = PlantSettings.drawn(seed);
            String yaml =
                    String.format(
                            Locale.ROOT,
                            "oven: {heaterW: %.1f, wallJPerK: %.1f, elementJPerK: %.1f}%n"
                                    + "sensors: {air: {lagS: %.3f}}%n",
                            heater * drawn.oven().heaterW(),
                            mass * drawn.oven().wallJPerK(),
                            lag * drawn.oven().elementJPerK(),
                            lag * drawn.sensors().air().lagS());
            return switch (PlantYaml.read(yaml, "off", drawn)) {
                case PlantYaml.Read(PlantSettings settings) -> settings;
                case PlantYaml.Refused(List<String> mistakes) ->
                        throw new IllegalStateException(mistakes.toString());
            };
        }
    }

    static List<Off> plants() {
        List<Off> all = new ArrayList<>();
        for (long seed = 1; seed <= 3; seed++) {
            all.add(new Off(1, 1, 1, seed));
        }
        for (double off : new double[] {0.6, 1.4}) {
            all.add(new Off(off, 1, 1, 4));
            all.add(new Off(1, off, 1, 4));
            all.add(new Off(1, 1, off, 4));
            for (double mass : new double[] {0.6, 1.4}) {
                for (double lag : new double[] {0.6, 1.4}) {
                    all.add(new Off(off, mass, lag, 4));
                }
            }
        }
        return all;
    }

    /** Strong and quick is where a loop swings, weak and slow where it overshoots. */
    static List<Off> extremes() {
        return List.of(
                new Off(1, 1, 1, 1),
                new Off(1.4, 0.6, 0.6, 2),
                new Off(1.4, 1.4, 0.6, 3),
                new Off(0.6, 1.4, 1.4, 4));
    }

    /** A line and its hands, second by second. */
    private final class Day implements AutoCloseable {
        final SimulatedLine line;
        final Rig rig;
        final Hands hands;
        long cycle = 1;

        Day(Off off, boolean batch) throws Exception {
            line = SimulatedLine.open(off.plant(), Board.stock(), off.seed());
            rig = Rig.alone(line, config(), folder.resolve("journal"), "j-air", BenchRun.BEGUN);
            hands = new Hands(line.plant(), rig, Hands.Help.ALL, _ -> {});
            rig.cycle();
            hands.beginDay();
            if (batch) {
                hands.runBatch(lot(), "light", OVEN, 4.0);
            }
        }

        /** False on the cycles between. */
        boolean second() {
            rig.cycle();
            cycle++;
            if (cycle % 5 == 0) {
                hands.look();
            }
            return cycle % CYCLES_PER_SECOND == 0;
        }

        @Nullable Batch batch() {
            return rig.floor().batch(OVEN);
        }

        double readC() {
            Readings readings = known(rig.controller().lastReadings());
            return readings.good(OVEN, Quantity.AIR_C);
        }

        private static Readings known(@Nullable Readings readings) {
            if (readings == null) {
                throw new IllegalStateException("no cycle yet");
            }
            return readings;
        }

        UnitTruth oven() {
            return line.plant().truth(1);
        }

        @Override
        public void close() {
            rig.close();
        }
    }

    @ParameterizedTest
    @MethodSource("plants")
    void anEmptyOvenWarmsUpWithinTwoKelvinAndThenStandsStill(Off off) throws Exception {
        try (Day day = new Day(off, true)) {
            warmsUp(day, off.toString());
        }
    }

    private static void warmsUp(Day day, String off) {
        double beganS = day.rig.nowS();
        double reachedS = Double.NaN;
        double highestC = Double.NEGATIVE_INFINITY;
        int swings = 0;
        boolean above = false;
        double lastC = Double.NaN;
        while (!(day.rig.nowS() > reachedS + 1500)) {
            if (!day.second()) {
                continue;
            }
            double airC = day.oven().airC;
            if (airC > SETPOINT_C - 20) {
                day.hands.help(Hands.Help.BODY); // nobody at the steamer: the oven waits
            }
            highestC = Math.max(highestC, airC);
            if (Double.isNaN(reachedS) && airC > SETPOINT_C - 1) {
                reachedS = day.rig.nowS();
            }
            if (day.rig.nowS() > reachedS + 600) {
                lastC = day.readC();
                boolean crossed =
                        above ? lastC < SETPOINT_C - SETTLED_K : lastC > SETPOINT_C + SETTLED_K;
                if (crossed) {
                    above = !above;
                    swings++;
                }
            }
            assertTrue(day.rig.nowS() < beganS + 7200, off + " does not warm up");
        }
        double overshootK = highestC - SETPOINT_C;
        assertTrue(overshootK <= MOST_OVERSHOOT_K, off + " overshoots by " + overshootK);
        // once more above or below is the end of the settling, to and fro is a limit cycle
        assertTrue(swings <= 1, off + " swings " + swings + " times");
        assertEquals(SETPOINT_C, lastC, SETTLED_K, off + " has not settled");
    }

    @ParameterizedTest
    @MethodSource("extremes")
    void aWholeBatchKeepsItsAirAndItsLeafWithinTheirLimits(Off off) throws Exception {
        try (Day day = new Day(off, true)) {
            boolean complete = false;
            boolean wasBelow = false;
            int operation = -1;
            double highestK = Double.NEGATIVE_INFINITY;
            double leafOverK = Double.NEGATIVE_INFINITY;
            int switches = 0;
            boolean heater = false;
            double heldS = 100;
            double shortestS = 100;
            while (!complete) {
                boolean second = day.second();
                boolean on = day.rig.result().outputs().ovens().getFirst().heater();
                heldS += Rig.CYCLE_S;
                if (on != heater) {
                    if (on) { // a pulse may be cut short by the guard or a door, a pause may not
                        shortestS = Math.min(shortestS, heldS);
                    }
                    heater = on;
                    heldS = 0;
                    switches++;
                }
                for (Event event : day.rig.result().events()) {
                    complete |= event instanceof Event.BatchCompleted;
                }
                for (GuardEvent event : day.rig.result().guardEvents()) {
                    boolean trip =
                            event instanceof GuardEvent.TookEffect took
                                    && took.rule().latch() == Latch.TRIP;
                    assertTrue(!trip, () -> off + ": " + event);
                }
                Batch batch = day.batch();
                boolean dries =
                        batch != null
                                && (batch.phase() instanceof Phase.Drying
                                        || batch.phase() instanceof Phase.Turning);
                if (second && batch != null && dries) {
                    Operation.Dry dry = (Operation.Dry) batch.operation();
                    UnitTruth oven = day.oven();
                    if (batch.procedure().operation() != operation || oven.doorOpen) {
                        operation = batch.procedure().operation();
                        wasBelow = false; // what comes in hot from before is no overshoot
                    }
                    wasBelow |= oven.airC < dry.airC() - 0.5;
                    if (wasBelow) {
                        highestK = Math.max(highestK, oven.airC - dry.airC());
                    }
                    if (oven.leaf.present) {
                        leafOverK = Math.max(leafOverK, oven.leaf.temperatureC - dry.leafMaxC());
                    }
                }
                assertTrue(day.rig.nowS() < 10 * 3600, off + " does not finish");
            }
            assertTrue(highestK <= MOST_OVERSHOOT_K, off + ": air over by " + highestK);
            assertTrue(leafOverK <= 0.0, off + ": leaf over its limit by " + leafOverK);
            assertTrue(shortestS >= 0.2 - 1e-6, off + ": off for only " + shortestS);
            assertTrue(switches > 100, "the heater was watched");
        }
    }

    /**
     * Armed, pressed, swung, proposed; accepted with the key off; and the next warm-up, on the
     * proposed settings, keeps to the same bounds.
     */
    @ParameterizedTest
    @MethodSource("extremes")
    void whatARelayProposesSettlesTheOvenItWasFoundOn(Off off) throws Exception {
        try (Day day = new Day(off, false)) {
            run(day, 20, () -> false);
            day.rig.send("oven-1", "arm", Args.action("tune"));
            run(day, 2, () -> false);
            press(day, Button.START);
            assertTrue(slot(day).tunes(), "begun");
            while (!(slot(day).tuning() instanceof Tuning.Proposed)) {
                day.second();
                boolean asksForReset =
                        day.rig.result().state().guard().contactor()
                                == ContactorPhase.AWAITING_RESET;
                if (asksForReset) {
                    press(day, Button.RESET);
                }
                assertTrue(slot(day).tuning() != null, off + ": the tuning ended without a word");
                assertTrue(day.rig.nowS() < 7200, off + ": no proposal");
            }
            run(day, 3, () -> false);
            assertTrue(!day.rig.result().outputs().ovens().getFirst().heater(), "heat is off");
            day.rig.send("oven-1", "accept-tuning", Args.NONE);
            run(day, 2, () -> false);
            assertTrue(slot(day).accepted() == null, "not with the key on");
            day.line.plant().permitKey(false);
            run(day, 2, () -> false);
            day.rig.send("oven-1", "accept-tuning", Args.NONE);
            run(day, 2, () -> false);
            LoopTuning accepted = slot(day).accepted();
            assertTrue(accepted != null, off + ": accepted");

            day.line.plant().permitKey(true);
            run(day, 5400, () -> day.oven().airC < 40);
            day.hands.runBatch(lot(), "light", OVEN, 4.0);
            warmsUp(day, off + " on " + accepted);
        }
    }

    private static OvenSlot slot(Day day) {
        return day.rig.floor().slots().getFirst();
    }

    private static void run(Day day, double forS, BooleanSupplier until) {
        double endS = day.rig.nowS() + forS;
        while (day.rig.nowS() < endS && !until.getAsBoolean()) {
            day.second();
        }
    }

    private static void press(Day day, Button button) {
        day.line.plant().hold(button, true);
        run(day, 0.6, () -> false);
        day.line.plant().hold(button, false);
        run(day, 0.6, () -> false);
    }

    private static Config config() throws Misconfigured {
        return ConfigFile.parse("stock", ConfigFile.stock(), Path.of("."));
    }

    private static LotDraft lot() {
        return new LotDraft("41", "Upper terrace", "seedling", 0, "medium", false, 1.0, 4.2, 22.0);
    }
}
