package steamleaf.sim.fault;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.pi4j.context.Context;
import com.pi4j.exception.Pi4JException;
import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalState;
import com.pi4j.io.i2c.I2C;
import com.pi4j.io.spi.Spi;
import com.pi4j.io.spi.SpiMode;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.board.Circuit;
import steamleaf.sim.board.SimulatedPi4j;
import steamleaf.sim.plant.Act;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.Sensing;

/** Faults on the stock line, seen where a program would see them. */
class FaultDeskTest {
    private final SimulatedLine line = SimulatedLine.open(PlantSettings.stock(), Board.stock(), 5);
    private final Map<Integer, I2C> i2c = new HashMap<>();
    private final Spi spi =
            line.pi4j()
                    .create(
                            Spi.newConfigBuilder(line.pi4j())
                                    .id("spi")
                                    .address(0)
                                    .mode(SpiMode.MODE_1)
                                    .build());
    private final DigitalOutput[] select =
            Stream.of(22, 23, 24).map(this::output).toArray(DigitalOutput[]::new);

    @AfterEach
    void close() {
        line.close();
    }

    private DigitalOutput output(int pin) {
        return line.pi4j()
                .create(
                        DigitalOutput.newConfigBuilder(line.pi4j())
                                .id("o" + pin)
                                .address(pin)
                                .build());
    }

    private I2C at(int address) {
        return i2c.computeIfAbsent(
                address,
                a ->
                        line.pi4j()
                                .create(
                                        I2C.newConfigBuilder(line.pi4j())
                                                .id("i" + a)
                                                .bus(1)
                                                .device(a)
                                                .build()));
    }

    private void pass(double seconds) {
        for (int i = 0; i < Math.round(seconds * 10); i++) {
            line.advance(0.1);
        }
    }

    private void select(int n) {
        for (int i = 0; i < 3; i++) {
            select[i].state((n >> i & 1) != 0 ? DigitalState.HIGH : DigitalState.LOW);
        }
    }

    /** Code of a Pt100; 2 to 4 are the air of oven-1 to oven-3. */
    private int thermometer(int n) {
        select(n);
        spi.transfer(new byte[] {(byte) 0x80, (byte) 0xD1});
        pass(0.2);
        select(n);
        byte[] frame = {0x01, 0, 0};
        spi.transfer(frame);
        return ((frame[1] & 0xFF) << 8 | (frame[2] & 0xFF)) >> 1;
    }

    private int faults(int n) {
        select(n);
        byte[] frame = {0x07, 0};
        spi.transfer(frame);
        return frame[1] & 0xFF;
    }

    private byte[] climate(int channel) {
        at(0x71).write((byte) (1 << channel));
        at(0x44).write((byte) 0x24, (byte) 0x00);
        pass(0.1);
        byte[] six = new byte[6];
        at(0x44).read(six);
        return six;
    }

    private int load(int channel) {
        at(0x71).write((byte) (1 << channel));
        I2C chip = at(0x2A);
        chip.write((byte) 0x00, (byte) 0x06);
        pass(0.1);
        chip.write((byte) 0x01, (byte) 0x07);
        chip.write((byte) 0x02, (byte) 0x04);
        pass(1);
        chip.write((byte) 0x00, (byte) 0x16);
        pass(0.6);
        byte[] three = new byte[3];
        chip.readRegister(0x12, three);
        return three[0] << 16 | (three[1] & 0xFF) << 8 | (three[2] & 0xFF);
    }

    private int inputs(int address, int port) {
        return at(address).readRegister(0x12 + port);
    }

    @Test
    void anOpenThermometerReadsFullScaleAndAShortedOneNought() {
        line.faults().inject("oven-1.air", FaultKind.OPEN, 10);
        assertEquals(0x7FFF, thermometer(2));
        assertEquals(0x80, faults(2));
        line.faults().mendAll();
        line.faults().inject("oven-2.air", FaultKind.SHORT, 10);
        assertEquals(0, thermometer(3));
        assertEquals(0x40, faults(3));
    }

    @Test
    void exchangedElementsShowEachOthersPlacesAndOverlappingExchangesUnwindInAnyOrder() {
        Circuit circuit = new Circuit(Board.stock(), 1);
        FaultDesk desk = new FaultDesk(new FaultCatalogue(circuit, line.plant()));
        Sensing sensing = new Sensing(3);
        System.arraycopy(new double[] {60, 70, 80}, 0, sensing.airC, 0, 3);
        Context context = SimulatedPi4j.context(circuit);
        try {
            Spi bus =
                    context.create(
                            Spi.newConfigBuilder(context)
                                    .id("s")
                                    .address(0)
                                    .mode(SpiMode.MODE_1)
                                    .build());
            DigitalOutput[] pins =
                    Stream.of(22, 23, 24)
                            .map(
                                    p ->
                                            context.create(
                                                    DigitalOutput.newConfigBuilder(context)
                                                            .id("p" + p)
                                                            .address(p)
                                                            .build()))
                            .toArray(DigitalOutput[]::new);
            desk.inject("oven-1.air", FaultKind.SWAPPED, 10, 0, "oven-2.air");
            assertArrayEquals(new long[] {70, 60, 80}, shown(circuit, sensing, bus, pins));
            desk.inject("oven-2.air", FaultKind.SWAPPED, 20, 0, "oven-3.air");
            assertArrayEquals(new long[] {70, 80, 60}, shown(circuit, sensing, bus, pins));
            desk.at(15);
            assertArrayEquals(new long[] {60, 80, 70}, shown(circuit, sensing, bus, pins));
            desk.at(20);
            assertArrayEquals(new long[] {60, 70, 80}, shown(circuit, sensing, bus, pins));
        } finally {
            context.shutdown();
        }
    }

    private static long[] shown(Circuit circuit, Sensing sensing, Spi bus, DigitalOutput[] pins) {
        long[] temperatureC = new long[3];
        for (int oven = 0; oven < 3; oven++) {
            for (int i = 0; i < 3; i++) {
                pins[i].state(((oven + 2) >> i & 1) != 0 ? DigitalState.HIGH : DigitalState.LOW);
            }
            bus.transfer(new byte[] {(byte) 0x80, (byte) 0xD1});
            circuit.carryIn(sensing, 0.1);
            byte[] frame = {0x01, 0, 0};
            bus.transfer(frame);
            int code = ((frame[1] & 0xFF) << 8 | (frame[2] & 0xFF)) >> 1;
            temperatureC[oven] =
                    Math.round(
                            (code * 400.0 / 32768 - 100)
                                    / 0.3868); // mean slope up to 70 °C, from IEC 60751
        }
        return temperatureC;
    }

    @Test
    void aFaultEndsByItselfAndEverythingReadsAsBefore() {
        line.faults().inject("oven-1.air", FaultKind.MISSING, 1);
        assertEquals(0, thermometer(2));
        pass(1);
        assertTrue(thermometer(2) > 8000);
        assertEquals(
                List.of("0.0 s: oven-1.air missing begins", "1.0 s: oven-1.air missing ends"),
                line.faults().story());
    }

    @Test
    void aFaultThatIsInjectedAgainIsReplacedAndEndsWithTheSecond() {
        line.faults().inject("oven-1.air", FaultKind.MISSING, 1);
        line.faults().inject("oven-1.air", FaultKind.MISSING, 5);
        assertEquals(1, line.faults().active().size());
        pass(2);
        assertEquals(0, thermometer(2), "still missing");
        pass(4);
        assertTrue(thermometer(2) > 8000);
    }

    @Test
    void aDriftGrowsWithTime() {
        int before = thermometer(2);
        line.faults().inject("oven-1.air", FaultKind.DRIFT, 3600, 360, null);
        pass(100);
        int after = thermometer(2);
        // 10 K of a Pt100 near room temperature: 0.39 ohm/K at 400 ohm and 2^15 codes, and some
        // noise
        assertEquals(10 * 0.39 / 400 * 32768, after - before, 15);
    }

    @Test
    void aFrozenElementRepeatsItselfToTheBit() {
        line.faults().inject("oven-1.exhaust", FaultKind.FROZEN, 100);
        byte[] first = climate(1);
        for (int i = 0; i < 5; i++) {
            assertEquals(Arrays.toString(first), Arrays.toString(climate(1)));
        }
    }

    @Test
    void garbageFailsItsChecksum() {
        line.faults().inject("room", FaultKind.GARBAGE, 100);
        int wrong = 0;
        for (int i = 0; i < 20; i++) {
            byte[] six = climate(0);
            wrong += crc(six[0], six[1]) == six[2] ? 0 : 1;
        }
        assertTrue(wrong >= 15, () -> "random bits pass one checksum in 256");
    }

    private static byte crc(byte a, byte b) {
        int crc = 0xFF;
        for (byte value : new byte[] {a, b}) {
            crc ^= value & 0xFF;
            for (int bit = 0; bit < 8; bit++) {
                crc = (crc & 0x80) != 0 ? (crc << 1 ^ 0x31) & 0xFF : crc << 1;
            }
        }
        return (byte) crc;
    }

    @Test
    void aKnockedScaleIsOffByItsKilograms() {
        int before = load(1);
        line.faults().inject("oven-1.scale", FaultKind.KNOCKED, 100, 0.5, null);
        int after = load(1);
        // stock board: 20 kg is 2 mV/V, and 2 mV/V is 2147484 counts at gain 128 (reference row
        // SEN096)
        assertEquals(0.5 / 20 * 2_147_484, after - before, 4000);
    }

    @Test
    void aHungBusAnswersNobodyAndComesBack() {
        line.faults().inject("i2c-1", FaultKind.HUNG, 0.5);
        assertThrows(Pi4JException.class, () -> inputs(0x20, 0));
        pass(0.6);
        assertDoesNotThrow(() -> inputs(0x20, 0));
    }

    @Test
    void aDoorSwitchStuckOnHidesAnOpenDoor() {
        assertTrue(line.plant().openDoor(1) instanceof Act.Done);
        pass(0.1);
        assertEquals(0, inputs(0x22, 0) & 1);
        line.faults().inject("oven-1.door-switch", FaultKind.STUCK_ON, 10);
        pass(0.1);
        assertEquals(1, inputs(0x22, 0) & 1);
        assertTrue(line.plant().truth("oven-1").doorOpen);
    }

    @Test
    void aBrokenWireReadsNotHealthy() {
        pass(0.1);
        assertEquals(1, inputs(0x20, 0) & 1);
        line.faults().inject("emergency-stop", FaultKind.OPEN, 1);
        pass(0.1);
        assertEquals(0, inputs(0x20, 0) & 1);
    }

    @Test
    void aStuckHeaterRelayHeatsWhenTheContactorIsClosed() {
        line.faults().inject("contactor", FaultKind.STUCK_ON, 1e6); // welds only what is closed
        line.faults().inject("oven-1.heater-relay", FaultKind.STUCK_ON, 1e6);
        pass(1);
        assertTrue(line.plant().truth("oven-1").heaterOn);
        assertFalse(line.plant().truth("oven-2").heaterOn);
        line.faults().mendAll();
        pass(1);
        assertFalse(line.plant().truth("oven-1").heaterOn);
    }

    @Test
    void aTimelineBreaksAndMendsAtItsTimes() {
        line.faults()
                .plan(
                        FaultTimeline.parse(
                                "f.yaml",
                                """
                                - {at: 2 s, component: inputs-0x22, kind: missing, duration: 1 s}
                                - {at: 1 s, component: oven-2.fan, kind: stuck-on, duration: rest}
                                """,
                                line.faults().catalogue()));
        pass(1.5);
        assertDoesNotThrow(() -> inputs(0x22, 0));
        pass(1);
        assertThrows(Pi4JException.class, () -> inputs(0x22, 0));
        pass(1);
        assertDoesNotThrow(() -> inputs(0x22, 0));
        assertEquals(
                List.of(
                        "1.0 s: oven-2.fan stuck-on begins",
                        "2.0 s: inputs-0x22 missing begins",
                        "3.0 s: inputs-0x22 missing ends"),
                line.faults().story());
    }

    @Test
    void everyCaseOfTheCatalogueBreaksAndMendsWithoutATrace() {
        for (FaultCase c : line.faults().catalogue().cases()) {
            FaultCase.Size size = c.size();
            String with = c.partners().isEmpty() ? null : c.partners().getFirst();
            line.faults().inject(c.component(), c.kind(), 0.3, size == null ? 0 : size.to(), with);
            line.advance(0.1);
        }
        pass(1);
        assertEquals(List.of(), line.faults().active());
        assertEquals(2 * line.faults().catalogue().cases().size(), line.faults().story().size());
    }

    @Test
    void whatTheCatalogueDoesNotKnowIsRefused() {
        FaultDesk desk = line.faults();
        assertThrows(
                IllegalArgumentException.class, () -> desk.inject("oven-1.air", FaultKind.HUNG, 1));
        assertThrows(
                IllegalArgumentException.class,
                () -> desk.inject("oven-1.airs", FaultKind.OPEN, 1));
        assertThrows(
                IllegalArgumentException.class,
                () -> desk.inject("oven-1.damper", FaultKind.STUCK_AT, 1, 1.1, null));
        assertThrows(
                IllegalArgumentException.class,
                () -> desk.inject("oven-1.damper", FaultKind.STUCK_AT, 1, Double.NaN, null));
        assertThrows(
                IllegalArgumentException.class,
                () -> desk.inject("oven-1.air", FaultKind.SWAPPED, 1, 0, "oven-1.scale"));
    }
}
