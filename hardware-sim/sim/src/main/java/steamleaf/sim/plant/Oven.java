package steamleaf.sim.plant;

import org.jspecify.annotations.Nullable;

/**
 * One tray oven: heating element, plenum, trays in series, walls, damper, door and the independent
 * high limit.
 *
 * <p>Air goes round from the plenum over tray 1, 2 … N; behind the last tray part of it leaves by
 * the damper, room air takes its place by the damper and by the leak, and the mixture passes the
 * element into the plenum. The leak's own loss leaves from the plenum, which is at over-pressure.
 * Per node, with m the dry air in it (held constant; breathing by expansion is neglected), F the
 * flow from the node before:
 *
 * <pre>
 *   m·dW/dt = F·(W₋₁ − W) + G_door·(W_room − W) + E
 *   m·dh/dt = F·(h₋₁ − h) + G_door·(h_room − h) + UA·(T_wall − T) + E·hv − Q
 * </pre>
 *
 * Implicit Euler; the ring is solved exactly by carrying each node as a linear function of the last
 * one, so any flow is stable and nothing is lost. Leaf takes ten air steps at once, tray after tray
 * in turn, and its vapour and heat are handed to the air evenly over the following ten.
 */
final class Oven {
    static final int LEAF_STEPS = 10;

    private final PlantSettings.Oven numbers;
    private final int trays;
    private final double[] filmShare;

    // drawn for this oven
    private final Probe airProbe;
    private final Probe exhaustProbe;
    private final Probe humidityProbe;
    private final Probe scaleProbe;
    private double scaleWalkKg;
    private final double scaleWalkPerRootS;
    private final double fanLiftKg;

    // state of the air: node 0 is the plenum, 1 to N the trays
    private final double[] airKg;
    private final double[] humidity;
    private final double[] enthalpy;
    private final double[] temperature;
    double wallC;
    double elementC;

    // what the leaf gives to the air of its tray until its next step
    private final double[] vapourKgPerS;
    private final double[] vapourW;
    private final double[] heatW;
    private final int[] stepsLeft;

    // elimination
    private final double[] a;
    private final double[] b;

    private double fanSpeed;
    private double damper;
    private double flowKgPerS;
    private double freshKgPerS;
    private double leakKgPerS;
    private double doorKgPerS;
    private double airToWallWPerK;
    private double elementToAirWPerK;
    private double filmWPerKgK;
    private double lastDamper;
    private boolean lastDoorOpen;
    private double flowShare;
    private double highLimitC;
    boolean highLimitOpen;
    private double airflowForS;
    private boolean airflowProven;
    private double exhaustRh;

    boolean doorOpen;
    boolean fanDriven;
    boolean relayDriven;
    double heaterW;
    @Nullable Charge charge;
    final OvenFaults faults = new OvenFaults();

    Oven(PlantSettings settings, Room room, long seed, int index) {
        numbers = settings.oven();
        trays = numbers.trays();
        Noise drawn = new Noise(seed, "oven-" + (index + 1));
        PlantSettings.Sensors sensors = settings.sensors();
        airProbe = Probe.of(sensors.air(), drawn);
        exhaustProbe = Probe.of(sensors.exhaustTemperature(), drawn);
        humidityProbe = Probe.of(sensors.exhaustHumidity(), drawn);
        PlantSettings.Scale scale = sensors.scale();
        scaleProbe = new Probe(scale.bias(), scale.biasSd(), scale.noiseSd(), scale.lagS(), drawn);
        scaleWalkPerRootS = scale.driftKgPerRootH() / 60;
        fanLiftKg = scale.fanLiftKg();
        filmShare = new double[trays];
        double sum = 0;
        for (double value : numbers.airDistribution()) {
            sum += value;
        }
        for (int i = 0; i < trays; i++) {
            filmShare[i] = numbers.airDistribution().get(i) * trays / sum;
        }
        int nodes = trays + 1;
        airKg = new double[nodes];
        humidity = new double[nodes];
        enthalpy = new double[nodes];
        temperature = new double[nodes];
        a = new double[nodes];
        b = new double[nodes];
        vapourKgPerS = new double[trays];
        vapourW = new double[trays];
        heatW = new double[trays];
        stepsLeft = new int[trays];
        double allKg = numbers.volumeM3() * room.dryAirKgPerM3;
        for (int i = 0; i < nodes; i++) {
            airKg[i] = i == 0 ? 0.3 * allKg : 0.7 * allKg / trays;
            humidity[i] = room.humidity;
            enthalpy[i] = room.enthalpyJPerKg;
            temperature[i] = room.temperatureC;
        }
        wallC = room.temperatureC;
        elementC = room.temperatureC;
        highLimitC = room.temperatureC;
        exhaustRh = room.relativeHumidity;
    }

    Oven(Oven other, @Nullable Charge charge) {
        numbers = other.numbers;
        trays = other.trays;
        filmShare = other.filmShare.clone();
        airProbe = new Probe(other.airProbe);
        exhaustProbe = new Probe(other.exhaustProbe);
        humidityProbe = new Probe(other.humidityProbe);
        scaleProbe = new Probe(other.scaleProbe);
        scaleWalkKg = other.scaleWalkKg;
        scaleWalkPerRootS = other.scaleWalkPerRootS;
        fanLiftKg = other.fanLiftKg;
        airKg = other.airKg.clone();
        humidity = other.humidity.clone();
        enthalpy = other.enthalpy.clone();
        temperature = other.temperature.clone();
        wallC = other.wallC;
        elementC = other.elementC;
        vapourKgPerS = other.vapourKgPerS.clone();
        vapourW = other.vapourW.clone();
        heatW = other.heatW.clone();
        stepsLeft = other.stepsLeft.clone();
        a = other.a.clone();
        b = other.b.clone();
        fanSpeed = other.fanSpeed;
        damper = other.damper;
        flowKgPerS = other.flowKgPerS;
        freshKgPerS = other.freshKgPerS;
        leakKgPerS = other.leakKgPerS;
        doorKgPerS = other.doorKgPerS;
        airToWallWPerK = other.airToWallWPerK;
        elementToAirWPerK = other.elementToAirWPerK;
        filmWPerKgK = other.filmWPerKgK;
        lastDamper = other.lastDamper;
        lastDoorOpen = other.lastDoorOpen;
        flowShare = other.flowShare;
        highLimitC = other.highLimitC;
        highLimitOpen = other.highLimitOpen;
        airflowForS = other.airflowForS;
        airflowProven = other.airflowProven;
        exhaustRh = other.exhaustRh;
        doorOpen = other.doorOpen;
        fanDriven = other.fanDriven;
        relayDriven = other.relayDriven;
        heaterW = other.heaterW;
        this.charge = charge;
        faults.copyFrom(other.faults);
    }

    /** Fan, damper, heater circuit, air, walls; and the leaf of one tray when its turn has come. */
    void step(
            double elapsedS,
            long tick,
            Room room,
            Gab gab,
            boolean powered,
            double voltage,
            boolean contactorClosed,
            double damperDriven,
            Ledger ledger) {
        moveFanAndDamper(elapsedS, powered, damperDriven);
        flows(room, tick);
        boolean heats = heaterConducts() && contactorClosed && !highLimitOpen;
        heaterW = heats ? numbers.heaterW() * voltage * voltage * (1 - faults.elementBurnt) : 0;
        stepLeaf(elapsedS, tick, room, gab);
        stepAir(elapsedS, room, powered, ledger);
        stepHighLimit(elapsedS);
        stepAirflowSwitch(elapsedS);
    }

    private void moveFanAndDamper(double elapsedS, boolean powered, double damperDriven) {
        boolean turns = powered && (fanDriven || faults.fanStuckOn) && !faults.fanFailed;
        double target = turns ? 1 : 0;
        if (fanSpeed != target) {
            fanSpeed += Math.min(1, elapsedS / numbers.fanLagS()) * (target - fanSpeed);
            if (Math.abs(fanSpeed - target) < 1e-4) {
                fanSpeed = target;
            }
        }
        double wanted = powered ? Math.clamp(damperDriven, 0, 1) : 0;
        if (!Double.isNaN(faults.damperStuckAt)) {
            damper = faults.damperStuckAt;
        } else if (wanted > damper) {
            damper = Math.min(wanted, damper + elapsedS / numbers.damperStrokeS());
        } else if (wanted < damper) {
            double stroke = wanted == 0 ? numbers.damperSpringS() : numbers.damperStrokeS();
            damper = Math.max(wanted, damper - elapsedS / stroke);
        }
    }

    /**
     * Flows and films follow fan, filter, damper and door; recomputed when one of these moved, and
     * every ten steps.
     */
    private void flows(Room room, long tick) {
        double blocked =
                1 - (1 - numbers.filterBlocked()) * (1 - Math.clamp(faults.filterBlocked, 0, 1));
        double share = fanSpeed * (1 - blocked);
        boolean open = doorIsOpen();
        if (share == flowShare
                && damper == lastDamper
                && open == lastDoorOpen
                && tick % LEAF_STEPS != 0) {
            return;
        }
        flowShare = share;
        lastDamper = damper;
        lastDoorOpen = open;
        double nominal = numbers.fanFlowM3PerH();
        double moved = Math.max(nominal * flowShare, numbers.stillFlowM3PerH());
        double density = MoistAir.dryAirKgPerM3(temperature[0], humidity[0], room.pressurePa);
        flowKgPerS = moved / 3_600 * density;
        double opening = Math.pow(damper, numbers.damperExponent());
        double freshM3PerH =
                numbers.freshClosedM3PerH()
                        + (numbers.freshOpenM3PerH() - numbers.freshClosedM3PerH()) * opening;
        double drive = Math.max(flowShare, numbers.stillFlowM3PerH() / nominal);
        freshKgPerS = Math.min(freshM3PerH * drive / 3_600 * room.dryAirKgPerM3, 0.95 * flowKgPerS);
        leakKgPerS = numbers.leakM3PerH() * drive / 3_600 * room.dryAirKgPerM3;
        double doorDrive = 0.35 + 0.65 * flowShare;
        doorKgPerS = open ? numbers.doorM3PerH() * doorDrive / 3_600 * room.dryAirKgPerM3 : 0;
        double still = 0.15 + 0.85 * Math.pow(flowShare, 0.7);
        airToWallWPerK = numbers.airToWallWPerK() * still;
        elementToAirWPerK = numbers.elementToAirWPerK() * (0.12 + 0.88 * Math.pow(flowShare, 0.6));
        double film = Math.max(flowShare, numbers.stillFlowM3PerH() / nominal);
        filmWPerKgK = numbers.filmWPerKgK() * Math.pow(film, numbers.filmExponent());
    }

    private void stepLeaf(double elapsedS, long tick, Room room, Gab gab) {
        Charge inside = charge;
        if (inside == null) {
            return;
        }
        int slot = (int) (tick % LEAF_STEPS);
        for (int tray = 0; tray < trays; tray++) {
            if (tray * LEAF_STEPS / trays % LEAF_STEPS == slot) {
                Leaf leaf = inside.portions[tray];
                double matted =
                        1 - numbers.mattingLoss() * -Math.expm1(-leaf.lyingS / numbers.mattingS());
                double film = filmWPerKgK * filmShare[tray] * matted * leaf.dryKg();
                leaf.step(
                        elapsedS * LEAF_STEPS,
                        gab,
                        film,
                        temperature[tray + 1],
                        humidity[tray + 1],
                        room.pressurePa);
                // what an earlier charge left underway, normally nothing, goes along
                double left = (double) stepsLeft[tray] / LEAF_STEPS;
                vapourKgPerS[tray] = leaf.vapourKgPerS + left * vapourKgPerS[tray];
                vapourW[tray] = leaf.vapourW + left * vapourW[tray];
                heatW[tray] = leaf.heatW + left * heatW[tray];
                stepsLeft[tray] = LEAF_STEPS;
            }
        }
    }

    private void stepAir(double elapsedS, Room room, boolean powered, Ledger ledger) {
        int last = trays;
        double flow = flowKgPerS;
        double through = flow + leakKgPerS;
        double door = doorKgPerS / (trays + 1);
        double perS = 1 / elapsedS;

        // humidity
        double inverse = 1 / (airKg[0] * perS + through + door);
        a[0] =
                (airKg[0] * perS * humidity[0] + (freshKgPerS + leakKgPerS + door) * room.humidity)
                        * inverse;
        b[0] = (flow - freshKgPerS) * inverse;
        double trayInverse = 1 / (airKg[1] * perS + flow + door); // all trays hold the same air
        double trayStore = airKg[1] * perS;
        double doorWater = door * room.humidity;
        for (int i = 1; i <= last; i++) {
            double vapour = stepsLeft[i - 1] > 0 ? vapourKgPerS[i - 1] : 0;
            a[i] = (trayStore * humidity[i] + flow * a[i - 1] + doorWater + vapour) * trayInverse;
            b[i] = flow * b[i - 1] * trayInverse;
        }
        double lastHumidity = a[last] / (1 - b[last]);
        double doorOut = 0;
        for (int i = 0; i <= last; i++) {
            humidity[i] = a[i] + b[i] * lastHumidity;
            doorOut += humidity[i];
        }
        double waterIn = (freshKgPerS + leakKgPerS + doorKgPerS) * room.humidity;
        double waterOut = freshKgPerS * lastHumidity + leakKgPerS * humidity[0] + door * doorOut;
        ledger.waterInKg += elapsedS * waterIn;
        ledger.waterOutKg += elapsedS * waterOut;

        // enthalpy
        double fan = powered ? numbers.fanW() * fanSpeed * fanSpeed * fanSpeed : 0;
        double nominalFresh = numbers.freshOpenM3PerH() / 3_600 * room.dryAirKgPerM3;
        double fire =
                faults.fireW > 0
                        ? faults.fireW * Math.clamp(freshKgPerS / nominalFresh, 0.1, 1)
                        : 0;
        double wallUa = airToWallWPerK / (trays + 1);
        double exchange = wallUa + elementToAirWPerK;
        double perCapacity =
                1 / (MoistAir.DRY_AIR_J_PER_KG_K + humidity[0] * MoistAir.VAPOUR_J_PER_KG_K);
        double latent = humidity[0] * MoistAir.VAPOUR_J_PER_KG;
        inverse = 1 / (airKg[0] * perS + through + door + exchange * perCapacity);
        a[0] =
                (airKg[0] * perS * enthalpy[0]
                                + (freshKgPerS + leakKgPerS + door) * room.enthalpyJPerKg
                                + wallUa * wallC
                                + elementToAirWPerK * elementC
                                + exchange * latent * perCapacity
                                + fan
                                + fire)
                        * inverse;
        b[0] = (flow - freshKgPerS) * inverse;
        double doorHeat = door * room.enthalpyJPerKg + wallUa * wallC;
        for (int i = 1; i <= last; i++) {
            double given = 0;
            if (stepsLeft[i - 1] > 0) {
                given = vapourW[i - 1] - heatW[i - 1];
                stepsLeft[i - 1]--;
            }
            perCapacity =
                    1 / (MoistAir.DRY_AIR_J_PER_KG_K + humidity[i] * MoistAir.VAPOUR_J_PER_KG_K);
            latent = humidity[i] * MoistAir.VAPOUR_J_PER_KG;
            inverse = 1 / (trayStore + flow + door + wallUa * perCapacity);
            a[i] =
                    (trayStore * enthalpy[i]
                                    + flow * a[i - 1]
                                    + doorHeat
                                    + wallUa * latent * perCapacity
                                    + given)
                            * inverse;
            b[i] = flow * b[i - 1] * inverse;
            temperature[i] = perCapacity; // kept for the way back
        }
        double lastEnthalpy = a[last] / (1 - b[last]);
        double wallGain = 0;
        doorOut = 0;
        for (int i = last; i >= 1; i--) {
            enthalpy[i] = a[i] + b[i] * lastEnthalpy;
            temperature[i] =
                    (enthalpy[i] - humidity[i] * MoistAir.VAPOUR_J_PER_KG) * temperature[i];
            wallGain += temperature[i] - wallC;
            doorOut += enthalpy[i];
        }
        enthalpy[0] = a[0] + b[0] * lastEnthalpy;
        temperature[0] = MoistAir.temperatureC(enthalpy[0], humidity[0]);
        wallGain += temperature[0] - wallC;
        doorOut += enthalpy[0];

        double lossW = numbers.wallToRoomWPerK() * (wallC - room.temperatureC);
        wallC += elapsedS / numbers.wallJPerK() * (wallUa * wallGain - lossW);
        elementC +=
                elapsedS
                        / numbers.elementJPerK()
                        * (heaterW - elementToAirWPerK * (elementC - temperature[0]));
        ledger.electricJ += elapsedS * (heaterW + fan);
        ledger.energy(elapsedS * (freshKgPerS + leakKgPerS + doorKgPerS) * room.enthalpyJPerKg);
        ledger.energyInJ += elapsedS * (heaterW + fan + fire);
        ledger.energy(
                -elapsedS
                        * (freshKgPerS * lastEnthalpy + leakKgPerS * enthalpy[0] + door * doorOut));
        ledger.energy(-elapsedS * lossW);
    }

    private void stepHighLimit(double elapsedS) {
        double seen = temperature[0] + numbers.highLimitRadiation() * (elementC - temperature[0]);
        highLimitC += Math.min(1, elapsedS / numbers.highLimitLagS()) * (seen - highLimitC);
        if (highLimitC > numbers.highLimitC() && !faults.highLimitDead) {
            highLimitOpen = true;
        }
    }

    /** Pressed by hand; holds only when it has cooled. */
    boolean resetHighLimit() {
        if (highLimitC < numbers.highLimitC() - numbers.highLimitDifferenceK()) {
            highLimitOpen = false;
        }
        return !highLimitOpen;
    }

    private void stepAirflowSwitch(double elapsedS) {
        boolean enough = flowShare > numbers.airflowSwitchShare();
        airflowForS = enough == airflowProven ? 0 : airflowForS + elapsedS;
        if (airflowForS > 0 && airflowForS >= numbers.airflowDelayS()) {
            airflowProven = enough;
            airflowForS = 0;
        }
    }

    void sense(
            double elapsedS,
            long tick,
            int index,
            Room room,
            Noise noise,
            boolean powered,
            Sensing out) {
        out.airC[index] =
                airProbe.read(
                        faults.airProbeFellOut ? room.temperatureC : temperature[0],
                        elapsedS,
                        faults.airDriftK,
                        noise);
        out.exhaustC[index] =
                exhaustProbe.read(
                        faults.exhaustProbeFellOut ? room.temperatureC : temperature[trays],
                        elapsedS,
                        faults.exhaustDriftK,
                        noise);
        if (tick % 5 == index % 5) {
            exhaustRh =
                    MoistAir.relativeHumidity(
                            humidity[trays],
                            Steam.saturationPa(temperature[trays]),
                            room.pressurePa);
        }
        double rh =
                humidityProbe.read(
                        faults.exhaustProbeFellOut ? room.relativeHumidity : Math.min(exhaustRh, 1),
                        elapsedS,
                        faults.exhaustRhDrift,
                        noise);
        out.exhaustRh[index] = Math.clamp(rh, 0, 1);
        scaleWalkKg += scaleWalkPerRootS * Math.sqrt(elapsedS) * noise.bell();
        Charge inside = charge;
        double load =
                numbers.tareKg() + (inside == null ? 0 : inside.massKg()) - fanLiftKg * flowShare;
        out.scaleKg[index] =
                scaleProbe.read(load, elapsedS, scaleWalkKg + faults.scaleDriftKg, noise);
        out.doorClosed[index] = !doorIsOpen() || faults.doorSwitchStuckClosed;
        out.airflowProven[index] = (powered && airflowProven) || faults.airflowSwitchStuckOn;
        out.highLimitHealthy[index] = !highLimitOpen;
        out.heaterCurrent[index] = heaterW > 0 && !faults.currentSensorDead;
    }

    /**
     * Vapour on its way from leaf to air, kg; the leaf has given it, the air has not yet got it.
     */
    double vapourUnderwayKg(double elapsedS) {
        double sum = 0;
        for (int i = 0; i < trays; i++) {
            sum += stepsLeft[i] * elapsedS * vapourKgPerS[i];
        }
        return sum;
    }

    double airWaterKg() {
        double sum = 0;
        for (int i = 0; i <= trays; i++) {
            sum += airKg[i] * humidity[i];
        }
        return sum;
    }

    double energyJ(double elapsedS) {
        double sum = wallC * numbers.wallJPerK() + elementC * numbers.elementJPerK();
        for (int i = 0; i <= trays; i++) {
            sum += airKg[i] * enthalpy[i];
        }
        for (int i = 0; i < trays; i++) {
            sum += stepsLeft[i] * elapsedS * (vapourW[i] - heatW[i]);
        }
        return sum;
    }

    double airC() {
        return temperature[0];
    }

    double exhaustC() {
        return temperature[trays];
    }

    double exhaustHumidity() {
        return humidity[trays];
    }

    double plenumHumidity() {
        return humidity[0];
    }

    boolean heaterConducts() {
        return faults.heaterRelayStuckOn || (relayDriven && !faults.heaterRelayStuckOff);
    }

    boolean doorIsOpen() {
        return doorOpen || faults.doorHeldOpen;
    }

    /** Air moved over the trays as a share of what fan and clean filter move. */
    double circulation() {
        return flowShare;
    }

    double damper() {
        return damper;
    }

    double fanSpeed() {
        return fanSpeed;
    }

    double freshM3PerH(Room room) {
        return (freshKgPerS + leakKgPerS) * 3_600 / room.dryAirKgPerM3;
    }
}
