package steamleaf.app.config;

import java.util.ArrayList;
import java.util.List;
import steamleaf.app.io.Wiring;
import steamleaf.core.batch.OvenSettings;
import steamleaf.core.reading.UnitId;

/** The part of the file that says which wire goes where. */
final class WiringReader {
    private static final int LAST_GPIO = 27;

    private WiringReader() {}

    /**
     * @param ovens as configured, to agree with
     */
    static Wiring read(Block block, List<OvenSettings> ovens) {
        Wiring wiring =
                new Wiring(
                        block.whole("i2cBus", 0, 20, ""),
                        spi(block.block("spi", "")),
                        thermometers(block.block("thermometers", "")),
                        muxes(block),
                        expanders(block),
                        pwm(block.block("pwm", "")),
                        line(block.block("line", "")),
                        steamer(block.block("steamer", "")),
                        ovens(block.block("ovens", ""), ovens));
        block.end();
        if (block.problems().none()) { // or everything missing would seem wired to one pin
            for (String problem : wiring.problems()) {
                String path = "wiring." + problem.replaceFirst(" =.*|:.*", "");
                block.problems().say(block.problems().lineOf(path), "wiring." + problem);
            }
        }
        return wiring;
    }

    private static Wiring.SpiSelect spi(Block block) {
        Wiring.SpiSelect spi =
                new Wiring.SpiSelect(
                        block.whole("bus", 0, 6, ""),
                        block.whole("baudHz", 10_000, 5_000_000, "MAX31865: 5 MHz at the most"),
                        gpio(block, "a0"),
                        gpio(block, "a1"),
                        gpio(block, "a2"));
        block.end();
        return spi;
    }

    private static Wiring.Thermometers thermometers(Block block) {
        double lowestC = block.number("lowestC", -200, 0, "Colder counts as shorted");
        Wiring.Thermometers thermometers =
                new Wiring.Thermometers(
                        block.number("referenceOhm", 100, 4_000, "Reference resistor"),
                        block.word("wires", List.of("3", "2", "4"), "").equals("3"),
                        block.word("mainsHz", List.of("50", "60"), "Filtered out").equals("50"),
                        lowestC,
                        block.number("highestC", 150, 850, "Warmer counts as open"));
        block.end();
        return thermometers;
    }

    private static List<Integer> muxes(Block block) {
        List<Integer> muxes = new ArrayList<>();
        for (String text :
                block.texts(
                        "muxes", "0x7[1-7]", "0x71 to 0x77", "0x70 is the PCA9685's all-call")) {
            muxes.add(Integer.decode(text));
        }
        return muxes;
    }

    private static List<Wiring.Expander> expanders(Block block) {
        List<Wiring.Expander> expanders = new ArrayList<>();
        for (Block expander : block.blocks("expanders", "")) {
            expanders.add(
                    new Wiring.Expander(
                            expander.address("address", 0x20, 0x27, ""),
                            pinNumber(expander, "loopOut"),
                            pinNumber(expander, "loopIn")));
            expander.end();
        }
        return expanders;
    }

    private static int pinNumber(Block block, String key) {
        String name = block.text(key, "GP[AB][0-7]", "GPA0 to GPB7", "Wired one to the other");
        return name.isEmpty() ? 0 : Wiring.Pin.number(name);
    }

    private static Wiring.Pwm pwm(Block block) {
        Wiring.Pwm pwm =
                new Wiring.Pwm(
                        block.address("address", 0x40, 0x7F, ""),
                        block.number("frequencyHz", 24, 1_526, "PCA9685"));
        block.end();
        return pwm;
    }

    private static Wiring.Line line(Block block) {
        Wiring.Line line =
                new Wiring.Line(
                        pin(block, "emergencyStop"),
                        pin(block, "permitKey"),
                        pin(block, "startButton"),
                        pin(block, "resetButton"),
                        pin(block, "confirmButton"),
                        pin(block, "silenceButton"),
                        pin(block, "contactorFeedback"),
                        pin(block, "supply"),
                        block.has("smoke") ? pin(block, "smoke") : null,
                        climate(block.block("room", "")),
                        bridge(block.block("barometer", "kPa"), 0, 200),
                        gpio(block, "contactor"),
                        gpio(block, "watchdog"),
                        pin(block, "horn"),
                        pin(block, "lampRed"),
                        pin(block, "lampYellow"),
                        pin(block, "lampGreen"),
                        pin(block, "lampBlue"));
        block.end();
        return line;
    }

    private static Wiring.Steamer steamer(Block block) {
        Wiring.Steamer steamer =
                new Wiring.Steamer(
                        thermometer(block, "chestA"),
                        thermometer(block, "chestB"),
                        pin(block, "hoodClosed"),
                        pin(block, "hoodLocked"),
                        pin(block, "steamAvailable"),
                        pin(block, "overPressure"),
                        pin(block, "beltPulse"),
                        block.number("beltMmPerChange", 0.5, 500, "From change to change"),
                        pin(block, "extractorAirflow"),
                        gpio(block, "steamValve"),
                        gpio(block, "secondSteamValve"),
                        pin(block, "extractor"),
                        pin(block, "beltRun"),
                        pin(block, "hoodUnlock"),
                        block.whole("beltSpeed", 0, 15, "PCA9685 channel"));
        block.end();
        return steamer;
    }

    private static List<Wiring.Oven> ovens(Block block, List<OvenSettings> configured) {
        List<Wiring.Oven> ovens = new ArrayList<>();
        for (int i = 0; i < configured.size(); i++) {
            String key = i < UnitId.MOST_OVENS ? UnitId.oven(i + 1).label() : "oven-" + (i + 1);
            ovens.add(oven(block.block(key, ""), configured.get(i).scaleFitted(), key));
        }
        block.end();
        return ovens;
    }

    private static Wiring.Oven oven(Block block, boolean scaleFitted, String name) {
        Block scale = block.optionalBlock("scale");
        if (scaleFitted != (scale != null)) {
            block.problems()
                    .say(
                            block.line("scale"),
                            block.at("scale")
                                    + (scale == null ? " is missing" : " is wired")
                                    + ", but ovens."
                                    + name
                                    + ".scale = "
                                    + scaleFitted
                                    + ", allowed: both or neither");
        }
        Wiring.Oven oven =
                new Wiring.Oven(
                        thermometer(block, "air"),
                        climate(block.block("exhaust", "")),
                        scale == null ? null : bridge(scale, -100, 500),
                        pin(block, "doorClosed"),
                        pin(block, "airflow"),
                        pin(block, "highLimit"),
                        pin(block, "heaterCurrent"),
                        pin(block, "fan"),
                        gpio(block, "heater"),
                        block.whole("damper", 0, 15, "PCA9685 channel"));
        block.end();
        return oven;
    }

    private static int gpio(Block block, String key) {
        return block.whole(key, 0, LAST_GPIO, "A GPIO line by its BCM number");
    }

    private static Wiring.Pin pin(Block block, String key) {
        String text =
                block.text(
                        key,
                        "0x2[0-7] GP[AB][0-7]",
                        "address and pin of an expander, such as 0x20 GPA0",
                        "");
        return text.isEmpty()
                ? new Wiring.Pin(0x20, 0)
                : Wiring.Pin.of(Integer.decode(text.substring(0, 4)), text.substring(5));
    }

    private static Wiring.Thermometer thermometer(Block block, String key) {
        String text =
                block.text(
                        key, "CE[01] Y[0-7]", "chip select and decoder output, such as CE0 Y2", "");
        return text.isEmpty()
                ? new Wiring.Thermometer(0, 0)
                : new Wiring.Thermometer(text.charAt(2) - '0', text.charAt(5) - '0');
    }

    private static Wiring.MuxChannel channel(Block block) {
        return new Wiring.MuxChannel(
                block.address("mux", 0x71, 0x77, ""), block.whole("channel", 0, 7, ""));
    }

    private static Wiring.Climate climate(Block block) {
        Wiring.Climate climate =
                new Wiring.Climate(channel(block), block.address("address", 0x44, 0x45, "SHT31"));
        block.end();
        return climate;
    }

    private static Wiring.Bridge bridge(Block block, double least, double most) {
        double lowest = block.number("lowest", least, most, "Readings below cannot be");
        double highest = block.number("highest", least, most, "Readings above cannot be");
        if (highest <= lowest) {
            block.wrong(
                    "highest",
                    Block.plain(highest),
                    "more than lowest = " + Block.plain(lowest),
                    "");
            highest = lowest + 1;
        }
        Wiring.Bridge bridge =
                new Wiring.Bridge(
                        channel(block),
                        block.number("zeroMvPerV", -5, 5, "Output without load"),
                        block.number("fullScale", 0.1, 1_000, "Load at full output"),
                        block.number("fullScaleMvPerV", 0.1, 10, "Output above zero at full load"),
                        lowest,
                        highest);
        block.end();
        return bridge;
    }
}
