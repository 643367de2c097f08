package steamleaf.app.assemble;

import java.io.IOException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import steamleaf.app.config.ConfigFile;
import steamleaf.app.io.Drive;
import steamleaf.app.journal.Journal;
import steamleaf.app.journal.Weight;
import steamleaf.app.recall.Recall;
import steamleaf.app.recall.Recalled;
import steamleaf.app.translate.Answers;
import steamleaf.app.translate.Commands;
import steamleaf.app.translate.Descriptions;
import steamleaf.app.translate.Lessons;
import steamleaf.app.translate.Lines;
import steamleaf.app.translate.Live;
import steamleaf.app.translate.Records;
import steamleaf.app.translate.Words;
import steamleaf.contract.AnswerMessage;
import steamleaf.contract.Bodies;
import steamleaf.contract.CommandMessage;
import steamleaf.contract.Kinds;
import steamleaf.contract.RecipeDescription;
import steamleaf.contract.UnitLive;
import steamleaf.core.alarm.AlarmCondition;
import steamleaf.core.alarm.AlarmEvent;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.alarm.AlarmStatus;
import steamleaf.core.batch.Answer;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Command;
import steamleaf.core.batch.Event;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Recipe;
import steamleaf.core.batch.Stamp;
import steamleaf.core.cycle.CycleInput;
import steamleaf.core.cycle.CycleResult;
import steamleaf.core.cycle.Line;
import steamleaf.core.cycle.LineSnapshot;
import steamleaf.core.cycle.LineState;
import steamleaf.core.cycle.UnitView;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/**
 * One controller: scan, step, drive, record, offer, and at the very end the watchdog's edge. All of
 * it happens in {@link #cycle}, on the caller's thread, in the caller's time.
 *
 * <p>An exception in any stage is a mistake in the program: the cycle ends with all outputs off and
 * without an edge, and the next one is told that this one was late, so the guard trips.
 */
public final class Controller implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(Controller.class);

    private static final long NS_PER_S = 1_000_000_000L;

    /** A recollection is offered at least this often. */
    private static final int RECALL_CYCLES = 600;

    /** Cycle numbers go on over a restart with this much room for those that were not recalled. */
    private static final long CYCLE_GAP = 10_000;

    /** Line time that moved this much against the monotonic clock was set. */
    private static final Duration CLOCK_SET = Duration.ofSeconds(2);

    /**
     * Command records written per second at most; a flood of refused ones must not fill the disk.
     */
    private static final int COMMAND_RECORDS = 20;

    private static final int COMMANDS_REMEMBERED = 256;
    private static final long WRITE_OUT_BYTES = 64 * 1024;
    private static final int STARTS_KEPT = 8;
    private static final long HOUR_MS = 3_600_000L;
    private static final long SECONDS_PER_HOUR = 3_600;

    private final ControllerParts parts;
    private final Line line;
    private final List<UnitId> units = new ArrayList<>();
    private final Lines lines = new Lines();
    private final StateNumbers stateNumbers;
    private final double longestCycleS;

    private @Nullable LineState state;
    private @Nullable CycleResult result;
    private @Nullable Readings readings;
    private Drive.Taken taken = Drive.Taken.ALL;
    private long cycle;
    private long lastNowNs;
    private Instant lastTime = Instant.EPOCH;
    private boolean late;
    private boolean doubtful;
    private long failures;
    private long lateCycles;
    private long lastCycleNs;
    private long recalledAt;
    private List<Long> starts = List.of();
    private final int[] heaterOn;
    private int heaterCycles;
    private final Map<String, Long> recordedCommands =
            new LinkedHashMap<>() {
                private static final long serialVersionUID = 1L;

                @Override
                protected boolean removeEldestEntry(Map.Entry<String, Long> eldest) {
                    return size() > COMMANDS_REMEMBERED;
                }
            };
    private int commandRecords;
    private long commandsUnrecorded;

    private Controller(ControllerParts parts) {
        this.parts = parts;
        line = new Line(parts.config().line(), parts.config().guard());
        int ovens = parts.config().line().ovens();
        units.add(UnitId.LINE);
        units.add(UnitId.STEAMER);
        for (int n = 1; n <= ovens; n++) {
            units.add(UnitId.oven(n));
        }
        stateNumbers = new StateNumbers(ovens);
        heaterOn = new int[units.size()];
        longestCycleS = parts.config().guard().longestCycleS();
    }

    /** Puts the parts together. Nothing is driven before the first cycle. */
    public static Controller open(ControllerParts parts) {
        parts.pins().allOff();
        return new Controller(parts);
    }

    // ---- one cycle ----

    /**
     * One cycle, from the chips to the watchdog's edge.
     *
     * @param nowNs monotonic
     * @param lineTime what people call the time, for labels only
     */
    public void cycle(long nowNs, Instant lineTime) {
        boolean edge = false;
        try {
            edge = stages(nowNs, lineTime);
            lastCycleNs = parts.nanoClock().getAsLong() - nowNs;
            if (lastCycleNs > longestCycleS * NS_PER_S) {
                edge = false;
                late = true;
                lateCycles++;
            }
            if (edge) {
                parts.pins().pulse();
            }
        } catch (RuntimeException | Error e) {
            failures++;
            late = true;
            parts.pins().allOff();
            LOG.error("cycle {} failed; all outputs are off", cycle, e);
        }
    }

    /** Every stage in order; whether the watchdog may have its edge. */
    private boolean stages(long nowNs, Instant lineTime) {
        LineState before = state;
        boolean first = before == null;
        double elapsedS = first ? ConfigFile.CYCLE_S : (nowNs - lastNowNs) / (double) NS_PER_S;
        doubtful = parts.clockDoubtful().getAsBoolean();
        if (before == null) {
            before = begin(lineTime);
            state = before;
        } else {
            watchClock(elapsedS, lineTime);
        }
        lastNowNs = nowNs;
        lastTime = lineTime;
        cycle++;
        boolean wasLate = late || elapsedS > longestCycleS;
        late = false;

        Readings scanned = parts.pins().scan(cycle);
        readings = scanned;
        Map<String, CommandMessage> asked = Map.of();
        List<Command> commands = List.of();
        List<CommandMessage> came = parts.inbox().take();
        if (!came.isEmpty()) {
            asked = new HashMap<>();
            commands = commands(came, asked, lineTime);
        }
        CycleResult done =
                line.step(
                        before,
                        new CycleInput(cycle, elapsedS, wasLate, scanned, commands, conditions()));
        state = done.state();
        result = done;
        taken = parts.pins().drive(done.outputs(), done.annunciation());
        stateNumbers.follow(done.state().floor());
        record(done, scanned, asked, lineTime);
        offer(done, scanned, lineTime);
        return taken.safe() && done.outputs().pulse();
    }

    /** What the shell itself has to complain of. */
    private List<AlarmCondition> conditions() {
        boolean full = parts.journal().trouble() != null || !parts.journal().keepsSeconds();
        if (!full && !doubtful && taken.pulseWidths()) {
            return List.of();
        }
        List<AlarmCondition> conditions = new ArrayList<>(3);
        if (!taken.pulseWidths()) {
            conditions.add(new AlarmCondition(UnitId.LINE, AlarmKind.POSITIONS_NOT_TAKEN));
        }
        if (full) {
            conditions.add(new AlarmCondition(UnitId.LINE, AlarmKind.DISK_FULL));
        }
        if (doubtful) {
            conditions.add(new AlarmCondition(UnitId.LINE, AlarmKind.CLOCK_DOUBTFUL));
        }
        return conditions;
    }

    // ---- beginning ----

    private LineState begin(Instant lineTime) {
        Recall recall = parts.recall();
        Recalled found = recall == null ? null : recall.found();
        LineState beginning = null;
        List<Long> before = found == null ? List.of() : found.startsMs();
        List<String> held = new ArrayList<>();
        if (found != null && found.snapshot() != null && fits(found.snapshot())) {
            cycle = found.cycle() + CYCLE_GAP;
            double gapS = (lineTime.toEpochMilli() - found.atMs()) / 1000.0;
            boolean gapKnown = !doubtful && !found.doubtful() && gapS >= 0.0;
            beginning =
                    line.restored(
                            found.snapshot(),
                            Math.max(0.0, gapS),
                            gapKnown,
                            startsWithinHour(before, lineTime));
            for (int i = 0; i < beginning.floor().slots().size(); i++) {
                Batch batch = beginning.floor().slots().get(i).batch();
                if (batch != null) {
                    held.add(batch.id());
                }
            }
        }
        remember(before, lineTime);
        event(
                lineTime,
                Kinds.STARTED,
                new Bodies.Started(
                        parts.start(), parts.version(), parts.config().hash(), doubtful, held));
        if (parts.journal().found().tornBytes() > 0) {
            event(
                    lineTime,
                    Kinds.LOST,
                    new Bodies.Lost("torn-tail", parts.journal().found().tornBytes()));
        }
        if (recall != null && !recall.complaints().isEmpty()) {
            LOG.warn("recollection: {}", recall.complaints());
            event(
                    lineTime,
                    Kinds.LOST,
                    new Bodies.Lost("recollection", recall.complaints().size()));
        }
        describe(lineTime);
        LineState begun = beginning == null ? line.initial() : beginning;
        for (int n = 1; n <= begun.floor().slots().size(); n++) {
            learned(UnitId.oven(n), begun, lineTime);
        }
        for (AlarmStatus status : begun.alarms().standing()) {
            parts.offers().alarm(Live.alarm(status, begun.alarms().nowS(), lineTime));
        }
        return begun;
    }

    /** A recollection of another line: the configuration has other ovens now. */
    private boolean fits(LineSnapshot snapshot) {
        int ovens = parts.config().line().ovens();
        boolean fits =
                snapshot.floor().slots().size() == ovens && snapshot.leaves().size() == ovens;
        if (!fits) {
            LOG.error(
                    "the recollection is of {} ovens, the configuration has {}: begun afresh",
                    snapshot.leaves().size(),
                    ovens);
        }
        return fits;
    }

    /** Where the clock can't be trusted, every start that is remembered may have been just now. */
    private int startsWithinHour(List<Long> before, Instant lineTime) {
        long nowMs = lineTime.toEpochMilli();
        return (int)
                before.stream()
                        .filter(at -> doubtful || (nowMs - at < HOUR_MS && nowMs - at >= 0))
                        .count();
    }

    private void remember(List<Long> before, Instant lineTime) {
        List<Long> all = new ArrayList<>(before);
        all.add(lineTime.toEpochMilli());
        starts = List.copyOf(all.subList(Math.max(0, all.size() - STARTS_KEPT), all.size()));
    }

    private void describe(Instant lineTime) {
        var config = parts.config();
        List<RecipeDescription> recipes = new ArrayList<>();
        for (Recipe recipe : config.line().batch().recipes()) {
            RecipeDescription description = Descriptions.recipe(recipe);
            recipes.add(description);
            event(lineTime, Kinds.RECIPE, description);
        }
        parts.offers()
                .describe(
                        Descriptions.line(
                                config.site(),
                                config.title(),
                                parts.start(),
                                lineTime,
                                parts.version(),
                                config.hash(),
                                config.buttons().fitted(),
                                config.line().batch()),
                        recipes);
    }

    /**
     * Line time is only a label: when somebody sets it, that is recorded and nothing else happens.
     */
    private void watchClock(double elapsedS, Instant lineTime) {
        Instant expected = lastTime.plusNanos(Math.round(elapsedS * NS_PER_S));
        if (Duration.between(expected, lineTime).abs().compareTo(CLOCK_SET) > 0) {
            event(lineTime, Kinds.CLOCK, new Bodies.Clock(expected, lineTime));
        }
    }

    // ---- commands ----

    private List<Command> commands(
            List<CommandMessage> came, Map<String, CommandMessage> asked, Instant lineTime) {
        List<Command> commands = new ArrayList<>(came.size());
        for (CommandMessage message : came) {
            UnitId unit = Words.unit(message.unit());
            Stamp stamp =
                    new Stamp(
                            message.id(),
                            message.by(),
                            message.client().equals(parts.config().buttons().panel()),
                            message.seenCycle(),
                            unit == null ? null : stateNumbers.seen(unit, message.seenState()));
            switch (Commands.read(message, stamp)) {
                case Commands.Read.Good(var command) -> {
                    commands.add(command);
                    asked.put(message.id(), message);
                }
                case Commands.Read.Bad(var because) ->
                        answered(
                                message,
                                new AnswerMessage(
                                        message.id(),
                                        AnswerMessage.REFUSED,
                                        because,
                                        null,
                                        cycle,
                                        lineTime),
                                lineTime);
            }
        }
        return commands;
    }

    private void answered(CommandMessage message, AnswerMessage answer, Instant lineTime) {
        parts.offers().answer(message.client(), answer);
        if (recordedCommands.put(message.id(), cycle) != null) {
            return; // a repeated one: answered again, recorded once
        }
        if (commandRecords < COMMAND_RECORDS || answer.moved()) {
            commandRecords++;
            event(lineTime, Kinds.COMMAND, new Bodies.Commanded(message, answer));
        } else {
            commandsUnrecorded++;
        }
    }

    // ---- recording ----

    private void record(
            CycleResult done,
            Readings scanned,
            Map<String, CommandMessage> asked,
            Instant lineTime) {
        for (Answer answer : done.answers()) {
            CommandMessage message = asked.get(answer.commandId());
            if (message != null) {
                answered(message, Answers.message(answer, cycle, lineTime), lineTime);
            }
        }
        boolean happened =
                !done.events().isEmpty()
                        || !done.guardEvents().isEmpty()
                        || !done.alarmEvents().isEmpty();
        if (happened) {
            for (Records.Entry entry :
                    Records.of(
                            done, lineTime, oven -> line.brief(done, oven, scanned).moisture())) {
                event(lineTime, entry.kind(), entry.body());
            }
        }
        countHeat(done);
        if (done.second()) {
            second(done, scanned, lineTime);
        }
        recall(done, happened, lineTime);
        if (parts.writesItself() && parts.journal().queuedBytes() >= WRITE_OUT_BYTES) {
            parts.journal().writeOut();
        }
    }

    private void event(Instant lineTime, String kind, Object body) {
        parts.journal()
                .append(
                        Weight.EVENT,
                        lineTime.getEpochSecond() / SECONDS_PER_HOUR,
                        lines.event(cycle, lineTime, doubtful, kind, body));
    }

    private void countHeat(CycleResult done) {
        heaterCycles++;
        var outputs = done.outputs();
        if (outputs.steamValve() && outputs.secondSteamValve()) {
            heaterOn[1]++;
        }
        for (int i = 2; i < heaterOn.length; i++) {
            if (outputs.ovens().get(i - 2).heater()) {
                heaterOn[i]++;
            }
        }
    }

    private void second(CycleResult done, Readings scanned, Instant lineTime) {
        List<UnitView> views = new ArrayList<>(units.size());
        double[] shares = new double[units.size()];
        for (int i = 0; i < units.size(); i++) {
            views.add(line.brief(done, units.get(i), scanned));
            shares[i] = heaterOn[i] / (double) heaterCycles;
            heaterOn[i] = 0;
        }
        heaterCycles = 0;
        if (commandsUnrecorded > 0) {
            event(lineTime, Kinds.LOST, new Bodies.Lost("refused-commands", commandsUnrecorded));
            commandsUnrecorded = 0;
        }
        commandRecords = 0;
        parts.journal()
                .append(
                        Weight.SECOND,
                        lineTime.getEpochSecond() / SECONDS_PER_HOUR,
                        lines.second(
                                cycle,
                                lineTime,
                                doubtful,
                                scanned,
                                views,
                                shares,
                                done.outputs().contactor()));
        parts.offers().moment(cycle, lineTime);
    }

    private void recall(CycleResult done, boolean changed, Instant lineTime) {
        Recall recall = parts.recall();
        if (recall == null || (!changed && cycle - recalledAt < RECALL_CYCLES)) {
            return;
        }
        recalledAt = cycle;
        recall.offer(
                new Recalled(
                        lineTime.toEpochMilli(),
                        doubtful,
                        cycle,
                        starts,
                        line.snapshot(done.state())));
        if (parts.writesItself()) {
            try {
                recall.writeOut();
            } catch (IOException e) {
                LOG.warn("recollection not written: {}", e.getMessage());
            }
        }
    }

    // ---- offering ----

    private void learned(UnitId oven, LineState of, Instant lineTime) {
        OvenSlot slot = of.floor().slots().get(oven.number() - 1);
        parts.offers().learned(Lessons.live(oven, slot, lineTime));
    }

    private void offer(CycleResult done, Readings scanned, Instant lineTime) {
        for (Event event : done.events()) {
            if (event instanceof Event.LessonLearned taught) {
                learned(taught.oven(), done.state(), lineTime);
            } else if (event instanceof Event.LearnedForgotten forgotten) {
                learned(forgotten.oven(), done.state(), lineTime);
            }
        }
        for (AlarmEvent event : done.alarmEvents()) {
            switch (event) {
                case AlarmEvent.Changed changed ->
                        parts.offers()
                                .alarm(Live.alarm(changed, done.state().alarms(), cycle, lineTime));
                case AlarmEvent.Silenced _, AlarmEvent.Refused _ -> {}
            }
        }
        if (parts.offers().wantsLive()) {
            parts.offers().live(live(done, scanned, lineTime));
        }
    }

    private List<UnitLive> live(CycleResult done, Readings scanned, Instant lineTime) {
        Live.Cycle of =
                new Live.Cycle(
                        parts.start(),
                        cycle,
                        lineTime,
                        done.state().nowS(),
                        scanned,
                        done.outputs());
        boolean ready = done.state().guard().causes(UnitId.LINE).isEmpty();
        List<UnitLive> all = new ArrayList<>(units.size());
        for (UnitId unit : units) {
            all.add(
                    Live.unit(
                            line.view(done, unit, scanned), stateNumbers.number(unit), of, ready));
        }
        return all;
    }

    // ---- for bench hands, meters and tests ----

    /** The units as the last cycle left them, as on the wire; empty before the first cycle. */
    public List<UnitLive> live() {
        CycleResult done = result;
        Readings scanned = readings;
        return done == null || scanned == null ? List.of() : live(done, scanned, lastTime);
    }

    /** What the last complete cycle decided, null before the first. */
    public @Nullable CycleResult lastResult() {
        return result;
    }

    /** What the last cycle read, null before the first. */
    public @Nullable Readings lastReadings() {
        return readings;
    }

    /** A unit as the last cycle left it, null before the first. */
    public @Nullable UnitView view(UnitId unit) {
        CycleResult done = result;
        Readings scanned = readings;
        return done == null || scanned == null ? null : line.view(done, unit, scanned);
    }

    /** Number of the last cycle. */
    public long cycleNumber() {
        return cycle;
    }

    /** The number a command to this unit has to name as {@code seenState} now. */
    public long stateNumber(UnitId unit) {
        return stateNumbers.number(unit);
    }

    /** Cycles that ended with an exception. */
    public long failures() {
        return failures;
    }

    /** Cycles that did not end in time. */
    public long lateCycles() {
        return lateCycles;
    }

    /** How long the last cycle took by the handed-in clock. */
    public long lastCycleNs() {
        return lastCycleNs;
    }

    public Journal journal() {
        return parts.journal();
    }

    /** All outputs off. */
    public void off() {
        parts.pins().allOff();
    }

    /** All outputs off; what is queued is written; files are closed. */
    @Override
    public void close() {
        off();
        CycleResult done = result;
        Recall recall = parts.recall();
        if (done != null && recall != null) {
            recall.offer(
                    new Recalled(
                            lastTime.toEpochMilli(),
                            doubtful,
                            cycle,
                            starts,
                            line.snapshot(done.state())));
            try {
                recall.writeOut();
            } catch (IOException e) {
                LOG.warn("recollection not written: {}", e.getMessage());
            }
        }
        parts.journal().close();
    }
}
