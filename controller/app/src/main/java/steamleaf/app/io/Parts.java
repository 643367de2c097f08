package steamleaf.app.io;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import steamleaf.app.driver.max31865.Max31865;
import steamleaf.app.driver.mcp23017.Mcp23017;
import steamleaf.app.driver.nau7802.Nau7802;
import steamleaf.app.driver.pca9685.Pca9685;
import steamleaf.app.driver.sht31.Sht31;
import steamleaf.app.driver.tca9548a.Tca9548a;

/** The drivers of the line, each with its health; scan and drive share them. */
final class Parts {
    /** One expander. */
    record Expander(int address, Mcp23017 chip, ChipHealth health) {}

    /** One Pt100. */
    record Thermometer(Max31865 chip, ChipHealth health) {}

    /** One mux. */
    record Mux(Tca9548a chip, ChipHealth health) {}

    /** One humidity sensor. */
    record Climate(Sht31 chip, ChipHealth health) {}

    /** One bridge. */
    record Bridge(Nau7802 chip, ChipHealth health, Wiring.Bridge wiring) {}

    final List<Expander> expanders = new ArrayList<>();
    final Map<Wiring.Thermometer, Thermometer> thermometers = new HashMap<>();
    final List<Mux> muxes = new ArrayList<>();
    final Map<Wiring.Climate, Climate> climates = new HashMap<>();
    final Map<Wiring.Bridge, Bridge> bridges = new HashMap<>();
    final Pca9685 pwm;
    final ChipHealth pwmHealth;

    Parts(Hardware hardware, Wiring wiring, Consumer<String> tell) {
        for (Wiring.Expander expander : wiring.expanders()) {
            int outputs = 1 << expander.loopOut();
            for (Wiring.Pin pin : wiring.outputs().values()) {
                outputs |= pin.expander() == expander.address() ? 1 << pin.pin() : 0;
            }
            String name = "MCP23017 0x" + Integer.toHexString(expander.address());
            expanders.add(
                    new Expander(
                            expander.address(),
                            new Mcp23017(
                                    hardware.i2c(expander.address()),
                                    outputs,
                                    expander.loopOut(),
                                    expander.loopIn()),
                            hardware.health(name, ChipHealth.REST_CYCLES, tell)));
        }
        pwm =
                new Pca9685(
                        hardware.i2c(wiring.pwm().address()),
                        wiring.pwm().frequencyHz(),
                        channels(wiring));
        pwmHealth = hardware.health("PCA9685", ChipHealth.REST_CYCLES, tell);
        for (int mux : wiring.muxes()) {
            muxes.add(
                    new Mux(
                            new Tca9548a(hardware.i2c(mux)),
                            hardware.health(
                                    "TCA9548A 0x" + Integer.toHexString(mux),
                                    ChipHealth.REST_CYCLES,
                                    tell)));
        }
        thermometer(hardware, wiring, "steamer chest A", wiring.steamer().chestA(), tell);
        thermometer(hardware, wiring, "steamer chest B", wiring.steamer().chestB(), tell);
        climate(hardware, "room", wiring.line().room(), tell);
        bridge(hardware, "barometer", wiring.line().barometer(), tell);
        for (int i = 0; i < wiring.ovens().size(); i++) {
            Wiring.Oven oven = wiring.ovens().get(i);
            String name = "oven-" + (i + 1);
            thermometer(hardware, wiring, name + " air", oven.air(), tell);
            climate(hardware, name + " exhaust", oven.exhaust(), tell);
            if (oven.scale() != null) {
                bridge(hardware, name + " scale", oven.scale(), tell);
            }
        }
    }

    private static int channels(Wiring wiring) {
        int last = wiring.steamer().beltSpeed();
        for (Wiring.Oven oven : wiring.ovens()) {
            last = Math.max(last, oven.damper());
        }
        return last + 1;
    }

    private void thermometer(
            Hardware hardware,
            Wiring wiring,
            String name,
            Wiring.Thermometer at,
            Consumer<String> tell) {
        Wiring.Thermometers fitting = wiring.thermometers();
        var settings =
                new Max31865.Settings(
                        fitting.referenceOhm(),
                        fitting.threeWire(),
                        fitting.mains50Hz(),
                        fitting.lowestC(),
                        fitting.highestC());
        thermometers.put(
                at,
                new Thermometer(
                        new Max31865(hardware.link(at), settings),
                        hardware.health("MAX31865 " + name, ChipHealth.REST_CYCLES, tell)));
    }

    private void climate(Hardware hardware, String name, Wiring.Climate at, Consumer<String> tell) {
        climates.put(
                at,
                new Climate(
                        new Sht31(hardware.i2c(at.address())),
                        hardware.health("SHT31 " + name, ChipHealth.REST_TURNS, tell)));
    }

    private void bridge(Hardware hardware, String name, Wiring.Bridge at, Consumer<String> tell) {
        bridges.put(
                at,
                new Bridge(
                        new Nau7802(hardware.i2c(NAU7802)),
                        hardware.health("NAU7802 " + name, ChipHealth.REST_TURNS, tell),
                        at));
    }

    /** The chip's only address. */
    private static final int NAU7802 = 0x2A;
}
