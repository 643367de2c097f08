package steamleaf.app.io;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Which wire goes where. Each record refuses what no chip has; what is wrong between the parts (one
 * pin used twice) is told by {@link #problems}, all at once.
 *
 * @param i2cBus number of the I2C bus
 * @param spi SPI bus with its select decoder
 * @param thermometers how every MAX31865 is fitted
 * @param muxes addresses of the TCA9548A on the bus
 * @param expanders the MCP23017 on the bus
 * @param pwm the PCA9685
 */
public record Wiring(
        int i2cBus,
        SpiSelect spi,
        Thermometers thermometers,
        List<Integer> muxes,
        List<Expander> expanders,
        Pwm pwm,
        Line line,
        Steamer steamer,
        List<Oven> ovens) {

    /** SPI bus and clock, and the three GPIO lines of the 3-to-8 decoder under its chip selects. */
    public record SpiSelect(int bus, int baudHz, int gpioA0, int gpioA1, int gpioA2) {
        public SpiSelect {
            within("SPI bus", bus, 0, 6);
            within(
                    "SPI clock, Hz",
                    baudHz,
                    10_000,
                    5_000_000); // MAX31865 datasheet, SPI timing: 5 MHz at the most
            within("GPIO", gpioA0, 0, LAST_GPIO);
            within("GPIO", gpioA1, 0, LAST_GPIO);
            within("GPIO", gpioA2, 0, LAST_GPIO);
        }
    }

    /**
     * Fitting of all MAX31865.
     *
     * @param lowestC an element this cold counts as shorted
     * @param highestC an element this hot counts as open
     */
    public record Thermometers(
            double referenceOhm,
            boolean threeWire,
            boolean mains50Hz,
            double lowestC,
            double highestC) {}

    /** One MAX31865: chip select (CE0 or CE1) and decoder output. */
    public record Thermometer(int chipSelect, int output) {
        public Thermometer {
            within("SPI chip select", chipSelect, 0, 1);
            within("decoder output", output, 0, 7);
        }
    }

    /** One channel of one TCA9548A. */
    public record MuxChannel(int mux, int channel) {
        public MuxChannel {
            within("TCA9548A address", mux, 0x70, 0x77);
            within("TCA9548A channel", channel, 0, 7);
        }
    }

    /** One SHT31. */
    public record Climate(MuxChannel at, int address) {
        public Climate {
            within("SHT31 address", address, 0x44, 0x45);
        }
    }

    /**
     * One bridge on a NAU7802 (which has one address only).
     *
     * @param zeroMvPerV output without load
     * @param fullScale load at full output, kg or kPa
     * @param fullScaleMvPerV output above zero at full scale
     * @param lowest readings below cannot be, kg or kPa
     * @param highest readings above cannot be, kg or kPa
     */
    public record Bridge(
            MuxChannel at,
            double zeroMvPerV,
            double fullScale,
            double fullScaleMvPerV,
            double lowest,
            double highest) {
        public Bridge {
            if (!(fullScale > 0
                    && fullScaleMvPerV > 0
                    && lowest < highest
                    && !Double.isNaN(zeroMvPerV))) {
                throw new IllegalArgumentException(
                        "bridge: full scale "
                                + fullScale
                                + " at "
                                + fullScaleMvPerV
                                + " mV/V, range "
                                + lowest
                                + " to "
                                + highest
                                + "; allowed: positive, and a rising range");
            }
        }
    }

    /** One MCP23017 with its loop-back: pins are counted 0 (GPA0) to 15 (GPB7). */
    public record Expander(int address, int loopOut, int loopIn) {
        public Expander {
            within("MCP23017 address", address, 0x20, 0x27);
            within("MCP23017 pin", loopOut, 0, 15);
            within("MCP23017 pin", loopIn, 0, 15);
        }
    }

    /** One pin of one MCP23017, 0 (GPA0) to 15 (GPB7). */
    public record Pin(int expander, int pin) {
        public Pin {
            within("MCP23017 address", expander, 0x20, 0x27);
            within("MCP23017 pin", pin, 0, 15);
        }

        /** By the datasheet's name, {@code GPA0} to {@code GPB7}. */
        public static Pin of(int expander, String name) {
            return new Pin(expander, number(name));
        }

        /** Position of a pin by the datasheet's name. */
        public static int number(String name) {
            if (!name.matches("GP[AB][0-7]")) {
                throw new IllegalArgumentException(
                        "MCP23017 pin " + name + ", allowed: GPA0 to GPB7");
            }
            return (name.charAt(2) - 'A') * 8 + name.charAt(3) - '0';
        }

        @Override
        public String toString() {
            return "0x" + Integer.toHexString(expander) + " GP" + (pin < 8 ? 'A' : 'B') + pin % 8;
        }
    }

    /** The PCA9685. */
    public record Pwm(int address, double frequencyHz) {
        public Pwm {
            within("PCA9685 address", address, 0x40, 0x7F);
        }
    }

    /**
     * What belongs to the whole line.
     *
     * @param smoke null where no smoke detector is fitted
     * @param contactor GPIO
     * @param watchdog GPIO
     */
    public record Line(
            Pin emergencyStop,
            Pin permitKey,
            Pin startButton,
            Pin resetButton,
            Pin confirmButton,
            Pin silenceButton,
            Pin contactorFeedback,
            Pin supply,
            @Nullable Pin smoke,
            Climate room,
            Bridge barometer,
            int contactor,
            int watchdog,
            Pin horn,
            Pin lampRed,
            Pin lampYellow,
            Pin lampGreen,
            Pin lampBlue) {
        public Line {
            within("GPIO", contactor, 0, LAST_GPIO);
            within("GPIO", watchdog, 0, LAST_GPIO);
        }
    }

    /**
     * What belongs to the steamer.
     *
     * @param beltMmPerChange belt travel from one level change of the pulse contact to the next
     * @param steamValve GPIO
     * @param secondSteamValve GPIO
     * @param beltSpeed channel of the PCA9685
     */
    public record Steamer(
            Thermometer chestA,
            Thermometer chestB,
            Pin hoodClosed,
            Pin hoodLocked,
            Pin steamAvailable,
            Pin overPressure,
            Pin beltPulse,
            double beltMmPerChange,
            Pin extractorAirflow,
            int steamValve,
            int secondSteamValve,
            Pin extractor,
            Pin beltRun,
            Pin hoodUnlock,
            int beltSpeed) {
        public Steamer {
            within("GPIO", steamValve, 0, LAST_GPIO);
            within("GPIO", secondSteamValve, 0, LAST_GPIO);
            within("PCA9685 channel", beltSpeed, 0, 15);
            if (!(beltMmPerChange > 0)) {
                throw new IllegalArgumentException(
                        "belt travel per change " + beltMmPerChange + " mm, allowed: above 0");
            }
        }
    }

    /**
     * What belongs to one oven.
     *
     * @param scale null where no tray scale is fitted
     * @param heater GPIO
     * @param damper channel of the PCA9685
     */
    public record Oven(
            Thermometer air,
            Climate exhaust,
            @Nullable Bridge scale,
            Pin doorClosed,
            Pin airflow,
            Pin highLimit,
            Pin heaterCurrent,
            Pin fan,
            int heater,
            int damper) {
        public Oven {
            within("GPIO", heater, 0, LAST_GPIO);
            within("PCA9685 channel", damper, 0, 15);
        }
    }

    static final int LAST_GPIO = 27;

    public Wiring {
        muxes = List.copyOf(muxes);
        expanders = List.copyOf(expanders);
        ovens = List.copyOf(ovens);
    }

    /** The stock line: one steamer and three ovens, as in docs/hardware.md. */
    public static Wiring stock() {
        int line = 0x20;
        int steamer = 0x21;
        return new Wiring(
                1,
                new SpiSelect(0, 1_000_000, 22, 23, 24),
                new Thermometers(400.0, true, true, -40.0, 250.0),
                List.of(0x71),
                List.of(loop(line), loop(steamer), loop(0x22), loop(0x23)),
                new Pwm(0x40, 100.0),
                new Line(
                        Pin.of(line, "GPA0"),
                        Pin.of(line, "GPA1"),
                        Pin.of(line, "GPA2"),
                        Pin.of(line, "GPA3"),
                        Pin.of(line, "GPA4"),
                        Pin.of(line, "GPA5"),
                        Pin.of(line, "GPB0"),
                        Pin.of(line, "GPB1"),
                        Pin.of(line, "GPB2"),
                        new Climate(new MuxChannel(0x71, 0), 0x44),
                        new Bridge(new MuxChannel(0x71, 0), 0.0, 120.0, 2.0, 55.0, 115.0),
                        12,
                        25,
                        Pin.of(line, "GPA7"),
                        Pin.of(steamer, "GPB0"),
                        Pin.of(steamer, "GPB1"),
                        Pin.of(steamer, "GPB2"),
                        Pin.of(steamer, "GPB3")),
                new Steamer(
                        new Thermometer(0, 0),
                        new Thermometer(0, 1),
                        Pin.of(line, "GPB3"),
                        Pin.of(line, "GPB4"),
                        Pin.of(line, "GPB5"),
                        Pin.of(line, "GPB6"),
                        Pin.of(steamer, "GPA0"),
                        10.0,
                        Pin.of(steamer, "GPA1"),
                        17,
                        27,
                        Pin.of(steamer, "GPA2"),
                        Pin.of(steamer, "GPA3"),
                        Pin.of(steamer, "GPA4"),
                        0),
                List.of(
                        stockOven(1, 0x22, 'A', 13),
                        stockOven(2, 0x22, 'B', 16),
                        stockOven(3, 0x23, 'A', 19)));
    }

    private static Expander loop(int address) {
        return new Expander(address, Pin.number("GPB7"), Pin.number("GPA6"));
    }

    private static Oven stockOven(int number, int expander, char port, int heater) {
        MuxChannel channel = new MuxChannel(0x71, number);
        return new Oven(
                new Thermometer(0, 1 + number),
                new Climate(channel, 0x44),
                new Bridge(channel, 0.0, 20.0, 2.0, -1.0, 22.0),
                Pin.of(expander, "GP" + port + 0),
                Pin.of(expander, "GP" + port + 1),
                Pin.of(expander, "GP" + port + 2),
                Pin.of(expander, "GP" + port + 3),
                Pin.of(expander, "GP" + port + 4),
                heater,
                number);
    }

    /** Everything that does not fit together; empty when the wiring is sound. */
    public List<String> problems() {
        Uses uses = new Uses();
        gpio(uses);
        pins(uses);
        buses(uses);
        if (ovens.isEmpty() || ovens.size() > 8) {
            uses.problems.add("ovens: " + ovens.size() + ", allowed: 1 to 8");
        }
        return List.copyOf(uses.problems);
    }

    private void gpio(Uses uses) {
        uses.take("GPIO " + spi.gpioA0, "spi.decoder.a0");
        uses.take("GPIO " + spi.gpioA1, "spi.decoder.a1");
        uses.take("GPIO " + spi.gpioA2, "spi.decoder.a2");
        uses.take("GPIO " + line.contactor, "line.contactor");
        uses.take("GPIO " + line.watchdog, "line.watchdog");
        uses.take("GPIO " + steamer.steamValve, "steamer.steamValve");
        uses.take("GPIO " + steamer.secondSteamValve, "steamer.secondSteamValve");
        for (int i = 0; i < ovens.size(); i++) {
            uses.take("GPIO " + ovens.get(i).heater, oven(i) + "heater");
        }
    }

    private void pins(Uses uses) {
        for (Expander expander : expanders) {
            uses.take("MCP23017 0x" + Integer.toHexString(expander.address), "expander");
            uses.take(new Pin(expander.address, expander.loopOut).toString(), "loop-back output");
            uses.take(new Pin(expander.address, expander.loopIn).toString(), "loop-back input");
        }
        inputs().forEach((name, pin) -> pin(uses, name, pin, true));
        outputs().forEach((name, pin) -> pin(uses, name, pin, false));
    }

    private void pin(Uses uses, String name, Pin pin, boolean input) {
        if (expanders.stream().noneMatch(expander -> expander.address == pin.expander)) {
            uses.problems.add(name + " = " + pin + ", but there is no such expander");
        }
        if (input && (pin.pin == 7 || pin.pin == 15)) {
            uses.problems.add(
                    name
                            + " = "
                            + pin
                            + ": GPA7 and GPB7 are outputs only (MCP23017 datasheet, later revisions)");
        }
        uses.take(pin.toString(), name);
    }

    private void buses(Uses uses) {
        uses.take("PCA9685 channel " + steamer.beltSpeed, "steamer.beltSpeed");
        climate(uses, "line.room", line.room);
        bridge(uses, "line.barometer", line.barometer);
        uses.take(steamer.chestA.toString(), "steamer.chestA");
        uses.take(steamer.chestB.toString(), "steamer.chestB");
        for (int i = 0; i < ovens.size(); i++) {
            Oven oven = ovens.get(i);
            uses.take(oven.air.toString(), oven(i) + "air");
            uses.take("PCA9685 channel " + oven.damper, oven(i) + "damper");
            climate(uses, oven(i) + "exhaust", oven.exhaust);
            if (oven.scale != null) {
                bridge(uses, oven(i) + "scale", oven.scale);
            }
        }
    }

    private void climate(Uses uses, String name, Climate climate) {
        mux(uses, name, climate.at);
        uses.take("SHT31 0x" + Integer.toHexString(climate.address) + " at " + climate.at, name);
    }

    private void bridge(Uses uses, String name, Bridge bridge) {
        mux(uses, name, bridge.at);
        uses.take("NAU7802 at " + bridge.at, name);
    }

    private void mux(Uses uses, String name, MuxChannel at) {
        if (!muxes.contains(at.mux)) {
            uses.problems.add(name + ": there is no mux 0x" + Integer.toHexString(at.mux));
        }
    }

    /** All input pins by name. */
    Map<String, Pin> inputs() {
        Map<String, Pin> pins = new java.util.LinkedHashMap<>();
        pins.put("line.emergencyStop", line.emergencyStop);
        pins.put("line.permitKey", line.permitKey);
        pins.put("line.startButton", line.startButton);
        pins.put("line.resetButton", line.resetButton);
        pins.put("line.confirmButton", line.confirmButton);
        pins.put("line.silenceButton", line.silenceButton);
        pins.put("line.contactorFeedback", line.contactorFeedback);
        pins.put("line.supply", line.supply);
        if (line.smoke != null) {
            pins.put("line.smoke", line.smoke);
        }
        pins.put("steamer.hoodClosed", steamer.hoodClosed);
        pins.put("steamer.hoodLocked", steamer.hoodLocked);
        pins.put("steamer.steamAvailable", steamer.steamAvailable);
        pins.put("steamer.overPressure", steamer.overPressure);
        pins.put("steamer.beltPulse", steamer.beltPulse);
        pins.put("steamer.extractorAirflow", steamer.extractorAirflow);
        for (int i = 0; i < ovens.size(); i++) {
            pins.put(oven(i) + "doorClosed", ovens.get(i).doorClosed);
            pins.put(oven(i) + "airflow", ovens.get(i).airflow);
            pins.put(oven(i) + "highLimit", ovens.get(i).highLimit);
            pins.put(oven(i) + "heaterCurrent", ovens.get(i).heaterCurrent);
        }
        return pins;
    }

    /** All output pins by name, loop-backs apart. */
    Map<String, Pin> outputs() {
        Map<String, Pin> pins = new java.util.LinkedHashMap<>();
        pins.put("line.horn", line.horn);
        pins.put("line.lampRed", line.lampRed);
        pins.put("line.lampYellow", line.lampYellow);
        pins.put("line.lampGreen", line.lampGreen);
        pins.put("line.lampBlue", line.lampBlue);
        pins.put("steamer.extractor", steamer.extractor);
        pins.put("steamer.beltRun", steamer.beltRun);
        pins.put("steamer.hoodUnlock", steamer.hoodUnlock);
        for (int i = 0; i < ovens.size(); i++) {
            pins.put(oven(i) + "fan", ovens.get(i).fan);
        }
        return pins;
    }

    private static String oven(int index) {
        return "ovens.oven-" + (index + 1) + ".";
    }

    private static void within(String what, int value, int lowest, int highest) {
        if (value < lowest || value > highest) {
            throw new IllegalArgumentException(
                    what + " " + value + ", allowed: " + lowest + " to " + highest);
        }
    }

    /** Who has taken what. */
    private static final class Uses {
        final Map<String, String> byPlace = new HashMap<>();
        final List<String> problems = new ArrayList<>();

        void take(String place, String name) {
            String other = byPlace.putIfAbsent(place, name);
            if (other != null) {
                problems.add(name + " = " + place + ", which " + other + " has already");
            }
        }
    }
}
