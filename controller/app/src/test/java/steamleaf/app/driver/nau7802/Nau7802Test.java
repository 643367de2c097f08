package steamleaf.app.driver.nau7802;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.app.driver.ReferenceRow;
import steamleaf.app.driver.RegisterChip;
import steamleaf.app.driver.nau7802.Nau7802.Answer;

class Nau7802Test {
    /**
     * Power-up as the register map tells it: reset, ready after power-up, calibration clears
     * itself.
     */
    private static final class Chip extends RegisterChip {
        boolean calibrationFails;

        @Override
        protected void onWrite(int register, int value) {
            super.onWrite(register, value);
            if (register == 0x00) {
                if ((value & 1) != 0) {
                    java.util.Arrays.fill(registers, 0);
                    registers[0] = 1;
                } else if ((value & 2) != 0) {
                    registers[0] |= 0x08;
                }
            }
            if (register == 0x02 && (value & 4) != 0) {
                registers[2] = (value & ~4) | (calibrationFails ? 8 : 0);
            }
        }

        void convert(int code) {
            registers[0x00] |= 0x20;
            registers[0x12] = code >> 16 & 0xFF;
            registers[0x13] = code >> 8 & 0xFF;
            registers[0x14] = code & 0xFF;
        }
    }

    private final Chip chip = new Chip();
    private final Nau7802 driver = new Nau7802(chip.i2c);

    static List<ReferenceRow> codes() {
        return ReferenceRow.of("sensors.csv", "24-bit ADC", "twos_complement");
    }

    private void powerUp() {
        for (int step = 0; step < 4; step++) {
            assertInstanceOf(Answer.Starting.class, driver.read(), "step " + step);
        }
    }

    @Test
    void powerUpGoesInTheOrderTheChipNeeds() {
        powerUp();
        assertEquals(
                List.of(
                        "0001", // registers reset
                        "0002", // digital on
                        "012f", // 3.0 V, gain 128
                        "0200", // 10 a second
                        "0086", // analog on, own regulator
                        "0204", // calibrate
                        "0096"), // convert
                chip.written);
        assertInstanceOf(Answer.NotReady.class, driver.read());
    }

    @Test
    void theRegulatorCodeIsThePublishedOne() {
        ReferenceRow row = ReferenceRow.one("sensors.csv", "NAU7802", "vldo_code");
        assertEquals((4500 - 3000) / 300, Nau7802.VLDO_3_0_V, row::toString);
        assertEquals("(4500 mV - Vldo)/300", row.expected());
    }

    @ParameterizedTest
    @MethodSource("codes")
    void theCodeIsSigned24Bit(ReferenceRow row) {
        powerUp();
        int raw = row.hex("raw");
        chip.convert(raw);
        Answer answer = driver.read();
        int code =
                switch (answer) {
                    case Answer.Sample sample -> sample.code();
                    case Answer.Saturated saturated -> saturated.code();
                    case Answer.NotReady _,
                            Answer.Starting _,
                            Answer.Misconfigured _,
                            Answer.NoAnswer _ ->
                            throw new AssertionError(row + ": " + answer);
                };
        assertEquals((int) row.expectedNumber(), code, row::toString);
        assertEquals(
                raw == 0x7FFFFF || raw == 0x800000,
                answer instanceof Answer.Saturated,
                row::toString);
    }

    @Test
    void everyBitOfTheResultCounts() {
        powerUp();
        for (int bit = 0; bit < 23; bit++) {
            chip.convert(1 << bit);
            assertEquals(new Answer.Sample(1 << bit), driver.read());
            chip.convert(~(1 << bit) & 0xFFFFFF);
            assertEquals(new Answer.Sample(~(1 << bit)), driver.read());
        }
    }

    @Test
    void aBridgeAtFullScaleGivesThePublishedCounts() {
        ReferenceRow row = ReferenceRow.one("sensors.csv", "NAU7802", "counts_full_scale");
        var sample = new Answer.Sample((int) row.expectedNumber());
        double oneCount = 1000.0 / (8_388_608.0 * row.number("gain"));
        assertEquals(
                row.number("bridge_mV_V"), sample.millivoltsPerVolt(), oneCount, row::toString);
    }

    @ParameterizedTest
    @ValueSource(ints = {0, 1, 2})
    void aChipThatLostItsSupplyStartsAgain(int register) {
        powerUp();
        chip.convert(1000);
        chip.registers[register] ^= 0x10;
        assertInstanceOf(Answer.Misconfigured.class, driver.read());
        powerUp();
        chip.convert(1001);
        assertEquals(new Answer.Sample(1001), driver.read());
    }

    @Test
    void aChipThatNeverComesReadyNeverGivesASample() {
        chip.registers[0] = 0;
        RegisterChip dead =
                new RegisterChip() {
                    @Override
                    protected int onRead(int register) {
                        return 0;
                    }
                };
        Nau7802 onDead = new Nau7802(dead.i2c);
        for (int step = 0; step < 20; step++) {
            Answer answer = onDead.read();
            assertTrue(
                    answer instanceof Answer.Starting || answer instanceof Answer.Misconfigured,
                    () -> answer.toString());
        }
    }

    @Test
    void aFailedCalibrationStartsAgain() {
        chip.calibrationFails = true;
        for (int step = 0; step < 3; step++) {
            driver.read();
        }
        assertInstanceOf(Answer.Misconfigured.class, driver.read());
    }

    @Test
    void aBusThatThrowsOrMovesTooLittleIsAValueInEveryPhase() {
        for (int steps = 0; steps < 6; steps++) {
            Chip other = new Chip();
            Nau7802 onOther = new Nau7802(other.i2c);
            for (int step = 0; step < steps; step++) {
                onOther.read();
            }
            other.failing = true;
            assertInstanceOf(Answer.NoAnswer.class, onOther.read(), "after " + steps);
        }
        powerUp();
        chip.convert(5);
        chip.shortBy = 1;
        assertTrue(assertInstanceOf(Answer.NoAnswer.class, driver.read()).why().contains("2 of 3"));
    }
}
