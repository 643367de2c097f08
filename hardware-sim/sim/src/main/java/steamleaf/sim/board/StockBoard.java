package steamleaf.sim.board;

/**
 * The stock board as text, for any number of ovens. With three it is the board of the file.
 *
 * <p>Oven {@code i} sits on decoder output {@code i + 1}, counted through both chip enables; on mux
 * position {@code i}, eight to a mux from 0x71 on, the room at position 0; on port A or B of its
 * pair's expander from 0x22 on; on channel {@code i} of the PCA9685.
 */
final class StockBoard {
    private static final int MOST_OVENS = 8;
    private static final int[] HEATERS = {13, 16, 19, 20, 21, 26, 18, 15};

    private static final String LINE =
            """
              0x20:
                chip: MCP23017
                pins: {GPA0: emergency-stop, GPA1: permit-key, GPA2: start-button, GPA3: reset-button,
                       GPA4: confirm-button, GPA5: silence-button, GPA6: loop-back-in, GPA7: horn,
                       GPB0: contactor-feedback, GPB1: supply, GPB2: smoke-detector, GPB3: hood-closed,
                       GPB4: hood-locked, GPB5: steam-available, GPB6: over-pressure, GPB7: loop-back-out}
              0x21:
                chip: MCP23017
                pins: {GPA0: belt-pulse, GPA1: extractor-airflow, GPA2: extractor, GPA3: belt-run,
                       GPA4: hood-unlock, GPA6: loop-back-in, GPB0: lamp-red, GPB1: lamp-yellow,
                       GPB2: lamp-green, GPB3: lamp-blue, GPB7: loop-back-out}
            """;

    private StockBoard() {}

    static String text(int ovens) {
        if (ovens < 1 || ovens > MOST_OVENS) {
            throw new IllegalArgumentException(ovens + " ovens, allowed: 1 to " + MOST_OVENS);
        }
        StringBuilder text = new StringBuilder("board: ridge-house\novens: " + ovens + "\ngpio:\n");
        text.append(
                "  12: contactor\n  25: watchdog\n  17: steam-valve\n  27: second-steam-valve\n");
        for (int i = 1; i <= ovens; i++) {
            text.append("  " + HEATERS[i - 1] + ": oven-" + i + ".heater\n");
        }
        thermometers(text, ovens);
        text.append("i2c-1:\n").append(LINE);
        expanders(text, ovens);
        text.append(
                "  0x40:\n    chip: PCA9685\n    output-enable: watchdog-relay\n    channels:\n");
        text.append("      0: belt-speed\n");
        for (int i = 1; i <= ovens; i++) {
            text.append("      " + i + ": oven-" + i + ".damper\n");
        }
        muxes(text, ovens);
        return text.toString();
    }

    private static void thermometers(StringBuilder text, int ovens) {
        text.append("spi-0:\n  decoder: {a0: 22, a1: 23, a2: 24}\n");
        for (int position = 0; position < ovens + 2; position++) {
            if (position % 8 == 0) {
                text.append("  ce" + position / 8 + ":\n");
            }
            String element =
                    switch (position) {
                        case 0 -> "chest-a";
                        case 1 -> "chest-b";
                        default -> "oven-" + (position - 1) + ".air";
                    };
            text.append("    " + position % 8 + ": {chip: MAX31865, element: " + element);
            text.append(", reference-ohm: 400, wires: 3, lead-ohm: 0.5}\n");
        }
    }

    private static void expanders(StringBuilder text, int ovens) {
        for (int i = 1; i <= ovens; i++) {
            char port = i % 2 == 1 ? 'A' : 'B';
            if (port == 'A') {
                int address = 0x22 + (i - 1) / 2;
                text.append("  0x" + Integer.toHexString(address) + ":\n    chip: MCP23017\n");
                text.append("    pins:\n      GPA6: loop-back-in\n      GPB7: loop-back-out\n");
            }
            String[] wires = {"door-switch", "airflow", "high-limit", "heater-current", "fan"};
            for (int pin = 0; pin < wires.length; pin++) {
                text.append("      GP" + port + pin + ": oven-" + i + "." + wires[pin] + "\n");
            }
        }
    }

    private static void muxes(StringBuilder text, int ovens) {
        for (int position = 0; position <= ovens; position++) {
            if (position % 8 == 0) {
                int address = 0x71 + position / 8;
                text.append("  0x" + Integer.toHexString(address) + ":\n    chip: TCA9548A\n");
                text.append("    channels:\n");
            }
            boolean room = position == 0;
            String climate = room ? "room" : "oven-" + position + ".exhaust";
            String load = room ? "barometer" : "oven-" + position + ".scale";
            text.append("      " + position % 8 + ":\n");
            text.append("        0x44: {chip: SHT31, element: " + climate + "}\n");
            text.append("        0x2A: {chip: NAU7802, element: " + load + ", zero: 0 mV/V,");
            text.append(" full-scale: " + (room ? "120 kPa" : "20 kg"));
            text.append(", full-scale-output: 2 mV/V}\n");
        }
    }
}
