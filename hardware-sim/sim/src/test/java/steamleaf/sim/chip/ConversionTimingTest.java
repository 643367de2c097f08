package steamleaf.sim.chip;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What a chip answers before, at and after the time it needs. */
class ConversionTimingTest {
    private final byte[] six = new byte[6];

    private static byte[] command(int command) {
        return new byte[] {(byte) (command >> 8), (byte) command};
    }

    /** Longest measuring times: Source (not checked): SHT3x-DIS v5, table 4. */
    @ParameterizedTest
    @CsvSource({"0x2400, 0.0155", "0x240B, 0.0065", "0x2416, 0.0045"})
    void aHumiditySensorRefusesTheReadHeaderUntilItHasMeasured(String command, double needsS) {
        Sht31 chip = new Sht31();
        assertTrue(chip.write(command(Integer.decode(command)), 0, 2));
        chip.advance(needsS - 0.0001);
        assertFalse(chip.read(six, 0, 6));
        assertFalse(chip.write(command(0x2400), 0, 2), "and takes no new command meanwhile");
        chip.advance(0.0001);
        assertTrue(chip.read(six, 0, 6));
        assertFalse(chip.read(six, 0, 6), "a result is given once");
    }

    @Test
    void aHumiditySensorAnswersNothingWithoutACommand() {
        Sht31 chip = new Sht31();
        assertFalse(chip.read(six, 0, 6));
        assertArrayEquals(new byte[6], six);
    }

    @Test
    void aHumiditySensorRefusesStretchingAndUnknownCommandsAndSaysSo() {
        Sht31 chip = new Sht31();
        chip.write(command(0x3041), 0, 2);
        assertFalse(chip.write(command(0x2C06), 0, 2));
        assertFalse(chip.write(command(0x2401), 0, 2));
        chip.write(command(0xF32D), 0, 2);
        byte[] three = new byte[3];
        assertTrue(chip.read(three, 0, 3));
        // the status command itself was good, so the flag of the one before is gone: it speaks of
        // the last command only
        assertEquals(0, three[1] & 0x02);
    }

    @Test
    void aPeriodicMeasurementIsGivenOnlyWhenItIsFetchedAndUntilItIsBroken() {
        Sht31 chip = new Sht31();
        assertTrue(chip.write(command(0x2130), 0, 2)); // once a second
        chip.advance(0.1);
        assertFalse(chip.read(six, 0, 6), "not without a fetch");
        assertTrue(chip.write(command(0xE000), 0, 2));
        assertTrue(chip.read(six, 0, 6));
        assertTrue(chip.write(command(0xE000), 0, 2));
        assertFalse(chip.read(six, 0, 6), "the next one is not there yet");
        chip.advance(1);
        assertTrue(chip.write(command(0xE000), 0, 2));
        assertTrue(chip.read(six, 0, 6));
        assertTrue(chip.write(command(0x3093), 0, 2));
        chip.advance(5);
        assertFalse(chip.read(six, 0, 6));
    }

    @Test
    void aHumiditySensorIsDeafWhileItResets() {
        Sht31 chip = new Sht31();
        assertTrue(chip.write(command(0x30A2), 0, 2));
        assertFalse(chip.write(command(0xF32D), 0, 2));
        chip.advance(0.0016);
        assertTrue(chip.write(command(0xF32D), 0, 2));
    }

    @Test
    void theHeaterWarmsTheSensorAndDriesItsAir() {
        Sht31 chip = new Sht31();
        chip.sense(60, 0.20);
        int[] cold = measure(chip);
        chip.write(command(0x306D), 0, 2);
        int[] hot = measure(chip);
        assertTrue(hot[0] > cold[0]);
        assertTrue(hot[1] < cold[1]);
    }

    private int[] measure(Sht31 chip) {
        chip.write(command(0x2400), 0, 2);
        chip.advance(0.1);
        assertTrue(chip.read(six, 0, 6));
        return new int[] {
            (six[0] & 0xFF) << 8 | (six[1] & 0xFF), (six[3] & 0xFF) << 8 | (six[4] & 0xFF)
        };
    }

    /** Source (not checked): MAX31865 electrical characteristics: 66 ms and 55 ms at the most. */
    @ParameterizedTest
    @CsvSource({"0xB1, 0.066", "0xB0, 0.055"})
    void aSingleConversionOfAThermometerTakesItsTime(String config, double needsS) {
        Max31865 chip = new Max31865(400, 3, 0);
        chip.sense(100);
        configure(chip, 0x90);
        chip.advance(0.01);
        configure(chip, Integer.decode(config));
        chip.advance(needsS - 0.001);
        assertFalse(chip.dataReady());
        chip.advance(0.001);
        assertTrue(chip.dataReady());
        chip.sense(200);
        chip.advance(1);
        assertEquals(8192, code(chip), "no second conversion by itself");
        assertFalse(chip.dataReady());
    }

    @Test
    void aThresholdThatIsPassedLatchesItsFaultUntilItIsCleared() {
        Max31865 chip = new Max31865(400, 3, 0);
        byte[] thresholds = {(byte) 0x83, 0x60, 0x00, 0x20, 0x00}; // high 3000h, low 1000h as codes
        chip.transfer(thresholds, 0, new byte[5], 0, 5);
        configure(chip, 0xD1);
        chip.sense(200);
        chip.advance(0.1);
        assertEquals(0x80, faults(chip));
        assertEquals(1, frame(chip, 2)[1] & 1, "the data say it too");
        chip.sense(100);
        chip.advance(0.1);
        assertEquals(0x80, faults(chip), "latched");
        configure(chip, 0xD3);
        assertEquals(0, faults(chip));
        chip.sense(0);
        chip.advance(0.1);
        assertEquals(0x40, faults(chip), "a short is a low resistance");
    }

    @Test
    void aBridgeConverterGivesNothingBeforeItIsPoweredAndSettled() {
        Nau7802 chip = new Nau7802(0);
        chip.sense(1);
        chip.write(new byte[] {0, 0x10}, 0, 2);
        chip.advance(1);
        assertEquals(0, control(chip) & 0x20, "no power, no conversion");
        chip.write(new byte[] {0, 0x06}, 0, 2);
        chip.advance(0.001);
        chip.write(new byte[] {0, 0x16}, 0, 2);
        chip.advance(0.39);
        assertEquals(0, control(chip) & 0x20, "the first four conversions settle");
        chip.advance(0.02);
        assertEquals(0x20, control(chip) & 0x20);
        chip.write(new byte[] {0x12}, 0, 1);
        chip.read(new byte[3], 0, 3);
        assertEquals(0, control(chip) & 0x20, "taken, so not ready any more");
        chip.advance(0.1);
        assertEquals(0x20, control(chip) & 0x20, "and ready again one period later");
    }

    @Test
    void aBridgeConverterIsOffUntilItIsCalibrated() {
        Nau7802 chip = new Nau7802(11);
        chip.write(new byte[] {0, 0x06}, 0, 2);
        chip.advance(0.001);
        chip.write(new byte[] {1, 0x07}, 0, 2);
        chip.write(new byte[] {0, 0x16}, 0, 2);
        chip.advance(0.5);
        assertEquals(11 * 128, counts(chip));
        chip.write(new byte[] {2, 0x04}, 0, 2);
        chip.advance(0.5);
        assertEquals(0x04, register(chip, 2), "six conversions long");
        chip.advance(0.2);
        assertEquals(0x00, register(chip, 2), "done, without error");
        chip.advance(0.5);
        assertEquals(0, counts(chip));
    }

    @Test
    void calibratingTheGainOnNoSignalIsAnError() {
        Nau7802 chip = new Nau7802(0);
        chip.write(new byte[] {0, 0x16}, 0, 2);
        chip.write(new byte[] {2, 0x07}, 0, 2);
        chip.advance(1);
        assertEquals(0x08, register(chip, 2) & 0x0C);
    }

    private static void configure(Max31865 chip, int value) {
        chip.transfer(new byte[] {(byte) 0x80, (byte) value}, 0, new byte[2], 0, 2);
    }

    private static byte[] frame(Max31865 chip, int address) {
        byte[] both = {(byte) address, 0};
        chip.transfer(both, 0, both, 0, 2);
        return both;
    }

    private static int faults(Max31865 chip) {
        return frame(chip, 7)[1] & 0xFF;
    }

    private static int code(Max31865 chip) {
        return ((frame(chip, 1)[1] & 0xFF) << 8 | (frame(chip, 2)[1] & 0xFF)) >> 1;
    }

    private static int control(Nau7802 chip) {
        return register(chip, 0);
    }

    private static int register(Nau7802 chip, int register) {
        byte[] one = {(byte) register};
        chip.write(one, 0, 1);
        chip.read(one, 0, 1);
        return one[0] & 0xFF;
    }

    private static int counts(Nau7802 chip) {
        byte[] three = {0x12, 0, 0};
        chip.write(three, 0, 1);
        chip.read(three, 0, 3);
        return three[0] << 16 | (three[1] & 0xFF) << 8 | (three[2] & 0xFF);
    }
}
