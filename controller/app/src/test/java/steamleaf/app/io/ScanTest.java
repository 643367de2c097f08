package steamleaf.app.io;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Reading;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;
import steamleaf.core.reading.UnitKind;

class ScanTest {
    private final FakeBoard board = new FakeBoard(Wiring.stock());
    private final List<String> told = new ArrayList<>();
    private final Hardware hardware = Hardware.open(board.context, Wiring.stock(), told::add);
    private final Scan scan = hardware.scan();
    private long cycle;

    @AfterEach
    void close() {
        hardware.close();
        board.context.shutdown();
    }

    private Readings run(int cycles) {
        Readings readings = scan.scan(++cycle);
        for (int i = 1; i < cycles; i++) {
            readings = scan.scan(++cycle);
        }
        return readings;
    }

    /** All sensors at something that can be. */
    private void plausible() {
        for (FakeBoard.Thermometer thermometer : board.thermometers) {
            thermometer.code = 10_096; // 60 °C
        }
        for (int channel = 0; channel <= 3; channel++) {
            board.climate(channel).temperatureCode = 0x6666; // 25 °C
            board.climate(channel).humidityCode = 0x8000;
            board.bridge(channel).code = 1_789_570; // 100 kPa of 120, or 16.67 kg of 20, at 2 mV/V
        }
    }

    private static List<Quantity> of(UnitKind kind) {
        return java.util.Arrays.stream(Quantity.values())
                .filter(quantity -> quantity.of() == kind)
                .toList();
    }

    private static List<UnitId> units() {
        return List.of(UnitId.LINE, UnitId.STEAMER, UnitId.oven(1), UnitId.oven(2), UnitId.oven(3));
    }

    @Test
    void everyChannelIsGoodSoonAfterTheStart() {
        plausible();
        Readings readings = run(40);
        for (UnitId unit : units()) {
            for (Quantity quantity : of(unit.kind())) {
                assertTrue(readings.get(unit, quantity).isGood(), unit.label() + " " + quantity);
            }
        }
        assertEquals(25.0, readings.good(UnitId.oven(2), Quantity.EXHAUST_C), 1e-9);
        assertEquals(0x8000 / 65_535.0, readings.good(UnitId.LINE, Quantity.ROOM_RH), 1e-12);
        assertEquals(100.0, readings.good(UnitId.LINE, Quantity.ROOM_PRESSURE_KPA), 1e-3);
        assertEquals(100.0 / 6, readings.good(UnitId.oven(3), Quantity.SCALE_KG), 1e-3);
        assertEquals(60.0, readings.good(UnitId.oven(1), Quantity.AIR_C), 0.02);
        assertEquals(List.of(), told);
    }

    @Test
    void everyThermometerIsTheOneOnItsSelect() {
        plausible();
        for (int output = 0; output < 5; output++) {
            board.thermometers[output].code = 9000 + 100 * output;
        }
        Readings readings = run(2);
        double previous = readings.good(UnitId.STEAMER, Quantity.CHEST_A_C);
        for (double next :
                new double[] {
                    readings.good(UnitId.STEAMER, Quantity.CHEST_B_C),
                    readings.good(UnitId.oven(1), Quantity.AIR_C),
                    readings.good(UnitId.oven(2), Quantity.AIR_C),
                    readings.good(UnitId.oven(3), Quantity.AIR_C)
                }) {
            assertEquals(3.15, next - previous, 0.1); // 100 codes of 1.22 Ω
            previous = next;
        }
    }

    @Test
    void everyContactIsTheOneOnItsPin() {
        plausible();
        Readings before = run(2);
        Wiring.stock()
                .inputs()
                .forEach(
                        (name, pin) -> {
                            board.expander(pin.expander()).outside ^= 1 << pin.pin();
                            Readings readings = run(1);
                            int changed = 0;
                            for (UnitId unit : units()) {
                                for (Quantity quantity : of(unit.kind())) {
                                    changed += readings.isOn(unit, quantity) ? 1 : 0;
                                }
                            }
                            int expected = name.equals("steamer.beltPulse") ? 0 : 1;
                            long values =
                                    units().stream()
                                            .flatMap(
                                                    unit ->
                                                            of(unit.kind()).stream()
                                                                    .map(
                                                                            quantity ->
                                                                                    readings.get(
                                                                                            unit,
                                                                                            quantity)))
                                            .filter(
                                                    reading ->
                                                            reading.isGood()
                                                                    && reading.value() == 1.0)
                                            .count();
                            assertEquals(expected, values, name);
                            board.expander(pin.expander()).outside ^= 1 << pin.pin();
                        });
        assertTrue(before.isOff(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY));
    }

    @Test
    void aFaultyThermometerIsBadInTheSameCycleAndGoodWhenMended() {
        plausible();
        run(2);
        board.thermometers[3].registers[7] = 0x80;
        assertEquals(Quality.FAULT, run(1).get(UnitId.oven(2), Quantity.AIR_C).quality());
        board.thermometers[3].registers[7] = 0;
        assertTrue(run(1).get(UnitId.oven(2), Quantity.AIR_C).isGood());
        assertEquals(2, told.size(), told::toString);
    }

    @Test
    void atTheVeryStartNothingIsAFaultYet() {
        Readings readings =
                run(1); // no thermometer has converted, no expander has followed both ways
        for (UnitId unit : units()) {
            for (Quantity quantity : of(unit.kind())) {
                assertEquals(
                        Quality.NOT_YET_READ,
                        readings.get(unit, quantity).quality(),
                        quantity::toString);
            }
        }
        assertEquals(List.of(), told);
    }

    @Test
    void everyChipAndLineIsCounted() {
        plausible();
        run(40);
        // 4 expanders, 1 pulse-width chip, 1 mux, 5 thermometers, 4 humidity sensors, 4 bridges, 7
        // lines
        assertEquals(26, hardware.counts().size());
        assertTrue(
                hardware.counts().stream()
                        .allMatch(count -> count.noAnswer() == 0 && count.notBelieved() == 0));
        board.thermometers[4].silent = true;
        run(2);
        assertEquals(
                List.of(new ChipCounts("MAX31865 oven-3 air", 2, 0, "SPI failed: no transfer")),
                hardware.counts().stream().filter(count -> count.noAnswer() > 0).toList());
    }

    @Test
    void aThermometerThatLostItsConfigurationIsGarbledForOneCycle() {
        plausible();
        run(2);
        board.thermometers[0].registers[0] = 0;
        assertEquals(Quality.GARBLED, run(1).get(UnitId.STEAMER, Quantity.CHEST_A_C).quality());
        assertTrue(run(1).get(UnitId.STEAMER, Quantity.CHEST_A_C).isGood());
    }

    @Test
    void anExpanderThatDoesNotFollowHasAllItsInputsBad() {
        plausible();
        board.expander(0x20).outside = 0x7F3F;
        assertTrue(run(2).isOn(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY));
        board.expander(0x20).wire = false;
        Readings first = run(1);
        Readings second = run(1);
        boolean bad =
                first.get(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY).quality() == Quality.GARBLED
                        || second.get(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY).quality()
                                == Quality.GARBLED;
        assertTrue(bad);
        board.expander(0x20).wire = true;
        assertTrue(run(2).isOn(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY));
    }

    @ParameterizedTest
    @EnumSource(
            value = Quantity.class,
            names = {"DOOR_CLOSED", "AIRFLOW_PROVEN", "HIGH_LIMIT_HEALTHY", "HEATER_CURRENT"})
    void aSilentExpanderProvesNothing(Quantity quantity) {
        plausible();
        board.expander(0x22).outside = 0x0F0F;
        assertTrue(run(2).isOn(UnitId.oven(1), quantity));
        board.expander(0x22).silent = true;
        for (int i = 0; i < 30; i++) {
            Reading reading = run(1).get(UnitId.oven(1), quantity);
            assertEquals(Quality.NO_ANSWER, reading.quality());
            assertTrue(!reading.isOn() && !reading.isOff());
        }
        board.expander(0x22).silent = false;
        assertTrue(run(12).isOn(UnitId.oven(1), quantity));
    }

    @Test
    void anExpanderThatLostItsSupplyIsBadForTwoCyclesAndComesBack() {
        plausible();
        board.expander(0x22).outside = 0x0F0F;
        run(2);
        board.expander(0x22).powerOn();
        assertEquals(Quality.GARBLED, run(1).get(UnitId.oven(1), Quantity.DOOR_CLOSED).quality());
        assertEquals(Quality.GARBLED, run(1).get(UnitId.oven(1), Quantity.DOOR_CLOSED).quality());
        assertTrue(run(1).isOn(UnitId.oven(1), Quantity.DOOR_CLOSED));
    }

    @Test
    void aGarbledHumidityIsBadUntilItsNextGoodTurn() {
        plausible();
        run(40);
        board.climate(1).corrupt = true;
        Readings readings = run(5);
        assertEquals(Quality.GARBLED, readings.get(UnitId.oven(1), Quantity.EXHAUST_RH).quality());
        assertEquals(Quality.GARBLED, readings.get(UnitId.oven(1), Quantity.EXHAUST_C).quality());
        assertTrue(readings.get(UnitId.oven(2), Quantity.EXHAUST_RH).isGood());
        board.climate(1).corrupt = false;
        assertTrue(run(5).get(UnitId.oven(1), Quantity.EXHAUST_RH).isGood());
    }

    @Test
    void aChipThatTakesTurnsAndWasSilentForLongIsBackWithinTwoSeconds() {
        plausible();
        run(40);
        for (int channel = 0; channel < 4; channel++) {
            board.climate(channel).silent = true;
            board.bridge(channel).silent = true;
        }
        Readings silent = run(100);
        for (int channel = 0; channel < 4; channel++) {
            board.climate(channel).silent = false;
            board.bridge(channel).silent = false;
        }
        Readings well = run(20);
        for (int oven = 1; oven <= 3; oven++) {
            for (Quantity quantity :
                    List.of(Quantity.EXHAUST_C, Quantity.EXHAUST_RH, Quantity.SCALE_KG)) {
                assertEquals(Quality.NO_ANSWER, silent.get(UnitId.oven(oven), quantity).quality());
                assertTrue(
                        well.get(UnitId.oven(oven), quantity).isGood(),
                        "oven-" + oven + " " + quantity);
            }
        }
    }

    @Test
    void aSilentSwitchMakesAllBehindItBadWithinOneRound() {
        plausible();
        run(40);
        board.mux().silent = true;
        Readings readings = run(5);
        for (int oven = 1; oven <= 3; oven++) {
            assertEquals(
                    Quality.NO_ANSWER,
                    readings.get(UnitId.oven(oven), Quantity.EXHAUST_RH).quality());
        }
        board.mux().silent = false;
        assertTrue(run(20).get(UnitId.oven(2), Quantity.EXHAUST_RH).isGood());
    }

    @Test
    void everySensorTakesATurnAtLeastOnceASecond() {
        plausible();
        run(40);
        int[] before = new int[4];
        for (int channel = 0; channel < 4; channel++) {
            before[channel] = board.climate(channel).starts;
        }
        run(10);
        for (int channel = 0; channel < 4; channel++) {
            assertTrue(board.climate(channel).starts - before[channel] >= 1, "channel " + channel);
        }
    }

    @Test
    void aSwitchThatSticksLetsNobodySpeakInAnothersName() {
        plausible();
        for (int channel = 0; channel < 4; channel++) {
            board.climate(channel).temperatureCode = 0x6666 + 0x100 * channel;
        }
        run(40);
        board.mux().stuck = true;
        Readings readings = run(8);
        int good = 0;
        for (int oven = 1; oven <= 3; oven++) {
            double celsius = readings.good(UnitId.oven(oven), Quantity.EXHAUST_C);
            if (!Double.isNaN(celsius)) {
                good++;
                assertEquals(-45.0 + 175.0 * (0x6666 + 0x100 * oven) / 65_535.0, celsius, 1e-9);
            }
        }
        assertTrue(good <= 1, "good " + good);
    }

    @Test
    void aConverterThatIsNeverReadyGoesStale() {
        plausible();
        run(40);
        board.bridge(2).ready = false;
        assertTrue(run(10).get(UnitId.oven(2), Quantity.SCALE_KG).isGood());
        assertEquals(Quality.STALE, run(20).get(UnitId.oven(2), Quantity.SCALE_KG).quality());
    }

    @Test
    void aLoadThatCannotBeIsOutOfRange() {
        plausible();
        run(40);
        board.bridge(1).code = -500_000; // -4.7 kg
        assertEquals(Quality.OUT_OF_RANGE, run(5).get(UnitId.oven(1), Quantity.SCALE_KG).quality());
        board.bridge(1).code = 0x7F_FFFF;
        assertEquals(Quality.OUT_OF_RANGE, run(5).get(UnitId.oven(1), Quantity.SCALE_KG).quality());
    }

    @Test
    void aHeaterLeftOnInAHumiditySensorIsFoundAndTurnedOff() {
        plausible();
        board.climate(3).heater = true;
        boolean found = false;
        for (int i = 0; i < 4 * 65; i++) {
            found |= run(1).get(UnitId.oven(3), Quantity.EXHAUST_RH).quality() == Quality.FAULT;
        }
        assertTrue(found);
        assertTrue(!board.climate(3).heater);
        assertTrue(run(8).get(UnitId.oven(3), Quantity.EXHAUST_RH).isGood());
    }

    @Test
    void aBusThatIsGoneMakesEverythingBadAndIsAskedLessAndLess() {
        plausible();
        run(40);
        board.busGone = true;
        Readings readings = run(1);
        assertEquals(
                Quality.NO_ANSWER,
                readings.get(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY).quality());
        run(20);
        int before = board.transfers;
        run(10);
        // six chips at most once each, where one cycle alone takes more than that when they answer
        assertTrue(board.transfers - before <= 8, "transfers " + (board.transfers - before));
        readings = run(1);
        for (UnitId unit : units()) {
            for (Quantity quantity : of(unit.kind())) {
                boolean onSpi =
                        quantity == Quantity.AIR_C
                                || quantity == Quantity.CHEST_A_C
                                || quantity == Quantity.CHEST_B_C;
                assertEquals(
                        onSpi,
                        readings.get(unit, quantity).isGood(),
                        unit.label() + " " + quantity);
            }
        }
        board.busGone = false;
        assertTrue(run(40).get(UnitId.oven(1), Quantity.EXHAUST_RH).isGood());
    }

    @Test
    void theBeltIsCounted() {
        plausible();
        run(2);
        Readings readings = run(1);
        for (int i = 0; i < 100; i++) {
            board.expander(0x21).outside = i / 5 % 2; // a change every 0.5 s
            readings = run(1);
        }
        assertEquals(20.0, readings.good(UnitId.STEAMER, Quantity.BELT_MM_PER_S), 1e-9);
        board.expander(0x21).silent = true;
        assertEquals(
                Quality.NO_ANSWER, run(1).get(UnitId.STEAMER, Quantity.BELT_MM_PER_S).quality());
    }

    @Test
    void whatIsNotFittedSaysSo() {
        Wiring stock = Wiring.stock();
        Wiring.Oven oven = stock.ovens().get(0);
        Wiring small =
                new Wiring(
                        stock.i2cBus(),
                        stock.spi(),
                        stock.thermometers(),
                        stock.muxes(),
                        stock.expanders(),
                        stock.pwm(),
                        stock.line(),
                        stock.steamer(),
                        List.of(
                                new Wiring.Oven(
                                        oven.air(),
                                        oven.exhaust(),
                                        null,
                                        oven.doorClosed(),
                                        oven.airflow(),
                                        oven.highLimit(),
                                        oven.heaterCurrent(),
                                        oven.fan(),
                                        oven.heater(),
                                        oven.damper())));
        FakeBoard other = new FakeBoard(small);
        try (Hardware opened = Hardware.open(other.context, small, told::add)) {
            Readings readings = opened.scan().scan(1);
            assertEquals(
                    Quality.NOT_FITTED, readings.get(UnitId.oven(1), Quantity.SCALE_KG).quality());
        }
    }
}
