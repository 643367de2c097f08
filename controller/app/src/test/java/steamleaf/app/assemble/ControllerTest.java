package steamleaf.app.assemble;

import static java.util.Objects.requireNonNull;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.app.config.Config;
import steamleaf.app.config.ConfigFile;
import steamleaf.app.config.Misconfigured;
import steamleaf.app.io.Drive;
import steamleaf.app.journal.Cursor;
import steamleaf.app.journal.Durability;
import steamleaf.app.journal.Journal;
import steamleaf.app.link.Inbox;
import steamleaf.app.link.Offers;
import steamleaf.app.recall.Recall;
import steamleaf.app.recall.Recalled;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.AnswerMessage;
import steamleaf.contract.Bodies;
import steamleaf.contract.Codec;
import steamleaf.contract.CommandMessage;
import steamleaf.contract.JournalRecord;
import steamleaf.contract.Kinds;
import steamleaf.contract.LearnedLive;
import steamleaf.contract.LineDescription;
import steamleaf.contract.RecipeDescription;
import steamleaf.contract.UnitLive;
import steamleaf.core.batch.Floor;
import steamleaf.core.batch.GradeLearned;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Ripeness;
import steamleaf.core.cycle.LineSnapshot;
import steamleaf.core.learn.Learned;
import steamleaf.core.learn.Lesson;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.UnitId;

final class ControllerTest {
    private static final Instant MORNING = Instant.parse("2026-05-01T06:59:58Z");
    private static final long PERIOD_NS = 100_000_000L;

    @TempDir Path folder;
    private Config config;
    private PretendLine pins;
    private Inbox inbox;
    private Heard heard;
    private Journal journal;
    private Controller controller;
    private long nowNs;
    private long takesNs;
    private Instant lineTime = MORNING;

    /** Keeps what the controller offers. */
    private static final class Heard implements Offers {
        final List<AnswerMessage> answers = new ArrayList<>();
        final List<AlarmLive> alarms = new ArrayList<>();
        final List<LearnedLive> learned = new ArrayList<>();
        final Map<String, UnitLive> units = new TreeMap<>();
        boolean wanting;
        @Nullable String failing;

        @Override
        public boolean wantsLive() {
            fail("offer");
            return wanting;
        }

        void fail(String stage) {
            if (stage.equals(failing)) {
                throw new IllegalStateException("broken on purpose: " + stage);
            }
        }

        @Override
        public void live(List<UnitLive> all) {
            all.forEach(unit -> units.put(unit.unit(), unit));
        }

        @Override
        public void alarm(AlarmLive alarm) {
            alarms.add(alarm);
        }

        @Override
        public void learned(LearnedLive of) {
            learned.add(of);
        }

        @Override
        public void answer(String client, AnswerMessage answer) {
            answers.add(answer);
        }

        @Override
        public void describe(LineDescription line, List<RecipeDescription> recipes) {}

        @Override
        public void moment(long cycle, Instant at) {
            fail("record");
        }
    }

    @BeforeEach
    void open() throws Misconfigured, IOException {
        config = ConfigFile.parse("steamleaf.yaml", ConfigFile.stock(), folder);
        open(folder.resolve("first"));
    }

    private void open(Path at) throws IOException {
        pins = new PretendLine(config.line().ovens());
        inbox = new Inbox();
        heard = new Heard();
        journal = Journals.open(at, () -> "j-1", Durability.WRITTEN, config.journal());
        controller =
                Controller.open(
                        new ControllerParts(
                                config,
                                "s-1",
                                "test",
                                pins,
                                journal,
                                true,
                                new Recall(at.resolve("recall"), false),
                                inbox,
                                heard,
                                () -> {
                                    heard.fail("time taken");
                                    return nowNs + takesNs;
                                },
                                () -> {
                                    heard.fail("clock");
                                    return false;
                                }));
    }

    private void run(int cycles) {
        for (int i = 0; i < cycles; i++) {
            nowNs += PERIOD_NS;
            lineTime = lineTime.plusNanos(PERIOD_NS);
            pins.done.clear();
            controller.cycle(nowNs, lineTime);
        }
    }

    private List<JournalRecord> records() throws IOException {
        journal.writeOut();
        List<JournalRecord> records = new ArrayList<>();
        try (Cursor cursor = journal.from(1)) {
            for (byte[] line = cursor.next(); line != null; line = cursor.next()) {
                records.add(read(line));
            }
        }
        return records;
    }

    private static JournalRecord read(byte[] line) {
        try {
            return Codec.read(line, JournalRecord.class);
        } catch (Codec.Malformed e) {
            throw new AssertionError(new String(line, StandardCharsets.UTF_8), e);
        }
    }

    private static <T> T body(JournalRecord record, Class<T> type) {
        try {
            return Codec.read(record.body(), type);
        } catch (Codec.Malformed e) {
            throw new AssertionError(record.toString(), e);
        }
    }

    private <T> List<T> bodies(String kind, Class<T> type) throws IOException {
        return records().stream()
                .filter(record -> record.kind().equals(kind))
                .map(record -> body(record, type))
                .toList();
    }

    private CommandMessage command(String id, UnitId unit, String kind, CommandMessage.Args args) {
        return new CommandMessage(
                id,
                "panel",
                "Mo",
                "s-1",
                controller.cycleNumber(),
                controller.stateNumber(unit),
                unit.label(),
                kind,
                args);
    }

    private CommandMessage command(
            String id, UnitId seen, String kind, CommandMessage.Args args, String unit) {
        CommandMessage like = command(id, seen, kind, args);
        return new CommandMessage(
                like.id(),
                like.client(),
                like.by(),
                like.start(),
                like.seenCycle(),
                like.seenState(),
                unit,
                kind,
                args);
    }

    private AnswerMessage ask(CommandMessage command) {
        assertTrue(inbox.offer(command));
        heard.answers.clear();
        run(1);
        assertEquals(1, heard.answers.size(), () -> command + " " + heard.answers);
        return heard.answers.getFirst();
    }

    private CommandMessage lot(String id) {
        return command(
                id,
                UnitId.LINE,
                "take-in-lot",
                CommandMessage.Args.lot(
                        new CommandMessage.LotDraft(
                                "Upper field 7",
                                "upper field",
                                "early green",
                                0,
                                "medium",
                                false,
                                2.0,
                                5.0,
                                24.5)));
    }

    @Test
    void everythingIsOffBeforeTheFirstCycleAndTheEdgeComesLastOfAll() {
        assertEquals(List.of("all off"), pins.done);
        run(30);
        assertEquals(List.of("scan", "drive", "pulse"), pins.done);
        assertEquals(0, controller.failures());
    }

    @ParameterizedTest
    @ValueSource(
            strings = {"clock", "scan", "step", "drive", "record", "offer", "time taken", "pulse"})
    void anExceptionInAnyStageEndsWithOutputsOffAndWithoutAnEdgeAndTheGuardHearsOfIt(String stage)
            throws IOException {
        run(29);
        pins.failing = stage;
        heard.failing = stage;
        run(1); // the thirtieth ends a second, which is recorded
        assertEquals("all off", pins.done.getLast());
        assertTrue(
                !pins.done.contains("pulse") || stage.equals("pulse"), () -> pins.done.toString());
        assertEquals(1, controller.failures());
        pins.failing = null;
        heard.failing = null;
        run(2);
        assertTrue(
                bodies("guard", Bodies.Guard.class).stream()
                        .anyMatch(
                                guard ->
                                        guard.event().equals("caused")
                                                && guard.reason().key().equals("cycle-late")),
                () -> "the guard was not told");
    }

    @Test
    void aCycleThatTakesTooLongGetsNoEdgeAndTheNextOneIsTold() throws IOException {
        run(30);
        takesNs = Math.round(config.guard().longestCycleS() * 1e9) + 1;
        run(1);
        assertEquals(List.of("scan", "drive"), pins.done);
        takesNs = 0;
        run(2);
        assertEquals(1, controller.lateCycles());
        assertTrue(
                bodies("guard", Bodies.Guard.class).stream()
                        .anyMatch(guard -> guard.reason().key().equals("cycle-late")));
    }

    @Test
    void noEdgeWhileTheHardwareKeepsHeatSteamOrBelt() {
        run(30);
        pins.taken = new Drive.Taken(false, true, true, true);
        run(1);
        assertEquals(List.of("scan", "drive"), pins.done);
        pins.taken = new Drive.Taken(true, false, true, true);
        run(1);
        assertEquals(List.of("scan", "drive"), pins.done);
        pins.taken = new Drive.Taken(true, true, false, false);
        run(1);
        assertEquals(List.of("scan", "drive", "pulse"), pins.done);
    }

    @Test
    void dampersThatAreNotTakenAreAlarmed() throws IOException {
        run(30);
        pins.taken = new Drive.Taken(true, true, true, false);
        run(70);
        assertTrue(
                bodies("alarm", Bodies.Alarm.class).stream()
                        .anyMatch(alarm -> alarm.toString().contains("positions-not-taken")),
                () -> "no alarm");
    }

    @Test
    void theSecondsRecordReadsAsTheContractSays() throws IOException {
        run(25);
        List<Bodies.Second> seconds = bodies("second", Bodies.Second.class);
        assertEquals(2, seconds.size());
        Map<String, Double> line = seconds.getLast().units().get("line");
        assertNotNull(line);
        assertEquals(
                Map.of("roomC", 22.0, "roomRh", 0.6, "pressureKPa", 100.1, "contactor", 0.0), line);
        Map<String, Double> oven = seconds.getLast().units().get("oven-2");
        assertNotNull(oven);
        assertEquals(22.04, oven.get("airC"));
        assertEquals(0.6125, oven.get("exhaustRh"));
        assertEquals(1.0, oven.get("doorClosed"));
        assertEquals(0.0, oven.get("heater"));
        assertFalse(oven.containsKey("moisture"));
        assertTrue(seconds.getLast().batches().isEmpty());
    }

    @Test
    void aBadReadingIsLeftOutOfTheSecond() throws IOException {
        run(15);
        pins.bad(UnitId.oven(1), Quantity.AIR_C);
        run(10);
        Bodies.Second second = bodies("second", Bodies.Second.class).getLast();
        Map<String, Double> oven = second.units().get("oven-1");
        assertNotNull(oven);
        assertFalse(oven.containsKey("airC"));
        assertTrue(oven.containsKey("exhaustC"));
    }

    @Test
    void recordsAreNumberedFromOneWithTheStartFirst() throws IOException {
        run(40);
        List<JournalRecord> records = records();
        assertEquals("started", records.getFirst().kind());
        for (int i = 0; i < records.size(); i++) {
            assertEquals(i + 1, records.get(i).n());
            assertEquals("j-1", records.get(i).journal());
        }
        assertEquals(3, records.stream().filter(record -> record.kind().equals("recipe")).count());
    }

    @Test
    void aCommandIsAnsweredRecordedAndDoneOnce() throws IOException {
        run(20);
        CommandMessage lot = lot("c-1");
        AnswerMessage first = ask(lot);
        assertTrue(first.moved(), () -> String.valueOf(first.because()));
        AnswerMessage again = ask(lot);
        assertTrue(again.moved());
        assertEquals(first.made(), again.made());
        assertEquals(1, bodies("command", Bodies.Commanded.class).size());
        List<Bodies.Lot> lots = bodies("lot", Bodies.Lot.class);
        assertEquals(1, lots.size());
        assertEquals("Upper field 7", lots.getFirst().label());
        assertEquals(5.0, lots.getFirst().massKg());
        Instant plucked = lots.getFirst().pluckedAt();
        assertNotNull(plucked);
        assertEquals(7_200.0, (double) (lineTime.getEpochSecond() - plucked.getEpochSecond()), 2.0);
    }

    @Test
    void argumentsThatDoNotFitAreRefusedByName() {
        run(20);
        AnswerMessage answer =
                ask(command("c-1", UnitId.oven(1), "arm", CommandMessage.Args.action("jump")));
        assertFalse(answer.moved());
        assertEquals(
                "Because[key=command-malformed, values=[args.action = jump, allowed: start, resume, reset, confirm, tune]]",
                String.valueOf(answer.because()));
        AnswerMessage nowhere =
                ask(
                        new CommandMessage(
                                "c-2",
                                "panel",
                                "Mo",
                                "s-1",
                                controller.cycleNumber(),
                                1,
                                "oven-99",
                                "hold",
                                CommandMessage.Args.NONE));
        assertEquals(
                "Because[key=refused.unknown-unit, values=[oven-99]]",
                String.valueOf(nowhere.because()));
    }

    @Test
    void aCommandThatSawAnOlderStateIsRefusedAsAlreadyMoved() {
        run(20);
        String made = ask(lot("c-1")).made();
        assertNotNull(made);
        CommandMessage.Args batch =
                CommandMessage.Args.batch("standard", List.of(new Bodies.Portion(made, 2.0)), null);
        CommandMessage mine = command("c-2", UnitId.oven(1), "plan-batch", batch);
        CommandMessage theirs = command("c-3", UnitId.oven(1), "plan-batch", batch);
        assertTrue(ask(mine).moved());
        assertFalse(ask(theirs).moved());
        AnswerMessage cancelled =
                ask(command("c-4", UnitId.oven(1), "cancel-plan", CommandMessage.Args.NONE));
        assertTrue(cancelled.moved(), () -> String.valueOf(cancelled.because()));
        CommandMessage late =
                new CommandMessage(
                        "c-5",
                        "panel",
                        "Mo",
                        "s-1",
                        controller.cycleNumber(),
                        mine.seenState(),
                        "oven-1",
                        "plan-batch",
                        batch);
        AnswerMessage answer = ask(late);
        assertEquals(
                "Because[key=refused.already-moved, values=[oven-1]]",
                String.valueOf(answer.because()));
    }

    @Test
    void leafIsWrittenOffByItsLot() {
        run(20);
        String made = ask(lot("c-1")).made();
        assertNotNull(made);
        CommandMessage.Args some = CommandMessage.Args.lots(List.of(new Bodies.Portion(made, 0.5)));
        AnswerMessage answer = ask(command("c-2", UnitId.LINE, "write-off", some));
        assertTrue(answer.moved(), () -> String.valueOf(answer.because()));
        assertEquals(made, answer.made());
    }

    @Test
    void aStopIsNeverRefusedWhateverItSawAndWhateverItNames() {
        run(20);
        AnswerMessage nowhere =
                ask(command("c-0", UnitId.oven(1), "stop", CommandMessage.Args.NONE, "oven-99"));
        assertTrue(nowhere.moved());
        assertEquals("line", nowhere.made());
        AnswerMessage answer =
                ask(
                        new CommandMessage(
                                "c-1",
                                "panel",
                                "Mo",
                                "s-0",
                                -5,
                                -5,
                                "oven-3",
                                "stop",
                                CommandMessage.Args.NONE));
        assertTrue(answer.moved());
    }

    @Test
    void aFloodOfRefusedCommandsIsAnsweredButDoesNotFillTheJournal() throws IOException {
        run(20);
        for (int i = 0; i < 500; i++) {
            inbox.offer(command("c-" + i, UnitId.oven(1), "abort", CommandMessage.Args.NONE));
            run(1);
        }
        assertEquals(500, heard.answers.size());
        run(20);
        assertTrue(bodies("command", Bodies.Commanded.class).size() <= 500);
        for (int i = 0; i < 32 * 20; i++) {
            inbox.offer(command("d-" + i, UnitId.oven(1), "abort", CommandMessage.Args.NONE));
            if (i % 32 == 31) {
                run(1);
            }
        }
        run(20);
        int recorded = bodies("command", Bodies.Commanded.class).size() - 500;
        assertTrue(recorded <= 60, () -> "recorded " + recorded);
        long lost =
                bodies("lost", Bodies.Lost.class).stream()
                        .filter(one -> one.what().equals("refused-commands"))
                        .mapToLong(Bodies.Lost::count)
                        .sum();
        assertEquals(640, recorded + lost);
    }

    @Test
    void theLiveStateIsMadeOnlyWhenSomebodyWantsIt() {
        run(20);
        assertTrue(heard.units.isEmpty());
        heard.wanting = true;
        run(1);
        assertEquals(
                java.util.Set.of("line", "steamer", "oven-1", "oven-2", "oven-3"),
                heard.units.keySet());
        UnitLive oven = heard.units.get("oven-1");
        assertNotNull(oven);
        assertEquals("idle", oven.state());
        assertEquals(new UnitLive.Value(22.04, "good"), oven.readings().get("airC"));
        assertFalse(oven.permissives().isEmpty());
        for (UnitLive unit : heard.units.values()) {
            assertEquals(unit, wireAndBack(unit));
        }
    }

    private static UnitLive wireAndBack(UnitLive unit) {
        try {
            return Codec.read(Codec.write(unit), UnitLive.class);
        } catch (Codec.Malformed e) {
            throw new AssertionError(e.getMessage() + " in " + unit, e);
        }
    }

    @Test
    void aRestartKeepsLotsAndBatchesAndItsNumbersGoOn() throws IOException {
        run(20);
        String made = ask(lot("c-1")).made();
        assertNotNull(made);
        assertTrue(
                ask(command(
                                "c-2",
                                UnitId.oven(2),
                                "plan-batch",
                                CommandMessage.Args.batch(
                                        "light", List.of(new Bodies.Portion(made, 2.0)), null)))
                        .moved());
        long before = controller.cycleNumber();
        // killed: nobody closes anything
        open(folder.resolve("first"));
        lineTime = lineTime.plusSeconds(300);
        heard.wanting = true;
        run(1);
        UnitLive oven = heard.units.get("oven-2");
        assertNotNull(oven);
        assertEquals("planned", oven.state());
        assertEquals("light", oven.recipe());
        assertTrue(controller.cycleNumber() > before);
        Bodies.Started started = bodies("started", Bodies.Started.class).getLast();
        assertEquals(1, started.heldBatches().size());
        assertTrue(
                bodies("changed", Bodies.Changed.class).stream()
                        .anyMatch(changed -> changed.what().equals("gap")));
    }

    private static final Lesson TAUGHT =
            new Lesson(
                    "batch-1",
                    new Lesson.Part(-0.6, 0.2, Lesson.Worth.COUNTS),
                    new Lesson.Part(0.0, Double.POSITIVE_INFINITY, Lesson.Worth.VAGUE));

    /** Goes on as a line whose first oven has had three batches of medium leaf. */
    private void openAfterLessons(Path at) throws IOException {
        run(1);
        controller.close();
        Recalled found = requireNonNull(new Recall(folder.resolve("first/recall"), false).found());
        LineSnapshot kept = requireNonNull(found.snapshot());
        Learned learned = Learned.NOTHING.with(TAUGHT).with(TAUGHT).with(TAUGHT);
        List<OvenSlot> slots = new ArrayList<>(kept.floor().slots());
        List<GradeLearned> grades = List.of(new GradeLearned(Ripeness.MEDIUM, learned));
        slots.set(0, new OvenSlot(null, false, 0.0, null, null, grades));
        Floor floor = kept.floor();
        Recall recall = new Recall(at.resolve("recall"), false);
        recall.offer(
                new Recalled(
                        found.atMs(),
                        false,
                        found.cycle(),
                        found.startsMs(),
                        new LineSnapshot(
                                kept.nowS(),
                                new Floor(
                                        floor.stock(),
                                        slots,
                                        floor.numbers(),
                                        null,
                                        floor.buttons(),
                                        floor.answered()),
                                kept.guard(),
                                kept.alarms(),
                                kept.alarmsNowS(),
                                kept.leaves())));
        recall.writeOut();
        open(at);
        run(1);
    }

    @Test
    void atItsStartALineSaysOfEachOvenWhatWasLearnedWhichAtFirstIsNothing() {
        run(1);
        assertEquals(config.line().ovens(), heard.learned.size());
        assertTrue(heard.learned.stream().allMatch(of -> of.grades().isEmpty()));
    }

    @Test
    void whatWasLearnedIsToldAfterARestartAndForgottenForGoodByACommand() throws IOException {
        openAfterLessons(folder.resolve("second"));
        LearnedLive told = heard.learned.getFirst();
        assertEquals("oven-1", told.unit());
        LearnedLive.Grade medium = told.grades().getFirst();
        assertEquals("medium", medium.grade());
        assertEquals(3, medium.rate().counted());
        assertTrue(medium.rate().applied() < 0.95, () -> "applied " + medium.rate().applied());
        assertEquals("learned.applied", medium.rate().because().key());
        assertEquals(1.0, medium.airflow().applied());
        assertEquals("learned.too-few", medium.airflow().because().key());
        assertEquals("vague", medium.lessons().getFirst().airflow().worth());
        assertNull(medium.lessons().getFirst().airflow().factor());

        UnitId oven = UnitId.oven(1);
        CommandMessage.Args word = CommandMessage.Args.action("ripe");
        assertFalse(ask(command("c-1", oven, "forget-learned", word)).moved());
        pins.keyOff();
        heard.learned.clear();
        CommandMessage.Args grade = CommandMessage.Args.action("medium");
        AnswerMessage answer = ask(command("c-2", oven, "forget-learned", grade));
        assertTrue(answer.moved(), answer::toString);
        assertEquals(List.of(), heard.learned.getFirst().grades());
        Bodies.Learned record = bodies(Kinds.LEARNED, Bodies.Learned.class).getFirst();
        assertEquals(new Bodies.Learned("oven-1", "forgotten", "medium", null, "Mo"), record);

        controller.close();
        open(folder.resolve("second"));
        run(1);
        assertTrue(heard.learned.stream().allMatch(of -> of.grades().isEmpty()));
    }

    @Test
    void theSameStoryGivesTheSameBytes() throws IOException {
        List<Path> folders = List.of(folder.resolve("a"), folder.resolve("b"));
        for (Path at : folders) {
            nowNs = 0;
            lineTime = MORNING;
            open(at);
            run(20);
            ask(lot("c-1"));
            run(200);
            controller.close();
        }
        try (var files = Files.list(folders.get(0))) {
            List<Path> names = files.filter(Files::isRegularFile).toList();
            assertTrue(names.size() >= 3, names::toString); // two hours and the journal's id
            for (Path name : names) {
                assertArrayEquals(
                        Files.readAllBytes(name),
                        Files.readAllBytes(folders.get(1).resolve(name.getFileName())),
                        name.toString());
            }
        }
    }

    @Test
    void aClockThatWasSetIsRecordedAndChangesNothingElse() throws IOException {
        run(20);
        lineTime = lineTime.plusSeconds(3_600);
        run(20);
        List<Bodies.Clock> clocks = bodies("clock", Bodies.Clock.class);
        assertEquals(1, clocks.size());
        assertEquals(
                3_600,
                clocks.getFirst().after().getEpochSecond()
                        - clocks.getFirst().before().getEpochSecond());
        assertEquals(0, controller.lateCycles());
    }
}
