package steamleaf.app.driver.sht31;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.mockito.ArgumentMatchers.any;
import static org.mockito.ArgumentMatchers.anyInt;
import static org.mockito.Mockito.mock;
import static org.mockito.Mockito.when;

import com.pi4j.io.exception.IOException;
import com.pi4j.io.i2c.I2C;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import steamleaf.app.driver.ReferenceRow;
import steamleaf.app.driver.sht31.Sht31.Answer;

class Sht31Test {
    private final I2C i2c = mock(I2C.class);
    private final Sht31 driver = new Sht31(i2c);
    private byte[] sent = {};
    private byte[] answer = {};

    @BeforeEach
    void connect() {
        when(i2c.write(any(byte[].class), anyInt(), anyInt()))
                .thenAnswer(
                        call -> {
                            byte[] bytes = call.getArgument(0);
                            sent =
                                    java.util.Arrays.copyOfRange(
                                            bytes, call.getArgument(1), (int) call.getArgument(2));
                            return sent.length;
                        });
        when(i2c.read(any(byte[].class), anyInt(), anyInt()))
                .thenAnswer(
                        call -> {
                            System.arraycopy(
                                    answer,
                                    0,
                                    call.getArgument(0),
                                    call.getArgument(1),
                                    answer.length);
                            return answer.length;
                        });
    }

    static List<ReferenceRow> checksums() {
        return Stream.concat(
                        ReferenceRow.of("sensors.csv", "SHT3x", "crc8").stream(),
                        ReferenceRow.of("sensors.csv", "CRC-8/NRSC-5", "crc8").stream())
                .toList();
    }

    static List<ReferenceRow> temperatures() {
        return ReferenceRow.of("sensors.csv", "SHT3x", "temperature_C");
    }

    static List<ReferenceRow> humidities() {
        return ReferenceRow.of("sensors.csv", "SHT3x", "rh_percent");
    }

    private static byte[] hex(String spaced) {
        return HexFormat.of().parseHex(spaced.replace(" ", ""));
    }

    @ParameterizedTest
    @MethodSource("checksums")
    void theChecksumIsThePublishedOne(ReferenceRow row) {
        byte[] bytes = hex(String.valueOf(row.inputs().get("bytes")));
        assertEquals(Integer.decode(row.expected()), Sht31.crc8(bytes, 0), row::toString);
    }

    @ParameterizedTest
    @MethodSource("temperatures")
    void theTemperatureIsThePublishedOne(ReferenceRow row) {
        assertEquals(
                row.expectedNumber(),
                Sht31.temperatureC(row.hex("raw")),
                row.tolerance(),
                row::toString);
    }

    @ParameterizedTest
    @MethodSource("humidities")
    void theHumidityIsThePublishedOne(ReferenceRow row) {
        assertEquals(
                row.expectedNumber(),
                100.0 * Sht31.relativeHumidity(row.hex("raw")),
                row.tolerance(),
                row::toString);
    }

    @Test
    void theCommandsAreThePublishedOnes() {
        assertEquals(
                Integer.decode(
                        ReferenceRow.one("sensors.csv", "SHT3x", "cmd_read_status").expected()),
                Sht31.READ_STATUS);
        assertEquals(
                Integer.decode(
                        ReferenceRow.one("sensors.csv", "SHT3x", "cmd_clear_status").expected()),
                Sht31.CLEAR_STATUS);
        assertEquals(
                Integer.decode(
                        ReferenceRow.one("sensors.csv", "SHT3x", "cmd_soft_reset").expected()),
                Sht31.SOFT_RESET);
        driver.start();
        assertArrayEquals(
                hex("2400"),
                sent); // high repeatability, no stretching; from memory, not in the table
    }

    @Test
    void oneFetchGivesBothValuesOfOneMeasurement() {
        assertTrue(driver.start());
        // BE EF and 66 66 with the checksums of rows SEN001 and SEN005
        answer = hex("666693 BEEF92");
        Answer.Sample sample = assertInstanceOf(Answer.Sample.class, driver.fetch());
        assertEquals(0x6666, sample.temperatureCode());
        assertEquals(0xBEEF, sample.humidityCode());
        assertEquals(25.0, sample.temperatureC(), 1e-12); // row SEN010
        assertEquals(0xBEEF / 65_535.0, sample.relativeHumidity(), 0.0);
    }

    @Test
    void anyFlippedBitIsNoticed() {
        byte[] good = hex("666693 BEEF92");
        for (int bit = 0; bit < 48; bit++) {
            driver.start();
            answer = good.clone();
            answer[bit / 8] ^= (byte) (1 << bit % 8);
            assertInstanceOf(Answer.Garbled.class, driver.fetch(), "bit " + bit);
        }
    }

    @Test
    void aMeasurementIsFetchedOnlyOnce() {
        assertInstanceOf(Answer.NotStarted.class, driver.fetch());
        driver.start();
        answer = hex("666693 BEEF92");
        driver.fetch();
        assertInstanceOf(Answer.NotStarted.class, driver.fetch());
    }

    @Test
    void notReadyOrAbsentOrCutShortIsAValue() {
        driver.start();
        when(i2c.read(any(byte[].class), anyInt(), anyInt()))
                .thenThrow(new IOException("not acknowledged"));
        assertInstanceOf(Answer.NoAnswer.class, driver.fetch());

        driver.start();
        when(i2c.read(any(byte[].class), anyInt(), anyInt())).thenReturn(5);
        assertTrue(
                assertInstanceOf(Answer.NoAnswer.class, driver.fetch()).why().contains("5 of 6"));

        when(i2c.write(any(byte[].class), anyInt(), anyInt()))
                .thenThrow(new IOException("not acknowledged"));
        assertFalse(driver.start());
        assertInstanceOf(Answer.NotStarted.class, driver.fetch());
        assertInstanceOf(Answer.NoAnswer.class, driver.status());
    }

    @Test
    void theStatusTellsHeaterAndReset() {
        answer = new byte[] {(byte) 0x80, 0x10, 0}; // after power-up: alert pending, reset detected
        answer[2] = (byte) Sht31.crc8(answer, 0);
        Answer.Status status = assertInstanceOf(Answer.Status.class, driver.status());
        assertTrue(status.resetDetected() && !status.heaterOn());
        assertArrayEquals(hex("F32D"), sent);

        answer = new byte[] {0x20, 0x00, 0};
        answer[2] = (byte) Sht31.crc8(answer, 0);
        assertTrue(assertInstanceOf(Answer.Status.class, driver.status()).heaterOn());

        answer[0] = 0;
        assertInstanceOf(Answer.Garbled.class, driver.status());
    }
}
