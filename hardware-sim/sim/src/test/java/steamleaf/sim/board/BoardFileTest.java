package steamleaf.sim.board;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.sim.text.FileMistakes;

class BoardFileTest {
    @Test
    void theStockBoardCarriesEverythingThePlantHas() {
        Board board = Board.stock();
        Circuit circuit = new Circuit(board, 1);
        Terminals terminals = new Terminals(board.ovens());
        assertEquals(terminals.contacts.keySet(), circuit.contacts().keySet());
        int elements =
                terminals.temperatures.size() + terminals.climates.size() + terminals.loads.size();
        assertEquals(elements, circuit.elements().size());
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 2, 3, 4, 5, 6, 7, 8})
    void theStockBoardCanHaveOneToEightOvens(int ovens) {
        Board board = Board.stock(ovens);
        Circuit circuit = new Circuit(board, 1);
        Terminals terminals = new Terminals(ovens);
        assertEquals(terminals.contacts.keySet(), circuit.contacts().keySet());
        assertEquals(4 + 3 * ovens, circuit.elements().size());
        assertEquals(4 + ovens, board.gpio().size());
    }

    @Test
    void withThreeOvensItIsTheBoardOfTheFile() {
        assertEquals(Board.stock(), Board.stock(3));
    }

    private static List<String> mistakes(String text) {
        return assertThrows(FileMistakes.class, () -> Board.parse("b.yaml", text)).lines();
    }

    @Test
    void everyMistakeIsToldAtOnceWithItsPlaceAndWhatIsAllowed() {
        List<String> found =
                mistakes(
                        """
                        board: bad
                        ovens: 2
                        colour: green
                        gpio:
                          12: contactr
                          9: watchdog
                          40: steam-valve
                          13: oven-3.heater
                        spi-0:
                          decoder: {a0: 22, a1: 23, a2: 24}
                          ce0:
                            8: {chip: MAX31865, element: chest-a, reference-ohm: 400, wires: 3}
                            1: {chip: MAX31856, element: chest-b, reference-ohm: 4, wires: 3, leds: 2}
                        i2c-1:
                          0x20: {chip: MCP23017, pins: {GPA0: supply, GPC1: smoke-detector, GPB0: supply, GPB7: loop-back-out}}
                          0x30: {chip: MCP23017, pins: {GPA1: smoke-detector}}
                          0x71:
                            chip: TCA9548A
                            channels:
                              9: {0x44: {chip: SHT31, element: room}}
                              1: {0x2A: {chip: NAU7802, element: oven-1.scale, zero: 0 mV/V, full-scale: 20, full-scale-output: 2 mV/V}}
                        """);
        List<String> expected =
                List.of(
                        "b.yaml:3: colour is not known here, allowed: board, ovens, gpio, spi-0, spi-1, i2c-0, i2c-1",
                        "b.yaml:5: gpio.12 = contactr, allowed: a known name. Nearest to \"contactr\": contactor,",
                        "b.yaml:6: gpio.9 is a data or clock line of spi-0 on this board",
                        "b.yaml:7: gpio.40: 40 is not a BCM number from 0 to 27",
                        "b.yaml:8: gpio.13 = oven-3.heater, allowed: a known name. Nearest to \"oven-3.heater\": oven-1.heater,",
                        "b.yaml:12: spi-0.ce0.8: 8 is not an output of the decoder, 0 to 7",
                        "b.yaml:13: spi-0.ce0.1.leds is not known here, allowed: chip, element, reference-ohm, wires, lead-ohm",
                        "b.yaml:13: spi-0.ce0.1.chip = MAX31856, allowed: MAX31865",
                        "b.yaml:13: spi-0.ce0.1.reference-ohm = 4, allowed: 100 to 10000",
                        "b.yaml:15: i2c-1.0x20.pins.GPC1 is no pin of a MCP23017, allowed: GPA0 to GPA7, GPB0 to GPB7",
                        "b.yaml:15: i2c-1.0x20.pins.GPB0 = supply, but that is wired already in line 15"
                                + " (i2c-1.0x20.pins.GPA0)",
                        "b.yaml:15: i2c-1.0x20.pins: a loop-back needs one loop-back-out and one loop-back-in, found 1 and 0",
                        "b.yaml:16: i2c-1.0x30 is no address of a MCP23017, allowed: 0x20 to 0x27",
                        "b.yaml:16: i2c-1.0x30.pins.GPA1 = smoke-detector, but that is wired already",
                        "b.yaml:20: i2c-1.0x71.channels.9: 9 is not a channel from 0 to 7",
                        "b.yaml:21: i2c-1.0x71.channels.1.0x2A.full-scale = 20, allowed: 0.1 to 1000 kg, with the unit");
        for (String line : expected) {
            boolean there = found.stream().anyMatch(f -> f.startsWith(line));
            assertTrue(there, () -> line + "\n is not among\n" + String.join("\n", found));
        }
        assertEquals(expected.size(), found.size(), () -> String.join("\n", found));
    }

    @Test
    void aSelectLineCannotBeAnOutputToo() {
        assertEquals(
                List.of(
                        "b.yaml:3: gpio.12 is a select line of the decoder on spi-0 and contactor at once"),
                mistakes(
                        """
                        board: bad
                        ovens: 1
                        gpio: {12: contactor}
                        spi-0: {decoder: {a0: 12, a1: 23, a2: 24}}
                        """));
    }

    @Test
    void addressesThatAChipCannotHaveAreRefused() {
        // published addresses: reference rows SEN034, SEN088, SEN097, SEN111
        assertEquals(
                List.of(
                        "b.yaml:4: i2c-1.0x46 is no address of a SHT31, allowed: 0x44 to 0x45",
                        "b.yaml:5: i2c-1.0x2B is no address of a NAU7802, allowed: 0x2A",
                        "b.yaml:6: i2c-1.0x6F is no address of a TCA9548A, allowed: 0x70 to 0x77",
                        "b.yaml:7: i2c-1.0x28 is no address of a MCP23017, allowed: 0x20 to 0x27"),
                mistakes(
                        """
                        board: bad
                        ovens: 1
                        i2c-1:
                          0x46: {chip: SHT31, element: room}
                          0x2B: {chip: NAU7802, element: barometer, zero: 0 mV/V, full-scale: 120 kPa, full-scale-output: 2 mV/V}
                          0x6F: {chip: TCA9548A, channels: {}}
                          0x28: {chip: MCP23017, pins: {}}
                        """));
    }

    @Test
    void twoChipsAtOneAddressOfASegmentAreRefused() {
        assertEquals(
                List.of("b.yaml:5: i2c-1.68 is the same address as in line 4"),
                mistakes(
                        """
                        board: bad
                        ovens: 1
                        i2c-1:
                          0x44: {chip: SHT31, element: room}
                          68: {chip: SHT31, element: oven-1.exhaust}
                        """));
    }

    @Test
    void brokenYamlIsToldWithItsLine() {
        List<String> found = mistakes("board: x\novens: [1\n");
        assertEquals(1, found.size());
        assertTrue(
                found.getFirst().startsWith("b.yaml:3: not readable as YAML: "), found::toString);
        assertEquals(List.of("b.yaml:1: the file is empty"), mistakes(""));
    }
}
