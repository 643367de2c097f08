package steamleaf.app.driver.max31865;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.mockito.ArgumentMatchers.any;
import static org.mockito.ArgumentMatchers.anyInt;
import static org.mockito.Mockito.mock;
import static org.mockito.Mockito.when;

import com.pi4j.io.exception.IOException;
import com.pi4j.io.spi.Spi;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.app.driver.ReferenceRow;
import steamleaf.app.driver.max31865.Max31865.Answer;

class Max31865Test {
    private static final Max31865.Settings SETTINGS =
            new Max31865.Settings(400.0, true, true, -40.0, 250.0);

    /**
     * The eight registers behind a full-duplex link, thresholds compared and latched as tables 7
     * and 8 say.
     */
    private static final class Chip implements Max31865.Link {
        final int[] registers = {0, 0, 0, 0xFF, 0xFF, 0, 0, 0};
        int transfers;

        @Override
        public int transfer(byte[] write, byte[] read) {
            transfers++;
            int at = write[0] & 0x7F;
            for (int i = 1; i < write.length; i++, at++) {
                read[i] = (byte) registers[at];
                if ((write[0] & 0x80) != 0) {
                    registers[at] = write[i] & 0xFF;
                    if (at == 0 && (registers[0] & 0x02) != 0) {
                        registers[0] &= ~0x02; // the clear bit clears itself
                        registers[7] = 0;
                        registers[2] &= 0xFE;
                    }
                }
            }
            return write.length;
        }

        void convert(int code) {
            int high = (registers[3] << 8 | registers[4]) >> 1;
            int low = (registers[5] << 8 | registers[6]) >> 1;
            registers[7] |= code >= high ? 0x80 : code <= low ? 0x40 : 0;
            int word = code << 1 | (registers[7] != 0 ? 1 : 0);
            registers[1] = word >> 8;
            registers[2] = word & 0xFF;
        }
    }

    private final Chip chip = new Chip();
    private final Max31865 driver = new Max31865(chip, SETTINGS);

    static List<ReferenceRow> elements() {
        return ReferenceRow.of("sensors.csv", "MAX31865", "pt100_code");
    }

    static List<ReferenceRow> ratios() {
        return ReferenceRow.of("sensors.csv", "MAX31865", "ratio_code");
    }

    private static int word(ReferenceRow row, String name) {
        String text = row.expected();
        int at = text.indexOf(name + "=") + name.length() + 1;
        int end = text.indexOf(' ', at);
        return Integer.decode(end < 0 ? text.substring(at) : text.substring(at, end));
    }

    @ParameterizedTest
    @MethodSource("elements")
    void theDatasheetsPt100CodesReadAsTheirTemperature(ReferenceRow row) {
        Max31865 wide = new Max31865(chip, new Max31865.Settings(400.0, true, true, -100.0, 300.0));
        wide.setUp();
        int register = word(row, "reg");
        chip.registers[1] = register >> 8;
        chip.registers[2] = register & 0xFF;

        Answer.Sample sample = assertInstanceOf(Answer.Sample.class, wide.read(), row::toString);

        assertEquals(word(row, "code"), sample.code(), row::toString);
        double codeOfPrinted = Pt100.resistanceOhm(row.number("T_C")) / 400.0 * 32_768.0;
        double codeOfOurs = Pt100.resistanceOhm(sample.temperatureC()) / 400.0 * 32_768.0;
        assertEquals(codeOfPrinted, codeOfOurs, row.tolerance(), row::toString);
    }

    @ParameterizedTest
    @MethodSource("ratios")
    void theCodeIsTheRegisterWithoutItsFaultBit(ReferenceRow row) {
        driver.setUp();
        int register = word(row, "reg");
        chip.registers[1] = register >> 8;
        chip.registers[2] = register & 0xFF;
        Answer answer = driver.read();
        int code =
                switch (answer) {
                    case Answer.Sample sample -> {
                        // the datasheet's codes are rounded or cut to one count
                        assertEquals(
                                row.number("R_RTD/R_REF"),
                                sample.resistanceOhm() / 400.0,
                                1.0 / 32_768,
                                row::toString);
                        yield sample.code();
                    }
                    case Answer.Fault fault -> fault.code();
                    case Answer.NotReady _, Answer.Misconfigured _, Answer.NoAnswer _ ->
                            throw new AssertionError(row + ": " + answer);
                };
        assertEquals(word(row, "code"), code, row::toString);
    }

    @Test
    void everyBitOfTheResultCounts() {
        Max31865 wide = new Max31865(chip, new Max31865.Settings(400.0, true, true, -200.0, 800.0));
        wide.setUp();
        for (int code : new int[] {0x2AAA, 0x5555, 0x1234, 0x6DB6, 0x4001, 0x3FFF}) {
            chip.convert(code);
            Answer.Sample sample = assertInstanceOf(Answer.Sample.class, wide.read());
            assertEquals(code, sample.code());
            assertEquals(code * 400.0 / 32_768.0, sample.resistanceOhm(), 0.0);
        }
    }

    @Test
    void setUpWritesWhatTheDatasheetNames() {
        assertTrue(driver.setUp());
        // VBIAS, automatic, 3-wire, 50 Hz: D7 D6 D4 D0; thresholds of -40 and 250 °C: 84.27 Ω and
        // 194.10 Ω of 400 Ω
        assertArrayEquals(new int[] {0xD1, 0, 0, 0x7C, 0x3A, 0x35, 0xEE, 0}, chip.registers);
    }

    @Test
    void aReadIsOneTransfer() {
        driver.setUp();
        chip.convert(9000);
        chip.transfers = 0;
        assertInstanceOf(Answer.Sample.class, driver.read());
        assertEquals(1, chip.transfers);
    }

    @Test
    void anOpenElementIsAFaultUntilItIsMended() {
        driver.setUp();
        chip.convert(32_767);
        Answer.Fault fault = assertInstanceOf(Answer.Fault.class, driver.read());
        assertTrue(fault.high() && !fault.low());
        chip.convert(9000);
        assertInstanceOf(Answer.Sample.class, driver.read());
    }

    @Test
    void aShortedElementIsAFault() {
        driver.setUp();
        chip.convert(0);
        Answer.Fault fault = assertInstanceOf(Answer.Fault.class, driver.read());
        assertTrue(fault.low() && !fault.high());
    }

    @Test
    void noConversionYetIsNeitherATemperatureNorAFault() {
        driver.setUp();
        assertInstanceOf(Answer.NotReady.class, driver.read());
    }

    @ParameterizedTest
    @ValueSource(ints = {0x80, 0x40, 0x20, 0x10, 0x08, 0x04})
    void anyFaultBitSpoilsTheSample(int bit) {
        driver.setUp();
        chip.convert(9000);
        chip.registers[7] = bit;
        Answer.Fault fault = assertInstanceOf(Answer.Fault.class, driver.read());
        assertEquals(bit, fault.faultStatus());
    }

    @Test
    void theFaultBitOfTheResultAloneSpoilsTheSample() {
        driver.setUp();
        chip.convert(9000);
        chip.registers[2] |= 1;
        assertInstanceOf(Answer.Fault.class, driver.read());
    }

    @ParameterizedTest
    @ValueSource(ints = {0, 3, 4, 5, 6})
    void aChangedRegisterSpoilsTheSampleAndIsPutRight(int register) {
        driver.setUp();
        chip.convert(9000);
        chip.registers[register] ^= 0x40;
        assertInstanceOf(Answer.Misconfigured.class, driver.read());
        chip.convert(9001);
        assertEquals(9001, assertInstanceOf(Answer.Sample.class, driver.read()).code());
    }

    @ParameterizedTest
    @ValueSource(ints = {0x00, 0xFF})
    void aDataLineStuckAtEitherLevelIsNotATemperature(int level) {
        Max31865 stuck =
                new Max31865(
                        (write, read) -> {
                            java.util.Arrays.fill(read, (byte) level);
                            return read.length;
                        },
                        SETTINGS);
        stuck.setUp();
        assertInstanceOf(Answer.Misconfigured.class, stuck.read());
    }

    @Test
    void aBusThatThrowsOrMovesTooLittleIsAValue() {
        Spi spi = mock(Spi.class);
        Max31865 onSpi = new Max31865(spi, SETTINGS);
        when(spi.transfer(any(byte[].class), anyInt(), any(byte[].class), anyInt(), anyInt()))
                .thenThrow(new IOException("bus gone"))
                .thenThrow(new IllegalStateException("closed"))
                .thenReturn(-1)
                .thenReturn(8);
        assertTrue(
                assertInstanceOf(Answer.NoAnswer.class, onSpi.read()).why().contains("bus gone"));
        assertTrue(assertInstanceOf(Answer.NoAnswer.class, onSpi.read()).why().contains("closed"));
        assertTrue(assertInstanceOf(Answer.NoAnswer.class, onSpi.read()).why().contains("-1 of 9"));
        assertTrue(assertInstanceOf(Answer.NoAnswer.class, onSpi.read()).why().contains("8 of 9"));
    }

    @Test
    void thresholdsThatDoNotFitTheReferenceAreRefused() {
        assertThrows(
                IllegalArgumentException.class,
                () -> new Max31865(chip, new Max31865.Settings(100.0, true, true, -40.0, 250.0)));
        assertThrows(
                IllegalArgumentException.class,
                () -> new Max31865.Settings(400.0, true, true, 250.0, -40.0));
    }
}
