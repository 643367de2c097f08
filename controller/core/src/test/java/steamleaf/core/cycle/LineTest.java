package steamleaf.core.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static steamleaf.core.cycle.TinyLine.OVEN_1;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.core.batch.Event;
import steamleaf.core.batch.OperationKind;

class LineTest {
    private final TinyLine line = new TinyLine(1);

    private static final double NIGHT_S = 14 * 3600.0;

    @ParameterizedTest
    @ValueSource(strings = {"light", "standard", "deep"})
    void aBatchRunsFromLeafToPackedLotAndLandsInItsBand(String recipe) {
        line.start(OVEN_1, recipe, 5.0);
        line.runWithHands(OVEN_1, NIGHT_S, () -> line.state.floor().batch(OVEN_1) == null);

        assertTrue(
                line.events.stream().anyMatch(event -> event instanceof Event.BatchCompleted),
                line::story);
        double end = line.ovens.getFirst().moisture();
        assertTrue(end > 0.04 && end < 0.07, () -> end + line.story());
        assertEquals(List.of(), line.unsafe);
    }

    @Test
    void printsItsStages() {
        line.start(OVEN_1, "standard", 5.0);
        double[] fromS = {line.state.nowS()};
        line.runWithHands(
                OVEN_1,
                NIGHT_S,
                () -> {
                    return line.state.floor().batch(OVEN_1) == null;
                });
        line.events.stream()
                .filter(e -> e instanceof Event.OperationEnded)
                .map(e -> (Event.OperationEnded) e)
                .forEach(
                        e ->
                                System.err.printf(
                                        "%s %.0f s  %.4f ± %.4f%n",
                                        e.kind(),
                                        e.durationS(),
                                        e.moisture(),
                                        e.moistureDeviation()));
        System.err.println(
                line.ovens.getFirst().moisture()
                        + " hottest leaf "
                        + line.ovens.getFirst().hottestLeafC
                        + fromS[0]
                        + OperationKind.DRY);
    }
}
