package steamleaf.bench.campaign;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.function.BiPredicate;
import java.util.function.Consumer;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.app.assemble.Pins;
import steamleaf.app.io.Drive;
import steamleaf.bench.BenchCommand;
import steamleaf.bench.BenchRun;
import steamleaf.bench.Hands;
import steamleaf.bench.Rig;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Phase;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.Annunciation;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.fault.FaultCase;
import steamleaf.sim.fault.FaultKind;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;

/**
 * A check that cannot fail finds nothing. Here the guard is broken on purpose: what it once allowed
 * goes on being driven, whatever it says later. What the plant does besides is not told to the
 * fault desk, so that no set of faults explains anything.
 */
class EveryCheckCanFireTest {
    private static final long SEED = 20_261_126;
    private static final UnitId OVEN = UnitId.oven(1);

    @TempDir Path folder;

    /** A guard that does not take back what it allowed once. */
    private static final class BrokenGuard implements Pins {
        private final Pins pins;
        private final BiPredicate<AllowedOutputs, Boolean> keeps;
        private @Nullable AllowedOutputs kept;
        private boolean broken;
        private boolean throwsUp;

        /**
         * @param keeps what it goes on with, once it is broken
         */
        BrokenGuard(Pins pins, BiPredicate<AllowedOutputs, Boolean> keeps) {
            this.pins = pins;
            this.keeps = keeps;
        }

        @Override
        public Readings scan(long cycle) {
            if (throwsUp) {
                throw new IllegalStateException("a mistake of the program");
            }
            if (kept != null) {
                pins.pulse();
            }
            return pins.scan(cycle);
        }

        @Override
        public Drive.Taken drive(AllowedOutputs outputs, Annunciation annunciation) {
            if (kept == null && keeps.test(outputs, broken)) {
                kept = outputs;
            }
            return pins.drive(kept == null ? outputs : kept, annunciation);
        }

        @Override
        public void allOff() {
            pins.allOff();
        }

        @Override
        public void pulse() {
            pins.pulse();
        }
    }

    private interface Moment {
        boolean isNow(Batch batch, double nowS);
    }

    private List<Finding> findings(
            BiPredicate<AllowedOutputs, Boolean> keeps,
            Moment moment,
            Consumer<BrokenGuard> breaking,
            double watchedS,
            List<Consumer<SimulatedLine>> minutes)
            throws IOException {
        PlantSettings settings = PlantSettings.drawn(SEED);
        BrokenGuard[] guard = new BrokenGuard[1];
        try (SimulatedLine line = SimulatedLine.open(settings, Board.stock(), SEED);
                Rig rig =
                        Rig.alone(
                                line,
                                BenchCommand.stock(),
                                folder.resolve("journal"),
                                "j-broken",
                                BenchRun.BEGUN,
                                pins -> guard[0] = new BrokenGuard(pins, keeps))) {
            Watch watch = new Watch(line, Rig.CYCLE_S, 110);
            Hands hands = new Hands(line.plant(), rig, Hands.Help.ALL, _ -> {});
            People people = new People(rig, hands, watch);
            rig.cycle();
            hands.beginDay();
            hands.runBatch(BenchRun.lot(settings), "light", OVEN, BenchRun.chargeKg(settings));
            double brokenS = Double.NaN;
            int minute = 0;
            for (long cycle = 2; !(rig.nowS() - brokenS > watchedS); cycle++) {
                assertTrue(rig.nowS() < 3 * 3600, "the moment did not come");
                rig.cycle();
                watch.look(rig.controller().lastResult(), rig.controller().failures());
                if (cycle % 5 == 0 && Double.isNaN(brokenS)) {
                    people.look();
                    Batch batch = rig.floor().batch(OVEN);
                    if (batch != null && moment.isNow(batch, rig.nowS())) {
                        assertEquals(List.of(), watch.findings(), "nothing was broken so far");
                        brokenS = rig.nowS();
                        breaking.accept(guard[0]);
                    }
                }
                if (rig.nowS() - brokenS > 60 * minute && minute < minutes.size()) {
                    minutes.get(minute++).accept(line);
                }
            }
            return watch.findings();
        }
    }

    private static Set<Check> unexplained(List<Finding> findings) {
        findings.forEach(finding -> assertNull(Uncovered.of(finding), finding::toString));
        return findings.stream()
                .map(Finding::check)
                .collect(Collectors.toCollection(() -> EnumSet.noneOf(Check.class)));
    }

    private static void assertAmong(Set<Check> fired, Check... wanted) {
        for (Check check : wanted) {
            assertTrue(fired.contains(check), check + " not in " + fired);
        }
    }

    @Test
    void heatThatABrokenGuardDoesNotTakeAwayIsSeenByEachCheckOfHeat() throws IOException {
        List<Finding> findings =
                findings(
                        (outputs, broken) ->
                                broken && outputs.contactor() && outputs.ovens().get(0).heater(),
                        (batch, nowS) ->
                                batch.phase() instanceof Phase.Drying(double sinceS, double _)
                                        && nowS - sinceS > 120,
                        guard -> guard.broken = true,
                        900,
                        List.of(
                                line -> {
                                    line.plant().ovenFaults(1).highLimitDead = true;
                                    line.plant().ovenFaults(1).doorHeldOpen = true;
                                },
                                line -> line.plant().ovenFaults(1).doorHeldOpen = false,
                                _ -> {},
                                _ -> {},
                                _ -> {},
                                _ -> {},
                                _ -> {},
                                _ -> {},
                                _ -> {},
                                line -> line.plant().ovenFaults(1).fanFailed = true,
                                line -> {
                                    line.plant().lineFaults().contactorWelded = true;
                                    line.plant().pressEmergencyStop();
                                }));
        assertAmong(
                unexplained(findings),
                Check.HEAT_ABOVE_LIMIT,
                Check.HEAT_LONG_ABOVE_LIMIT,
                Check.HEAT_ABOVE_HIGH_LIMIT,
                Check.HEAT_AFTER_TRIP,
                Check.HEAT_AFTER_INTERLOCK,
                Check.HEAT_DOOR_OPEN,
                Check.HEAT_WITHOUT_AIR,
                Check.HEAT_STOP_PRESSED);
        double limitS = firstS(findings, Check.HEAT_ABOVE_LIMIT);
        double longS = firstS(findings, Check.HEAT_LONG_ABOVE_LIMIT);
        assertEquals(240, longS - limitS, 1, "O-15's reaction time later");
    }

    private static double firstS(List<Finding> findings, Check check) {
        return findings.stream()
                .filter(finding -> finding.check() == check)
                .mapToDouble(Finding::atS)
                .min()
                .orElseThrow();
    }

    @Test
    void steamAndBeltThatABrokenGuardDoesNotTakeAwayAreSeenByEachCheckOfSteam() throws IOException {
        Set<Check> fired =
                unexplained(
                        findings(
                                (outputs, broken) -> broken && outputs.steamValve(),
                                (batch, _) -> batch.phase() instanceof Phase.Feeding,
                                guard -> guard.broken = true,
                                240,
                                List.of(
                                        line -> {
                                            Plant plant = line.plant();
                                            plant.lineFaults().steamValveStuckOpen = true;
                                            plant.lineFaults().secondSteamValveStuckOpen = true;
                                            plant.lineFaults().boltStuckOpen = true;
                                        },
                                        line -> line.plant().openHood().charge(),
                                        line -> {
                                            line.plant().closeHood().charge();
                                            line.plant().pressEmergencyStop();
                                        })));
        assertAmong(
                fired,
                Check.STEAM_HOOD_OPEN,
                Check.STEAM_STOP_PRESSED,
                Check.STEAM_AFTER_TRIP,
                Check.BELT_AFTER_TRIP);
    }

    @Test
    void aCycleThatFailsIsAFailureOfTheProgram() throws IOException {
        Set<Check> fired =
                unexplained(
                        findings(
                                (_, _) -> false,
                                (batch, _) -> batch.phase() instanceof Phase.Drying,
                                guard -> guard.throwsUp = true,
                                5,
                                List.of()));
        assertEquals(EnumSet.of(Check.PROGRAM_FAILED), fired);
    }

    /** A fault file that nothing can read stands for whatever ends a run from within. */
    @Test
    void aRunThatBreaksOffIsAFailureAndIsToldWithWhatEndedIt() {
        FaultCase belt =
                Campaign.cases().stream()
                        .filter(c -> c.toString().equals("belt blocked"))
                        .findFirst()
                        .orElseThrow();
        Story.Draw tooShort = new Story.Draw(belt, 2, 0.01, 0, null);
        Story story = new Story(Stage.WARMING, List.of(tooShort));
        Shift.Result result =
                Shift.run(
                        BenchCommand.stock(),
                        new Shift.Order("light", SEED, List.of(story), false));
        assertEquals(1, result.windows().size());
        Shift.Window window = result.windows().getFirst();
        assertEquals(story, window.story());
        Finding finding = window.findings().getFirst();
        assertEquals(Check.BROKE_OFF, finding.check());
        assertNull(Uncovered.of(finding));
        assertTrue(finding.detail().contains("duration = 0.0 s, allowed"), finding.detail());
        assertTrue(Campaign.fails(window), "counted as a failure");
        assertFalse(window.faults().isEmpty(), "and can be replayed");
        assertEquals(FaultKind.BLOCKED, belt.kind());
    }

    /** No configuration at all stands for a batch that cannot go on although nothing broke. */
    @Test
    void aBatchThatBreaksOffWithNothingBrokenIsAFailure() {
        Story story = new Story(Stage.WARMING, List.of());
        Shift.Result result =
                Shift.run(null, new Shift.Order("light", SEED, List.of(story), false));
        assertEquals(1, result.untold().size(), "told by another batch");
        Shift.Window window = result.windows().getFirst();
        assertEquals(Check.BROKE_OFF, window.findings().getFirst().check());
        assertTrue(window.story().toString().contains("nothing broken"));
        assertTrue(Campaign.fails(window));
        try (SimulatedLine line = SimulatedLine.open(PlantSettings.stock(), Board.stock(), 1)) {
            BenchRun.FaultFile file = new BenchRun.FaultFile("again.yaml", window.faults());
            assertEquals(List.of(), file.timeline(line).faults(), "and can be replayed");
        }
    }
}
