package steamleaf.sim.plant;

/**
 * The belt steamer: a chest of steam and air at nearly room pressure, its metal, two valves in
 * series, leaf on a belt, a locked hood, an extractor.
 *
 * <p>Gas: masses of steam and of dry air and their enthalpy, perfectly mixed; what exceeds the
 * chest's volume at the chest's pressure leaves by the belt's openings, what is missing is room
 * air. Steam condenses on metal and leaf as q = U·A·(T_dew − T), T_dew from the steam's partial
 * pressure; supersaturation rains out at once. Source of the saturation line: IAPWS SR1-86. The
 * pressure drop of the openings is ½ρ(V̇/(0.6·A))² (sharp-edged orifice, from memory), cut by the
 * relief valve. Leaf that lies in cold gas only exchanges sensible heat until it has left the belt
 * (engineering choice; it is there for seconds).
 */
final class Steamer {
    static final int CELLS = 24;
    private static final double ORIFICE = 0.6;

    private final PlantSettings.Steamer numbers;
    private final double dryHeatJPerKgK;
    private final Probe probeA;
    private final Probe probeB;

    private double steamKg;
    private double airKg;
    private double enthalpyJ;
    double gasC;
    double metalC;
    private double dewC;
    private double boilingC = 100;
    double overPressureKPa;
    private double valve;
    private double secondValve;
    double steamKgPerS;
    boolean overPressureOpen;

    boolean hoodOpen;
    private boolean hoodWasPulled;
    boolean bolted = true;
    private double boltForS;
    boolean extractorRuns;
    private double extractorForS;
    private boolean extractorProven;
    double beltMPerS;
    private double beltM;
    private boolean beltPulse;

    // leaf: hopper, entry (being laid), belt cells, tray behind the belt
    boolean feeding;
    double hopperDryKg;
    double hopperWaterKg;
    double hopperC;

    /**
     * Thickness of the leaf being fed relative to leaf of ripeness 0.5; thick leaf heats slower.
     */
    double hopperThickness = 1;

    private final double[] dryKg = new double[CELLS + 2];
    private final double[] waterKg = new double[CELLS + 2];
    private final double[] freshKg = new double[CELLS + 2];
    private final double[] leafC = new double[CELLS + 2];
    private final double[] dwellS = new double[CELLS + 2];
    private final double[] labile = new double[CELLS + 2];
    private final double[] resistant = new double[CELLS + 2];
    private double cellM;
    private double trayActivity;
    private double lastOutC = Double.NaN;
    private double lastActivity = Double.NaN;
    private static final int ENTRY = CELLS;
    private static final int TRAY = CELLS + 1;

    Steamer(PlantSettings settings, Room room, long seed) {
        numbers = settings.steamer();
        dryHeatJPerKgK = settings.leaf().dryHeatCapacityJPerKgK();
        Noise drawn = new Noise(seed, "steamer");
        probeA = Probe.of(settings.sensors().chest(), drawn);
        probeB = Probe.of(settings.sensors().chest(), drawn);
        airKg = numbers.volumeM3() * room.dryAirKgPerM3;
        steamKg = airKg * room.humidity;
        enthalpyJ = airKg * room.enthalpyJPerKg;
        gasC = room.temperatureC;
        metalC = room.temperatureC;
        dewC = room.temperatureC;
    }

    Steamer(Steamer other) {
        numbers = other.numbers;
        dryHeatJPerKgK = other.dryHeatJPerKgK;
        probeA = new Probe(other.probeA);
        probeB = new Probe(other.probeB);
        steamKg = other.steamKg;
        airKg = other.airKg;
        enthalpyJ = other.enthalpyJ;
        gasC = other.gasC;
        metalC = other.metalC;
        dewC = other.dewC;
        boilingC = other.boilingC;
        overPressureKPa = other.overPressureKPa;
        valve = other.valve;
        secondValve = other.secondValve;
        steamKgPerS = other.steamKgPerS;
        overPressureOpen = other.overPressureOpen;
        hoodOpen = other.hoodOpen;
        hoodWasPulled = other.hoodWasPulled;
        bolted = other.bolted;
        boltForS = other.boltForS;
        extractorRuns = other.extractorRuns;
        extractorForS = other.extractorForS;
        extractorProven = other.extractorProven;
        beltMPerS = other.beltMPerS;
        beltM = other.beltM;
        beltPulse = other.beltPulse;
        feeding = other.feeding;
        hopperDryKg = other.hopperDryKg;
        hopperWaterKg = other.hopperWaterKg;
        hopperC = other.hopperC;
        hopperThickness = other.hopperThickness;
        copy(other.dryKg, dryKg);
        copy(other.waterKg, waterKg);
        copy(other.freshKg, freshKg);
        copy(other.leafC, leafC);
        copy(other.dwellS, dwellS);
        copy(other.labile, labile);
        copy(other.resistant, resistant);
        cellM = other.cellM;
        trayActivity = other.trayActivity;
        lastOutC = other.lastOutC;
        lastActivity = other.lastActivity;
    }

    private static void copy(double[] from, double[] to) {
        System.arraycopy(from, 0, to, 0, from.length);
    }

    void step(
            double elapsedS,
            Actuation in,
            boolean powered,
            boolean contactorClosed,
            Room room,
            LineFaults faults,
            Ledger ledger) {
        moveBolt(elapsedS, powered && in.hoodUnlock, faults);
        moveHood(faults);
        boolean hoodSafe = hoodClosedContact(faults) && bolted;
        boolean circuit = powered && contactorClosed && hoodSafe && !overPressureOpen;
        moveValves(elapsedS, circuit && in.steamValve, circuit && in.secondSteamValve, faults);
        boolean supply = powered && !faults.steamFailed;
        steamKgPerS = supply ? numbers.steamKgPerS() * Math.min(valve, secondValve) : 0;
        extractorRuns = powered && in.extractor && !faults.extractorFailed;
        boolean change = extractorRuns != extractorProven;
        extractorForS = change ? extractorForS + elapsedS : 0;
        if (change && extractorForS >= numbers.extractorDelayS()) {
            extractorProven = extractorRuns;
            extractorForS = 0;
        }
        stepGas(elapsedS, room, faults, ledger);
        double speed =
                powered && in.beltRun && !faults.beltJammed
                        ? numbers.beltFullMPerS() * Math.clamp(in.beltSpeed, 0, 1)
                        : 0;
        moveBelt(elapsedS, speed, faults);
        coolTray(elapsedS, room, ledger);
    }

    private void moveBolt(double elapsedS, boolean driven, LineFaults faults) {
        boolean target =
                faults.boltStuckLocked ? bolted : !driven && !hoodOpen && !faults.boltStuckOpen;
        boltForS = target == bolted ? 0 : boltForS + elapsedS;
        if (target != bolted && boltForS >= numbers.boltS() - 1e-9) {
            bolted = target;
            boltForS = 0;
        }
    }

    /** Whoever pulls at it opens it once the bolt is out, and closes it when he lets go. */
    private void moveHood(LineFaults faults) {
        if (faults.hoodPulled && !bolted) {
            hoodOpen = true;
            hoodWasPulled = true;
        } else if (!faults.hoodPulled && hoodWasPulled) {
            hoodOpen = false;
            hoodWasPulled = false;
        }
    }

    boolean hoodClosedContact(LineFaults faults) {
        return !hoodOpen || faults.hoodSwitchStuckClosed;
    }

    private void moveValves(double elapsedS, boolean first, boolean second, LineFaults faults) {
        double move = numbers.valveS() <= 0 ? 1 : elapsedS / numbers.valveS();
        valve = Math.clamp(valve + (first ? move : -move), 0, 1);
        secondValve = Math.clamp(secondValve + (second ? move : -move), 0, 1);
        if (faults.steamValveStuckClosed) {
            valve = 0;
        }
        if (faults.secondSteamValveStuckClosed) {
            secondValve = 0;
        }
        if (faults.steamValveStuckOpen) {
            valve = 1;
        }
        if (faults.secondSteamValveStuckOpen) {
            secondValve = 1;
        }
    }

    private void stepGas(double elapsedS, Room room, LineFaults faults, Ledger ledger) {
        double pressurePa = room.pressurePa + 1_000 * overPressureKPa;
        admitSteam(elapsedS, pressurePa, ledger);
        double partialPa = pressurePa * steamKg / (steamKg + airKg * MoistAir.RATIO);
        dewC = Dew.near(dewC, partialPa);
        condenseOnMetal(elapsedS, room, ledger);
        for (int i = 0; i < CELLS; i++) {
            if (dryKg[i] > 0) {
                steamLeaf(i, elapsedS, ledger);
            }
        }
        updateTemperature();
        rainOut(ledger);
        breathe(elapsedS, pressurePa, room, faults, ledger);
    }

    private void admitSteam(double elapsedS, double pressurePa, Ledger ledger) {
        double kg = steamKgPerS * elapsedS;
        if (kg <= 0) {
            return;
        }
        boilingC =
                Dew.near(
                        boilingC,
                        pressurePa); // throttled to the chest; its superheat is eaten by its own
        // wetness
        double dry = kg * numbers.dryness();
        double energy = dry * MoistAir.vapourJPerKg(boilingC);
        steamKg += dry;
        enthalpyJ += energy;
        ledger.water(dry); // the wet part goes down the drain before it counts
        ledger.steamKg += kg;
        ledger.energy(energy);
    }

    private void condenseOnMetal(double elapsedS, Room room, Ledger ledger) {
        double toMetal;
        if (dewC > metalC) {
            double latent = MoistAir.vapourJPerKg(gasC) - MoistAir.WATER_J_PER_KG_K * metalC;
            double kg =
                    Math.min(
                            numbers.condensingWPerK() * (dewC - metalC) * elapsedS / latent,
                            0.5 * steamKg);
            steamKg -= kg;
            enthalpyJ -= kg * MoistAir.vapourJPerKg(gasC);
            toMetal = kg * latent;
            ledger.water(-kg);
            ledger.energy(-kg * MoistAir.WATER_J_PER_KG_K * metalC);
        } else {
            toMetal = numbers.airToMetalWPerK() * (gasC - metalC) * elapsedS;
            double limit =
                    0.5
                            * (airKg * MoistAir.DRY_AIR_J_PER_KG_K
                                    + steamKg * MoistAir.VAPOUR_J_PER_KG_K)
                            * Math.abs(gasC - metalC);
            toMetal = Math.clamp(toMetal, -limit, limit);
            enthalpyJ -= toMetal;
        }
        double lost = numbers.metalToRoomWPerK() * (metalC - room.temperatureC) * elapsedS;
        metalC += (toMetal - lost) / numbers.metalJPerK();
        ledger.energy(-lost);
    }

    private void steamLeaf(int i, double elapsedS, Ledger ledger) {
        double capacity = dryKg[i] * dryHeatJPerKgK + waterKg[i] * MoistAir.WATER_J_PER_KG_K;
        if (dewC > leafC[i]) {
            double conductance = numbers.leafFilmWPerKgK() / hopperThickness * freshKg[i];
            // implicit in the leaf's temperature, so that thin leaf in strong steam stays stable
            double heat =
                    conductance
                            * (dewC - leafC[i])
                            * elapsedS
                            / (1 + conductance * elapsedS / capacity);
            double vapourJ = MoistAir.vapourJPerKg(gasC);
            double kg =
                    Math.min(
                            heat / (vapourJ - MoistAir.WATER_J_PER_KG_K * leafC[i]), 0.1 * steamKg);
            double kept = kg * numbers.condensateKept();
            double drained = kg - kept;
            double energy =
                    capacity * leafC[i]
                            + kg * vapourJ
                            - drained * MoistAir.WATER_J_PER_KG_K * leafC[i];
            ledger.water(-drained);
            ledger.energy(-drained * MoistAir.WATER_J_PER_KG_K * leafC[i]);
            waterKg[i] += kept;
            leafC[i] = energy / (capacity + kept * MoistAir.WATER_J_PER_KG_K);
            steamKg -= kg;
            enthalpyJ -= kg * vapourJ;
        } else {
            double gas = airKg * MoistAir.DRY_AIR_J_PER_KG_K + steamKg * MoistAir.VAPOUR_J_PER_KG_K;
            double heat =
                    numbers.dischargeFilmWPerKgK() * freshKg[i] * (leafC[i] - gasC) * elapsedS;
            double limit = 0.02 * gas * Math.abs(leafC[i] - gasC);
            heat = Math.clamp(heat, -limit, limit);
            leafC[i] -= heat / capacity;
            enthalpyJ += heat;
        }
        dwellS[i] += elapsedS;
        inactivate(i, elapsedS);
    }

    private void inactivate(int i, double elapsedS) {
        if (leafC[i] > 50) {
            labile[i] += elapsedS * Peroxidase.labilePerS(leafC[i]);
            resistant[i] += elapsedS * Peroxidase.resistantPerS(leafC[i]);
        }
    }

    private double activity(int i) {
        return Peroxidase.left(labile[i], resistant[i]);
    }

    private void updateTemperature() {
        gasC =
                (enthalpyJ - steamKg * MoistAir.VAPOUR_J_PER_KG)
                        / (airKg * MoistAir.DRY_AIR_J_PER_KG_K
                                + steamKg * MoistAir.VAPOUR_J_PER_KG_K);
    }

    /**
     * Gas below its dew point: as much condenses as brings it back there; the water drains at the
     * dew point.
     */
    private void rainOut(Ledger ledger) {
        if (gasC < dewC - 1e-9) {
            double heat =
                    (airKg * MoistAir.DRY_AIR_J_PER_KG_K + steamKg * MoistAir.VAPOUR_J_PER_KG_K)
                            * (dewC - gasC);
            double kg =
                    Math.min(
                            heat / (MoistAir.vapourJPerKg(dewC) - MoistAir.WATER_J_PER_KG_K * dewC),
                            0.2 * steamKg);
            steamKg -= kg;
            enthalpyJ -= kg * MoistAir.WATER_J_PER_KG_K * dewC;
            ledger.water(-kg);
            ledger.energy(-kg * MoistAir.WATER_J_PER_KG_K * dewC);
            updateTemperature();
        }
    }

    /** Gas that is too much leaves, air that is missing comes in; purge and open hood exchange. */
    private void breathe(
            double elapsedS, double pressurePa, Room room, LineFaults faults, Ledger ledger) {
        double moles = airKg / MoistAir.DRY_AIR_KG_PER_MOL + steamKg / MoistAir.WATER_KG_PER_MOL;
        double volume = moles * MoistAir.GAS_J_PER_MOL_K * (gasC + Steam.ZERO_C_K) / pressurePa;
        double excess = volume - numbers.volumeM3();
        double draught = extractorRuns ? numbers.purgeM3PerS() : numbers.draughtM3PerS();
        double open = 1 - Math.clamp(faults.openingBlocked, 0, 1);
        double exchange = Math.max(0, draught * open * elapsedS - Math.max(0, excess));
        if (hoodOpen) {
            exchange += numbers.hoodM3PerS() * elapsedS;
        }
        double out = Math.max(0, excess) + exchange;
        double in = Math.max(0, -excess) + exchange;
        double share = Math.min(0.9, out / volume);
        double airIn = (out > 0 ? in * share * volume / out : in) * room.dryAirKgPerM3;
        ledger.water(-share * steamKg);
        ledger.energy(-share * enthalpyJ);
        steamKg += airIn * room.humidity - share * steamKg;
        enthalpyJ += airIn * room.enthalpyJPerKg - share * enthalpyJ;
        airKg += airIn - share * airKg;
        ledger.water(airIn * room.humidity);
        ledger.energy(airIn * room.enthalpyJPerKg);
        updateTemperature();
        stepPressure(elapsedS, Math.max(0, excess) / elapsedS, open, faults);
    }

    private void stepPressure(double elapsedS, double flowM3PerS, double open, LineFaults faults) {
        double area = ORIFICE * numbers.openingM2() * Math.max(open, 1e-4);
        double speed = flowM3PerS / area;
        double kPa =
                hoodOpen
                        ? 0
                        : Math.min(
                                0.5e-3 * 0.6 * speed * speed,
                                numbers.reliefKPa()); // steam near 100 °C: 0.6 kg/m³
        overPressureKPa += Math.min(1, elapsedS / 0.5) * (kPa - overPressureKPa);
        if (faults.overPressureSwitchDead) {
            overPressureOpen = false;
        } else if (overPressureKPa > numbers.overPressureKPa()) {
            overPressureOpen = true;
        } else if (overPressureKPa < 0.8 * numbers.overPressureKPa()) {
            overPressureOpen = false;
        }
    }

    private void moveBelt(double elapsedS, double speedMPerS, LineFaults faults) {
        beltMPerS = speedMPerS;
        if (speedMPerS <= 0) {
            return;
        }
        beltM += speedMPerS * elapsedS;
        if (!faults.beltPulseDead) {
            beltPulse = (long) Math.floor(2 * beltM / numbers.pulseM()) % 2 == 1;
        }
        feed(elapsedS);
        cellM += speedMPerS * elapsedS;
        double length = numbers.beltLengthM() / CELLS;
        while (cellM >= length) {
            cellM -= length;
            shift();
        }
    }

    private void feed(double elapsedS) {
        double hopper = hopperDryKg + hopperWaterKg;
        if (!feeding || hopper <= 0) {
            return;
        }
        double share = Math.min(1, numbers.feedKgPerS() * elapsedS / hopper);
        pour(ENTRY, share * hopperDryKg, share * hopperWaterKg, hopperC);
        freshKg[ENTRY] += share * hopper;
        hopperDryKg -= share * hopperDryKg;
        hopperWaterKg -= share * hopperWaterKg;
        if (share >= 1) {
            hopperDryKg = 0;
            hopperWaterKg = 0;
            feeding = false;
        }
    }

    private void pour(int to, double dry, double water, double celsius) {
        double had = dryKg[to] * dryHeatJPerKgK + waterKg[to] * MoistAir.WATER_J_PER_KG_K;
        double comes = dry * dryHeatJPerKgK + water * MoistAir.WATER_J_PER_KG_K;
        if (had + comes > 0) {
            leafC[to] = (had * leafC[to] + comes * celsius) / (had + comes);
        }
        dryKg[to] += dry;
        waterKg[to] += water;
    }

    /** The belt has moved by one cell: the last falls on the tray, the entry becomes the first. */
    private void shift() {
        int last = CELLS - 1;
        if (dryKg[last] > 0) {
            double before = dryKg[TRAY];
            lastOutC = leafC[last];
            lastActivity = activity(last);
            pour(TRAY, dryKg[last], waterKg[last], leafC[last]);
            double share = dryKg[last] / (before + dryKg[last]);
            dwellS[TRAY] += share * (dwellS[last] - dwellS[TRAY]);
            trayActivity += share * (lastActivity - trayActivity);
            freshKg[TRAY] += freshKg[last];
        }
        for (int i = last; i > 0; i--) {
            move(i - 1, i);
        }
        move(ENTRY, 0);
        clear(ENTRY);
    }

    private void move(int from, int to) {
        dryKg[to] = dryKg[from];
        waterKg[to] = waterKg[from];
        freshKg[to] = freshKg[from];
        leafC[to] = leafC[from];
        dwellS[to] = dwellS[from];
        labile[to] = labile[from];
        resistant[to] = resistant[from];
    }

    private void clear(int i) {
        dryKg[i] = 0;
        waterKg[i] = 0;
        freshKg[i] = 0;
        leafC[i] = 0;
        dwellS[i] = 0;
        labile[i] = 0;
        resistant[i] = 0;
    }

    private void coolTray(double elapsedS, Room room, Ledger ledger) {
        if (dryKg[TRAY] > 0) {
            double capacity =
                    dryKg[TRAY] * dryHeatJPerKgK + waterKg[TRAY] * MoistAir.WATER_J_PER_KG_K;
            double heat =
                    numbers.dischargeFilmWPerKgK()
                            * freshKg[TRAY]
                            * (leafC[TRAY] - room.temperatureC)
                            * elapsedS;
            leafC[TRAY] -= heat / capacity;
            ledger.energy(-heat);
        }
    }

    /** Leaf is still before or on the belt. */
    boolean leafUnderway() {
        return hopperDryKg > 0 || dryKg[ENTRY] > 0 || leafOnBelt();
    }

    boolean leafOnBelt() {
        for (int i = 0; i < CELLS; i++) {
            if (dryKg[i] > 0) {
                return true;
            }
        }
        return false;
    }

    boolean leafOnTray() {
        return dryKg[TRAY] > 0;
    }

    /** Fills the charge with what lies on the tray. */
    void emptyTrayInto(Charge charge, PlantSettings.Leaf leaf, double ripeness) {
        charge.fill(leaf, ripeness, dryKg[TRAY], waterKg[TRAY], leafC[TRAY]);
        charge.dwellS = dwellS[TRAY];
        charge.enzymeLeft = trayActivity;
        trayActivity = 0;
        clear(TRAY);
    }

    void sense(
            double elapsedS,
            Room room,
            Noise noise,
            LineFaults faults,
            boolean powered,
            Sensing out) {
        out.chestAC =
                probeA.read(
                        faults.chestAFellOut ? room.temperatureC : gasC,
                        elapsedS,
                        faults.chestADriftK,
                        noise);
        out.chestBC =
                probeB.read(
                        faults.chestBFellOut ? room.temperatureC : gasC,
                        elapsedS,
                        faults.chestBDriftK,
                        noise);
        out.steamAvailable = powered && !faults.steamFailed;
        out.overPressureHealthy = !overPressureOpen;
        out.hoodClosed = hoodClosedContact(faults);
        out.hoodLocked = bolted;
        out.extractorProven = powered && extractorProven;
        out.beltPulse = beltPulse;
    }

    void truth(UnitTruth out) {
        out.airC = gasC;
        out.wallC = metalC;
        out.doorOpen = hoodOpen;
        out.fanOn = extractorRuns;
        out.valveOn = steamKgPerS > 0;
        out.steamKgPerS = steamKgPerS;
        out.beltMPerS = beltMPerS;
        out.overPressureKPa = overPressureKPa;
        out.enzymeLeft = lastActivity;
        out.leaf.clear();
        double dry = 0;
        double water = 0;
        double at = lastOutC;
        boolean found = false;
        double dwell = 0;
        for (int i = CELLS - 1; i >= 0; i--) {
            if (dryKg[i] > 0) {
                if (!found) {
                    at = leafC[i];
                    dwell = dwellS[i];
                    found = true;
                }
                dry += dryKg[i];
                water += waterKg[i];
            }
        }
        if (dry > 0) {
            out.leaf.present = true;
            out.leaf.temperatureC = at;
            out.leaf.dryKg = dry;
            out.leaf.waterKg = water;
            out.leaf.moistureWb = water / (dry + water);
            out.leaf.enzymeLeft = out.enzymeLeft;
            out.leaf.dwellS = dwell;
        }
    }

    double gasWaterKg() {
        return steamKg;
    }

    double leafWaterKg() {
        double sum = hopperWaterKg;
        for (double kg : waterKg) {
            sum += kg;
        }
        return sum;
    }

    double leafDryKg() {
        double sum = hopperDryKg;
        for (double kg : dryKg) {
            sum += kg;
        }
        return sum;
    }

    double energyJ() {
        double sum = enthalpyJ + metalC * numbers.metalJPerK();
        for (int i = 0; i < dryKg.length; i++) {
            sum += (dryKg[i] * dryHeatJPerKgK + waterKg[i] * MoistAir.WATER_J_PER_KG_K) * leafC[i];
        }
        return sum
                + (hopperDryKg * dryHeatJPerKgK + hopperWaterKg * MoistAir.WATER_J_PER_KG_K)
                        * hopperC;
    }
}
