package steamleaf.sim.board;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import steamleaf.sim.text.Entry;
import steamleaf.sim.text.Mistakes;

/** Reads a board file, and tells everything wrong with it at once. */
final class BoardFile {
    private static final List<String> CHIPS =
            List.of("TCA9548A", "SHT31", "NAU7802", "MCP23017", "PCA9685");
    private static final int LAST_GPIO = 27;

    private final Mistakes mistakes;
    private final Map<String, Entry> wired = new HashMap<>();
    private Terminals terminals = new Terminals(0);

    BoardFile(String fileName) {
        mistakes = new Mistakes(fileName);
    }

    Board parse(String text) {
        Entry file = Entry.read(text, mistakes);
        Map<String, Entry> members = file.members();
        if (!file.isPresent()) {
            mistakes.throwIfAny();
        }
        String name = file.need(members, "board").text();
        int ovens = file.need(members, "ovens").integer(1, 8);
        terminals = new Terminals(ovens);
        Map<Integer, String> gpio = new TreeMap<>();
        List<Board.SpiBus> spi = new ArrayList<>();
        List<Board.I2cBus> i2c = new ArrayList<>();
        members.forEach(
                (key, entry) -> {
                    switch (key) {
                        case "board", "ovens" -> {}
                        case "gpio" -> gpio.putAll(gpio(entry));
                        case "spi-0" -> spi.add(spiBus(0, entry));
                        case "spi-1" -> spi.add(spiBus(1, entry));
                        case "i2c-0" -> i2c.add(new Board.I2cBus(0, segment(entry, true)));
                        case "i2c-1" -> i2c.add(new Board.I2cBus(1, segment(entry, true)));
                        default ->
                                mistakes.add(
                                        entry.line(),
                                        key
                                                + " is not known here, allowed: board, ovens, gpio, spi-0, spi-1, i2c-0,"
                                                + " i2c-1");
                    }
                });
        for (Board.SpiBus bus : spi) {
            for (int select : new int[] {bus.a0(), bus.a1(), bus.a2()}) {
                if (gpio.containsKey(select)) {
                    mistakes.add(
                            members.getOrDefault("gpio", file).line(),
                            "gpio."
                                    + select
                                    + " is a select line of the decoder on spi-"
                                    + bus.bus()
                                    + " and "
                                    + gpio.get(select)
                                    + " at once");
                }
            }
        }
        mistakes.throwIfAny();
        return new Board(name, ovens, gpio, List.copyOf(spi), List.copyOf(i2c));
    }

    private Map<Integer, String> gpio(Entry entry) {
        Map<Integer, String> wires = new TreeMap<>();
        Set<String> names = new LinkedHashSet<>(terminals.switches.keySet());
        names.addAll(terminals.contacts.keySet());
        entry.members()
                .forEach(
                        (key, wire) -> {
                            int number =
                                    whole(
                                            wire,
                                            key,
                                            0,
                                            LAST_GPIO,
                                            "a BCM number from 0 to " + LAST_GPIO);
                            reserved(number)
                                    .ifPresent(
                                            use ->
                                                    mistakes.add(
                                                            wire.line(),
                                                            wire.path()
                                                                    + " is "
                                                                    + use
                                                                    + " on this board"));
                            String terminal = terminal(wire, names);
                            if (number >= 0 && terminal != null) {
                                wires.put(number, terminal);
                            }
                        });
        return wires;
    }

    /** Lines of the header that the buses occupy. */
    private static Optional<String> reserved(int number) {
        return switch (number) {
            case 0, 1 -> Optional.of("the identification bus (i2c-0)");
            case 2, 3 -> Optional.of("the data or clock line of i2c-1");
            case 7, 8 -> Optional.of("a chip enable of spi-0");
            case 9, 10, 11 -> Optional.of("a data or clock line of spi-0");
            default -> Optional.empty();
        };
    }

    private Board.SpiBus spiBus(int bus, Entry entry) {
        Map<String, Entry> members = entry.members(List.of("decoder", "ce0", "ce1"));
        Entry decoder = entry.need(members, "decoder");
        Map<String, Entry> lines = decoder.members(List.of("a0", "a1", "a2"));
        int[] a = new int[3];
        for (int i = 0; i < a.length; i++) {
            a[i] = decoder.isPresent() ? decoder.need(lines, "a" + i).integer(0, LAST_GPIO) : 0;
        }
        List<Board.Thermometer> thermometers = new ArrayList<>();
        for (int ce = 0; ce < 2; ce++) {
            Entry selects = members.get("ce" + ce);
            if (selects != null) {
                int chipEnable = ce;
                selects.members()
                        .forEach(
                                (key, chip) ->
                                        thermometers.add(thermometer(chipEnable, key, chip)));
            }
        }
        return new Board.SpiBus(bus, a[0], a[1], a[2], List.copyOf(thermometers));
    }

    private Board.Thermometer thermometer(int chipEnable, String key, Entry entry) {
        int select = whole(entry, key, 0, 7, "an output of the decoder, 0 to 7");
        Map<String, Entry> members =
                entry.members(List.of("chip", "element", "reference-ohm", "wires", "lead-ohm"));
        entry.need(members, "chip").oneOf(List.of("MAX31865"));
        String element = terminal(entry.need(members, "element"), terminals.temperatures.keySet());
        double referenceOhm = entry.need(members, "reference-ohm").number(100, 10_000);
        int wires = entry.need(members, "wires").integer(2, 4);
        Entry lead = members.get("lead-ohm");
        double leadOhm = lead == null ? 0 : lead.number(0, 50);
        return new Board.Thermometer(
                chipEnable, select, element == null ? "" : element, referenceOhm, wires, leadOhm);
    }

    private List<Board.Fit> segment(Entry entry, boolean trunk) {
        List<Board.Fit> fits = new ArrayList<>();
        Map<Integer, Entry> addresses = new LinkedHashMap<>();
        entry.members()
                .forEach(
                        (key, chip) -> {
                            int address =
                                    whole(chip, key, 0x08, 0x77, "an address from 0x08 to 0x77");
                            Entry other = addresses.putIfAbsent(address, chip);
                            if (address >= 0 && other != null) {
                                mistakes.add(
                                        chip.line(),
                                        chip.path()
                                                + " is the same address as in line "
                                                + other.line());
                            }
                            Board.Fit fit = fit(address, chip, trunk);
                            if (fit != null) {
                                fits.add(fit);
                            }
                        });
        return List.copyOf(fits);
    }

    private Board.@Nullable Fit fit(int address, Entry entry, boolean trunk) {
        Map<String, Entry> members = entry.members();
        if (!entry.isMapping()) {
            return null;
        }
        String chip = entry.need(members, "chip").oneOf(CHIPS);
        return switch (chip) {
            case null -> null;
            case "TCA9548A" -> mux(address, entry, trunk);
            case "SHT31" -> hygrometer(address, entry);
            case "NAU7802" -> bridge(address, entry);
            case "MCP23017" -> expander(address, entry);
            default -> levers(address, entry);
        };
    }

    private void addressOf(Entry entry, int address, String chip, int from, int to) {
        if (address >= 0 && (address < from || address > to)) {
            String allowed = from == to ? hex(from) : hex(from) + " to " + hex(to);
            mistakes.add(
                    entry.line(),
                    entry.path() + " is no address of a " + chip + ", allowed: " + allowed);
        }
    }

    private static String hex(int address) {
        return String.format("0x%02X", address);
    }

    private Board.Mux mux(int address, Entry entry, boolean trunk) {
        addressOf(entry, address, "TCA9548A", 0x70, 0x77);
        if (!trunk) {
            mistakes.add(
                    entry.line(), entry.path() + ": a TCA9548A behind another one is not modelled");
        }
        Map<String, Entry> members = entry.members(List.of("chip", "channels"));
        Map<Integer, List<Board.Fit>> channels = new TreeMap<>();
        entry.need(members, "channels")
                .members()
                .forEach(
                        (key, channel) ->
                                channels.put(
                                        whole(channel, key, 0, 7, "a channel from 0 to 7"),
                                        segment(channel, false)));
        return new Board.Mux(address, channels);
    }

    private Board.Hygrometer hygrometer(int address, Entry entry) {
        addressOf(entry, address, "SHT31", 0x44, 0x45);
        Map<String, Entry> members = entry.members(List.of("chip", "element"));
        String element = terminal(entry.need(members, "element"), terminals.climates.keySet());
        return new Board.Hygrometer(address, element == null ? "" : element);
    }

    private Board.Bridge bridge(int address, Entry entry) {
        addressOf(entry, address, "NAU7802", 0x2A, 0x2A);
        Map<String, Entry> members =
                entry.members(
                        List.of("chip", "element", "zero", "full-scale", "full-scale-output"));
        String element = terminal(entry.need(members, "element"), terminals.loads.keySet());
        double zero = entry.need(members, "zero").quantity("mV/V", -10, 10);
        Terminals.Load load = element == null ? null : terminals.loads.get(element);
        Entry fullScaleEntry = entry.need(members, "full-scale");
        double fullScale = load == null ? 1 : fullScaleEntry.quantity(load.unit(), 0.1, 1000);
        double output = entry.need(members, "full-scale-output").quantity("mV/V", 0.1, 30);
        return new Board.Bridge(address, element == null ? "" : element, zero, fullScale, output);
    }

    private Board.Expander expander(int address, Entry entry) {
        addressOf(entry, address, "MCP23017", 0x20, 0x27);
        Map<String, Entry> members = entry.members(List.of("chip", "pins"));
        Map<Integer, String> pins = new TreeMap<>();
        Set<String> names = new LinkedHashSet<>(terminals.contacts.keySet());
        names.addAll(terminals.switches.keySet());
        int[] loops = new int[2];
        Entry pinsEntry = entry.need(members, "pins");
        pinsEntry
                .members()
                .forEach(
                        (key, wire) -> {
                            int pin = pin(wire, key);
                            String text = wire.text();
                            if (text.equals(Board.LOOP_BACK_OUT)
                                    || text.equals(Board.LOOP_BACK_IN)) {
                                loops[text.equals(Board.LOOP_BACK_OUT) ? 0 : 1]++;
                                pins.put(pin, text);
                            } else {
                                String terminal = terminal(wire, names);
                                if (pin >= 0 && terminal != null) {
                                    pins.put(pin, terminal);
                                }
                            }
                        });
        if (loops[0] != loops[1] || loops[0] > 1) {
            mistakes.add(
                    pinsEntry.line(),
                    pinsEntry.path()
                            + ": a loop-back needs one loop-back-out and one loop-back-in, found "
                            + loops[0]
                            + " and "
                            + loops[1]);
        }
        return new Board.Expander(address, pins);
    }

    private int pin(Entry wire, String key) {
        boolean good = key.matches("GP[AB][0-7]");
        if (!good) {
            mistakes.add(
                    wire.line(),
                    wire.path() + " is no pin of a MCP23017, allowed: GPA0 to GPA7, GPB0 to GPB7");
            return -1;
        }
        return (key.charAt(2) == 'A' ? 0 : 8) + key.charAt(3) - '0';
    }

    private Board.Levers levers(int address, Entry entry) {
        addressOf(entry, address, "PCA9685", 0x40, 0x7F);
        Map<String, Entry> members = entry.members(List.of("chip", "output-enable", "channels"));
        Map<Integer, String> channels = new TreeMap<>();
        entry.need(members, "channels")
                .members()
                .forEach(
                        (key, wire) -> {
                            int channel = whole(wire, key, 0, 15, "a channel from 0 to 15");
                            String terminal = terminal(wire, terminals.levers.keySet());
                            if (channel >= 0 && terminal != null) {
                                channels.put(channel, terminal);
                            }
                        });
        String enable =
                entry.need(members, "output-enable").oneOf(List.of("watchdog-relay", "always"));
        return new Board.Levers(address, channels, !"always".equals(enable));
    }

    /** A known terminal that no other wire leads to; null, with a mistake, otherwise. */
    private @Nullable String terminal(Entry wire, Collection<String> names) {
        String text = wire.text();
        if (text.isEmpty()) {
            if (wire.isPresent()) {
                wire.refuse("the name of what is connected");
            }
            return null;
        }
        if (!names.contains(text)) {
            wire.refuseName(text, names);
            return null;
        }
        Entry other = wired.putIfAbsent(text, wire);
        if (other != null) {
            mistakes.add(
                    wire.line(),
                    wire.path()
                            + " = "
                            + text
                            + ", but that is wired already in line "
                            + other.line()
                            + " ("
                            + other.path()
                            + ")");
            return null;
        }
        return text;
    }

    /** A number that is a key; -1, with a mistake, when it is none or out of bounds. */
    private int whole(Entry entry, String key, int from, int to, String allowed) {
        try {
            int value = Integer.decode(key);
            if (value >= from && value <= to) {
                return value;
            }
        } catch (NumberFormatException e) {
            // told below, together with what is allowed
        }
        mistakes.add(entry.line(), entry.path() + ": " + key + " is not " + allowed);
        return -1;
    }
}
