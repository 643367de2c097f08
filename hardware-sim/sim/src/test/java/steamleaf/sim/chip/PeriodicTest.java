package steamleaf.sim.chip;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class PeriodicTest {
    @ParameterizedTest
    @CsvSource({
        "0, 0.1",
        "-0.03, 0.07",
        "-0.1, 0.1",
        "-0.25, 0.05",
        "-1000.03, 0.07",
        "1e-10, 0.1000000001",
    })
    void theNextEventIsOnTheGridOfThePeriod(double leftS, double expectedS) {
        assertEquals(expectedS, Periodic.next(leftS, 0.1), 1e-9);
    }

    /** A converter at the line's own period must be ready in every step, over days. */
    @Test
    void aConversionThatTakesOneStepIsReadyInEveryStep() {
        Nau7802 chip = new Nau7802(0);
        chip.write(new byte[] {0, 0x16}, 0, 2);
        for (int i = 0; i < 4; i++) {
            chip.advance(0.1);
        }
        byte[] three = new byte[3];
        for (int step = 0; step < 200_000; step++) {
            chip.write(new byte[] {0}, 0, 1);
            chip.read(three, 0, 1);
            assertEquals(0x20, three[0] & 0x20, "step " + step);
            chip.write(new byte[] {0x12}, 0, 1);
            chip.read(three, 0, 3);
            chip.advance(0.1);
        }
    }
}
