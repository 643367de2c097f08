package steamleaf.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.bench.BenchCommand;
import steamleaf.bench.BenchRun;
import steamleaf.bench.Summary;
import steamleaf.sim.fault.FaultCase;
import steamleaf.sim.plant.PlantSettings;

/** Things break in many batches; what must never be is looked for in every cycle. */
class CampaignTest {
    private static final long SEED = 20_261_125;

    @TempDir Path folder;

    private static Story.Draw draw(String what, double afterS, double durationS) {
        FaultCase found =
                Campaign.cases().stream()
                        .filter(c -> c.toString().equals(what))
                        .findFirst()
                        .orElseThrow();
        return new Story.Draw(found, afterS, durationS, 0, null);
    }

    private static Shift.Window window(Story story) {
        Shift.Order order = new Shift.Order("light", SEED, List.of(story), false);
        return Shift.run(BenchCommand.stock(), order).windows().getFirst();
    }

    private static Finding first(Shift.Window window, Check check) {
        return window.findings().stream()
                .filter(finding -> finding.check() == check)
                .findFirst()
                .orElseThrow(() -> new AssertionError(check + " not in " + window.findings()));
    }

    @Test
    void aFewHundredWindowsWithFaultsInThemShowNothingThatIsNotExplained()
            throws InterruptedException {
        Campaign.Outcome outcome =
                new Campaign(BenchCommand.stock(), SEED, 2, _ -> {}, _ -> {}, _ -> {}).run(200);
        String stories =
                outcome.failed().stream()
                        .map(w -> w.story() + "\n  " + w.findings() + "\n" + w.faults())
                        .collect(Collectors.joining("\n"));
        assertEquals(List.of(), outcome.failed(), stories);
        assertEquals(Map.of(), outcome.peopleFailedBy(), "a real person would be able to go on");
        assertEquals(180, outcome.windows());
        assertEquals(20, outcome.wholeBatches());
    }

    /** No program can take this heat away: it shows, it is named, and bench replays it. */
    @Test
    void heatThatNothingCanStopIsFoundNamedAndReplayedByTheBench() throws IOException {
        Shift.Window window =
                window(
                        new Story(
                                Stage.FIRST_DRYING,
                                List.of(
                                        draw("contactor stuck-on", 2, 40),
                                        draw("oven-1.heater-relay stuck-on", 4, 36),
                                        draw("emergency-stop pressed", 10, 5))));
        Finding finding = first(window, Check.HEAT_STOP_PRESSED);
        assertEquals(Uncovered.WELDED_CONTACTOR_AND_SHORTED_RELAY, Uncovered.of(finding));

        Summary again =
                BenchRun.run(
                        new BenchRun.Order(
                                BenchCommand.stock(),
                                window.recipe(),
                                window.seed(),
                                PlantSettings.drawn(window.seed()),
                                new BenchRun.FaultFile("again.yaml", window.faults())),
                        folder.resolve("journal-again"),
                        null);
        assertTrue(
                again.unsafe()
                        .contains(
                                new Summary.Unsafe(
                                        finding.toString(), "welded-contactor-and-shorted-relay")),
                () -> again.unsafe().toString());
        assertEquals(0, again.unexplained());
    }

    /** Each begins in the batch in which nothing broke. */
    @Test
    void aWindowIsTheSameWithAndWithoutOthersBeforeIt() {
        Story before =
                new Story(
                        Stage.FIRST_DRYING,
                        List.of(
                                draw("oven-1.heater-relay stuck-on", 2, 300),
                                draw("oven-1.fan stuck-off", 5, 400)));
        Story after =
                new Story(
                        Stage.FIRST_DRYING,
                        0.02,
                        List.of(
                                draw("contactor stuck-on", 2, 60),
                                draw("oven-1.heater-relay stuck-on", 4, 56),
                                draw("emergency-stop pressed", 10, 5)));
        Shift.Window alone = window(after);
        assertFalse(alone.findings().isEmpty());
        Shift.Result both =
                Shift.run(
                        BenchCommand.stock(),
                        new Shift.Order("light", SEED, List.of(after, before), false));
        assertEquals(List.of(), both.untold());
        assertEquals(alone, both.windows().getLast());
        assertEquals(before, both.windows().getFirst().story());
        double apartS = alone.beginS() - both.windows().getFirst().beginS();
        assertEquals(0.02 * Stage.FIRST_DRYING.lastsS, apartS, 0.2);
    }

    @Test
    void aMomentAfterItsStageGoesToAnotherBatchWithHalfTheWait() {
        Story late = new Story(Stage.STEAMING, 5, List.of(draw("belt blocked", 2, 5)));
        Shift.Result result =
                Shift.run(
                        BenchCommand.stock(), new Shift.Order("light", SEED, List.of(late), false));
        assertEquals(List.of(), result.windows());
        assertEquals(List.of(late.earlier()), result.untold());
        assertEquals(late.momentS() / 2, late.earlier().momentS());
    }

    @Test
    void aDoorContactThatLiesAboutAnOpenDoorIsFoundAndNamed() {
        Shift.Window window =
                window(
                        new Story(
                                Stage.FIRST_DRYING,
                                List.of(
                                        draw("oven-1.door-switch stuck-on", 2, 60),
                                        draw("oven-1.door opened", 5, 50))));
        Finding finding = first(window, Check.HEAT_DOOR_OPEN);
        assertEquals(Uncovered.DOOR_CONTACT_STUCK_CLOSED, Uncovered.of(finding));
    }

    /** The stop opens the coil's circuit and nothing else: a welded contactor stays closed. */
    @Test
    void aStopThatNobodySeesWithAWeldedContactorIsFoundAndNamed() {
        Shift.Window window =
                window(
                        new Story(
                                Stage.FIRST_DRYING,
                                List.of(
                                        draw("contactor stuck-on", 2, 60),
                                        draw("emergency-stop stuck-on", 3, 59),
                                        draw("emergency-stop pressed", 20, 30))));
        Finding finding = first(window, Check.HEAT_STOP_PRESSED);
        assertEquals(Uncovered.WELDED_CONTACTOR_AND_STOP_NOT_SEEN, Uncovered.of(finding));
    }

    /**
     * A contact that closes looks like a press: it is found once, named, and not held against it.
     */
    @Test
    void aConfirmButtonThatClosesByItselfIsFoundAndNamed() {
        List<Story.Draw> closings = new ArrayList<>();
        for (int i = 0; i < 140; i++) {
            closings.add(draw("confirm-button stuck-on", 5 + 3 * i, 1));
        }
        Shift.Window window = window(new Story(Stage.LOADING, closings));
        Finding finding = first(window, Check.HEAT_AFTER_INTERLOCK);
        assertEquals(Uncovered.CONFIRM_BUTTON_CLOSES_BY_ITSELF, Uncovered.of(finding));
        assertEquals(List.of(finding), window.findings());
    }

    /** The batch is over long before the second fault; the third has no time to begin. */
    @Test
    void faultsThatMeetNothingAreCounted() {
        Story story =
                new Story(
                        Stage.PACKING,
                        List.of(
                                draw("belt blocked", 2, 5),
                                draw("smoke present", 900, 5),
                                draw("clock stepped", 16 * 3600, 5)));
        Shift.Window window = window(story);
        assertEquals(1, window.notBegun());
        assertEquals(1, window.afterBatch());
    }

    @Test
    void everySetLeftToHardWiringStandsByItsNameInTheDocument() throws IOException {
        String limits = Files.readString(Path.of("..", "..", "docs", "limits.md"));
        List<String> missing =
                Arrays.stream(Uncovered.values())
                        .map(Uncovered::word)
                        .filter(word -> !limits.contains("`" + word + "`"))
                        .toList();
        assertEquals(List.of(), missing);
    }

    @Test
    void theCommandRefusesWhatItCannotReadAndSaysWhatIsAllowed()
            throws IOException, InterruptedException {
        ByteArrayOutputStream err = new ByteArrayOutputStream();
        int code =
                CampaignCommand.run(
                        new String[] {"--runs", "none"},
                        new PrintStream(new ByteArrayOutputStream(), true, StandardCharsets.UTF_8),
                        new PrintStream(err, true, StandardCharsets.UTF_8));
        assertEquals(CampaignCommand.MISTAKEN, code);
        String said = err.toString(StandardCharsets.UTF_8);
        assertTrue(said.contains("--runs = none, allowed: a whole number"), said);
        assertTrue(said.contains("--out is missing"), said);
    }
}
