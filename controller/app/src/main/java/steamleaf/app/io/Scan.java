package steamleaf.app.io;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import steamleaf.app.driver.max31865.Max31865;
import steamleaf.app.driver.mcp23017.Mcp23017;
import steamleaf.app.driver.nau7802.Nau7802;
import steamleaf.app.driver.sht31.Sht31;
import steamleaf.app.driver.tca9548a.Tca9548a;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/**
 * One pass over all chips per cycle, in bounded time, without waiting for any of them.
 *
 * <p>Every cycle: each expander (all its registers, loop-back turned over), each Pt100 (one burst).
 * The chips behind the muxes take turns, two channels a cycle: on one the measurement started in
 * the last cycle is fetched and the bridge is read, on the next one a measurement is started. So
 * with nine channels no such value is older than one second.
 *
 * <p>A value that is read every cycle is bad in the very cycle in which its chip does not answer
 * well. A value that takes turns is bad from its failed turn to its next good one, and stale two
 * seconds after the last good one.
 */
public final class Scan {
    /** The cycle's period, s. */
    public static final double CYCLE_S = 0.1;

    /** A value that takes turns is stale after this many cycles. */
    private static final int STALE_CYCLES = 20;

    /**
     * Every so many turns a humidity sensor is asked for its status instead of being believed
     * blindly.
     */
    private static final int STATUS_EVERY_TURNS = 64;

    /** What an SHT31 can show (its operating range). */
    private static final double COLDEST_CLIMATE_C = -40.0;

    private static final double HOTTEST_CLIMATE_C = 125.0;

    private static final int NO_CHANNEL = -1;

    private record Contact(UnitId unit, Quantity quantity, int expander, int pin) {}

    private record Pt100(UnitId unit, Quantity quantity, Parts.Thermometer part) {}

    /** The last good value of a chip that takes turns. */
    private static final class Held {
        final UnitId unit;
        final Quantity quantity;
        double value = Double.NaN;
        Quality quality = Quality.NOT_YET_READ;
        long readAt;

        Held(UnitId unit, Quantity quantity) {
            this.unit = unit;
            this.quantity = quantity;
        }

        void good(double value, long cycle) {
            this.value = value;
            quality = Quality.GOOD;
            readAt = cycle;
        }

        void bad(Quality why) {
            quality = why;
        }

        void collect(long cycle, Readings.Collector into) {
            boolean stale = quality == Quality.GOOD && cycle - readAt > STALE_CYCLES;
            into.set(unit, quantity, value, stale ? Quality.STALE : quality);
        }
    }

    /** A humidity sensor and its two values. */
    private static final class Climate {
        final Parts.Climate part;
        final Held temperature;
        final Held humidity;
        int turns;

        Climate(Parts.Climate part, UnitId unit, Quantity temperature, Quantity humidity) {
            this.part = part;
            this.temperature = new Held(unit, temperature);
            this.humidity = new Held(unit, humidity);
        }

        void bad(Quality why) {
            temperature.bad(why);
            humidity.bad(why);
        }
    }

    /** A bridge and its value. */
    private static final class Bridge {
        final Parts.Bridge part;
        final Held load;
        int turns;

        Bridge(Parts.Bridge part, Held load) {
            this.part = part;
            this.load = load;
        }
    }

    /** What sits on one channel of one mux. */
    private static final class Stop {
        final int mux;
        final int channel;
        final List<Climate> climates = new ArrayList<>();
        final List<Bridge> bridges = new ArrayList<>();

        Stop(int mux, int channel) {
            this.mux = mux;
            this.channel = channel;
        }

        void bad(Quality why) {
            climates.forEach(climate -> climate.bad(why));
            bridges.forEach(bridge -> bridge.load.bad(why));
        }
    }

    private final Parts.Expander[] expanders;
    private final int[] levels;
    private final Quality[] expanderQuality;
    private final Contact[] contacts;
    private final int beltExpander;
    private final int beltPin;
    private final BeltCounter belt;
    private final Pt100[] thermometers;
    private final Parts.Mux[] muxes;
    private final Stop[] stops;
    private final Readings.Collector collector;

    /** After a restart any channel may still be open. */
    private final boolean[] mayBeOpen;

    Scan(Wiring wiring, Parts parts) {
        expanders = parts.expanders.toArray(Parts.Expander[]::new);
        levels = new int[expanders.length];
        expanderQuality = new Quality[expanders.length];
        java.util.Arrays.fill(expanderQuality, Quality.NOT_YET_READ);
        contacts = contacts(wiring);
        Wiring.Pin pulse = wiring.steamer().beltPulse();
        beltExpander = position(pulse.expander());
        beltPin = pulse.pin();
        belt = new BeltCounter(wiring.steamer().beltMmPerChange(), CYCLE_S);
        thermometers = thermometers(wiring, parts);
        muxes = parts.muxes.toArray(Parts.Mux[]::new);
        mayBeOpen = new boolean[muxes.length];
        java.util.Arrays.fill(mayBeOpen, true);
        stops = stops(wiring, parts);
        collector = new Readings.Collector(wiring.ovens().size());
        notFitted(wiring);
        for (Pt100 pt100 : thermometers) {
            pt100.part.chip().setUp();
        }
    }

    /**
     * Reads the line once.
     *
     * @param cycle the cycle's number, one higher each time
     */
    public Readings scan(long cycle) {
        for (int i = 0; i < expanders.length; i++) {
            exchange(i, cycle);
        }
        for (Contact contact : contacts) {
            boolean high = ((levels[contact.expander] >> contact.pin) & 1) != 0;
            Quality quality = expanderQuality[contact.expander];
            collector.set(contact.unit, contact.quantity, high ? 1.0 : 0.0, quality);
        }
        belt(cycle);
        for (Pt100 pt100 : thermometers) {
            thermometer(pt100, cycle);
        }
        turns(cycle);
        return collector.build();
    }

    private void exchange(int at, long cycle) {
        Parts.Expander expander = expanders[at];
        if (!expander.health().mayAsk(cycle)) {
            return; // as bad as it was
        }
        expanderQuality[at] =
                switch (expander.chip().exchange()) {
                    case Mcp23017.Answer.Pins pins -> {
                        levels[at] = pins.levels();
                        expander.health().answeredWell();
                        yield Quality.GOOD;
                    }
                    case Mcp23017.Answer.Proving _ -> {
                        expander.health().answered();
                        yield expanderQuality[at]; // as bad as it was
                    }
                    case Mcp23017.Answer.NotFollowing _ -> {
                        expander.health().notBelieved("loop-back does not follow");
                        yield Quality.GARBLED;
                    }
                    case Mcp23017.Answer.Misconfigured found -> {
                        expander.health().notBelieved(register(found.register(), found.found()));
                        yield Quality.GARBLED;
                    }
                    case Mcp23017.Answer.NoAnswer silence -> {
                        expander.health().silent(silence.why());
                        yield Quality.NO_ANSWER;
                    }
                };
    }

    private void belt(long cycle) {
        Quality quality = expanderQuality[beltExpander];
        double speed = Double.NaN;
        if (quality == Quality.GOOD) {
            speed = belt.look(cycle, ((levels[beltExpander] >> beltPin) & 1) != 0);
        } else {
            belt.forget();
        }
        collector.set(UnitId.STEAMER, Quantity.BELT_MM_PER_S, speed, quality);
    }

    private void thermometer(Pt100 pt100, long cycle) {
        ChipHealth health = pt100.part.health();
        if (!health.mayAsk(cycle)) {
            return; // as bad as it was
        }
        switch (pt100.part.chip().read()) {
            case Max31865.Answer.Sample sample -> {
                health.answeredWell();
                collector.set(pt100.unit, pt100.quantity, sample.temperatureC(), Quality.GOOD);
            }
            case Max31865.Answer.Fault fault -> {
                health.notBelieved(
                        "fault "
                                + Integer.toHexString(fault.faultStatus())
                                + ", code "
                                + fault.code());
                collector.set(pt100.unit, pt100.quantity, Double.NaN, Quality.FAULT);
            }
            case Max31865.Answer.NotReady _ -> {
                health.answered();
                collector.set(pt100.unit, pt100.quantity, Double.NaN, Quality.NOT_YET_READ);
            }
            case Max31865.Answer.Misconfigured found -> {
                health.notBelieved(register(0, found.configuration()));
                collector.set(pt100.unit, pt100.quantity, Double.NaN, Quality.GARBLED);
            }
            case Max31865.Answer.NoAnswer silence -> {
                health.silent(silence.why());
                collector.set(pt100.unit, pt100.quantity, Double.NaN, Quality.NO_ANSWER);
            }
        }
    }

    /** Fetches at one stop of the round and starts measurements at the next. */
    private void turns(long cycle) {
        Stop here = stops[(int) Math.floorMod(cycle, (long) stops.length)];
        Stop next = stops[(int) Math.floorMod(cycle + 1, (long) stops.length)];
        if (open(here, cycle)) {
            for (Climate climate : here.climates) {
                fetch(climate, cycle);
            }
            for (Bridge bridge : here.bridges) {
                read(bridge, cycle);
            }
        }
        if (next == here || open(next, cycle)) {
            for (Climate climate : next.climates) {
                if (climate.part.health().mayAsk(climate.turns)) {
                    climate.part.chip().start(); // a lost start shows at the fetch
                }
            }
        }
        for (Stop stop : stops) {
            for (Climate climate : stop.climates) {
                climate.temperature.collect(cycle, collector);
                climate.humidity.collect(cycle, collector);
            }
            for (Bridge bridge : stop.bridges) {
                bridge.load.collect(cycle, collector);
            }
        }
    }

    /**
     * Opens one channel and no other: chips behind all channels have the same addresses. A mux that
     * may be open, and cannot be shown to be closed, silences the others.
     */
    private boolean open(Stop stop, long cycle) {
        for (int other = 0; other < muxes.length; other++) {
            if (other != stop.mux && mayBeOpen[other]) {
                mayBeOpen[other] = !asked(other, NO_CHANNEL, stop, cycle);
                if (mayBeOpen[other]) {
                    return false;
                }
            }
        }
        mayBeOpen[stop.mux] = true;
        return asked(stop.mux, stop.channel, stop, cycle);
    }

    private boolean asked(int mux, int channel, Stop stop, long cycle) {
        if (!muxes[mux].health().mayAsk(cycle)) {
            stop.bad(Quality.NO_ANSWER);
            return false;
        }
        Tca9548a chip = muxes[mux].chip();
        return selected(mux, channel == NO_CHANNEL ? chip.closeAll() : chip.select(channel), stop);
    }

    private boolean selected(int mux, Tca9548a.Answer answer, Stop stop) {
        ChipHealth health = muxes[mux].health();
        return switch (answer) {
            case Tca9548a.Answer.Selected _ -> {
                health.answeredWell();
                yield true;
            }
            case Tca9548a.Answer.NotSelected found -> {
                health.notBelieved(register(0, found.control()));
                stop.bad(Quality.GARBLED);
                yield false;
            }
            case Tca9548a.Answer.NoAnswer silence -> {
                health.silent(silence.why());
                stop.bad(Quality.NO_ANSWER);
                yield false;
            }
        };
    }

    private void fetch(Climate climate, long cycle) {
        if (climate.part.health().mayAsk(climate.turns++)) { // otherwise it is as bad as it was
            believe(climate, climate.part.chip().fetch(), cycle);
            if (climate.turns % STATUS_EVERY_TURNS == 0) {
                believe(climate, climate.part.chip().status(), cycle);
            }
        }
    }

    private void believe(Climate climate, Sht31.Answer answer, long cycle) {
        ChipHealth health = climate.part.health();
        switch (answer) {
            case Sht31.Answer.Sample sample -> {
                health.answeredWell();
                double celsius = sample.temperatureC();
                if (celsius >= COLDEST_CLIMATE_C && celsius <= HOTTEST_CLIMATE_C) {
                    climate.temperature.good(celsius, cycle);
                    climate.humidity.good(sample.relativeHumidity(), cycle);
                } else {
                    climate.bad(Quality.OUT_OF_RANGE);
                }
            }
            case Sht31.Answer.Status status -> {
                if (status.heaterOn()) {
                    health.notBelieved("its heater is on");
                    climate.bad(Quality.FAULT);
                    climate.part.chip().softReset();
                }
            }
            case Sht31.Answer.Garbled garbled -> {
                health.notBelieved("checksum wrong: " + garbled.bytes());
                climate.bad(Quality.GARBLED);
            }
            case Sht31.Answer.NotStarted _ -> {
                if (climate.temperature.quality
                        != Quality.NOT_YET_READ) { // the first turn has nothing to fetch
                    health.silent("measurement not started");
                    climate.bad(Quality.NO_ANSWER);
                }
            }
            case Sht31.Answer.NoAnswer silence -> {
                health.silent(silence.why());
                climate.bad(Quality.NO_ANSWER);
            }
        }
    }

    private void read(Bridge bridge, long cycle) {
        ChipHealth health = bridge.part.health();
        if (!health.mayAsk(bridge.turns++)) {
            return; // as bad as it was
        }
        switch (bridge.part.chip().read()) {
            case Nau7802.Answer.Sample sample -> {
                health.answeredWell();
                Wiring.Bridge wiring = bridge.part.wiring();
                double load =
                        (sample.millivoltsPerVolt() - wiring.zeroMvPerV())
                                / wiring.fullScaleMvPerV()
                                * wiring.fullScale();
                if (load >= wiring.lowest() && load <= wiring.highest()) {
                    bridge.load.good(load, cycle);
                } else {
                    bridge.load.bad(Quality.OUT_OF_RANGE);
                }
            }
            case Nau7802.Answer.Saturated saturated -> {
                health.notBelieved("at the end of its range, code " + saturated.code());
                bridge.load.bad(Quality.OUT_OF_RANGE);
            }
            case Nau7802.Answer.NotReady _ -> {} // the last value stands until it is stale
            case Nau7802.Answer.Starting _ -> {} // as bad as it was
            case Nau7802.Answer.Misconfigured found -> {
                health.notBelieved(register(0, found.puCtrl()));
                bridge.load.bad(Quality.GARBLED);
            }
            case Nau7802.Answer.NoAnswer silence -> {
                health.silent(silence.why());
                bridge.load.bad(Quality.NO_ANSWER);
            }
        }
    }

    private static String register(int register, int found) {
        return "register " + Integer.toHexString(register) + " reads " + Integer.toHexString(found);
    }

    private int position(int expander) {
        for (int i = 0; i < expanders.length; i++) {
            if (expanders[i].address() == expander) {
                return i;
            }
        }
        throw new IllegalArgumentException("no expander 0x" + Integer.toHexString(expander));
    }

    private Contact[] contacts(Wiring wiring) {
        List<Contact> found = new ArrayList<>();
        Wiring.Line line = wiring.line();
        contact(found, UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY, line.emergencyStop());
        contact(found, UnitId.LINE, Quantity.PERMIT_KEY_ON, line.permitKey());
        contact(found, UnitId.LINE, Quantity.START_BUTTON, line.startButton());
        contact(found, UnitId.LINE, Quantity.RESET_BUTTON, line.resetButton());
        contact(found, UnitId.LINE, Quantity.CONFIRM_BUTTON, line.confirmButton());
        contact(found, UnitId.LINE, Quantity.SILENCE_BUTTON, line.silenceButton());
        contact(found, UnitId.LINE, Quantity.CONTACTOR_CLOSED, line.contactorFeedback());
        contact(found, UnitId.LINE, Quantity.SUPPLY_HEALTHY, line.supply());
        contact(found, UnitId.LINE, Quantity.SMOKE_HEALTHY, line.smoke());
        Wiring.Steamer steamer = wiring.steamer();
        contact(found, UnitId.STEAMER, Quantity.HOOD_CLOSED, steamer.hoodClosed());
        contact(found, UnitId.STEAMER, Quantity.HOOD_LOCKED, steamer.hoodLocked());
        contact(found, UnitId.STEAMER, Quantity.STEAM_AVAILABLE, steamer.steamAvailable());
        contact(found, UnitId.STEAMER, Quantity.OVER_PRESSURE_HEALTHY, steamer.overPressure());
        contact(found, UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN, steamer.extractorAirflow());
        for (int i = 0; i < wiring.ovens().size(); i++) {
            Wiring.Oven oven = wiring.ovens().get(i);
            UnitId unit = UnitId.oven(i + 1);
            contact(found, unit, Quantity.DOOR_CLOSED, oven.doorClosed());
            contact(found, unit, Quantity.AIRFLOW_PROVEN, oven.airflow());
            contact(found, unit, Quantity.HIGH_LIMIT_HEALTHY, oven.highLimit());
            contact(found, unit, Quantity.HEATER_CURRENT, oven.heaterCurrent());
        }
        return found.toArray(Contact[]::new);
    }

    private void contact(
            List<Contact> into, UnitId unit, Quantity quantity, Wiring.@Nullable Pin pin) {
        if (pin != null) {
            into.add(new Contact(unit, quantity, position(pin.expander()), pin.pin()));
        }
    }

    private static Pt100[] thermometers(Wiring wiring, Parts parts) {
        List<Pt100> found = new ArrayList<>();
        found.add(pt100(parts, UnitId.STEAMER, Quantity.CHEST_A_C, wiring.steamer().chestA()));
        found.add(pt100(parts, UnitId.STEAMER, Quantity.CHEST_B_C, wiring.steamer().chestB()));
        for (int i = 0; i < wiring.ovens().size(); i++) {
            found.add(
                    pt100(parts, UnitId.oven(i + 1), Quantity.AIR_C, wiring.ovens().get(i).air()));
        }
        return found.toArray(Pt100[]::new);
    }

    private static Pt100 pt100(Parts parts, UnitId unit, Quantity quantity, Wiring.Thermometer at) {
        return new Pt100(unit, quantity, Objects.requireNonNull(parts.thermometers.get(at)));
    }

    private static Stop[] stops(Wiring wiring, Parts parts) {
        Map<Wiring.MuxChannel, Stop> byChannel = new LinkedHashMap<>();
        climate(
                byChannel,
                wiring,
                parts,
                UnitId.LINE,
                Quantity.ROOM_C,
                Quantity.ROOM_RH,
                wiring.line().room());
        bridge(
                byChannel,
                wiring,
                parts,
                UnitId.LINE,
                Quantity.ROOM_PRESSURE_KPA,
                wiring.line().barometer());
        for (int i = 0; i < wiring.ovens().size(); i++) {
            Wiring.Oven oven = wiring.ovens().get(i);
            UnitId unit = UnitId.oven(i + 1);
            climate(
                    byChannel,
                    wiring,
                    parts,
                    unit,
                    Quantity.EXHAUST_C,
                    Quantity.EXHAUST_RH,
                    oven.exhaust());
            if (oven.scale() != null) {
                bridge(byChannel, wiring, parts, unit, Quantity.SCALE_KG, oven.scale());
            }
        }
        return byChannel.values().toArray(Stop[]::new);
    }

    private static void climate(
            Map<Wiring.MuxChannel, Stop> stops,
            Wiring wiring,
            Parts parts,
            UnitId unit,
            Quantity temperature,
            Quantity humidity,
            Wiring.Climate at) {
        Parts.Climate part = Objects.requireNonNull(parts.climates.get(at));
        stop(stops, wiring, at.at()).climates.add(new Climate(part, unit, temperature, humidity));
    }

    private static void bridge(
            Map<Wiring.MuxChannel, Stop> stops,
            Wiring wiring,
            Parts parts,
            UnitId unit,
            Quantity quantity,
            Wiring.Bridge at) {
        Parts.Bridge part = Objects.requireNonNull(parts.bridges.get(at));
        stop(stops, wiring, at.at()).bridges.add(new Bridge(part, new Held(unit, quantity)));
    }

    private static Stop stop(
            Map<Wiring.MuxChannel, Stop> stops, Wiring wiring, Wiring.MuxChannel at) {
        return stops.computeIfAbsent(
                at, _ -> new Stop(wiring.muxes().indexOf(at.mux()), at.channel()));
    }

    private void notFitted(Wiring wiring) {
        if (wiring.line().smoke() == null) {
            collector.set(UnitId.LINE, Quantity.SMOKE_HEALTHY, Double.NaN, Quality.NOT_FITTED);
        }
        for (int i = 0; i < wiring.ovens().size(); i++) {
            if (wiring.ovens().get(i).scale() == null) {
                collector.set(
                        UnitId.oven(i + 1), Quantity.SCALE_KG, Double.NaN, Quality.NOT_FITTED);
            }
        }
    }
}
