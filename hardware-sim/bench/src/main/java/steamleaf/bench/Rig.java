package steamleaf.bench;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.function.UnaryOperator;
import org.jspecify.annotations.Nullable;
import steamleaf.app.assemble.Controller;
import steamleaf.app.assemble.ControllerParts;
import steamleaf.app.assemble.Journals;
import steamleaf.app.assemble.Pins;
import steamleaf.app.config.Config;
import steamleaf.app.io.Hardware;
import steamleaf.app.journal.Durability;
import steamleaf.app.journal.Journal;
import steamleaf.app.link.Inbox;
import steamleaf.app.link.Offers;
import steamleaf.app.recall.Recall;
import steamleaf.contract.CommandMessage;
import steamleaf.contract.CommandMessage.Args;
import steamleaf.core.batch.Floor;
import steamleaf.core.cycle.CycleResult;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;

/**
 * The real controller on a simulated line, in handed-in time: whoever holds it calls {@link
 * #cycle}.
 */
public final class Rig implements Talk, AutoCloseable {
    public static final double CYCLE_S = 0.1;
    private static final long CYCLE_NS = 100_000_000L;
    private static final String PERSON = "Mo";

    private final SimulatedLine line;
    private final Hardware hardware;
    private final Controller controller;
    private final Inbox inbox;
    private final String start;
    private final Instant begun;
    private long nowNs;
    private long commands;

    /**
     * @param start id of this start
     * @param begun line time of the first cycle
     * @param recall null where nothing shall survive
     */
    Rig(
            SimulatedLine line,
            Config config,
            String start,
            Instant begun,
            Journal journal,
            boolean writesItself,
            @Nullable Recall recall,
            Inbox inbox,
            Offers offers) {
        this(
                line,
                config,
                start,
                begun,
                journal,
                writesItself,
                recall,
                inbox,
                offers,
                UnaryOperator.identity());
    }

    private Rig(
            SimulatedLine line,
            Config config,
            String start,
            Instant begun,
            Journal journal,
            boolean writesItself,
            @Nullable Recall recall,
            Inbox inbox,
            Offers offers,
            UnaryOperator<Pins> between) {
        this.line = line;
        this.start = start;
        this.begun = begun;
        this.inbox = inbox;
        hardware = Hardware.open(line.pi4j(), config.wiring());
        controller =
                Controller.open(
                        new ControllerParts(
                                config,
                                start,
                                "simulated",
                                between.apply(Pins.of(hardware)),
                                journal,
                                writesItself,
                                recall,
                                inbox,
                                offers,
                                () -> nowNs,
                                () -> false));
    }

    /** A rig without a broker; its journal is not forced to the disk. */
    public static Rig alone(
            SimulatedLine line, Config config, Path journalFolder, String journalId, Instant begun)
            throws IOException {
        return alone(line, config, journalFolder, journalId, begun, UnaryOperator.identity());
    }

    /** The same with its journal in memory: nothing of it is outside of this process. */
    public static Rig inMemory(SimulatedLine line, Config config, String journalId, Instant begun) {
        try {
            Journal journal = Journals.open(new MemoryFolder(), journalId, config.journal());
            return alone(line, config, journal, begun, UnaryOperator.identity());
        } catch (IOException e) { // a folder in memory refuses nothing
            throw new UncheckedIOException(e);
        }
    }

    /** The same with something between the controller and its pins: a mistake to be found. */
    public static Rig alone(
            SimulatedLine line,
            Config config,
            Path journalFolder,
            String journalId,
            Instant begun,
            UnaryOperator<Pins> between)
            throws IOException {
        Journal journal =
                Journals.open(journalFolder, () -> journalId, Durability.WRITTEN, config.journal());
        return alone(line, config, journal, begun, between);
    }

    private static Rig alone(
            SimulatedLine line,
            Config config,
            Journal journal,
            Instant begun,
            UnaryOperator<Pins> between) {
        return new Rig(
                line, config, "s-1", begun, journal, true, null, new Inbox(), Offers.NONE, between);
    }

    /** One tenth of a second of line and controller. */
    public void cycle() {
        line.advance(CYCLE_S);
        nowNs += CYCLE_NS;
        controller.cycle(nowNs, lineTime());
    }

    Instant lineTime() {
        return begun.plusNanos(nowNs + Math.round(1e9 * line.plant().clockAheadS()));
    }

    public SimulatedLine line() {
        return line;
    }

    Hardware hardware() {
        return hardware;
    }

    public Controller controller() {
        return controller;
    }

    /** What the last cycle decided. */
    public CycleResult result() {
        CycleResult result = controller.lastResult();
        if (result == null) {
            throw new IllegalStateException("the first cycle did not complete");
        }
        return result;
    }

    @Override
    public double nowS() {
        return nowNs / 1e9;
    }

    @Override
    public Floor floor() {
        return result().state().floor();
    }

    @Override
    public boolean tripped(UnitId unit) {
        return result().state().guard().tripped(unit);
    }

    @Override
    public void send(String unit, String kind, Args args) {
        UnitId id = unitOf(unit);
        inbox.offer(
                new CommandMessage(
                        "hands-" + start + "-" + ++commands,
                        "hands",
                        PERSON,
                        start,
                        controller.cycleNumber(),
                        controller.stateNumber(id),
                        unit,
                        kind,
                        args));
    }

    private static UnitId unitOf(String unit) {
        return switch (unit) {
            case "line" -> UnitId.LINE;
            case "steamer" -> UnitId.STEAMER;
            default -> UnitId.oven(Integer.parseInt(unit.substring(unit.lastIndexOf('-') + 1)));
        };
    }

    /** Gives the board back without a word from the controller, as after a kill. */
    void abandon() {
        hardware.close();
    }

    @Override
    public void close() {
        controller.close();
        hardware.close();
        line.close();
    }
}
