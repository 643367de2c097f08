package steamleaf.sim.chip;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Every row of the copied reference tables, or the reason why it cannot serve here. */
class ReferenceRowsTest {
    /** A chip model cannot be held against these. */
    private static final Map<String, String> UNUSED =
            Map.ofEntries(
                    Map.entry("SEN034", "address: a matter of the board, see BoardFileTest"),
                    Map.entry("SEN037", "operating range and handling note"),
                    Map.entry("SEN053", "a broken FORCE lead is not modelled"),
                    Map.entry("SEN055", "overvoltage on an input is not modelled"),
                    Map.entry(
                            "SEN061",
                            "0.999 is the printed rounding of full scale; 0.999 itself gives 32735"),
                    Map.entry("SEN073", "the reader's approximation, not the chip's doing"),
                    Map.entry("SEN074", "the reader's approximation, not the chip's doing"),
                    Map.entry("SEN076", "the reader's approximation, not the chip's doing"),
                    Map.entry("SEN077", "clock mode: a matter of the bus, see BoardBusesTest"),
                    Map.entry("SEN085", "the analogue supply is fed from outside on this board"),
                    Map.entry("SEN088", "address: a matter of the board, see BoardFileTest"),
                    Map.entry("SEN097", "address: a matter of the board, see BoardFileTest"),
                    Map.entry("SEN111", "address: a matter of the board, see BoardFileTest"),
                    Map.entry("SEN114", "erratum: the stock board uses both pins as outputs"));

    static Stream<ReferenceRow> sensorRows() {
        return ReferenceRow.of("sensors.csv");
    }

    static Stream<ReferenceRow> resistances() {
        return ReferenceRow.of("rtd_pt100.csv");
    }

    @ParameterizedTest(name = "{0}")
    @MethodSource("sensorRows")
    void aChipAgreesWithItsPublishedRow(ReferenceRow row) {
        if (UNUSED.containsKey(row.id())) {
            return;
        }
        switch (row.get("device")) {
            case "SHT3x", "CRC-8/NRSC-5" -> hygrometer(row);
            case "MAX31865" -> thermometer(row);
            case "NAU7802", "24-bit ADC" -> bridge(row);
            case "TCA9548A" -> mux(row);
            case "MCP23017" -> expander(row);
            default -> fail("no check for " + row);
        }
    }

    @ParameterizedTest(name = "{0}")
    @MethodSource("resistances")
    void thePlatinumCurveAgreesWithThePublishedTable(ReferenceRow row) {
        switch (row.get("quantity")) {
            case "R_of_T" ->
                    assertEquals(
                            row.expected(),
                            Pt100.ohm(row.number("T_C")),
                            row.tolerance(),
                            row::toString);
            case "lead_wire_error_2wire" -> {
                Max31865 uncompensated = new Max31865(400, 2, row.number("lead_total_ohm") / 2);
                double warmer = 100 + row.expected();
                int code = convert(uncompensated, Pt100.ohm(row.number("T_C")));
                // one code of 400/32768 ohm is 0.032 K here, so the tolerance is that and the row's
                // own
                assertEquals(
                        Pt100.ohm(warmer),
                        code * 400.0 / 32768,
                        400.0 / 32768 + row.tolerance() * 0.38,
                        row::toString);
            }
            case "coefficient" -> coefficient(row);
            default -> fail("no check for " + row);
        }
    }

    /**
     * A, B and C are read off the curve again by differences at temperatures where only they
     * matter.
     */
    private static void coefficient(ReferenceRow row) {
        double found =
                switch (row.input("name")) {
                    case "A" ->
                            ((Pt100.ohm(100) - 100) * 4 - (Pt100.ohm(200) - 100)) / (2 * 100 * 100);
                    case "C" -> {
                        double a = 3.9083e-3;
                        double b = -5.775e-7;
                        yield (Pt100.ohm(-100) / 100 - 1 + a * 100 - b * 10_000) / (-200.0 * -1e6);
                    }
                    default -> Double.NaN;
                };
        assertEquals(row.expected(), found, Math.abs(row.expected()) * 1e-9, row::toString);
    }

    private static void hygrometer(ReferenceRow row) {
        Sht31 chip = new Sht31();
        switch (row.get("item")) {
            case "crc8" -> {
                String[] hex = row.input("bytes").split(" ", -1);
                byte[] bytes = {
                    (byte) Integer.parseInt(hex[0], 16), (byte) Integer.parseInt(hex[1], 16)
                };
                assertEquals(
                        Integer.decode(row.get("expected")),
                        Crc8.of(bytes, 0) & 0xFF,
                        row::toString);
            }
            case "temperature_C" -> {
                chip.sense(row.expected(), 0);
                assertEquals(
                        Integer.decode(row.input("raw")),
                        word(measure(chip, 0x2400), 0),
                        row::toString);
            }
            case "rh_percent" -> {
                chip.sense(20, row.expected() / 100);
                assertEquals(
                        Integer.decode(row.input("raw")),
                        word(measure(chip, 0x2400), 3),
                        row::toString);
            }
            case "cmd_single_shot_medium_no_stretch", "cmd_single_shot_low_no_stretch" -> {
                chip.sense(130, 1);
                assertEquals(
                        0xFFFF,
                        word(measure(chip, Integer.decode(row.get("expected"))), 0),
                        row::toString);
            }
            case "cmd_fetch_data" -> {
                byte[] six = new byte[6];
                assertTrue(command(chip, 0x2737), row::toString);
                assertTrue(command(chip, Integer.decode(row.get("expected"))), row::toString);
                assertFalse(chip.read(six, 0, 6), row::toString);
                chip.advance(0.1);
                assertTrue(command(chip, Integer.decode(row.get("expected"))), row::toString);
                assertTrue(chip.read(six, 0, 6), row::toString);
            }
            case "cmd_heater_enable" -> {
                assertTrue(command(chip, Integer.decode(row.get("expected"))), row::toString);
                assertEquals(0x2000, status(chip, 0xF32D) & 0x2000, row::toString);
            }
            case "cmd_read_status" ->
                    assertEquals(
                            0x8010,
                            status(chip, Integer.decode(row.get("expected"))),
                            row::toString);
            case "cmd_clear_status" -> {
                assertTrue(command(chip, Integer.decode(row.get("expected"))), row::toString);
                assertEquals(0, status(chip, 0xF32D), row::toString);
            }
            case "cmd_soft_reset" -> {
                command(chip, 0x3041);
                assertTrue(command(chip, Integer.decode(row.get("expected"))), row::toString);
                chip.advance(0.002);
                assertEquals(0x8010, status(chip, 0xF32D), row::toString);
            }
            case "read_order" -> {
                chip.sense(130, 0);
                byte[] six = measure(chip, 0x2400);
                assertEquals(0xFFFF, word(six, 0), row::toString);
                assertEquals(0x0000, word(six, 3), row::toString);
                assertEquals((byte) 0xAC, six[2], row::toString); // of FF FF, row SEN004
                assertEquals(
                        (byte) 0x81,
                        six[5],
                        row::toString); // of 00 00, computed by hand from the same parameters
            }
            case "status_default_bits" -> {
                int status = status(chip, 0xF32D);
                assertEquals(0x8010, status & 0xA010, row::toString);
            }
            default -> fail("no check for " + row);
        }
    }

    private static boolean command(Sht31 chip, int command) {
        return chip.write(new byte[] {(byte) (command >> 8), (byte) command}, 0, 2);
    }

    private static byte[] measure(Sht31 chip, int command) {
        assertTrue(command(chip, command));
        chip.advance(0.1);
        byte[] six = new byte[6];
        assertTrue(chip.read(six, 0, 6));
        return six;
    }

    private static int status(Sht31 chip, int command) {
        assertTrue(command(chip, command));
        byte[] three = new byte[3];
        assertTrue(chip.read(three, 0, 3));
        assertEquals(Crc8.of(three, 0), three[2]);
        return word(three, 0);
    }

    private static int word(byte[] bytes, int at) {
        return (bytes[at] & 0xFF) << 8 | (bytes[at + 1] & 0xFF);
    }

    private static void thermometer(ReferenceRow row) {
        Max31865 chip = new Max31865(400, 3, 0);
        switch (row.get("item")) {
            case "reg_config" -> {
                write(chip, 0x80, 0xD1);
                assertEquals(0xD1, read(chip, 0x00), row::toString);
            }
            case "reg_high_threshold" -> {
                assertEquals(0xFF, read(chip, 3), row::toString);
                assertEquals(0xFF, read(chip, 4), row::toString);
            }
            case "reg_low_threshold" -> {
                assertEquals(0x00, read(chip, 5), row::toString);
                assertEquals(0x00, read(chip, 6), row::toString);
            }
            case "config_D7" -> {
                chip.sense(200);
                write(chip, 0x80, Max31865.ONE_SHOT | Max31865.THREE_WIRE);
                chip.advance(0.1);
                assertEquals(0, code(chip), row::toString); // no bias, no signal
                write(chip, 0x80, 0x80 | Max31865.THREE_WIRE);
                chip.advance(0.1);
                write(chip, 0x80, 0x80 | Max31865.ONE_SHOT | Max31865.THREE_WIRE);
                chip.advance(0.1);
                assertEquals(16384, code(chip), row::toString);
            }
            case "config_D6" -> {
                chip.sense(200);
                write(
                        chip,
                        0x80,
                        0x40 | Max31865.VBIAS | Max31865.THREE_WIRE | Max31865.FILTER_50_HZ);
                chip.advance(0.1);
                chip.sense(100);
                chip.advance(0.1);
                assertEquals(
                        8192, code(chip), row::toString); // a second conversion without being asked
            }
            case "config_D4" -> {
                Max31865 long3 = new Max31865(400, 3, 1.0);
                long3.sense(100);
                write(long3, 0x80, Max31865.VBIAS | Max31865.AUTO);
                long3.advance(0.1);
                int uncompensated = code(long3);
                write(long3, 0x80, Max31865.VBIAS | Max31865.AUTO | 0x10);
                long3.advance(0.1);
                assertEquals(8192, code(long3), row::toString);
                assertEquals(8274, uncompensated, row::toString); // 101/400·2^15
            }
            case "config_D3:D2" -> {
                chip.sense(Double.POSITIVE_INFINITY);
                write(chip, 0x80, Max31865.VBIAS | 0x04);
                assertEquals(0x04, read(chip, 0) & 0x0C, row::toString);
                chip.advance(0.001);
                assertEquals(0x00, read(chip, 0) & 0x0C, row::toString);
                assertEquals(Max31865.REFIN_HIGH, read(chip, 7), row::toString);
            }
            case "config_D0" -> {
                chip.sense(100);
                write(chip, 0x80, Max31865.AUTO | 0x01);
                chip.advance(0.018);
                assertFalse(chip.dataReady(), row::toString);
                chip.advance(0.003);
                assertTrue(chip.dataReady(), row::toString);
                Max31865 sixty = new Max31865(400, 3, 0);
                sixty.sense(100);
                write(sixty, 0x80, Max31865.AUTO);
                sixty.advance(0.018);
                assertTrue(sixty.dataReady(), row::toString);
            }
            case "fault_D7" -> {
                assertEquals(0x7FFF, convert(chip, Double.POSITIVE_INFINITY), row::toString);
                assertEquals(0x80, read(chip, 7), row::toString);
            }
            case "fault_D5" -> {
                chip.sense(Double.POSITIVE_INFINITY);
                write(chip, 0x80, Max31865.VBIAS | 0x04);
                chip.advance(0.001);
                assertEquals(0x20, read(chip, 7), row::toString);
            }
            case "ratio_code" -> {
                String[] expected = row.get("expected").split(" ", -1);
                int code = convert(chip, row.number("R_RTD/R_REF") * 400);
                assertEquals(Integer.parseInt(expected[1].substring(5)), code, row::toString);
                assertEquals(
                        Integer.decode(expected[0].substring(4)),
                        read(chip, 1) << 8 | read(chip, 2),
                        row::toString);
            }
            case "pt100_code" -> {
                Max31865 with = new Max31865(row.number("Rref_ohm"), 3, 0);
                String[] expected = row.get("expected").split(" ", -1);
                int code = convert(with, Pt100.ohm(row.number("T_C")));
                assertEquals(
                        Integer.parseInt(expected[1].substring(5)),
                        code,
                        row.tolerance(),
                        row::toString);
            }
            default -> fail("no check for " + row);
        }
    }

    private static void write(Max31865 chip, int address, int value) {
        byte[] frame = {(byte) address, (byte) value};
        chip.transfer(frame, 0, new byte[2], 0, 2);
    }

    private static int read(Max31865 chip, int address) {
        byte[] reply = new byte[2];
        chip.transfer(new byte[] {(byte) address, 0}, 0, reply, 0, 2);
        return reply[1] & 0xFF;
    }

    private static int code(Max31865 chip) {
        return (read(chip, 1) << 8 | read(chip, 2)) >> 1;
    }

    private static int convert(Max31865 chip, double ohm) {
        chip.sense(ohm);
        write(
                chip,
                0x80,
                Max31865.VBIAS | Max31865.AUTO | Max31865.THREE_WIRE | Max31865.FILTER_50_HZ);
        chip.advance(0.1);
        return code(chip);
    }

    private static void bridge(ReferenceRow row) {
        Nau7802 chip = new Nau7802(0);
        switch (row.get("item")) {
            case "reg_PU_CTRL" -> {
                assertEquals(0x00, Integer.decode(row.get("expected")), row::toString);
                set(chip, 0x00, 0x02);
                chip.advance(0.001);
                assertEquals(0x0A, get(chip, 0x00), row::toString); // PUD1 answered by PUR3
                set(chip, 0x00, 0x16); // PUA2, CS4
                chip.advance(0.5);
                assertEquals(0x3E, get(chip, 0x00), row::toString); // CR5
                set(chip, 0x00, 0x01);
                assertEquals(0x01, get(chip, 0x00), row::toString); // RR0
            }
            case "reg_CTRL2" -> {
                start(chip, 0x00);
                set(
                        chip,
                        Integer.decode(row.get("expected")),
                        0x80 | 0x70); // CHS 7: second input, CRS 6:4
                chip.sense(1);
                chip.advance(0.0126); // four settling conversions at 320 1/s
                assertEquals(0x20, get(chip, 0) & 0x20, row::toString);
                assertEquals(0, counts(chip), row::toString);
            }
            case "reg_ADC_OUT" -> {
                chip.sense(0x123456 / (double) 0x800000 * 1000);
                start(chip, 0x00);
                chip.advance(0.5);
                assertEquals(0x12, get(chip, 0x12), row::toString);
                assertEquals(0x34, get(chip, 0x13), row::toString);
                assertEquals(0x56, get(chip, 0x14), row::toString);
            }
            case "powerup_ready" -> {
                set(chip, 0, 1);
                set(chip, 0, 2);
                chip.advance(190e-6);
                assertEquals(0, get(chip, 0) & 8, row::toString);
                chip.advance(20e-6);
                assertEquals(8, get(chip, 0) & 8, row::toString);
            }
            case "lsb_uV" -> {
                for (int gainCode = 0; gainCode < 8; gainCode++) {
                    double vrefMv = 3000;
                    double lsbMv = vrefMv / (1L << (23 + gainCode));
                    Nau7802 at = new Nau7802(0);
                    at.sense(1000 * lsbMv / vrefMv * 1000); // a thousand steps
                    start(at, gainCode);
                    at.advance(0.5);
                    assertEquals(1000, counts(at), row::toString);
                }
            }
            case "twos_complement" -> {
                chip.sense(row.expected() / 0x800000 / 128 * 1000);
                start(chip, 7);
                chip.advance(0.5);
                assertEquals(
                        Integer.decode(row.input("raw")), counts(chip) & 0xFFFFFF, row::toString);
            }
            case "counts_full_scale" -> {
                chip.sense(row.number("bridge_mV_V"));
                start(chip, 7);
                chip.advance(0.5);
                assertEquals(row.expected(), counts(chip), row.tolerance(), row::toString);
            }
            default -> fail("no check for " + row);
        }
    }

    private static void start(Nau7802 chip, int gainCode) {
        set(chip, 0x00, 0x06);
        chip.advance(0.001);
        set(chip, 0x01, gainCode);
        set(chip, 0x00, 0x16);
    }

    private static void set(I2cChip chip, int register, int value) {
        assertTrue(chip.write(new byte[] {(byte) register, (byte) value}, 0, 2));
    }

    private static int get(I2cChip chip, int register) {
        byte[] one = {(byte) register};
        assertTrue(chip.write(one, 0, 1));
        assertTrue(chip.read(one, 0, 1));
        return one[0] & 0xFF;
    }

    private static int counts(Nau7802 chip) {
        byte[] three = {0x12, 0, 0};
        assertTrue(chip.write(three, 0, 1));
        assertTrue(chip.read(three, 0, 3));
        return three[0] << 16 | (three[1] & 0xFF) << 8 | (three[2] & 0xFF);
    }

    private static void mux(ReferenceRow row) {
        Tca9548a chip = new Tca9548a();
        switch (row.get("item")) {
            case "power_up" -> assertEquals(0, chip.activeChannels(), row::toString);
            case "channel_active" -> {
                chip.write(new byte[] {0x04}, 0, 1);
                assertEquals(0, chip.activeChannels(), row::toString);
                chip.stop();
                assertEquals(4, chip.activeChannels(), row::toString);
            }
            case "select" -> {
                int value = Integer.decode(row.get("expected"));
                chip.write(new byte[] {(byte) value}, 0, 1);
                chip.stop();
                assertEquals(
                        1 << (int) row.number("channel"), chip.activeChannels(), row::toString);
            }
            default -> fail("no check for " + row);
        }
    }

    private static void expander(ReferenceRow row) {
        String[] expected = row.get("expected").split(" ", -1);
        int a = Integer.parseInt(expected[0].substring(0, 2), 16);
        int b = Integer.parseInt(expected[0].substring(4, 6), 16);
        int powerOn = row.get("expected").contains("1111 1111") ? 0xFF : 0x00;
        Mcp23017 chip = new Mcp23017();
        int[] all = {0xFF, 0x00}; // what IODIR and everything else hold after power-up
        for (int register = 0; register <= 0x15; register++) {
            assertEquals(all[register < 2 ? 0 : 1], get(chip, register), row::toString);
        }
        assertEquals(powerOn, get(chip, a), row::toString);
        assertEquals(powerOn, get(chip, b), row::toString);
        assertEquals(a + 1, b, row::toString);
        switch (row.get("item")) {
            case "IODIRA/IODIRB" -> {
                set(chip, Mcp23017.OLAT, 0xA5);
                set(chip, a, 0x00);
                assertEquals(0x00A5, chip.levels(), row::toString);
            }
            case "GPPU" -> {
                set(chip, b, 0x5A);
                assertEquals(0x5A00, chip.levels(), row::toString);
            }
            case "OLATA/OLATB" -> {
                set(chip, Mcp23017.IODIR + 1, 0x00);
                set(chip, b, 0x3C);
                assertEquals(0x3C00, chip.levels(), row::toString);
            }
            case "INTF", "INTCAP" -> {
                set(chip, Mcp23017.GPINTEN, 0x81);
                chip.drive(0xFFFF, 0x0003);
                int flagsFirst = row.get("item").equals("INTF") ? 0x01 : 0x03;
                assertEquals(flagsFirst, get(chip, a), row::toString);
            }
            default -> fail("no check for " + row);
        }
    }
}
