package steamleaf.core.batch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;
import static steamleaf.core.batch.SmallLine.OVEN_1;
import static steamleaf.core.batch.SmallLine.moved;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import steamleaf.core.alarm.AlarmStage;
import steamleaf.core.estimate.Band;
import steamleaf.core.science.ReferenceRow;

/**
 * What {@code reference/standards.csv} says that this program can be held to: the words of batch
 * control and alarms, and the market's moisture. Which rows and why not the others stands in {@code
 * reference/other-tables.csv}.
 */
class StandardsReferenceTest {

    private static Stream<ReferenceRow> rows(String item) {
        return ReferenceRow.table("standards").stream()
                .filter(row -> row.text("title_or_item").equals(item));
    }

    /** The latched two are the guard's: a trip's alarm stands until the reset, see AlarmsTest. */
    @TestFactory
    Stream<DynamicTest> everyAlarmStateOfTheStandardHasItsStage() {
        List<String> stages =
                Arrays.stream(AlarmStage.values())
                        .map(stage -> stage.name().toLowerCase(Locale.ROOT).replace('_', ' '))
                        .toList();
        return rows("alarm state model")
                .filter(row -> !row.text("value").startsWith("latched"))
                .map(
                        row ->
                                DynamicTest.dynamicTest(
                                        row.toString(),
                                        () -> assertTrue(stages.contains(row.text("value")))));
    }

    /** Command to states: ours waits, planned, where the standard's is idle. */
    @TestFactory
    Stream<DynamicTest> aCommandOfBatchControlLeadsWhereTheStandardSays() {
        return rows("commands")
                .filter(row -> !List.of("pause", "reset").contains(row.text("fact")))
                .map(row -> DynamicTest.dynamicTest(row.toString(), () -> command(row)));
    }

    private static void command(ReferenceRow row) {
        SmallLine line = new SmallLine();
        line.plan(OVEN_1, "standard", 5.0);
        assertEquals(ProcedureState.PLANNED, line.batch(OVEN_1).state());
        line.start(OVEN_1);
        assertEquals(ProcedureState.RUNNING, line.batch(OVEN_1).state());
        Stamp running = line.stamp(ProcedureState.RUNNING);
        switch (row.text("fact")) {
            case "start" -> {}
            case "hold" -> moved(line.tell(new Command.Hold(running, OVEN_1)));
            case "restart" -> {
                moved(line.tell(new Command.Hold(running, OVEN_1)));
                assertEquals(ProcedureState.HELD, line.batch(OVEN_1).state());
                moved(line.arm(OVEN_1, ArmedAction.RESUME));
                line.press(Button.START);
            }
            case "stop" -> moved(line.tell(new Command.Stop(running, OVEN_1)));
            case "abort" -> {
                line.runUntil(
                        "leaf in the oven",
                        36_000,
                        () -> {
                            line.serve(OVEN_1);
                            return line.batch(OVEN_1).charge().place() == Place.OVEN;
                        });
                Stamp now = line.stamp(ProcedureState.RUNNING);
                moved(line.tell(new Command.Abort(now, OVEN_1)));
            }
            default -> fail(row + ": nobody checks " + row.text("fact"));
        }
        String last = row.text("value").replaceFirst(".*-> ", "");
        assertEquals(
                last,
                line.batch(OVEN_1).state().name().toLowerCase(Locale.ROOT),
                () -> row + "\n" + line.story());
    }

    @TestFactory
    Stream<DynamicTest> theBandKeepsToTheMarketsMoisture() {
        return rows("Green tea - Part 6: steamed green tea")
                .map(row -> DynamicTest.dynamicTest(row.toString(), () -> market(row)));
    }

    private static void market(ReferenceRow row) {
        double most = Double.parseDouble(row.text("value").split(" ", 2)[0]) / 100.0;
        assertTrue(Band.GREEN_TEA.highest() <= most, row::toString);
    }
}
