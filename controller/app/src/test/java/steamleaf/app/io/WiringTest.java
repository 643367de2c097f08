package steamleaf.app.io;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class WiringTest {
    private static final Wiring STOCK = Wiring.stock();

    private static Wiring with(Wiring.Steamer steamer, List<Wiring.Oven> ovens) {
        return new Wiring(
                STOCK.i2cBus(),
                STOCK.spi(),
                STOCK.thermometers(),
                STOCK.muxes(),
                STOCK.expanders(),
                STOCK.pwm(),
                STOCK.line(),
                steamer,
                ovens);
    }

    @Test
    void theStockLineFitsTogether() {
        assertEquals(List.of(), STOCK.problems());
    }

    @Test
    void pinsGoByTheDatasheetsNames() {
        assertEquals(0, Wiring.Pin.number("GPA0"));
        assertEquals(15, Wiring.Pin.number("GPB7"));
        assertEquals("0x22 GPB3", Wiring.Pin.of(0x22, "GPB3").toString());
        assertThrows(IllegalArgumentException.class, () -> Wiring.Pin.number("GPC1"));
    }

    @Test
    void everythingUsedTwiceIsToldAtOnce() {
        List<Wiring.Oven> ovens = new ArrayList<>(STOCK.ovens());
        ovens.set(2, STOCK.ovens().get(1)); // oven 3 wired like oven 2
        List<String> problems = with(STOCK.steamer(), ovens).problems();
        // heater, air, damper, exhaust, scale, and five pins
        assertEquals(10, problems.size(), problems::toString);
        assertTrue(
                problems.contains(
                        "ovens.oven-3.heater = GPIO 16, which ovens.oven-2.heater has already"),
                problems::toString);
        assertTrue(
                problems.stream().anyMatch(text -> text.contains("0x22 GPB4")), problems::toString);
    }

    @Test
    void aPinOnAMissingExpanderOrAMissingMuxIsTold() {
        Wiring.Oven oven = STOCK.ovens().get(0);
        Wiring.Oven astray =
                new Wiring.Oven(
                        oven.air(),
                        new Wiring.Climate(new Wiring.MuxChannel(0x72, 1), 0x44),
                        null,
                        Wiring.Pin.of(0x26, "GPA0"),
                        oven.airflow(),
                        oven.highLimit(),
                        Wiring.Pin.of(0x22, "GPA7"),
                        oven.fan(),
                        oven.heater(),
                        oven.damper());
        List<String> problems = with(STOCK.steamer(), List.of(astray)).problems();
        assertEquals(3, problems.size(), problems::toString);
        assertTrue(problems.toString().contains("no such expander"));
        assertTrue(problems.toString().contains("no mux 0x72"));
        assertTrue(problems.toString().contains("outputs only"));
    }

    @Test
    void whatNoChipHasIsRefused() {
        assertThrows(IllegalArgumentException.class, () -> new Wiring.MuxChannel(0x6F, 0));
        assertThrows(IllegalArgumentException.class, () -> new Wiring.Thermometer(2, 0));
        assertThrows(IllegalArgumentException.class, () -> new Wiring.Pin(0x28, 0));
        assertThrows(
                IllegalArgumentException.class,
                () -> new Wiring.Bridge(new Wiring.MuxChannel(0x71, 0), 0, -20, 2, 0, 20));
    }
}
