package steamleaf.bench.campaign;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import steamleaf.core.alarm.AlarmStage;
import steamleaf.core.cycle.CycleResult;
import steamleaf.core.interlock.Guard;
import steamleaf.core.interlock.GuardEvent;
import steamleaf.core.interlock.Latch;
import steamleaf.core.interlock.Rule;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.fault.Fault;
import steamleaf.sim.plant.Button;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.UnitTruth;

/**
 * Looks at the simulator's truth, every cycle, for heat, steam and belt where there must be none,
 * and for alarms that should stand and do not. Allowed times are the reaction times that {@code
 * docs/interlocks.md} states, taken from the rules themselves, and the lag of the plant's own
 * switches where the cause has to pass one first.
 */
public final class Watch {
    /** Less is a rest of rounding, not heat. */
    private static final double HEAT_W = 50;

    private static final double STEAM_KG_PER_S = 1e-4;
    private static final int MOST = 1000;

    /** One conversion of a MAX31865 beyond the cycle that shows it, and its error. */
    private static final double CONVERSION_S = 0.1;

    private static final double CHIP_ERROR_K = 0.5;

    /** A relay that does not obey leaves it to the contactor, within the time stated for that. */
    private static final double SHORTED_S = Rule.CURRENT_WITH_HEAT_OFF.reactionS();

    /** The high limit's sensor has surely followed after so many of its lags. */
    private static final double LAGS = 3;

    /** However wrong an air probe is, heat ends this long after the air passed the oven's limit. */
    private static final double WITNESS_S = Rule.HEAT_WITHOUT_RISE.reactionS();

    private static final double ROUNDING_S = 1e-6;

    private final SimulatedLine line;
    private final Plant plant;
    private final double cycleS;
    private final double limitC;
    private final double highLimitC;
    private final double highLimitS;
    private final double airS;
    private final double airflowShare;
    private final double watchdogS;
    private final Demand[] demands;
    private final double[] demandedS;
    private final List<Finding> findings = new ArrayList<>();

    private final double[] doorS;
    private final double[] stillS;
    private final double[] limitS;
    private final double[] longS;
    private final double[] aboveS;
    private final double[] highS;
    private final double[] stopS;
    private double steamStopS;
    private double hoodS;

    /** By unit, steamer 0: a trip took it and nobody has pressed reset since. */
    private final boolean[] tripped;

    /** By unit: an interlock took it and nobody has pressed confirm or start since. */
    private final boolean[] locked;

    private final double[] trippedS;
    private final double[] lockedS;
    private double steamTrippedS;
    private double beltTrippedS;
    private long failuresSeen;
    private List<Fault> broken = List.of();

    private static final Pattern CLOSING = Pattern.compile("(confirm|start)-button stuck-on");

    /** Added to a button's fault that began after the interlock: only then is it like a press. */
    static final String CLOSED = " after the interlock";

    /** By unit: the button that closed by itself since an interlock took it. */
    private final Map<String, String> closed = new HashMap<>();

    public Watch(SimulatedLine line, double cycleS, double limitC) {
        this.line = line;
        this.cycleS = cycleS;
        this.limitC = limitC;
        plant = line.plant();
        PlantSettings.Oven oven = plant.settings().oven();
        highLimitC = oven.highLimitC();
        highLimitS = LAGS * oven.highLimitLagS();
        airflowShare = oven.airflowSwitchShare();
        watchdogS = plant.settings().electric().watchdogTimeoutS();
        airS = oven.airflowDelayS() + Rule.DOOR_OPEN.reactionS();
        int units = plant.ovens() + 1;
        doorS = new double[units];
        stillS = new double[units];
        limitS = new double[units];
        longS = new double[units];
        aboveS = new double[units];
        highS = new double[units];
        stopS = new double[units];
        tripped = new boolean[units];
        locked = new boolean[units];
        trippedS = new double[units];
        lockedS = new double[units];
        demands = Demand.of(line).toArray(new Demand[0]);
        demandedS = new double[demands.length];
    }

    /**
     * One cycle, after line and controller have done theirs.
     *
     * @param result null when the cycle did not complete
     * @param failures cycles that have failed so far
     */
    public void look(@Nullable CycleResult result, long failures) {
        List<Fault> before = broken;
        broken = line.faults().active();
        closeByThemselves(before);
        if (failures > failuresSeen) {
            failuresSeen = failures;
            note(Check.PROGRAM_FAILED, "line", "");
        }
        steamer();
        for (int oven = 1; oven < doorS.length; oven++) {
            oven(oven);
        }
        if (plant.held(Button.RESET)) {
            java.util.Arrays.fill(tripped, false);
        }
        if (plant.held(Button.CONFIRM) || plant.held(Button.START)) {
            java.util.Arrays.fill(locked, false);
            closed.clear();
        }
        if (result != null) {
            taken(result);
            demands(result);
        }
    }

    private void steamer() {
        UnitTruth truth = plant.truth(0);
        boolean steam = truth.steamKgPerS > STEAM_KG_PER_S;
        boolean stopped = !plant.sensing().emergencyStopHealthy;
        double hoodBefore = hoodS;
        hoodS = lasting(hoodS, steam && truth.doorOpen);
        over(hoodBefore, hoodS, Rule.HOOD_OPEN.reactionS(), Check.STEAM_HOOD_OPEN, truth.unit);
        double stopBefore = steamStopS;
        steamStopS = lasting(steamStopS, steam && stopped);
        over(
                stopBefore,
                steamStopS,
                Rule.EMERGENCY_STOP.reactionS() + Rule.VALVE_S,
                Check.STEAM_STOP_PRESSED,
                truth.unit);
        double steamBefore = steamTrippedS;
        steamTrippedS = lasting(steamTrippedS, steam && tripped[0]);
        over(
                steamBefore,
                steamTrippedS,
                Rule.CYCLES_S + Rule.VALVE_S,
                Check.STEAM_AFTER_TRIP,
                truth.unit);
        double beltBefore = beltTrippedS;
        beltTrippedS = lasting(beltTrippedS, truth.beltMPerS > 0 && tripped[0]);
        over(
                beltBefore,
                beltTrippedS,
                Rule.CYCLES_S + (beltOutOfReach() ? watchdogS : 0),
                Check.BELT_AFTER_TRIP,
                truth.unit);
    }

    /** What its expander cannot do, the watchdog relay does: no edge while the belt may run. */
    private boolean beltOutOfReach() {
        for (Fault fault : broken) {
            String where = fault.what().component();
            if (where.startsWith("i2c-") || where.startsWith("inputs-")) {
                return true;
            }
        }
        return false;
    }

    private void oven(int n) {
        UnitTruth truth = plant.truth(n);
        boolean heat = truth.heaterW > HEAT_W;
        boolean stopped = !plant.sensing().emergencyStopHealthy;
        see(
                doorS,
                n,
                heat && truth.doorOpen,
                Rule.DOOR_OPEN.reactionS(),
                Check.HEAT_DOOR_OPEN,
                truth);
        see(
                stillS,
                n,
                heat && truth.circulation <= airflowShare,
                airS,
                Check.HEAT_WITHOUT_AIR,
                truth);
        see(
                limitS,
                n,
                heat && plant.sensing().airC[n - 1] > limitC + CHIP_ERROR_K,
                Rule.AIR_ABOVE_OVEN_LIMIT.reactionS() + CONVERSION_S,
                Check.HEAT_ABOVE_LIMIT,
                truth);
        boolean above = plant.sensing().airC[n - 1] > limitC + CHIP_ERROR_K;
        aboveS[n] = above ? aboveS[n] + cycleS : 0;
        see(
                longS,
                n,
                heat && aboveS[n] > WITNESS_S,
                Rule.CYCLES_S,
                Check.HEAT_LONG_ABOVE_LIMIT,
                truth);
        see(
                highS,
                n,
                heat && truth.airC > highLimitC,
                highLimitS,
                Check.HEAT_ABOVE_HIGH_LIMIT,
                truth);
        see(
                stopS,
                n,
                heat && stopped,
                Rule.EMERGENCY_STOP.reactionS(),
                Check.HEAT_STOP_PRESSED,
                truth);
        see(
                trippedS,
                n,
                heat && tripped[n],
                Rule.CYCLES_S + Rule.DROP_OUT_S,
                Check.HEAT_AFTER_TRIP,
                truth);
        int found = findings.size();
        see(lockedS, n, heat && locked[n], Rule.CYCLES_S, Check.HEAT_AFTER_INTERLOCK, truth);
        if (findings.size() > found && closed.containsKey(truth.unit)) {
            locked[n] = false; // told once: to the program somebody has pressed
        }
    }

    /** A contact that closes by itself after an interlock looks like a press. */
    private void closeByThemselves(List<Fault> before) {
        for (Fault fault : broken) {
            String name = Finding.names(fault).getFirst();
            if (CLOSING.matcher(name).matches() && !before.contains(fault)) {
                for (int n = 0; n < locked.length; n++) {
                    if (locked[n]) {
                        closed.put(plant.truth(n).unit, name + CLOSED);
                    }
                }
            }
        }
    }

    private void see(
            double[] lasted, int n, boolean bad, double allowedS, Check check, UnitTruth truth) {
        double before = lasted[n];
        lasted[n] = lasting(before, bad);
        if (lasted[n] > 0) {
            boolean shorted = isBroken(truth.unit + ".heater-relay stuck-on");
            over(before, lasted[n], allowedS + (shorted ? SHORTED_S : 0), check, truth.unit);
        }
    }

    private boolean isBroken(String what) {
        for (Fault fault : broken) {
            if (Finding.names(fault).contains(what)) {
                return true;
            }
        }
        return false;
    }

    private double lasting(double lastedS, boolean bad) {
        return bad ? lastedS + cycleS : 0;
    }

    /** True once per occurrence, when its time is over. */
    private void over(double before, double now, double allowedS, Check check, String unit) {
        if (now > allowedS + ROUNDING_S && before <= allowedS + ROUNDING_S) {
            note(check, unit, "");
        }
    }

    /** What the guard took in this cycle must stay away until a person pressed at the machine. */
    private void taken(CycleResult result) {
        for (GuardEvent event : result.guardEvents()) {
            if (event instanceof GuardEvent.TookEffect(Rule rule, UnitId unit, boolean _)) {
                boolean[] away =
                        rule.latch() == Latch.TRIP
                                ? tripped
                                : rule.latch() == Latch.INTERLOCK ? locked : null;
                if (away == null) {
                    continue;
                }
                if (rule.opensContactor()) {
                    java.util.Arrays.fill(away, true);
                } else {
                    away[unit.number()] = true;
                }
                if (away == locked) {
                    closed.keySet()
                            .removeIf(taken -> rule.opensContactor() || taken.equals(unit.label()));
                }
            }
        }
    }

    private void demands(CycleResult result) {
        for (int i = 0; i < demands.length; i++) {
            Demand demand = demands[i];
            double before = demandedS[i];
            boolean due =
                    plant.timeS() > Guard.SETTLE_S // until then everything is off and nothing trips
                            && demand.due(plant, result.outputs())
                            && !demand.blinded(broken);
            demandedS[i] = lasting(before, due);
            boolean over =
                    demandedS[i] > demand.withinS() + ROUNDING_S
                            && before <= demand.withinS() + ROUNDING_S;
            if (over && !stands(result, demand)) {
                note(Check.ALARM_MISSING, demand.unit().label(), demand.alarm().key());
            }
        }
    }

    private static boolean stands(CycleResult result, Demand demand) {
        AlarmStage stage = result.state().alarms().stage(demand.unit(), demand.alarm());
        return switch (stage) {
            case UNACKNOWLEDGED, ACKNOWLEDGED, SUPPRESSED_BY_DESIGN -> true;
            case NORMAL, RETURNED_UNACKNOWLEDGED, SHELVED, OUT_OF_SERVICE -> false;
        };
    }

    /** Adds what somebody else has found. */
    public void note(Check check, String unit, String detail) {
        if (findings.size() < MOST) {
            List<String> names = new ArrayList<>();
            broken.forEach(fault -> names.addAll(Finding.names(fault)));
            String button = check == Check.HEAT_AFTER_INTERLOCK ? closed.get(unit) : null;
            if (button != null) {
                names.add(button);
            }
            findings.add(new Finding(plant.timeS(), check, unit, detail, List.copyOf(names)));
        }
    }

    public List<Finding> findings() {
        return List.copyOf(findings);
    }

    int count() {
        return findings.size();
    }
}
