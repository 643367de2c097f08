package steamleaf.app.io;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/**
 * The largest line: a second mux, thermometers under the second chip select, nine stops in a round.
 */
class EightOvensTest {
    private static final int[] HEATERS = {13, 16, 19, 20, 21, 26, 18, 15};

    private final Wiring wiring = wiring();
    private final FakeBoard board = new FakeBoard(wiring);
    private final List<String> told = new ArrayList<>();
    private final Hardware hardware = Hardware.open(board.context, wiring, told::add);
    private long cycle;

    private static Wiring wiring() {
        Wiring stock = Wiring.stock();
        List<Wiring.Expander> expanders = new ArrayList<>();
        for (int address = 0x20; address <= 0x25; address++) {
            expanders.add(new Wiring.Expander(address, 15, 6));
        }
        List<Wiring.Oven> ovens = new ArrayList<>();
        for (int number = 1; number <= 8; number++) {
            int place = number + 1; // after both chest sensors
            int expander = 0x22 + (number - 1) / 2;
            int port = number % 2 == 1 ? 0 : 8;
            Wiring.MuxChannel at =
                    number < 8
                            ? new Wiring.MuxChannel(0x71, number)
                            : new Wiring.MuxChannel(0x72, 3);
            ovens.add(
                    new Wiring.Oven(
                            new Wiring.Thermometer(place / 8, place % 8),
                            new Wiring.Climate(at, 0x44),
                            new Wiring.Bridge(at, 0.0, 20.0, 2.0, -1.0, 22.0),
                            new Wiring.Pin(expander, port),
                            new Wiring.Pin(expander, port + 1),
                            new Wiring.Pin(expander, port + 2),
                            new Wiring.Pin(expander, port + 3),
                            new Wiring.Pin(expander, port + 4),
                            HEATERS[number - 1],
                            number));
        }
        return new Wiring(
                stock.i2cBus(),
                stock.spi(),
                stock.thermometers(),
                List.of(0x71, 0x72),
                expanders,
                stock.pwm(),
                stock.line(),
                stock.steamer(),
                ovens);
    }

    @AfterEach
    void close() {
        hardware.close();
        board.context.shutdown();
    }

    private FakeBoard.Climate climate(int oven) {
        return (FakeBoard.Climate) board.at(wiring.ovens().get(oven - 1).exhaust().at(), 0x44);
    }

    private Readings run(int cycles) {
        Readings readings = hardware.scan().scan(++cycle);
        for (int i = 1; i < cycles; i++) {
            readings = hardware.scan().scan(++cycle);
        }
        return readings;
    }

    private void expose(int shift) {
        for (int i = 0; i < board.thermometers.length; i++) {
            board.thermometers[i].code = 9000 + 50 * i + shift;
        }
        for (int oven = 1; oven <= 8; oven++) {
            climate(oven).temperatureCode = 0x6000 + 0x100 * oven + shift;
            climate(oven).humidityCode = 0x4000 + 0x100 * oven + shift;
        }
    }

    @Test
    void theWiringFitsTogether() {
        assertEquals(List.of(), wiring.problems());
    }

    @Test
    void everyOvenReadsItsOwnSensorsAndNoneOlderThanASecond() {
        expose(0);
        run(90);
        for (int shift = 1; shift <= 5; shift++) {
            expose(shift);
            Readings readings = run(10);
            for (int oven = 1; oven <= 8; oven++) {
                UnitId unit = UnitId.oven(oven);
                int code = 0x6000 + 0x100 * oven + shift;
                assertEquals(
                        -45.0 + 175.0 * code / 65_535.0,
                        readings.good(unit, Quantity.EXHAUST_C),
                        1e-9);
                assertTrue(readings.get(unit, Quantity.SCALE_KG).isGood());
                double ohm = (9000 + 50 * (oven + 1) + shift) * 400.0 / 32_768.0;
                assertEquals(
                        steamleaf.app.driver.max31865.Pt100.temperatureC(ohm),
                        readings.good(unit, Quantity.AIR_C),
                        1e-9,
                        unit.label());
            }
        }
        assertEquals(List.of(), told);
    }

    @Test
    void aSwitchLeftOpenByAnEarlierRunIsClosedBeforeAnotherOneOpens() {
        FakeBoard.Mux second =
                (FakeBoard.Mux) java.util.Objects.requireNonNull(board.trunk.get(0x72));
        second.control = 0x08;
        expose(0);
        Readings readings = run(90); // two chips heard at once would end the test in the fake board
        assertTrue(readings.get(UnitId.oven(8), Quantity.EXHAUST_RH).isGood());
        assertTrue(readings.get(UnitId.oven(1), Quantity.EXHAUST_RH).isGood());
    }

    @Test
    void aSecondSwitchThatCannotBeClosedSilencesTheFirstRatherThanMixingTwoOvens() {
        expose(0);
        run(90);
        FakeBoard.Mux second =
                (FakeBoard.Mux) java.util.Objects.requireNonNull(board.trunk.get(0x72));
        for (int i = 0; i < 9 && second.control == 0; i++) {
            run(1);
        }
        second.stuck = true; // open, and it stays open
        Readings readings = run(40);
        for (int oven = 1; oven <= 7; oven++) {
            assertFalse(
                    readings.get(UnitId.oven(oven), Quantity.EXHAUST_RH).isGood(), "oven-" + oven);
        }
        second.stuck = false;
        assertEquals(Quality.GOOD, run(40).get(UnitId.oven(4), Quantity.EXHAUST_RH).quality());
    }
}
