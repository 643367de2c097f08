package steamleaf.sim.plant;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The line as it physically is: one steamer, ovens, bench, people's hands, wiring. Time is handed
 * in; the same settings, seed, levels and hands give the same values to the last bit.
 *
 * <p>Step it with the levels at the terminals, read {@link #sensing()} (a live view) for what the
 * elements are exposed to, and {@link #truth} for what no program can know. Whatever people do is a
 * method that answers with an {@link Act}: done, a number read, or physically impossible.
 */
public final class Plant {
    private final PlantSettings settings;
    private final Room room;
    private final Gab gab;
    private final Steamer steamer;
    private final Oven[] ovens;
    private final HardWiring wiring;
    private final Noise noise;
    private final Noise hands;
    private final Probe roomProbe;
    private final Probe roomHumidityProbe;
    private final Probe pressureProbe;
    private final Ledger ledger = new Ledger();
    private final LineFaults faults = new LineFaults();
    private final Sensing sensing;
    private final List<UnitTruth> truths = new ArrayList<>();
    private final List<String> units = new ArrayList<>();
    private final LeafTruth chargeTruth = new LeafTruth();
    private final List<Charge> charges = new ArrayList<>();
    private final EnumSet<Button> heldDown = EnumSet.noneOf(Button.class);

    private boolean permitKey;
    private long tick;
    private double stepS = 0.1;
    private int lastCharge;
    private @Nullable Charge steaming;
    private double steamingRipeness;

    public Plant(PlantSettings settings, long seed) {
        this.settings = settings;
        room = new Room(settings.room(), new Noise(seed, "weather"));
        gab = new Gab(settings.sorption());
        steamer = new Steamer(settings, room, seed);
        ovens = new Oven[settings.ovens()];
        for (int i = 0; i < ovens.length; i++) {
            ovens[i] = new Oven(settings, room, seed, i);
        }
        wiring = new HardWiring(settings.electric());
        noise = new Noise(seed, "noise");
        hands = new Noise(seed, "hands");
        Noise drawn = new Noise(seed, "room sensors");
        PlantSettings.Sensors sensors = settings.sensors();
        roomProbe = Probe.of(sensors.roomTemperature(), drawn);
        roomHumidityProbe = Probe.of(sensors.roomHumidity(), drawn);
        PlantSettings.Pressure pressure = sensors.pressure();
        pressureProbe =
                new Probe(
                        pressure.bias(),
                        pressure.biasSd(),
                        pressure.noiseSd(),
                        pressure.lagS(),
                        drawn);
        sensing = new Sensing(ovens.length);
        nameUnits();
        sense();
    }

    private Plant(Plant other) {
        settings = other.settings;
        room = new Room(other.room);
        gab = new Gab(settings.sorption());
        steamer = new Steamer(other.steamer);
        for (Charge charge : other.charges) {
            charges.add(new Charge(charge));
        }
        ovens = new Oven[other.ovens.length];
        for (int i = 0; i < ovens.length; i++) {
            Charge inside = other.ovens[i].charge;
            ovens[i] = new Oven(other.ovens[i], inside == null ? null : find(inside.id));
        }
        wiring = new HardWiring(other.wiring);
        noise = new Noise(other.noise);
        hands = new Noise(other.hands);
        roomProbe = new Probe(other.roomProbe);
        roomHumidityProbe = new Probe(other.roomHumidityProbe);
        pressureProbe = new Probe(other.pressureProbe);
        ledger.copyFrom(other.ledger);
        faults.copyFrom(other.faults);
        sensing = new Sensing(ovens.length);
        sensing.copyFrom(other.sensing);
        heldDown.addAll(other.heldDown);
        permitKey = other.permitKey;
        tick = other.tick;
        stepS = other.stepS;
        lastCharge = other.lastCharge;
        steaming = other.steaming == null ? null : find(other.steaming.id);
        steamingRipeness = other.steamingRipeness;
        nameUnits();
    }

    private void nameUnits() {
        units.add("steamer");
        for (int i = 1; i <= ovens.length; i++) {
            units.add("oven-" + i);
        }
        for (String unit : units) {
            truths.add(new UnitTruth(unit));
        }
    }

    /** An independent plant in the same state, sensors and random numbers included. */
    public Plant copy() {
        return new Plant(this);
    }

    /**
     * One step.
     *
     * @param elapsedS length of the step, the same in every call, at most 0.2 s; the line's period
     *     is 0.1 s
     * @param in levels at the terminals during the step
     */
    public void step(double elapsedS, Actuation in) {
        if (!(elapsedS > 0 && elapsedS <= 0.2) || (tick > 0 && elapsedS != stepS)) {
            throw new IllegalArgumentException(
                    "a step of " + elapsedS + " s; allowed: at most 0.2 s, always the same");
        }
        stepS = elapsedS;
        if (tick % Oven.LEAF_STEPS == 0) {
            room.at(tick * elapsedS);
        }
        double voltage = faults.supplyLost ? 0 : settings.electric().voltage() * faults.supplySag;
        boolean powered = voltage > 0.5;
        wiring.step(elapsedS, in, heldDown.contains(Button.RESET), powered, faults);
        steamer.step(elapsedS, in, powered, wiring.contactorClosed, room, faults, ledger);
        for (int i = 0; i < ovens.length; i++) {
            Oven oven = ovens[i];
            oven.fanDriven = in.fan[i];
            oven.relayDriven = powered && in.heater[i];
            oven.step(
                    elapsedS,
                    tick,
                    room,
                    gab,
                    powered,
                    voltage,
                    wiring.contactorClosed && powered,
                    in.damper[i],
                    ledger);
        }
        stepCharges(elapsedS);
        tick++;
        sense();
    }

    private void stepCharges(double elapsedS) {
        for (int i = 0; i < charges.size(); i++) {
            Charge charge = charges.get(i);
            if (lyingOutside(charge.place)
                    && tick % Oven.LEAF_STEPS == charge.id % Oven.LEAF_STEPS) {
                charge.stepOutside(elapsedS * Oven.LEAF_STEPS, settings, room, gab, ledger);
            }
        }
    }

    private static boolean lyingOutside(Place place) {
        return switch (place) {
            case BENCH, COOLING_TABLE, RESTING, ROLLING, SHAPING -> true;
            case STEAMER, OVEN, PACKED, MERGED -> false;
        };
    }

    private void sense() {
        double voltage = faults.supplyLost ? 0 : settings.electric().voltage() * faults.supplySag;
        boolean powered = voltage > 0.5;
        Sensing out = sensing;
        out.emergencyStopHealthy = wiring.stopHealthy(faults);
        out.permitKeyOn = permitKey && !faults.keyTaken;
        out.startButton = heldDown.contains(Button.START);
        out.resetButton = heldDown.contains(Button.RESET);
        out.confirmButton = heldDown.contains(Button.CONFIRM);
        out.silenceButton = heldDown.contains(Button.SILENCE);
        out.contactorClosed = wiring.feedback;
        out.supplyHealthy = voltage > settings.electric().voltageHealthy();
        out.smokeHealthy = !faults.smoke;
        out.watchdogRelayHolds = wiring.relayHolds;
        out.roomC = roomProbe.read(room.temperatureC, stepS, faults.roomDriftK, noise);
        out.roomRh =
                Math.clamp(
                        roomHumidityProbe.read(
                                room.relativeHumidity, stepS, faults.roomRhDrift, noise),
                        0,
                        1);
        out.roomPressureKPa =
                pressureProbe.read(room.pressurePa / 1_000, stepS, faults.pressureDriftKPa, noise);
        steamer.sense(stepS, room, noise, faults, powered, out);
        for (int i = 0; i < ovens.length; i++) {
            ovens[i].sense(stepS, tick, i, room, noise, powered, out);
        }
    }

    // ---- what can be seen

    /** What the elements are exposed to; one live instance. */
    public Sensing sensing() {
        return sensing;
    }

    public PlantSettings settings() {
        return settings;
    }

    public int ovens() {
        return ovens.length;
    }

    /** {@code steamer}, {@code oven-1} … */
    public List<String> units() {
        return List.copyOf(units);
    }

    /** Simulated seconds since the plant was built. */
    public double timeS() {
        return tick * stepS;
    }

    /** The true state of a unit by name. */
    public UnitTruth truth(String unit) {
        int index = units.indexOf(unit);
        if (index < 0) {
            throw new IllegalArgumentException(
                    unit + " is not a unit; allowed: " + String.join(", ", units));
        }
        return truth(index);
    }

    /**
     * The true state of a unit: 0 is the steamer, {@code i} oven {@code i}. The same instance is
     * filled anew at each call.
     */
    public UnitTruth truth(int unit) {
        UnitTruth out = truths.get(unit);
        out.contactorOn = wiring.contactorClosed;
        out.pressureKPa = room.pressurePa / 1_000;
        if (unit == 0) {
            steamer.truth(out);
            return out;
        }
        Oven oven = ovens[unit - 1];
        out.airC = oven.airC();
        out.exhaustC = oven.exhaustC();
        out.exhaustHumidityKgPerKg = oven.exhaustHumidity();
        out.wallC = oven.wallC;
        out.doorOpen = oven.doorIsOpen();
        out.fanOn = oven.fanSpeed() > 0.5;
        out.damper = oven.damper();
        out.heaterOn = oven.heaterConducts();
        out.heaterW = oven.heaterW;
        out.airflowM3PerH = oven.freshM3PerH(room);
        out.circulation = oven.circulation();
        Charge inside = oven.charge;
        if (inside == null) {
            out.leaf.clear();
        } else {
            out.leaf.fill(inside);
        }
        return out;
    }

    /**
     * The true state of a charge; one instance is filled anew at each call. A charge still in the
     * steamer is not present.
     */
    public LeafTruth charge(int id) {
        Charge charge = find(id);
        if (charge.place == Place.STEAMER || charge.place == Place.MERGED) {
            chargeTruth.clear();
        } else {
            chargeTruth.fill(charge);
        }
        return chargeTruth;
    }

    /**
     * Temperature that a wet surface would take in the air behind an oven's heater; costs some
     * microseconds.
     */
    public double wetSurfaceC(int oven) {
        Oven at = oven(oven);
        return MoistAir.wetSurfaceC(at.airC(), at.plenumHumidity(), room.pressurePa);
    }

    public Place place(int id) {
        return find(id).place;
    }

    /** The charge in an oven, 0 if it is empty. */
    public int chargeIn(int oven) {
        Charge inside = oven(oven).charge;
        return inside == null ? 0 : inside.id;
    }

    /** Leaf waits before the belt, lies on it or is being fed. */
    public boolean steamerBusy() {
        return steamer.leafUnderway();
    }

    /** Fresh leaf that still lies before the belt. */
    public double hopperKg() {
        return steamer.hopperDryKg + steamer.hopperWaterKg;
    }

    public boolean contactorClosed() {
        return wiring.contactorClosed;
    }

    /** The horn sounds, driven by the program or by the dropped watchdog relay. */
    public boolean hornSounds() {
        return wiring.hornSounds;
    }

    /** By this the clock on the wall is ahead of the time that has really passed, s. */
    public double clockAheadS() {
        return faults.clockAheadS;
    }

    public double roomC() {
        return room.temperatureC;
    }

    public double roomRh() {
        return room.relativeHumidity;
    }

    public LineFaults lineFaults() {
        return faults;
    }

    /**
     * What may be broken at an oven.
     *
     * @param oven 1 for the first
     */
    public OvenFaults ovenFaults(int oven) {
        return oven(oven).faults;
    }

    /** Opens an oven's high limit as if it had been too hot. */
    public void tripHighLimit(int oven) {
        oven(oven).highLimitOpen = true;
    }

    // ---- books

    public Ledger ledger() {
        return ledger;
    }

    /** Water inside the line now: leaf, air of ovens and chest, vapour between leaf and air. */
    public double waterInsideKg() {
        double sum = steamer.gasWaterKg() + steamer.leafWaterKg();
        for (Oven oven : ovens) {
            sum += oven.airWaterKg() + oven.vapourUnderwayKg(stepS);
        }
        for (Charge charge : charges) {
            sum += counted(charge) ? charge.waterKg() : 0;
        }
        return sum;
    }

    public double dryInsideKg() {
        double sum = steamer.leafDryKg();
        for (Charge charge : charges) {
            sum += counted(charge) ? charge.dryKg() : 0;
        }
        return sum;
    }

    /** Energy inside the line now, zero at 0 °C and liquid water. */
    public double energyInsideJ() {
        double sum = steamer.energyJ();
        for (Oven oven : ovens) {
            sum += oven.energyJ(stepS);
        }
        for (Charge charge : charges) {
            sum += counted(charge) ? charge.enthalpyJ() : 0;
        }
        return sum;
    }

    private static boolean counted(Charge charge) {
        return charge.place == Place.OVEN || lyingOutside(charge.place);
    }

    // ---- hands at the machine

    /** Holds a button down or lets it go. */
    public void hold(Button button, boolean down) {
        if (down) {
            heldDown.add(button);
        } else {
            heldDown.remove(button);
        }
    }

    public boolean held(Button button) {
        return heldDown.contains(button);
    }

    public void permitKey(boolean on) {
        permitKey = on;
    }

    public void pressEmergencyStop() {
        wiring.emergencyStopPressed = true;
    }

    public void releaseEmergencyStop() {
        wiring.emergencyStopPressed = false;
    }

    /** The reset button on an oven's high limit. */
    public Act resetHighLimit(int oven) {
        return oven(oven).resetHighLimit()
                ? new Act.Done(0)
                : new Act.Refused("the high limit of oven-" + oven + " is still too hot to hold");
    }

    public Act openDoor(int oven) {
        oven(oven).doorOpen = true;
        return new Act.Done(chargeIn(oven));
    }

    public Act closeDoor(int oven) {
        oven(oven).doorOpen = false;
        return new Act.Done(chargeIn(oven));
    }

    public Act openHood() {
        if (steamer.bolted) {
            return new Act.Refused("the hood is locked");
        }
        steamer.hoodOpen = true;
        return new Act.Done(0);
    }

    /** Closes the hood; the bolt catches by itself when the solenoid is not driven. */
    public Act closeHood() {
        steamer.hoodOpen = false;
        return new Act.Done(0);
    }

    // ---- hands on the leaf

    /**
     * Heaps fresh leaf before the belt and feeds it while the belt runs. Answers with the charge
     * that it becomes.
     *
     * @param massKg fresh leaf, rain water on it not counted
     */
    public Act loadSteamer(double massKg, LeafSpec leaf) {
        if (steaming != null) {
            return new Act.Refused("charge " + steaming.id + " is still at the steamer");
        }
        if (!(massKg > 0 && massKg <= 100)) {
            return new Act.Refused(massKg + " kg of leaf cannot be fed; allowed: up to 100 kg");
        }
        Charge charge = new Charge(++lastCharge, settings);
        charges.add(charge);
        steaming = charge;
        steamingRipeness = leaf.ripeness();
        double dry = massKg * (1 - leaf.moistureWb());
        double water = massKg * (leaf.moistureWb() + leaf.rainKgPerKg());
        steamer.hopperDryKg = dry;
        steamer.hopperWaterKg = water;
        steamer.hopperC = leaf.temperatureC();
        steamer.hopperThickness =
                1 + settings.leaf().thicknessPerRipeness() * (leaf.ripeness() - 0.5);
        steamer.feeding = true;
        ledger.dryInKg += dry;
        ledger.waterInKg += water;
        double capacity =
                dry * settings.leaf().dryHeatCapacityJPerKgK() + water * MoistAir.WATER_J_PER_KG_K;
        ledger.energy(capacity * leaf.temperatureC());
        return new Act.Done(charge.id);
    }

    /** Stops or goes on with feeding; what is on the belt goes on. */
    public Act feed(boolean on) {
        steamer.feeding = on;
        return new Act.Done(steaming == null ? 0 : steaming.id);
    }

    /** Takes the steamed leaf from behind the belt and puts it on the bench. */
    public Act takeFromSteamer() {
        Charge charge = steaming;
        if (charge == null || !steamer.leafOnTray()) {
            return new Act.Refused("no steamed leaf lies behind the belt");
        }
        if (steamer.leafUnderway()) {
            return new Act.Refused(
                    "leaf of charge " + charge.id + " is still before or on the belt");
        }
        steamer.emptyTrayInto(charge, settings.leaf(), steamingRipeness);
        charge.place = Place.BENCH;
        steaming = null;
        return new Act.Done(charge.id);
    }

    public Act spreadOnCoolingTable(int id) {
        return lay(id, Place.COOLING_TABLE);
    }

    public Act layOnBench(int id) {
        return lay(id, Place.BENCH);
    }

    /** Heaps and covers it, so that moisture evens out. */
    public Act rest(int id) {
        return lay(id, Place.RESTING);
    }

    private Act lay(int id, Place place) {
        Charge charge = find(id);
        if (!lyingOutside(charge.place)) {
            return notOutside(charge);
        }
        charge.place = place;
        charge.workLeftS = 0;
        return new Act.Done(id);
    }

    public Act putIntoOven(int id, int oven) {
        Charge charge = find(id);
        Oven into = oven(oven);
        if (!into.doorIsOpen()) {
            return new Act.Refused("the door of oven-" + oven + " is closed");
        }
        if (into.charge != null) {
            return new Act.Refused("oven-" + oven + " is not empty");
        }
        if (!lyingOutside(charge.place)) {
            return notOutside(charge);
        }
        charge.place = Place.OVEN;
        charge.workLeftS = 0;
        charge.turn();
        into.charge = charge;
        return new Act.Done(id);
    }

    /** Takes the leaf out and lays it on the bench. */
    public Act takeOut(int oven) {
        Oven from = oven(oven);
        Charge charge = from.charge;
        if (charge == null) {
            return new Act.Refused("oven-" + oven + " is empty");
        }
        if (!from.doorIsOpen()) {
            return new Act.Refused("the door of oven-" + oven + " is closed");
        }
        from.charge = null;
        charge.place = Place.BENCH;
        return new Act.Done(charge.id);
    }

    /** Turns the leaf on its trays. */
    public Act turn(int oven) {
        return atTrays(oven, false);
    }

    /** Turns the leaf and swaps the trays top to bottom. */
    public Act swapTrays(int oven) {
        return atTrays(oven, true);
    }

    private Act atTrays(int oven, boolean swap) {
        Oven at = oven(oven);
        Charge charge = at.charge;
        if (charge == null) {
            return new Act.Refused("oven-" + oven + " is empty");
        }
        if (!at.doorIsOpen()) {
            return new Act.Refused("the door of oven-" + oven + " is closed");
        }
        if (swap) {
            charge.swapTopToBottom();
        } else {
            charge.turn();
        }
        return new Act.Done(charge.id);
    }

    /** Rolls it for some minutes from now; then it lies on the bench. */
    public Act roll(int id, double minutes) {
        return work(id, minutes, Place.ROLLING);
    }

    /** Shapes it by hand for some minutes from now, gentler than rolling. */
    public Act shape(int id, double minutes) {
        return work(id, minutes, Place.SHAPING);
    }

    private Act work(int id, double minutes, Place how) {
        Charge charge = find(id);
        if (!lyingOutside(charge.place)) {
            return notOutside(charge);
        }
        if (!(minutes > 0 && minutes <= 240)) {
            return new Act.Refused(minutes + " min of work; allowed: up to 240 min");
        }
        charge.place = how;
        charge.workLeftS = 60 * minutes;
        return new Act.Done(id);
    }

    /**
     * Steamed leaf that comes from elsewhere; it lies on the bench.
     *
     * @param massKg with its water
     * @param moistureWb wet basis, 0 to 1
     */
    public Act bringIn(double massKg, double moistureWb, double celsius) {
        if (!(massKg > 0 && massKg <= 100 && moistureWb >= 0 && moistureWb < 1)) {
            return new Act.Refused(
                    massKg + " kg at " + moistureWb + "; allowed: up to 100 kg, 0 to 1");
        }
        Charge charge = new Charge(++lastCharge, settings);
        double dry = massKg * (1 - moistureWb);
        double water = massKg * moistureWb;
        charge.fill(settings.leaf(), settings.leaf().ripeness(), dry, water, celsius);
        charge.place = Place.BENCH;
        charge.enzymeLeft = 0;
        charges.add(charge);
        ledger.dryInKg += dry;
        ledger.waterInKg += water;
        double capacity =
                dry * settings.leaf().dryHeatCapacityJPerKgK() + water * MoistAir.WATER_J_PER_KG_K;
        ledger.energy(capacity * celsius);
        return new Act.Done(charge.id);
    }

    /** Weighs it on the bench scale; the reading has the scale's error. */
    public Act weigh(int id) {
        Charge charge = find(id);
        if (!lyingOutside(charge.place) && charge.place != Place.PACKED) {
            return notOutside(charge);
        }
        PlantSettings.Bench bench = settings.bench();
        return new Act.Measured(
                id, charge.massKg() + bench.scaleBiasKg() + bench.scaleSdKg() * hands.normal());
    }

    /** Hand sample from a charge outside the ovens, by the method of the settings. */
    public Act handSample(int id, int places) {
        return handSample(id, places, settings.bench().sampleSdWb());
    }

    /**
     * Hand sample from a charge outside the ovens.
     *
     * @param methodSdWb standard deviation of the method, moisture w.b.
     */
    public Act handSample(int id, int places, double methodSdWb) {
        Charge charge = find(id);
        return lyingOutside(charge.place) ? sample(charge, places, methodSdWb) : notOutside(charge);
    }

    /** Hand sample from an oven with its door open, by the method of the settings. */
    public Act handSampleFromOven(int oven, int places) {
        return handSampleFromOven(oven, places, settings.bench().sampleSdWb());
    }

    /**
     * Hand sample from an oven with its door open.
     *
     * @param methodSdWb standard deviation of the method, moisture w.b.
     */
    public Act handSampleFromOven(int oven, int places, double methodSdWb) {
        Oven from = oven(oven);
        Charge charge = from.charge;
        if (charge == null) {
            return new Act.Refused("oven-" + oven + " is empty");
        }
        return from.doorIsOpen()
                ? sample(charge, places, methodSdWb)
                : new Act.Refused("the door of oven-" + oven + " is closed");
    }

    /**
     * A pinch from each of some places: any tray, blades and stems as they come. What is taken is
     * used up.
     */
    private Act sample(Charge charge, int places, double methodSdWb) {
        if (places < 1 || places > 50) {
            return new Act.Refused(places + " places; allowed: 1 to 50");
        }
        double water = 0;
        double dry = 0;
        for (int i = 0; i < places; i++) {
            Leaf leaf = charge.portions[hands.below(charge.portions.length)];
            double stems =
                    Math.min(1, leaf.stem.dryKg / leaf.dryKg() * Math.exp(0.3 * hands.normal()));
            double moisture = (1 - stems) * leaf.blade.mean() + stems * leaf.stem.mean();
            water += moisture;
            dry += 1;
        }
        double truth = water / (water + dry);
        double reading = Math.clamp(truth + methodSdWb * hands.normal(), 0, 1);
        double share = Math.min(0.5, settings.bench().sampleKg() / charge.massKg());
        removed(charge, share);
        return new Act.Sampled(charge.id, truth, reading);
    }

    private void removed(Charge charge, double share) {
        ledger.dryOutKg += share * charge.dryKg();
        ledger.waterOutKg += share * charge.waterKg();
        ledger.energy(-share * charge.enthalpyJ());
        charge.takeAway(share);
    }

    /**
     * What a person sees in steamed leaf: stems that redden while too much peroxidase is left, mush
     * when it was in the steam for long.
     *
     * <p>Red above a fifth of the peroxidase, mush above 140 s, for riper leaf later. Engineering
     * choice; the words are the trade's (common practice, no source).
     */
    public Steamed look(int id) {
        Charge charge = find(id);
        if (charge.place == Place.STEAMER) {
            throw new IllegalArgumentException("charge " + id + " is at the steamer");
        }
        if (charge.enzymeLeft > 0.2) {
            return Steamed.RED_STEMS;
        }
        return charge.dwellS > 140 * (0.7 + 0.6 * charge.ripeness) ? Steamed.MUSH : Steamed.RIGHT;
    }

    /** Seals it; it has left the line and changes no more. Answers with its true mass. */
    public Act pack(int id) {
        Charge charge = find(id);
        if (!lyingOutside(charge.place)) {
            return notOutside(charge);
        }
        ledger.dryOutKg += charge.dryKg();
        ledger.waterOutKg += charge.waterKg();
        ledger.energy(-charge.enthalpyJ());
        charge.place = Place.PACKED;
        charge.workLeftS = 0;
        return new Act.Measured(id, charge.massKg());
    }

    /**
     * Divides a charge that lies outside; answers with the new charge that holds {@code share} of
     * it.
     */
    public Act split(int id, double share) {
        Charge charge = find(id);
        if (!lyingOutside(charge.place)) {
            return notOutside(charge);
        }
        if (!(share > 0 && share < 1)) {
            return new Act.Refused("a share of " + share + "; allowed: between 0 and 1");
        }
        Charge part = new Charge(charge, ++lastCharge);
        part.takeAway(1 - share);
        charge.takeAway(share);
        charges.add(part);
        return new Act.Done(part.id);
    }

    /** Puts {@code other} into {@code id}; both lie outside. */
    public Act merge(int id, int other) {
        Charge charge = find(id);
        Charge added = find(other);
        if (id == other) {
            return new Act.Refused("charge " + id + " cannot be merged with itself");
        }
        if (!lyingOutside(charge.place)) {
            return notOutside(charge);
        }
        if (!lyingOutside(added.place)) {
            return notOutside(added);
        }
        charge.takeIn(added);
        added.place = Place.MERGED;
        return new Act.Done(id);
    }

    private static Act notOutside(Charge charge) {
        String where =
                switch (charge.place) {
                    case STEAMER -> "at the steamer";
                    case OVEN -> "in an oven";
                    case PACKED -> "packed";
                    case MERGED -> "merged into another charge";
                    case BENCH, COOLING_TABLE, RESTING, ROLLING, SHAPING -> "outside";
                };
        return new Act.Refused("charge " + charge.id + " is " + where);
    }

    private Oven oven(int number) {
        if (number < 1 || number > ovens.length) {
            throw new IllegalArgumentException(
                    "oven-" + number + " does not exist; allowed: 1 to " + ovens.length);
        }
        return ovens[number - 1];
    }

    private Charge find(int id) {
        for (int i = 0; i < charges.size(); i++) {
            if (charges.get(i).id == id) {
                return charges.get(i);
            }
        }
        throw new IllegalArgumentException("charge " + id + " does not exist");
    }
}
