package steamleaf.core.batch;

import static java.util.Objects.requireNonNull;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static steamleaf.core.batch.SmallLine.OVEN_1;
import static steamleaf.core.batch.SmallLine.moved;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** People are told when a batch will be done, and the rest keeps it. */
class PromisesTest {
    private static final double NIGHT_S = 14 * 3_600.0;
    private static final double MINUTE_S = 60.0;

    private final SmallLine line = new SmallLine();
    private final List<Operation> standard = StockRecipes.standard().procedure();

    private Batch batch() {
        return line.batch(OVEN_1);
    }

    /** Until this operation of the standard recipe runs, or its leaf is worked. */
    private void until(int operation) {
        line.runUntil(
                "operation " + operation,
                NIGHT_S,
                () -> {
                    boolean there =
                            batch().procedure().operation() == operation
                                    && (batch().phase() instanceof Phase.Drying
                                            || batch().phase() instanceof Phase.Working);
                    if (!there) {
                        line.serve(OVEN_1);
                    }
                    return there;
                });
    }

    private void started() {
        line.plan(OVEN_1, "standard", 5.0);
        line.start(OVEN_1);
    }

    private static int place(Class<? extends Operation> kind) {
        List<Operation> standard = StockRecipes.standard().procedure();
        for (int i = 0; i < standard.size(); i++) {
            if (kind.isInstance(standard.get(i))) {
                return i;
            }
        }
        throw new AssertionError("no " + kind);
    }

    private void promised() {
        started();
        until(place(Operation.Roll.class) + 1);
        line.doneS = line.nowS() + 150 * MINUTE_S;
        line.run(Promise.SETTLED_S + 2);
        assertInstanceOf(Promise.class, batch().promise(), line::story);
    }

    @Test
    void itIsToldOnceTenMinutesIntoTheDryingAfterRolling() {
        started();
        line.doneS = line.nowS() + 240 * MINUTE_S;
        until(place(Operation.Dry.class));
        line.run(20 * MINUTE_S);
        assertNull(batch().promise(), "leaf that was not worked yet");
        until(place(Operation.Roll.class) + 1);
        double doneS = line.nowS() + 150 * MINUTE_S;
        line.doneS = doneS;
        line.run(Promise.SETTLED_S - 60);
        assertNull(batch().promise(), "air and leaf have not settled");
        line.run(70);
        assertEquals(doneS, requireNonNull(batch().promise()).doneS());
        line.doneS = doneS + 5 * MINUTE_S;
        line.run(60);
        assertEquals(doneS, requireNonNull(batch().promise()).doneS(), "told once");
        List<Event.EndPromised> told =
                line.events.stream()
                        .filter(event -> event instanceof Event.EndPromised)
                        .map(event -> (Event.EndPromised) event)
                        .toList();
        assertEquals(1, told.size());
        assertEquals(150 * MINUTE_S - Promise.SETTLED_S, told.getFirst().inS(), 5.0);
    }

    @Test
    void nothingIsToldOfAnEndThatIsNotKnown() {
        started();
        until(place(Operation.Roll.class) + 1);
        line.run(Promise.SETTLED_S + 60);
        assertNull(batch().promise());
    }

    /** Minutes that the batch would be early; length of its rest. */
    @ParameterizedTest
    @CsvSource({"0, 30", "10, 40", "-8, 22", "40, 45", "-40, 15"})
    void theRestIsLongerOrShorterByUpToHalf(double earlyMin, double restMin) {
        promised();
        double doneS = requireNonNull(batch().promise()).doneS();
        until(place(Operation.Rest.class));
        double begunS = batch().phase().sinceS();
        line.afterWorkS = doneS - begunS - 30 * MINUTE_S - earlyMin * MINUTE_S;
        line.runUntil("its end", NIGHT_S, () -> !(batch().phase() instanceof Phase.Working));
        assertEquals(restMin, (line.nowS() - begunS) / MINUTE_S, 0.2);
    }

    @Test
    void whatIsLearnedInTheRestMovesItsEnd() {
        promised();
        double doneS = requireNonNull(batch().promise()).doneS();
        until(place(Operation.Rest.class));
        double begunS = batch().phase().sinceS();
        line.afterWorkS = doneS - begunS - 40 * MINUTE_S;
        line.run(5);
        line.afterWorkS = doneS - begunS - 25 * MINUTE_S; // a sample was wetter
        line.runUntil("its end", NIGHT_S, () -> !(batch().phase() instanceof Phase.Working));
        assertEquals(25.0, (line.nowS() - begunS) / MINUTE_S, 0.2);
    }

    @Test
    void aRestWithoutAPromiseIsAsLongAsTheRecipeHasIt() {
        started();
        until(place(Operation.Rest.class));
        double begunS = batch().phase().sinceS();
        line.afterWorkS = 10 * MINUTE_S;
        line.runUntil("its end", NIGHT_S, () -> !(batch().phase() instanceof Phase.Working));
        assertEquals(30.0, (line.nowS() - begunS) / MINUTE_S, 0.2);
    }

    @Test
    void anUnknownEndLeavesTheRestAsItIs() {
        promised();
        until(place(Operation.Rest.class));
        double begunS = batch().phase().sinceS();
        line.runUntil("its end", NIGHT_S, () -> !(batch().phase() instanceof Phase.Working));
        assertEquals(30.0, (line.nowS() - begunS) / MINUTE_S, 0.2);
    }

    @Test
    void aBatchThatIsHeldPromisesNothing() {
        promised();
        moved(line.tell(new Command.Hold(line.stamp(null), OVEN_1)));
        line.run(2);
        assertNull(batch().promise());
    }

    @Test
    void whatIsToldIsThePromiseAsFarAsTheRestCanKeepIt() {
        Promise promise = new Promise(10_000.0);
        int rolled = place(Operation.Roll.class) + 1;
        assertEquals(10_000.0, promise.told(standard, rolled, 9_500.0));
        assertEquals(10_000.0, promise.told(standard, rolled, 10_800.0));
        assertEquals(10_100.0, promise.told(standard, rolled, 11_000.0), "15 min are all it gives");
        assertEquals(9_900.0, promise.told(standard, rolled, 9_000.0));
        int rested = place(Operation.Rest.class) + 1;
        assertEquals(9_000.0, promise.told(standard, rested, 9_000.0), "no rest is left");
        assertTrue(Double.isNaN(promise.told(standard, rolled, Double.NaN)));
    }

    @Test
    void itIsKeptWhileTheRestIsAheadOrRuns() {
        promised();
        assertTrue(Promises.isKept(batch()));
        assertEquals(
                requireNonNull(batch().promise()).doneS(),
                Promises.told(batch(), requireNonNull(batch().promise()).doneS() - 300.0));
        until(place(Operation.Rest.class));
        assertTrue(Promises.isKept(batch()));
        until(place(Operation.Rest.class) + 1);
        assertFalse(Promises.isKept(batch()));
        assertEquals(77.0, Promises.told(batch(), 77.0), "as foreseen");
    }
}
