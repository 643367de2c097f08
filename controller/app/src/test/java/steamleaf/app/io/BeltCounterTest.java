package steamleaf.app.io;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class BeltCounterTest {
    private final BeltCounter counter = new BeltCounter(10.0, 0.1);
    private long cycle;
    private double positionMm;

    private double run(double mmPerS, int cycles) {
        double speed = Double.NaN;
        for (int i = 0; i < cycles; i++) {
            positionMm += mmPerS * 0.1;
            speed = counter.look(++cycle, (long) (positionMm / 10.0) % 2 == 1);
        }
        return speed;
    }

    @ParameterizedTest
    @ValueSource(doubles = {5.0, 12.5, 20.0, 33.3, 47.0, 60.0})
    void aSteadyBeltIsCountedWithinOneLookOverTheWindow(double mmPerS) {
        run(mmPerS, 300);
        double windowS = 8 * 10.0 / mmPerS;
        assertEquals(mmPerS, run(mmPerS, 1), mmPerS * 0.1 / (windowS - 0.1), "mm/s");
    }

    @Test
    void aBeltThatStopsSlowsDownAndStands() {
        run(20.0, 100);
        assertTrue(run(0.0, 20) <= 5.01); // 2 s without the next 10 mm
        assertEquals(0.0, run(0.0, 20));
    }

    @Test
    void aBeltThatStartsIsSeenWithTheSecondChange() {
        assertEquals(0.0, run(0.0, 50));
        double speed = run(25.0, 14);
        assertTrue(speed > 15.0 && speed < 40.0, "speed " + speed);
    }

    @Test
    void anAlternationAtEveryLookIsTooFastToCount() {
        double speed = 0.0;
        for (int i = 0; i < 30; i++) {
            speed = counter.look(++cycle, i % 2 == 0);
        }
        assertTrue(Double.isNaN(speed));
    }

    @Test
    void aGapIsNotCountedAsAChange() {
        counter.look(1, false);
        counter.forget();
        assertEquals(0.0, counter.look(2, true));
    }
}
