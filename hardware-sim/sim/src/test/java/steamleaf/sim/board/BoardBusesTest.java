package steamleaf.sim.board;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.pi4j.context.Context;
import com.pi4j.exception.Pi4JException;
import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalState;
import com.pi4j.io.i2c.I2C;
import com.pi4j.io.spi.Spi;
import com.pi4j.io.spi.SpiBus;
import com.pi4j.io.spi.SpiMode;
import java.io.IOException;
import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;
import java.util.SplittableRandom;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import steamleaf.sim.chip.Pt100;
import steamleaf.sim.chip.Sht31;
import steamleaf.sim.chip.Tca9548a;
import steamleaf.sim.plant.Actuation;
import steamleaf.sim.plant.Sensing;

/** The stock board through Pi4J, as a program sees it. */
class BoardBusesTest {
    private final Circuit circuit = new Circuit(Board.stock(), 20_261_125);
    private final Context pi4j = SimulatedPi4j.context(circuit);
    private final Map<Integer, I2C> devices = new HashMap<>();
    private final Sensing sensing = new Sensing(3);
    private final Actuation actuation = new Actuation(3);

    @AfterEach
    void close() {
        pi4j.shutdown();
    }

    private I2C i2c(int address) {
        return devices.computeIfAbsent(
                address,
                a ->
                        pi4j.create(
                                I2C.newConfigBuilder(pi4j)
                                        .id("i2c-" + a)
                                        .bus(1)
                                        .device(a)
                                        .build()));
    }

    private Spi spi(SpiMode mode) {
        return pi4j.create(
                Spi.newConfigBuilder(pi4j)
                        .id("spi")
                        .bus(SpiBus.BUS_0)
                        .address(0)
                        .mode(mode)
                        .build());
    }

    private DigitalOutput output(int pin) {
        return pi4j.create(
                DigitalOutput.newConfigBuilder(pi4j).id("pin-" + pin).address(pin).build());
    }

    private DigitalOutput[] selects() {
        return new DigitalOutput[] {output(22), output(23), output(24)};
    }

    private static void select(DigitalOutput[] lines, int n) {
        for (int i = 0; i < 3; i++) {
            lines[i].state((n >> i & 1) != 0 ? DigitalState.HIGH : DigitalState.LOW);
        }
    }

    private void pass(double elapsedS) {
        circuit.carryOut(actuation);
        circuit.carryIn(sensing, elapsedS);
    }

    @Test
    void onlyTheSelectedThermometerHearsAndAnswers() {
        sensing.chestAC = 98;
        sensing.chestBC = 97;
        sensing.airC[0] = 80;
        sensing.airC[1] = 70;
        sensing.airC[2] = 60;
        double[] truth = {98, 97, 80, 70, 60};
        Spi spi = spi(SpiMode.MODE_1);
        DigitalOutput[] lines = selects();
        for (int n = 0; n < 5; n++) {
            select(lines, n);
            spi.transfer(new byte[] {(byte) 0x80, (byte) 0xD1});
        }
        pass(0.1);
        for (int n = 0; n < 5; n++) {
            select(lines, n);
            byte[] frame = {0x01, 0, 0};
            assertEquals(3, spi.transfer(frame));
            int code = ((frame[1] & 0xFF) << 8 | (frame[2] & 0xFF)) >> 1;
            assertEquals(Pt100.ohm(truth[n]) / 400 * 32768, code, 0.5);
        }
        select(lines, 5);
        byte[] nobody = {0x00, 1, 2};
        spi.transfer(nobody);
        assertArrayEquals(new byte[3], nobody);
    }

    @Test
    void inTheWrongClockModeAThermometerIsNotUnderstood() {
        // reference row SEN077: modes 1 and 3
        DigitalOutput[] lines = selects();
        select(lines, 0);
        Spi wrong = spi(SpiMode.MODE_0);
        wrong.transfer(new byte[] {(byte) 0x80, (byte) 0xD1});
        byte[] config = {0x00, 0};
        wrong.transfer(config);
        assertNotEquals((byte) 0xD1, config[1]);
    }

    @Test
    void inModeThreeItIs() {
        DigitalOutput[] lines = selects();
        select(lines, 0);
        Spi right = spi(SpiMode.MODE_3);
        right.transfer(new byte[] {(byte) 0x80, (byte) 0xD1});
        byte[] config = {0x00, 0};
        right.transfer(config);
        assertEquals((byte) 0xD1, config[1]);
    }

    @Test
    void theSameAddressOnTwoChannelsIsTwoChips() {
        sensing.exhaustC[0] = 60;
        sensing.exhaustRh[0] = 0.30;
        sensing.exhaustC[1] = 40;
        sensing.exhaustRh[1] = 0.70;
        I2C mux = i2c(0x71);
        I2C hygrometer = i2c(0x44);
        int[] temperature = new int[2];
        for (int channel = 1; channel <= 2; channel++) {
            mux.write((byte) (1 << channel));
            hygrometer.write((byte) 0x24, (byte) 0x00);
        }
        pass(0.1);
        for (int channel = 1; channel <= 2; channel++) {
            mux.write((byte) (1 << channel));
            byte[] six = new byte[6];
            assertEquals(6, hygrometer.read(six));
            temperature[channel - 1] = (six[0] & 0xFF) << 8 | (six[1] & 0xFF);
        }
        assertEquals(60, -45 + 175.0 * temperature[0] / 65535, 0.002);
        assertEquals(40, -45 + 175.0 * temperature[1] / 65535, 0.002);
    }

    @Test
    void behindAClosedChannelNobodyAnswers() {
        I2C hygrometer = i2c(0x44);
        Pi4JException refused =
                assertThrows(Pi4JException.class, () -> hygrometer.write((byte) 0x24, (byte) 0x00));
        assertRefused(refused, 0x44, "Remote I/O error");
        i2c(0x71).write((byte) 0x02);
        assertEquals(2, hygrometer.write((byte) 0x24, (byte) 0x00));
    }

    /** The shape that Pi4J's linuxfs gives it: two Pi4JExceptions around the kernel's answer. */
    private static void assertRefused(Pi4JException refused, int device, String message) {
        assertEquals(
                "Failed to execute action for device " + device + " on bus 1",
                refused.getMessage());
        Throwable inner = assertInstanceOf(Pi4JException.class, refused.getCause());
        Throwable kernel = assertInstanceOf(IOException.class, inner.getCause());
        assertEquals(message, kernel.getMessage());
    }

    @Test
    void aChannelOpensOnlyAtTheEndOfATransfer() {
        I2cLines lines = new I2cLines(1, new SplittableRandom(1));
        Tca9548a chip = new Tca9548a();
        lines.fitSwitch(0x71, Seat.of("mux", chip), chip)[1][0x44] = Seat.of("h", new Sht31());
        byte[] one = {0x02, 0x24, 0x00};
        assertEquals(I2cLines.Reply.ACKNOWLEDGED, lines.write(0x71, one, 0, 1, false));
        assertEquals(
                I2cLines.Reply.NOT_ACKNOWLEDGED,
                lines.write(0x44, one, 1, 2, true)); // ends with a STOP
        assertEquals(I2cLines.Reply.ACKNOWLEDGED, lines.write(0x44, one, 1, 2, true));
    }

    @Test
    void twoOpenChannelsGiveTheWiredAndOfTheirAnswers() {
        sensing.exhaustC[0] = 60;
        sensing.exhaustC[1] = 40;
        i2c(0x71).write((byte) 0x06);
        I2C both = i2c(0x44);
        both.write((byte) 0x24, (byte) 0x00);
        pass(0.1);
        byte[] six = new byte[6];
        both.read(six);
        int warm = (int) Math.rint((60 + 45) * 65535 / 175.0);
        int cool = (int) Math.rint((40 + 45) * 65535 / 175.0);
        assertEquals(warm & cool, (six[0] & 0xFF) << 8 | (six[1] & 0xFF));
    }

    @Test
    void inputsReadHighWhereTheContactIsClosed() {
        sensing.permitKeyOn = true;
        sensing.doorClosed[0] = true;
        sensing.highLimitHealthy[1] = true;
        pass(0.1);
        byte[] line = new byte[2];
        assertEquals(2, i2c(0x20).readRegister(0x12, line));
        assertEquals(0b0000_0011, line[0] & 0x3F); // emergency stop and key
        assertEquals(0b0111_1110, line[1] & 0x7F); // all but the contactor
        byte[] ovens = new byte[2];
        i2c(0x22).readRegister(0x12, ovens);
        assertEquals(0b0001, ovens[0] & 0x0F);
        assertEquals(0b0100, ovens[1] & 0x0F);
    }

    @Test
    void everyOutputReachesItsTerminal() {
        int[] pins = {12, 17, 27, 13, 16, 19};
        for (int pin : pins) {
            output(pin).high();
        }
        i2c(0x20).writeRegister(0x00, (byte) 0x7F);
        i2c(0x20).writeRegister(0x14, (byte) 0x80);
        i2c(0x21).writeRegister(0x00, new byte[] {(byte) 0xE3, (byte) 0x70});
        i2c(0x21).writeRegister(0x14, new byte[] {0x1C, 0x0F});
        i2c(0x22).writeRegister(0x00, new byte[] {(byte) 0xEF, (byte) 0x6F});
        i2c(0x22).writeRegister(0x14, new byte[] {0x10, 0x10});
        i2c(0x23).writeRegister(0x00, new byte[] {(byte) 0xEF, (byte) 0x7F});
        i2c(0x23).writeRegister(0x14, new byte[] {0x10, 0x00});
        I2C levers = i2c(0x40);
        levers.writeRegister(0x00, (byte) 0x21);
        levers.writeRegister(
                0x06, new byte[] {0, 0x10, 0, 0, 0, 0, 0, 0x04, 0, 0, 0, 0x08, 0, 0, 0, 0x0C});
        sensing.watchdogRelayHolds = true;
        pass(0.1);
        circuit.carryOut(actuation);
        assertTrue(actuation.contactorCoil && actuation.steamValve && actuation.secondSteamValve);
        assertArrayEquals(new boolean[] {true, true, true}, actuation.heater);
        assertArrayEquals(new boolean[] {true, true, true}, actuation.fan);
        assertTrue(
                actuation.horn && actuation.extractor && actuation.beltRun && actuation.hoodUnlock);
        assertTrue(
                actuation.lampRed
                        && actuation.lampYellow
                        && actuation.lampGreen
                        && actuation.lampBlue);
        assertEquals(1.0, actuation.beltSpeed);
        assertArrayEquals(new double[] {0.25, 0.5, 0.75}, actuation.damper);
        sensing.watchdogRelayHolds = false;
        pass(0.1);
        circuit.carryOut(actuation);
        assertArrayEquals(
                new double[3], actuation.damper, "the relay's contact takes the outputs down");
    }

    @Test
    void watchdogEdgesAreCountedBetweenSteps() {
        DigitalOutput watchdog = output(25);
        watchdog.high().low().low().high();
        circuit.carryOut(actuation);
        assertEquals(3, actuation.watchdogEdges);
        circuit.carryOut(actuation);
        assertEquals(0, actuation.watchdogEdges);
    }

    @Test
    void pinsKeepTheirLastLevelWhenTheProgramIsGone() {
        output(12).high();
        output(13).high();
        i2c(0x22).writeRegister(0x00, (byte) 0xEF);
        i2c(0x22).writeRegister(0x14, (byte) 0x10);
        pi4j.shutdown();
        pass(10);
        circuit.carryOut(actuation);
        assertTrue(actuation.contactorCoil && actuation.heater[0] && actuation.fan[0]);
    }

    @Test
    void aPinThatBecomesAnOutputStartsLowUnlessToldOtherwise() {
        DigitalOutput high =
                pi4j.create(
                        DigitalOutput.newConfigBuilder(pi4j)
                                .id("x")
                                .address(13)
                                .initial(DigitalState.HIGH)
                                .build());
        assertTrue(high.isHigh());
        assertTrue(output(16).isLow());
    }

    @Test
    void aHungBusTimesOutForEveryChip() {
        circuit.i2cBuses().iterator().next().hung(true);
        Pi4JException refused =
                assertThrows(Pi4JException.class, () -> i2c(0x20).readRegister(0x12));
        assertRefused(refused, 0x20, "Connection timed out");
    }

    @Test
    void aBusThatTheBoardDoesNotHaveCannotBeOpened() {
        assertThrows(
                Pi4JException.class,
                () -> pi4j.create(I2C.newConfigBuilder(pi4j).id("no").bus(0).device(0x20).build()));
    }

    @Test
    void theAllCallAddressIsTakenUntilItIsSwitchedOff() {
        I2C allCall = i2c(0x70);
        assertEquals(2, allCall.write((byte) 0x00, (byte) 0x20));
        assertThrows(Pi4JException.class, () -> allCall.write((byte) 0x00, (byte) 0x20));
    }

    @Test
    void aMissingThermometerReadsNoughtAndAMissingChipIsNotAcknowledged() {
        element("oven-1.air").seat().missing(true);
        element("oven-1.exhaust").seat().missing(true);
        DigitalOutput[] lines = selects();
        select(lines, 2);
        Spi spi = spi(SpiMode.MODE_1);
        spi.transfer(new byte[] {(byte) 0x80, (byte) 0xD1});
        byte[] config = {0x00, 0};
        spi.transfer(config);
        assertEquals(0, config[1]);
        i2c(0x71).write((byte) 0x02);
        assertThrows(Pi4JException.class, () -> i2c(0x44).write((byte) 0x24, (byte) 0x00));
        assertEquals(2, i2c(0x2A).write((byte) 0x00, (byte) 0x00), "its neighbour is there");
    }

    private Element element(String name) {
        Element element = circuit.elements().get(name);
        assertNotNull(element, name);
        return element;
    }

    @Test
    void aWrongWireOnTheBoardShowsAtTheWrongChip() {
        String text =
                """
                board: crossed
                ovens: 1
                i2c-1:
                  0x23: {chip: MCP23017, pins: {GPA0: oven-1.door-switch}}
                """;
        Circuit crossed = new Circuit(Board.parse("crossed.yaml", text), 1);
        Context context = SimulatedPi4j.context(crossed);
        try {
            I2C where =
                    context.create(
                            I2C.newConfigBuilder(context).id("a").bus(1).device(0x22).build());
            assertThrows(Pi4JException.class, () -> where.readRegister(0x12));
        } finally {
            context.shutdown();
        }
    }

    @Test
    void theSameSeedGivesTheSameRandomBits() {
        byte[] first = garbage(7);
        assertArrayEquals(first, garbage(7));
        assertFalse(Arrays.equals(first, garbage(8)));
    }

    private static byte[] garbage(long seed) {
        Circuit circuit = new Circuit(Board.stock(), seed);
        Seat seat = circuit.seats().get("inputs-0x20");
        assertNotNull(seat);
        seat.garbled(true);
        Context context = SimulatedPi4j.context(circuit);
        try {
            byte[] read = new byte[16];
            I2C chip =
                    context.create(
                            I2C.newConfigBuilder(context).id("a").bus(1).device(0x20).build());
            chip.readRegister(0x00, read);
            return read;
        } finally {
            context.shutdown();
        }
    }
}
