package steamleaf.bench;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import steamleaf.app.assemble.Journals;
import steamleaf.app.config.Config;
import steamleaf.app.journal.Durability;
import steamleaf.app.journal.Journal;
import steamleaf.app.link.Inbox;
import steamleaf.app.link.Offers;
import steamleaf.app.recall.Recall;
import steamleaf.app.recall.Recalled;
import steamleaf.contract.CommandMessage.Args;
import steamleaf.core.batch.Floor;
import steamleaf.core.cycle.CycleResult;
import steamleaf.core.cycle.MoistureView;
import steamleaf.core.cycle.UnitView;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.UnitTruth;

/**
 * A line whose controller dies without a word and is started again over what was durable, while the
 * plant goes on. People talk to whichever controller lives.
 */
final class MortalLine implements Talk, AutoCloseable {
    /** What a kill in the middle of a writing leaves behind. */
    enum Tear {
        /** Killed between two writings. */
        NONE,
        /** The journal's last line ends somewhere. */
        JOURNAL,
        /** The recollection that was being written is there in part, beside the last two. */
        RECOLLECTION,
        /** The newest recollection was lost with the power; the one before is there. */
        NEWEST_RECOLLECTION
    }

    private static final double WATCHDOG_HAD_ITS_TIME_S = 2.0;

    private static final long BELIEVED_CYCLES = 3000;

    /** Less is a rest of rounding, not heat. */
    private static final double HEAT_W = 50;

    private final SimulatedLine line;
    private final Config config = BenchCommand.stock();
    private final Path folder;
    private Rig rig;
    private double earlierS;
    private int starts = 1;
    private boolean sent;
    private boolean recollected;
    private final List<Instant> startedAt = new ArrayList<>();

    /** What was believed of oven 1's leaf, by cycle, of this controller's last minutes. */
    private final TreeMap<Long, Optional<MoistureView>> believed = new TreeMap<>();

    MortalLine(PlantSettings plant, long seed, Path folder) throws IOException {
        this.folder = folder;
        line = SimulatedLine.open(plant, Board.stock(), seed);
        rig = start(BenchRun.BEGUN);
    }

    private Rig start(Instant begun) throws IOException {
        startedAt.add(begun);
        Journal journal =
                Journals.open(folder, () -> "j-mortal", Durability.WRITTEN, config.journal());
        return new Rig(
                line,
                config,
                "s-" + starts,
                begun,
                journal,
                true,
                new Recall(recollections(), false),
                new Inbox(),
                Offers.NONE);
    }

    private Path recollections() {
        return folder.resolve("recall");
    }

    Rig rig() {
        return rig;
    }

    Plant plant() {
        return line.plant();
    }

    SimulatedLine line() {
        return line;
    }

    /** The controller that lives found what the one before knew. */
    boolean recollected() {
        return recollected;
    }

    /** Starts that the present one found recorded, in the hour before it. */
    long startsWithinHour() {
        Instant now = startedAt.getLast();
        return startedAt.stream()
                .filter(at -> at.isBefore(now) && at.plusSeconds(3600).isAfter(now))
                .count();
    }

    int starts() {
        return starts;
    }

    /** A command was given since the last cycle: it is on its way. */
    boolean commandOnItsWay() {
        return sent;
    }

    /** One cycle; what it recorded in this second is durable at its end. */
    void cycle() {
        sent = false;
        rig.cycle();
        CycleResult result = rig.result();
        if (result.second()) {
            rig.controller().journal().writeOut();
        }
        if (result.second() || !result.events().isEmpty()) {
            long cycle = rig.controller().cycleNumber();
            UnitView view = rig.controller().view(UnitId.oven(1));
            believed.put(cycle, Optional.ofNullable(view == null ? null : view.moisture()));
            believed.headMap(cycle - BELIEVED_CYCLES).clear();
        }
    }

    /**
     * What was found again.
     *
     * @param leaf of oven 1 as it was recollected, null without leaf
     */
    record Found(Tear torn, @Nullable MoistureView leaf) {}

    /** The process is gone; after a while another one starts. */
    Found dieAndComeBackAfter(double awayS, Tear wanted, SplittableRandom random)
            throws IOException {
        Instant died = rig.lineTime();
        double diedS = nowS();
        Floor floor = floor();
        var trips = rig.result().state().guard().kept().trips();
        var alarms = rig.result().state().alarms().standing();
        for (long i = 1; i <= Math.round(awayS / Rig.CYCLE_S); i++) {
            line.advance(Rig.CYCLE_S); // nobody drives: pins keep their level
            if (i * Rig.CYCLE_S > WATCHDOG_HAD_ITS_TIME_S) {
                assertNothingRuns("with no controller");
                assertTrue(plant().hornSounds(), "the watchdog's horn");
            }
        }
        rig.abandon();
        Tear torn = tear(wanted, floor, trips, alarms, random);
        Recalled found = new Recall(recollections(), false).found();
        recollected = found != null;
        if (!recollected) {
            startedAt.clear(); // killed before there was anything to keep
        }
        var leaf = found == null ? null : believed.floorEntry(found.cycle());
        believed.clear();
        starts++;
        earlierS = diedS + awayS;
        rig = start(died.plusMillis(Math.round(awayS * 1000)));
        return new Found(torn, leaf == null ? null : leaf.getValue().orElse(null));
    }

    /** No heat, no steam, no belt: the simulator's truth. */
    void assertNothingRuns(String when) {
        Plant plant = plant();
        assertFalse(plant.contactorClosed(), () -> "contactor " + when);
        for (int oven = 1; oven <= plant.ovens(); oven++) {
            double heatW = plant.truth(oven).heaterW;
            assertTrue(heatW <= HEAT_W, () -> "heat " + when + ": " + heatW + " W");
        }
        UnitTruth steamer = plant.truth("steamer");
        assertFalse(steamer.valveOn, () -> "steam " + when);
        assertTrue(steamer.beltMPerS == 0, () -> "belt " + when);
    }

    private Tear tear(
            Tear wanted, Floor floor, Object trips, Object alarms, SplittableRandom random)
            throws IOException {
        switch (wanted) {
            case NONE -> {}
            case JOURNAL -> {
                Path newest = newest(folder, ".jsonl");
                byte[] bytes = Files.readAllBytes(newest);
                int lastLine = bytes.length - 1;
                while (lastLine > 0 && bytes[lastLine - 1] != '\n') {
                    lastLine--;
                }
                cut(newest, random.nextInt(lastLine + 1, bytes.length));
            }
            case RECOLLECTION -> {
                Path newest = newest(recollections(), ".json");
                Path other =
                        newest.resolveSibling(
                                newest.endsWith("recall-a.json")
                                        ? "recall-b.json.tmp"
                                        : "recall-a.json.tmp");
                Files.copy(newest, other);
                cut(other, random.nextLong(Files.size(newest)));
            }
            case NEWEST_RECOLLECTION -> {
                Path newest = newest(recollections(), ".json");
                byte[] whole = Files.readAllBytes(newest);
                cut(newest, random.nextInt(whole.length));
                Recalled before = new Recall(recollections(), false).found();
                boolean tellsTheSame =
                        before != null
                                && before.snapshot() != null
                                && sameFloor(before.snapshot().floor(), floor)
                                && before.snapshot().guard().trips().equals(trips)
                                && before.snapshot().alarms().equals(alarms);
                if (!tellsTheSame) { // something happened since: then it was durable
                    Files.write(newest, whole);
                    return Tear.NONE;
                }
            }
        }
        return wanted;
    }

    private static boolean sameFloor(Floor one, Floor other) {
        return one.slots().equals(other.slots())
                && one.stock().equals(other.stock())
                && one.numbers().equals(other.numbers());
    }

    private static Path newest(Path folder, String end) throws IOException {
        try (Stream<Path> all = Files.list(folder)) {
            List<Path> files = all.filter(file -> file.toString().endsWith(end)).toList();
            return end.equals(".json")
                    ? files.stream().max(Comparator.comparingLong(MortalLine::serial)).orElseThrow()
                    : files.stream().max(Comparator.naturalOrder()).orElseThrow();
        }
    }

    private static long serial(Path recollection) {
        try (Stream<String> lines = Files.lines(recollection)) {
            return Long.parseLong(lines.findFirst().orElseThrow().split(" ", -1)[2]);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static void cut(Path file, long bytes) throws IOException {
        try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
            channel.truncate(bytes);
        }
    }

    @Override
    public double nowS() {
        return earlierS + rig.nowS();
    }

    @Override
    public Floor floor() {
        return rig.floor();
    }

    @Override
    public boolean tripped(UnitId unit) {
        return rig.tripped(unit);
    }

    @Override
    public void send(String unit, String kind, Args args) {
        sent = true;
        rig.send(unit, kind, args);
    }

    @Override
    public void close() {
        rig.close();
    }
}
