package steamleaf.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNotSame;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.function.IntSupplier;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import steamleaf.app.config.Config;
import steamleaf.bench.BenchCommand;
import steamleaf.bench.BenchRun;
import steamleaf.bench.Rig;
import steamleaf.core.cycle.CycleResult;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.TraceWriter;
import steamleaf.sim.board.Board;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.UnitTruth;

/** A window is worth something only when its copy is the world it was made of. */
class SnapshotTest {
    private static final Config CONFIG = BenchCommand.stock();
    private static final int WINDOW_CYCLES = 12_000;
    private static final double AFTERWARDS_S = 60;

    /** Trips, a circuit that is wired otherwise, a fire, a clock: whatever leaves traces. */
    private static final List<List<String>> NASTY =
            List.of(
                    List.of(
                            "component: i2c-1, kind: hung, duration: 30 s",
                            "component: oven-1.fire, kind: present, duration: 200 s, size: 3000 W"),
                    List.of(
                            "component: oven-1.air, kind: swapped, duration: 300 s, with: chest-a",
                            "component: contactor, kind: stuck-on, duration: 200 s"),
                    List.of(
                            "component: emergency-stop, kind: pressed, duration: 20 s",
                            "component: oven-1.heater-relay, kind: stuck-on, duration: 300 s"),
                    List.of(
                            "component: steam-valve, kind: stuck-on, duration: 100 s",
                            "component: oven-1.door, kind: opened, duration: 60 s"),
                    List.of(
                            "component: supply, kind: lost, duration: 4 s",
                            "component: inputs-0x22, kind: garbage, duration: 90 s"));

    @TempDir Path folder;

    private static String nasty(int which, double nowS) {
        StringBuilder entries = new StringBuilder();
        double atS = nowS + 2;
        for (String fault : NASTY.get(which % NASTY.size())) {
            entries.append(String.format(Locale.ROOT, "- {at: %.1f s, %s}%n", atS, fault));
            atS += 40;
        }
        return entries.toString();
    }

    /** What a cycle did: the plant's truth, the outputs, events and alarms. */
    private static long done(World world) {
        Plant plant = world.rig().line().plant();
        long sum = 0;
        for (int unit = 0; unit <= plant.ovens(); unit++) {
            UnitTruth truth = plant.truth(unit);
            sum = 31 * sum + Double.hashCode(truth.airC);
            sum = 31 * sum + Double.hashCode(truth.heaterW);
            sum = 31 * sum + Double.hashCode(truth.steamKgPerS);
            sum = 31 * sum + Double.hashCode(truth.beltMPerS);
            sum = 31 * sum + Boolean.hashCode(truth.doorOpen);
        }
        sum = 31 * sum + Arrays.hashCode(plant.sensing().airC);
        sum = 31 * sum + Arrays.hashCode(plant.sensing().scaleKg);
        CycleResult result = world.rig().result();
        sum = 31 * sum + outputs(result.outputs());
        sum = 31 * sum + result.annunciation().hashCode();
        sum = 31 * sum + result.events().toString().hashCode();
        sum = 31 * sum + result.guardEvents().toString().hashCode();
        return 31 * sum + result.alarmEvents().toString().hashCode();
    }

    private static int outputs(AllowedOutputs out) {
        return Objects.hash(
                out.contactor(),
                out.steamValve(),
                out.secondSteamValve(),
                out.beltRun(),
                out.beltSpeed(),
                out.extractor(),
                out.hoodUnlock(),
                out.pulse(),
                out.ovens());
    }

    /** A batch that nobody copied: what each cycle did, and a moment of each stage. */
    private record Alone(List<Long> cycles, Map<Integer, Stage> moments, World atTheEnd) {
        static Alone of(String recipe, long seed) {
            World world = World.open(CONFIG, recipe, seed);
            List<Long> cycles = new ArrayList<>();
            Map<Stage, List<Integer>> stages = new EnumMap<>(Stage.class);
            while (world.overS() < AFTERWARDS_S) {
                world.cycle();
                cycles.add(done(world));
                if (world.stage() != null) {
                    stages.computeIfAbsent(world.stage(), _ -> new ArrayList<>())
                            .add(cycles.size());
                }
            }
            SplittableRandom random = new SplittableRandom(seed);
            Map<Integer, Stage> moments = new HashMap<>();
            stages.forEach((stage, in) -> moments.put(in.get(random.nextInt(in.size())), stage));
            return new Alone(cycles, moments, world);
        }
    }

    @ParameterizedTest
    @CsvSource({"standard, 31", "light, 32", "deep, 33"})
    void aBatchAndItsCopiesGoOnAsTheBatchThatNobodyCopiedDoes(String recipe, long seed) {
        Alone alone = Alone.of(recipe, seed);
        assertEquals(Set.of(Stage.values()), Set.copyOf(alone.moments().values()));
        try (World end = alone.atTheEnd();
                World world = World.open(CONFIG, recipe, seed)) {
            int which = 0;
            for (int cycle = 1; cycle <= alone.cycles().size(); cycle++) {
                world.cycle();
                assertEquals(alone.cycles().get(cycle - 1), done(world), "cycle " + cycle);
                Stage stage = alone.moments().get(cycle);
                if (stage != null) {
                    String where = stage + " in cycle " + cycle;
                    goesOnAlike(Snapshot.of(world), cycle, alone.cycles(), where);
                    World broken = Snapshot.of(world);
                    assertNull(Twins.difference(world, broken), where);
                    broken.plan(nasty(which++, broken.timeS()));
                    goesOnOtherwise(broken, cycle, alone.cycles(), where);
                }
            }
            World other = Snapshot.of(end); // which has nothing in common with any world
            assertNull(Twins.difference(other, world), "to the last field");
        }
    }

    private static void goesOnAlike(World copy, int from, List<Long> alone, String where) {
        int to = Math.min(from + WINDOW_CYCLES, alone.size());
        for (int cycle = from; cycle < to; cycle++) {
            copy.cycle();
            assertEquals(alone.get(cycle), done(copy), where + ", " + (cycle - from) + " later");
        }
    }

    private static void goesOnOtherwise(World copy, int from, List<Long> alone, String where) {
        int others = 0;
        for (int cycle = from; cycle < from + WINDOW_CYCLES; cycle++) {
            copy.cycle();
            others += cycle < alone.size() && alone.get(cycle) != done(copy) ? 1 : 0;
        }
        assertTrue(others > 100, where + ": only " + others + " cycles otherwise");
    }

    /** The bench knows of no copy: it lives through the batch from its start. */
    @Test
    void theBenchGoesThroughTheSameWithTheFaultsOfAWindow() throws IOException {
        String recipe = "light";
        long seed = 34;
        Alone alone = Alone.of(recipe, seed);
        alone.atTheEnd().close();
        try (World world = World.open(CONFIG, recipe, seed)) {
            int which = 0;
            for (int cycle = 1; cycle <= alone.cycles().size(); cycle++) {
                world.cycle();
                Stage stage = alone.moments().get(cycle);
                if (stage != null && which < NASTY.size()) {
                    replayed(Snapshot.of(world), recipe, seed, cycle + 1, which++);
                }
            }
        }
    }

    private void replayed(World copy, String recipe, long seed, long from, int which)
            throws IOException {
        String faults = nasty(which, copy.timeS());
        Path window = folder.resolve("window-" + which + ".csv");
        Plant plant = copy.rig().line().plant();
        copy.plan(faults);
        try (TraceWriter trace = TraceWriter.create(window, plant)) {
            for (long cycle = from + 1; cycle <= from + WINDOW_CYCLES; cycle++) {
                copy.cycle();
                if (cycle % 10 == 0) {
                    trace.write(cycle / 10, plant);
                }
            }
        }
        Path whole = folder.resolve("whole-" + which + ".csv");
        BenchRun.run(
                new BenchRun.Order(
                        CONFIG,
                        recipe,
                        seed,
                        PlantSettings.drawn(seed),
                        new BenchRun.FaultFile("again.yaml", faults)),
                folder.resolve("journal-" + which),
                whole);
        List<String> mine = Files.readAllLines(window);
        Set<String> bench = new HashSet<>(Files.readAllLines(whole));
        List<String> others = mine.stream().filter(row -> !bench.contains(row)).toList();
        assertTrue(mine.size() > 1200, "20 minutes");
        assertEquals(List.of(), others, faults);
    }

    // ---- one by one ----

    private static final Object NOTHING = new Object();

    /** A record, which reflection could not fill. */
    private record Pair(Object first, List<Integer> figures) {}

    private static final class Knot {
        final List<Object> held = new ArrayList<>();
        final Set<Object> once = new HashSet<>(List.of("a", "b"));
        final List<Integer> figures = new ArrayList<>(List.of(1, 2, 3));
        final Pair pair = new Pair(this, figures);
        final List<Object> one = List.of(pair);
        final Object sentinel = NOTHING;
        final ArrayDeque<IntSupplier> steps = new ArrayDeque<>();
        int count;

        Knot() {
            held.add(pair);
            held.add(pair);
            List<Integer> captured = figures;
            steps.add(() -> ++count + captured.get(0));
        }
    }

    @Test
    void whatWasTheSameIsTheSameAndNothingReachesBack() {
        Knot knot = new Knot();
        Knot copy = Snapshot.of(knot);
        assertNull(Twins.difference(knot, copy));
        assertNotSame(knot.pair, copy.pair);
        assertSame(copy, copy.pair.first());
        assertSame(copy.figures, copy.pair.figures());
        assertSame(copy.held.get(0), copy.held.get(1));
        assertSame(NOTHING, copy.sentinel, "a constant is compared by identity");
        assertEquals(1, copy.one.size(), "the JDK has such a constant inside of its lists");
        assertTrue(copy.once.remove("a"), "and of its sets");
        copy.figures.set(0, 7);
        assertEquals(8, copy.steps.getFirst().getAsInt(), "a lambda sees its own world");
        assertEquals(1, copy.count);
        assertEquals(0, knot.count);
        assertEquals(1, knot.figures.getFirst());
        assertEquals(2, knot.once.size());
        assertNotEquals(null, Twins.difference(knot, copy));
    }

    private record Holder(Object held) {}

    @Test
    void whatItDoesNotKnowIsRefusedWithTheWayThere() throws IOException {
        refused(new Thread(() -> {}), "java.lang.Thread: Holder.held");
        refused(List.of(folder), "Holder.held.");
        refused(new IllegalStateException(), "IllegalStateException: Holder.held");
        refused(Locale.ROOT, "java.util.Locale: Holder.held");
        try (OutputStream file = Files.newOutputStream(folder.resolve("open"))) {
            refused(file, ": Holder.held");
        }
    }

    private static void refused(Object what, String message) {
        IllegalStateException e =
                assertThrows(IllegalStateException.class, () -> Snapshot.of(new Holder(what)));
        assertTrue(String.valueOf(e.getMessage()).contains(message), e::getMessage);
    }

    @Test
    void aMapThatIsKeyedByWhereThingsLieIsRefused() {
        Map<Object, String> byPlace = new HashMap<>();
        byPlace.put(new int[] {1}, "a");
        IllegalStateException e =
                assertThrows(IllegalStateException.class, () -> Snapshot.of(byPlace));
        assertTrue(String.valueOf(e.getMessage()).contains("does not find its"), e::getMessage);
    }

    @Test
    void aRigWhoseJournalIsInAFolderIsRefused() throws IOException {
        try (SimulatedLine line = SimulatedLine.open(PlantSettings.stock(), Board.stock(), 1);
                Rig rig = Rig.alone(line, CONFIG, folder.resolve("j"), "j-files", BenchRun.BEGUN)) {
            rig.cycle();
            IllegalStateException e =
                    assertThrows(IllegalStateException.class, () -> Snapshot.of(rig));
            assertTrue(String.valueOf(e.getMessage()).contains("Path: Rig."), e::getMessage);
            assertFalse(String.valueOf(e.getMessage()).isEmpty());
        }
    }
}
