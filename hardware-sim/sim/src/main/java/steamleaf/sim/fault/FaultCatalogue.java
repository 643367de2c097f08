package steamleaf.sim.fault;

import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import steamleaf.sim.board.Circuit;
import steamleaf.sim.board.Contact;
import steamleaf.sim.board.Element;
import steamleaf.sim.board.I2cLines;
import steamleaf.sim.board.Seat;
import steamleaf.sim.chip.Mcp23017;
import steamleaf.sim.plant.LineFaults;
import steamleaf.sim.plant.OvenFaults;
import steamleaf.sim.plant.Plant;

/**
 * Everything that can break on a line: component by kind, each with the one thing in chip, wire or
 * plant that it changes. What is wired on the board decides what is listed.
 */
public final class FaultCatalogue {
    /** Breaks something by so much, or mends it. */
    private interface Effect {
        void set(boolean broken, double size);
    }

    /** Breaks or mends something that knows no size. */
    private interface Flag {
        void set(boolean broken);
    }

    /** Switches that stick in the plant, for the hard wiring as well as for the input. */
    private static final Pattern SWITCHES =
            Pattern.compile("over-pressure|hood-closed|.*\\.(high-limit|door-switch|airflow)");

    private final Map<String, FaultCase> cases = new LinkedHashMap<>();
    private final Map<String, Effect> effects = new LinkedHashMap<>();
    private final Map<String, Element> elements;
    private final List<String[]> swaps = new ArrayList<>();

    public FaultCatalogue(Circuit circuit, Plant plant) {
        elements = circuit.elements();
        elements.values().forEach(this::element);
        circuit.contacts().values().forEach(this::contact);
        circuit.seats().values().forEach(this::chip);
        circuit.expanders().forEach(this::expander);
        for (I2cLines lines : circuit.i2cBuses()) {
            flag(
                    "i2c-" + lines.bus(),
                    FaultKind.HUNG,
                    "a data line held down: no transfer gets anywhere",
                    lines::hung);
        }
        line(plant.lineFaults());
        for (int oven = 1; oven <= plant.ovens(); oven++) {
            oven("oven-" + oven + ".", plant.ovenFaults(oven));
        }
    }

    /** In a fixed order. */
    public Collection<FaultCase> cases() {
        return List.copyOf(cases.values());
    }

    /** Names of everything that can break, each once. */
    public List<String> components() {
        return cases.values().stream().map(FaultCase::component).distinct().toList();
    }

    /** Kinds that {@code component} knows; none when there is no such component. */
    public List<FaultKind> kinds(String component) {
        return cases.values().stream()
                .filter(c -> c.component().equals(component))
                .map(FaultCase::kind)
                .toList();
    }

    /** The case, or null when this component does not break that way. */
    public @Nullable FaultCase find(String component, FaultKind kind) {
        return cases.get(key(component, kind));
    }

    void set(Fault fault, boolean broken) {
        FaultCase c = fault.what();
        String partner = fault.with();
        if (c.kind() == FaultKind.SWAPPED && partner != null) {
            swap(c.component(), partner, broken);
            return;
        }
        Effect effect = effects.get(key(c.component(), c.kind()));
        if (effect == null) {
            throw new IllegalArgumentException(c + " is not of this line");
        }
        effect.set(broken, fault.size());
    }

    /**
     * Exchanges may overlap, so all that stand are done again from the beginning, in the order they
     * came.
     */
    private void swap(String a, String b, boolean broken) {
        if (broken) {
            swaps.add(new String[] {a, b});
        } else {
            swaps.removeIf(s -> s[0].equals(a) && s[1].equals(b));
        }
        Map<String, String> places = new LinkedHashMap<>();
        elements.keySet().forEach(name -> places.put(name, name));
        for (String[] s : swaps) {
            String place = places.getOrDefault(s[0], s[0]);
            places.put(s[0], places.getOrDefault(s[1], s[1]));
            places.put(s[1], place);
        }
        places.forEach(
                (name, place) -> {
                    Element element = elements.get(name);
                    Element there = elements.get(place);
                    if (element != null && there != null) {
                        element.standInPlaceOf(there);
                    }
                });
    }

    private static String key(String component, FaultKind kind) {
        return component + " " + kind.word();
    }

    private void add(
            String component,
            FaultKind kind,
            String meaning,
            FaultCase.@Nullable Size size,
            Effect effect) {
        cases.put(key(component, kind), new FaultCase(component, kind, meaning, size, List.of()));
        effects.put(key(component, kind), effect);
    }

    private void flag(String component, FaultKind kind, String meaning, Flag flag) {
        add(component, kind, meaning, null, (broken, _) -> flag.set(broken));
    }

    private void element(Element element) {
        String name = element.name();
        boolean digital = element.unit().equals("1");
        boolean bridge = !digital && !element.unit().equals("K");
        String per = digital ? "per hour" : element.unit() + "/h";
        if (!digital) {
            String shows = bridge ? "the converter at its end" : "far above anything";
            flag(name, FaultKind.OPEN, "a broken wire: " + shows, element::open);
            flag(
                    name,
                    FaultKind.SHORT,
                    bridge ? "shorted: no signal" : "shorted: far below anything",
                    element::shorted);
        }
        flag(name, FaultKind.FROZEN, "shows what it showed last", element::frozen);
        double most = digital ? 1 : bridge ? 100 : 1000;
        add(
                name,
                FaultKind.DRIFT,
                digital ? "a growing error of the humidity (1 is saturation)" : "a growing error",
                new FaultCase.Size(per, -most, most),
                (broken, size) -> element.drift(broken ? size : 0));
        if (bridge) {
            add(
                    name,
                    FaultKind.KNOCKED,
                    "a sudden lasting error",
                    new FaultCase.Size(element.unit(), -50, 50),
                    (broken, size) -> element.knocked(broken ? size : 0));
        } else if (!name.equals("room")) { // the room's own probe is there already
            flag(
                    name,
                    FaultKind.LOST,
                    "fallen out of its place: shows the room's air",
                    element::lost);
        }
        List<String> partners =
                elements.values().stream()
                        .filter(other -> other != element && element.fits(other))
                        .map(Element::name)
                        .toList();
        if (!partners.isEmpty()) {
            String meaning = "in the other's place, and the other in its own";
            cases.put(
                    key(name, FaultKind.SWAPPED),
                    new FaultCase(name, FaultKind.SWAPPED, meaning, null, partners));
        }
        answers(name, element.seat());
    }

    private void answers(String name, Seat seat) {
        flag(name, FaultKind.GARBAGE, "random bits when its chip is read", seat::garbled);
        flag(name, FaultKind.MISSING, "its chip does not answer", seat::missing);
    }

    private void contact(Contact contact) {
        String name = contact.name();
        if (!name.equals("emergency-stop")) {
            flag(
                    name,
                    FaultKind.OPEN,
                    "the wire to its input is broken: reads open",
                    contact::open);
        }
        if (!SWITCHES.matcher(name).matches()) {
            flag(
                    name,
                    FaultKind.STUCK_ON,
                    "its input reads closed, whatever happens",
                    contact::stuckOn);
        }
        flag(name, FaultKind.FROZEN, "its input stays as it is", contact::frozen);
    }

    private void chip(Seat seat) {
        answers(seat.name(), seat);
    }

    private void expander(String name, Mcp23017 chip) {
        flag(
                name,
                FaultKind.FROZEN,
                "answers, but nothing moves between registers and pins",
                chip::freeze);
    }

    private static FaultCase.Size share() {
        return new FaultCase.Size("1", 0, 1);
    }

    private void line(LineFaults faults) {
        flag(
                "contactor",
                FaultKind.STUCK_ON,
                "welded: stays closed once closed",
                b -> faults.contactorWelded = b);
        flag("contactor", FaultKind.STUCK_OFF, "never pulls in", b -> faults.contactorDead = b);
        flag(
                "watchdog-relay",
                FaultKind.STUCK_ON,
                "stays as it is, edges or not",
                b -> faults.watchdogRelayStuck = b);
        flag(
                "emergency-stop",
                FaultKind.OPEN,
                "its wire is broken: reads pressed and opens the contactor's circuit",
                b -> faults.emergencyStopWireBroken = b);
        flag("supply", FaultKind.LOST, "mains gone", b -> faults.supplyLost = b);
        add(
                "supply",
                FaultKind.LOW,
                "mains at this share of its voltage",
                share(),
                (broken, size) -> faults.supplySag = broken ? size : 1);
        flag(
                "emergency-stop",
                FaultKind.PRESSED,
                "somebody presses it, and releases it at the end",
                b -> faults.emergencyStopPressed = b);
        flag(
                "permit-key",
                FaultKind.TAKEN,
                "somebody turns it off, and on again at the end",
                b -> faults.keyTaken = b);
        flag(
                "hood",
                FaultKind.OPENED,
                "somebody lifts it as soon as its bolt is out, and closes it at the end",
                b -> faults.hoodPulled = b);
        add(
                "clock",
                FaultKind.STEPPED,
                "the controller's wall clock is set ahead or back, and right again at the end",
                new FaultCase.Size("h", -48, 48),
                (broken, size) -> faults.clockAheadS = broken ? 3600 * size : 0);
        flag("smoke", FaultKind.PRESENT, "smoke at the detector", b -> faults.smoke = b);
        flag(
                "steam-valve",
                FaultKind.STUCK_ON,
                "does not close",
                b -> faults.steamValveStuckOpen = b);
        flag(
                "steam-valve",
                FaultKind.STUCK_OFF,
                "does not open",
                b -> faults.steamValveStuckClosed = b);
        flag(
                "second-steam-valve",
                FaultKind.STUCK_ON,
                "does not close",
                b -> faults.secondSteamValveStuckOpen = b);
        flag(
                "second-steam-valve",
                FaultKind.STUCK_OFF,
                "does not open",
                b -> faults.secondSteamValveStuckClosed = b);
        flag(
                "steam-supply",
                FaultKind.LOST,
                "the boiler gives no steam",
                b -> faults.steamFailed = b);
        add(
                "chest-openings",
                FaultKind.BLOCKED,
                "this share of the chest's openings is closed",
                share(),
                (broken, size) -> faults.openingBlocked = broken ? size : 0);
        flag(
                "over-pressure",
                FaultKind.STUCK_ON,
                "neither opens nor breaks the steam",
                b -> faults.overPressureSwitchDead = b);
        flag(
                "hood-closed",
                FaultKind.STUCK_ON,
                "says closed, whatever the hood does",
                b -> faults.hoodSwitchStuckClosed = b);
        flag("belt", FaultKind.BLOCKED, "jammed", b -> faults.beltJammed = b);
        flag("extractor", FaultKind.STUCK_OFF, "does not turn", b -> faults.extractorFailed = b);
        flag("hood-bolt", FaultKind.STUCK_ON, "does not release", b -> faults.boltStuckLocked = b);
        flag("hood-bolt", FaultKind.STUCK_OFF, "does not catch", b -> faults.boltStuckOpen = b);
    }

    private void oven(String oven, OvenFaults faults) {
        flag(
                oven + "door",
                FaultKind.OPENED,
                "somebody holds it open, and closes it at the end",
                b -> faults.doorHeldOpen = b);
        add(
                oven + "fire",
                FaultKind.PRESENT,
                "something burns in it with this heat, less with less air",
                new FaultCase.Size("W", 0, 50_000),
                (broken, size) -> faults.fireW = broken ? size : 0);
        flag(
                oven + "heater-relay",
                FaultKind.STUCK_ON,
                "conducts although it is not driven",
                b -> faults.heaterRelayStuckOn = b);
        flag(
                oven + "heater-relay",
                FaultKind.STUCK_OFF,
                "never conducts",
                b -> faults.heaterRelayStuckOff = b);
        add(
                oven + "heater-element",
                FaultKind.LOST,
                "this share of the elements is burnt out",
                share(),
                (broken, size) -> faults.elementBurnt = broken ? size : 0);
        flag(oven + "fan", FaultKind.STUCK_OFF, "does not turn", b -> faults.fanFailed = b);
        flag(
                oven + "fan",
                FaultKind.STUCK_ON,
                "turns although it is not driven",
                b -> faults.fanStuckOn = b);
        add(
                oven + "filter",
                FaultKind.BLOCKED,
                "takes this share of the air flow",
                share(),
                (broken, size) -> faults.filterBlocked = broken ? size : 0);
        add(
                oven + "damper",
                FaultKind.STUCK_AT,
                "stays at this opening, 0 closed",
                share(),
                (broken, size) -> faults.damperStuckAt = broken ? size : Double.NaN);
        flag(
                oven + "door-switch",
                FaultKind.STUCK_ON,
                "says closed, whatever the door does",
                b -> faults.doorSwitchStuckClosed = b);
        flag(
                oven + "airflow",
                FaultKind.STUCK_ON,
                "says proven, whatever the air does",
                b -> faults.airflowSwitchStuckOn = b);
        flag(
                oven + "high-limit",
                FaultKind.STUCK_ON,
                "neither sees heat nor opens",
                b -> faults.highLimitDead = b);
    }
}
