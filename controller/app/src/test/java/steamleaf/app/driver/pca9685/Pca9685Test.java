package steamleaf.app.driver.pca9685;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.app.driver.RegisterChip;
import steamleaf.app.driver.pca9685.Pca9685.Answer;

class Pca9685Test {
    /** PRE_SCALE only takes while the chip sleeps; reset values as from memory of the datasheet. */
    private static final class Chip extends RegisterChip {
        Chip() {
            powerOn();
        }

        void powerOn() {
            java.util.Arrays.fill(registers, 0);
            registers[0x00] = 0x11;
            registers[0x01] = 0x04;
            registers[0xFE] = 0x1E;
            for (int channel = 0; channel < 16; channel++) {
                registers[0x09 + 4 * channel] = 0x10;
            }
        }

        @Override
        protected void onWrite(int register, int value) {
            if (register == 0x00) {
                mode1(value);
            } else if (register != 0xFE || (registers[0] & 0x10) != 0) {
                super.onWrite(register, value);
            }
        }

        /**
         * Sleep stops running pulses and sets RESTART, which only a written 1 clears once awake.
         */
        private void mode1(int value) {
            boolean fallsAsleep = (registers[0] & 0x10) == 0 && (value & 0x10) != 0;
            boolean restarts = (value & 0x90) == 0x80;
            int restart = fallsAsleep ? 0x80 : restarts ? 0 : registers[0] & 0x80;
            registers[0] = (value & 0x7F) | restart;
        }
    }

    private final Chip chip = new Chip();
    private final Pca9685 driver = new Pca9685(chip.i2c, 100.0, 4);

    private static byte[] encoded(double duty) {
        byte[] led = new byte[4];
        Pca9685.encode(duty, led, 0);
        return led;
    }

    @Test
    void setUpSleepsForTheFrequencyAndThenWakes() {
        assertTrue(driver.setUp());
        assertEquals(0x3C, chip.registers[0xFE]); // round(25e6 / (4096 · 100)) − 1 = 60
        assertEquals(0x20, chip.registers[0x00]); // awake, auto-increment, no all-call
        assertEquals("0030", chip.written.getFirst());
        assertEquals("00a0", chip.written.getLast());
        assertInstanceOf(Answer.AsWritten.class, driver.check());
    }

    @Test
    void aRunningChipThatIsSetUpAgainRunsAgain() {
        driver.setUp();
        driver.set(1, 0.5);
        driver.setUp();
        assertEquals(0x20, chip.registers[0x00]);
        assertInstanceOf(Answer.AsWritten.class, driver.check());
    }

    @Test
    void dutiesFillTheFourRegisters() {
        assertArrayEquals(new byte[] {0, 0, 0, 0x10}, encoded(0.0));
        assertArrayEquals(new byte[] {0, 0x10, 0, 0}, encoded(1.0));
        assertArrayEquals(new byte[] {0, 0, (byte) 0xAA, 0x0A}, encoded(0xAAA / 4096.0));
        assertArrayEquals(new byte[] {0, 0, 0x55, 0x05}, encoded(0x555 / 4096.0));
        assertArrayEquals(new byte[] {0, 0, (byte) 0xFF, 0x0F}, encoded(4095 / 4096.0));
        assertArrayEquals(new byte[] {0, 0, 1, 0}, encoded(1 / 4096.0));
    }

    @ParameterizedTest
    @ValueSource(doubles = {-1.0, Double.NaN, Double.NEGATIVE_INFINITY, 1e-5})
    void nothingThatIsNotADutyTurnsTheChannelOn(double duty) {
        assertArrayEquals(new byte[] {0, 0, 0, 0x10}, encoded(duty));
    }

    @ParameterizedTest
    @ValueSource(doubles = {1.5, Double.POSITIVE_INFINITY, 0.99999})
    void moreThanAllIsFullyOn(double duty) {
        assertArrayEquals(new byte[] {0, 0x10, 0, 0}, encoded(duty));
    }

    @Test
    void aChannelIsWrittenWhereItBelongs() {
        driver.setUp();
        chip.written.clear();
        assertTrue(driver.set(2, 0.5));
        assertEquals("0e00000008", chip.written.getFirst()); // LED2_ON_L = 06h + 4 · 2; 2048 counts
        assertEquals(1, chip.written.size());
    }

    @Test
    void aLostSupplyIsNoticedAndPutRight() {
        driver.setUp();
        driver.set(1, 0.25);
        assertInstanceOf(Answer.AsWritten.class, driver.check());
        chip.powerOn();
        assertEquals(new Answer.Misconfigured(0x00, 0x11), driver.check());
        assertInstanceOf(Answer.AsWritten.class, driver.check());
        assertEquals(0x04, chip.registers[0x0D]); // LED1_OFF_H: 1024 counts
    }

    @ParameterizedTest
    @ValueSource(ints = {0x00, 0x01, 0x06, 0x0D, 0x15})
    void anyChangedRegisterIsNoticed(int register) {
        driver.setUp();
        chip.registers[register] ^= 0x08;
        assertEquals(new Answer.Misconfigured(register, chip.registers[register]), driver.check());
    }

    @Test
    void aChangedFrequencyIsNoticed() {
        driver.setUp();
        chip.registers[0xFE] = 0x1E;
        assertEquals(new Answer.Misconfigured(0xFE, 0x1E), driver.check());
    }

    @Test
    void aBusThatThrowsOrMovesTooLittleIsAValue() {
        driver.setUp();
        chip.shortBy = 2;
        assertTrue(
                assertInstanceOf(Answer.NoAnswer.class, driver.check()).why().contains("20 of 22"));
        chip.failing = true;
        assertInstanceOf(Answer.NoAnswer.class, driver.check());
        assertFalse(driver.set(0, 1.0));
        assertFalse(driver.setUp());
    }

    @Test
    void impossibleSettingsAreRefused() {
        assertThrows(IllegalArgumentException.class, () -> new Pca9685(chip.i2c, 5.0, 4));
        assertThrows(IllegalArgumentException.class, () -> new Pca9685(chip.i2c, Double.NaN, 4));
        assertThrows(IllegalArgumentException.class, () -> new Pca9685(chip.i2c, 100.0, 17));
        assertThrows(IllegalArgumentException.class, () -> driver.set(4, 0.1));
    }
}
