package steamleaf.sim.board;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import steamleaf.sim.chip.I2cChip;
import steamleaf.sim.chip.Max31865;
import steamleaf.sim.chip.Mcp23017;
import steamleaf.sim.chip.Nau7802;
import steamleaf.sim.chip.Pca9685;
import steamleaf.sim.chip.Sht31;
import steamleaf.sim.chip.Tca9548a;
import steamleaf.sim.plant.Actuation;
import steamleaf.sim.plant.Sensing;

/**
 * A board under power: its chips, buses and pins. Between two plant steps it carries the pins'
 * levels to the plant and what the plant exposes to the chips; a program reaches it only through
 * the buses and pins. For one thread.
 */
public final class Circuit implements Ends {
    /**
     * Error of a converter before it is calibrated, counts at gain 1: a tenth of a per mille of a
     * full bridge; engineering choice.
     */
    private static final int BRIDGE_OFFSET_COUNTS = 12;

    private static final int ALL_CALL = 0x70;

    private record SwitchedPin(Terminals.Switch terminal, int pin) {}

    private record ContactPin(Contact contact, int pin) {}

    private record LeverPin(Terminals.Lever terminal, Pca9685 chip, int channel) {}

    /** A port expander with its wires. */
    private static final class Ports {
        final Mcp23017 chip;
        final int inputMask;
        final Contact[] inputs;
        final int[] inputPins;
        final SwitchedPin[] outputs;

        Ports(Mcp23017 chip, List<ContactPin> inputs, List<SwitchedPin> outputs) {
            this.chip = chip;
            this.inputs = inputs.stream().map(ContactPin::contact).toArray(Contact[]::new);
            inputPins = inputs.stream().mapToInt(ContactPin::pin).toArray();
            inputMask = inputs.stream().mapToInt(input -> 1 << input.pin).sum();
            this.outputs = outputs.toArray(SwitchedPin[]::new);
        }
    }

    private final Board board;
    private final Terminals terminals;
    private final Gpio gpio = new Gpio();
    private final List<I2cLines> i2c = new ArrayList<>();
    private final List<SpiLines> spi = new ArrayList<>();
    private final List<SwitchedPin> switched = new ArrayList<>();
    private final List<ContactPin> contactPins = new ArrayList<>();
    private final List<LeverPin> levers = new ArrayList<>();
    private final List<Ports> ports = new ArrayList<>();
    private final List<Pca9685> enabledByRelay = new ArrayList<>();
    private final List<I2cChip> timed = new ArrayList<>();
    private final List<Max31865> thermometers = new ArrayList<>();
    private final List<Element> exposed = new ArrayList<>();
    private final Map<String, Element> elements = new LinkedHashMap<>();
    private final Map<String, Contact> contacts = new LinkedHashMap<>();
    private final Map<String, Seat> seats = new LinkedHashMap<>();
    private final Map<String, Mcp23017> expanders = new LinkedHashMap<>();
    private final SplittableRandom random;

    public Circuit(Board board, long seed) {
        this.board = board;
        terminals = new Terminals(board.ovens());
        random = new SplittableRandom(seed);
        board.gpio().forEach(this::wireGpio);
        for (Board.SpiBus bus : board.spiBuses()) {
            wireSpi(bus);
        }
        for (Board.I2cBus bus : board.i2cBuses()) {
            wireI2c(bus);
        }
        exposed.addAll(elements.values());
    }

    public Board board() {
        return board;
    }

    /** Sensing elements by name. */
    public Map<String, Element> elements() {
        return Collections.unmodifiableMap(elements);
    }

    /** Contacts that are wired to an input, by name. */
    public Map<String, Contact> contacts() {
        return Collections.unmodifiableMap(contacts);
    }

    /** Chips that serve more than one element, by name. */
    public Map<String, Seat> seats() {
        return Collections.unmodifiableMap(seats);
    }

    public Map<String, Mcp23017> expanders() {
        return Collections.unmodifiableMap(expanders);
    }

    public Collection<I2cLines> i2cBuses() {
        return Collections.unmodifiableList(i2c);
    }

    @Override
    public Gpio gpio() {
        return gpio;
    }

    @Override
    public @Nullable I2cLines i2c(int bus) {
        for (I2cLines lines : i2c) {
            if (lines.bus() == bus) {
                return lines;
            }
        }
        return null;
    }

    @Override
    public @Nullable SpiLines spi(int bus) {
        for (SpiLines lines : spi) {
            if (lines.bus() == bus) {
                return lines;
            }
        }
        return null;
    }

    /**
     * Carries the outputs to the plant: levels as they stand, edges of the watchdog line since the
     * last call.
     */
    public void carryOut(Actuation actuation) {
        for (int i = 0; i < switched.size(); i++) {
            SwitchedPin wire = switched.get(i);
            wire.terminal.set(actuation, gpio.level(wire.pin));
        }
        for (int i = 0; i < ports.size(); i++) {
            Ports port = ports.get(i);
            for (SwitchedPin wire : port.outputs) {
                wire.terminal.set(actuation, port.chip.level(wire.pin));
            }
        }
        for (int i = 0; i < levers.size(); i++) {
            LeverPin wire = levers.get(i);
            wire.terminal.set(actuation, wire.chip.duty(wire.channel));
        }
        actuation.watchdogEdges = gpio.takeWatchdogEdges();
    }

    /**
     * Exposes elements and inputs to what the plant shows at the end of a step, and lets the chips
     * live through it.
     */
    public void carryIn(Sensing sensing, double elapsedS) {
        for (int i = 0; i < exposed.size(); i++) {
            exposed.get(i).expose(sensing, elapsedS);
        }
        for (int i = 0; i < contactPins.size(); i++) {
            ContactPin wire = contactPins.get(i);
            gpio.contact(wire.pin, wire.contact.level(sensing));
        }
        for (int i = 0; i < ports.size(); i++) {
            Ports port = ports.get(i);
            int levels = 0;
            for (int k = 0; k < port.inputs.length; k++) {
                if (port.inputs[k].level(sensing)) {
                    levels |= 1 << port.inputPins[k];
                }
            }
            port.chip.drive(port.inputMask, levels);
        }
        for (int i = 0; i < enabledByRelay.size(); i++) {
            enabledByRelay.get(i).outputEnable(sensing.watchdogRelayHolds);
        }
        for (int i = 0; i < timed.size(); i++) {
            timed.get(i).advance(elapsedS);
        }
        for (int i = 0; i < thermometers.size(); i++) {
            thermometers.get(i).advance(elapsedS);
        }
    }

    private void wireGpio(int pin, String name) {
        Terminals.Switch terminal = terminals.switches.get(name);
        if (terminal == null) {
            contactPins.add(new ContactPin(contact(name), pin));
            return;
        }
        switched.add(new SwitchedPin(terminal, pin));
        if (name.equals(Terminals.WATCHDOG)) {
            gpio.watch(pin);
        }
    }

    private void wireSpi(Board.SpiBus plan) {
        SpiLines lines = new SpiLines(plan, gpio, random.split());
        spi.add(lines);
        for (Board.Thermometer fit : plan.thermometers()) {
            Max31865 chip = new Max31865(fit.referenceOhm(), fit.wires(), fit.leadOhm());
            Seat seat = Seat.of(fit.element(), chip);
            thermometers.add(chip);
            lines.fit(fit.chipEnable(), fit.select(), seat);
            elements.put(
                    fit.element(),
                    new Element.Temperature(
                            fit.element(),
                            seat,
                            known(terminals.temperatures, fit.element()),
                            chip));
        }
    }

    private void wireI2c(Board.I2cBus plan) {
        I2cLines lines = new I2cLines(plan.bus(), random.split());
        i2c.add(lines);
        for (Board.Fit fit : plan.chips()) {
            if (fit instanceof Board.Mux mux) {
                wireMux(lines, mux);
            } else {
                Seat seat = wireChip(fit);
                lines.fit(fit.address(), seat);
                if (seat.i2c instanceof Pca9685 chip) {
                    wireAllCall(lines, plan, seat, chip);
                }
            }
        }
    }

    private void wireMux(I2cLines lines, Board.Mux mux) {
        Tca9548a chip = new Tca9548a();
        Seat seat = named("mux", mux.address(), chip);
        @Nullable Seat[][] channels = lines.fitSwitch(mux.address(), seat, chip);
        mux.channels()
                .forEach(
                        (channel, fits) -> {
                            for (Board.Fit fit : fits) {
                                channels[channel][fit.address()] = wireChip(fit);
                            }
                        });
    }

    private Seat wireChip(Board.Fit fit) {
        return switch (fit) {
            case Board.Hygrometer h -> {
                Sht31 chip = new Sht31();
                timed.add(chip);
                Seat seat = Seat.of(h.element(), chip);
                elements.put(
                        h.element(),
                        new Element.Climate(
                                h.element(), seat, known(terminals.climates, h.element()), chip));
                yield seat;
            }
            case Board.Bridge b -> {
                Nau7802 chip =
                        new Nau7802(
                                random.nextInt(-BRIDGE_OFFSET_COUNTS, BRIDGE_OFFSET_COUNTS + 1));
                timed.add(chip);
                Seat seat = Seat.of(b.element(), chip);
                elements.put(
                        b.element(),
                        new Element.Load(
                                b.element(), seat, known(terminals.loads, b.element()), b, chip));
                yield seat;
            }
            case Board.Expander e -> wireExpander(e);
            case Board.Levers l -> wireLevers(l);
            case Board.Mux m ->
                    throw new IllegalArgumentException(
                            "a multiplexer behind another one: " + m.address());
        };
    }

    private Seat wireExpander(Board.Expander plan) {
        Mcp23017 chip = new Mcp23017();
        List<ContactPin> inputs = new ArrayList<>();
        List<SwitchedPin> outputs = new ArrayList<>();
        int loopFrom = -1;
        int loopTo = -1;
        for (Map.Entry<Integer, String> pin : plan.pins().entrySet()) {
            String name = pin.getValue();
            Terminals.Switch terminal = terminals.switches.get(name);
            if (name.equals(Board.LOOP_BACK_OUT)) {
                loopFrom = pin.getKey();
            } else if (name.equals(Board.LOOP_BACK_IN)) {
                loopTo = pin.getKey();
            } else if (terminal != null) {
                outputs.add(new SwitchedPin(terminal, pin.getKey()));
            } else {
                inputs.add(new ContactPin(contact(name), pin.getKey()));
            }
        }
        if (loopFrom >= 0 && loopTo >= 0) {
            chip.loopBack(loopFrom, loopTo);
        }
        ports.add(new Ports(chip, inputs, outputs));
        Seat seat = named("inputs", plan.address(), chip);
        expanders.put(seat.name(), chip);
        return seat;
    }

    private Seat wireLevers(Board.Levers plan) {
        Pca9685 chip = new Pca9685();
        timed.add(chip);
        if (plan.enabledByWatchdogRelay()) {
            chip.outputEnable(false); // the relay has not picked up yet
            enabledByRelay.add(chip);
        }
        plan.channels()
                .forEach(
                        (channel, name) ->
                                levers.add(
                                        new LeverPin(
                                                known(terminals.levers, name), chip, channel)));
        return named("levers", plan.address(), chip);
    }

    /** After power-up the chip listens to the all-call address too. */
    private static void wireAllCall(I2cLines lines, Board.I2cBus plan, Seat seat, Pca9685 chip) {
        boolean taken = plan.chips().stream().anyMatch(fit -> fit.address() == ALL_CALL);
        if (!taken) {
            lines.fit(ALL_CALL, Seat.of(seat.name(), new AllCall(seat, chip)));
        }
    }

    private Seat named(String role, int address, I2cChip chip) {
        String name = seatName(role, address);
        int others = 1;
        while (seats.containsKey(name)) { // the same address on another bus or channel
            name = seatName(role, address) + "-" + ++others;
        }
        Seat seat = Seat.of(name, chip);
        seats.put(name, seat);
        return seat;
    }

    private static String seatName(String role, int address) {
        return String.format("%s-0x%02x", role, address);
    }

    private Contact contact(String name) {
        Predicate<Sensing> place = known(terminals.contacts, name);
        return contacts.computeIfAbsent(name, n -> new Contact(n, place));
    }

    private static <T> T known(Map<String, T> map, String name) {
        T found = map.get(name);
        if (found == null) {
            throw new IllegalArgumentException(name + " leads nowhere");
        }
        return found;
    }

    /** The PCA9685 under its all-call address: written, never read. */
    private record AllCall(Seat seat, Pca9685 chip) implements I2cChip {
        @Override
        public boolean write(byte[] bytes, int offset, int length) {
            return !seat.missing && chip.answersAllCall() && chip.write(bytes, offset, length);
        }

        @Override
        public boolean read(byte[] into, int offset, int length) {
            return false;
        }

        @Override
        public void advance(double elapsedS) {}

        @Override
        public void powerUp() {}
    }
}
