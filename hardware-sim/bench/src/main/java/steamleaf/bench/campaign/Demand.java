package steamleaf.bench.campaign;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.Rule;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.fault.Fault;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.Sensing;

/**
 * An alarm that the line's true state demands.
 *
 * @param withinS how long the state may stand without it: what the rule states, delays of the
 *     plant's own switches, and the alarm's own delay
 * @param blinds faults, by component and kind, through which the program cannot see it; each shows
 *     by itself or stands in {@code docs/limits.md}
 */
record Demand(UnitId unit, AlarmKind alarm, double withinS, State state, Set<String> blinds) {
    /** Some state of the line that nothing but the simulator knows. */
    interface State {
        boolean is(Plant plant, AllowedOutputs out);
    }

    /** Scan, decision and the alarm of the same cycle. */
    private static final double AT_ONCE_S = Rule.CYCLES_S;

    boolean due(Plant plant, AllowedOutputs out) {
        return state.is(plant, out);
    }

    boolean blinded(List<Fault> broken) {
        for (Fault fault : broken) {
            if (Finding.names(fault).stream().anyMatch(blinds::contains)) {
                return true;
            }
        }
        return false;
    }

    static List<Demand> of(SimulatedLine line) {
        List<Demand> all = new ArrayList<>();
        line(all, line);
        for (int n = 1; n <= line.plant().ovens(); n++) {
            oven(all, n, line.plant().settings().oven());
        }
        return all;
    }

    private static Set<String> contact(String name, String chip) {
        return Set.of(name + " stuck-on", name + " frozen", chip + " frozen");
    }

    /** Three silences, or one look a second; then the alarm's own delay. */
    private static final double POSITIONS_S = 2 + AlarmKind.POSITIONS_NOT_TAKEN.onDelayS();

    /**
     * A probe's chip calls everything above a fault of the probe; it knows this to a few degrees.
     */
    private static final double PROBE_MOST_C = 250;

    private static final double PROBE_ERROR_K = 2;

    private static boolean isBroken(SimulatedLine line, Set<String> any) {
        for (Fault fault : line.faults().active()) {
            if (Finding.names(fault).stream().anyMatch(any::contains)) {
                return true;
            }
        }
        return false;
    }

    private static void line(List<Demand> all, SimulatedLine line) {
        String chip = "inputs-0x20";
        Set<String> leversAway = Set.of("levers-0x40 missing", "i2c-1 hung");
        all.add(
                new Demand(
                        UnitId.LINE,
                        AlarmKind.POSITIONS_NOT_TAKEN,
                        POSITIONS_S,
                        (_, _) -> isBroken(line, leversAway),
                        Set.of()));
        all.add(
                new Demand(
                        UnitId.LINE,
                        AlarmKind.EMERGENCY_STOP,
                        AT_ONCE_S,
                        (plant, _) -> !plant.sensing().emergencyStopHealthy,
                        contact("emergency-stop", chip)));
        all.add(
                new Demand(
                        UnitId.LINE,
                        AlarmKind.SMOKE,
                        AT_ONCE_S,
                        (plant, _) -> !plant.sensing().smokeHealthy,
                        contact("smoke-detector", chip)));
        all.add(
                new Demand(
                        UnitId.LINE,
                        AlarmKind.UNDERVOLTAGE,
                        Rule.UNDERVOLTAGE.delayS() + AT_ONCE_S,
                        (plant, _) -> !plant.sensing().supplyHealthy,
                        contact("supply", chip)));
        all.add(
                new Demand(
                        UnitId.LINE,
                        AlarmKind.CONTACTOR_WELDED,
                        Rule.CONTACTOR_WELDED.reactionS(),
                        (plant, out) -> plant.contactorClosed() && !out.contactor(),
                        Set.of(
                                "contactor-feedback open",
                                "contactor-feedback frozen",
                                chip + " frozen")));
        all.add(
                new Demand(
                        UnitId.STEAMER,
                        AlarmKind.OVER_PRESSURE,
                        AT_ONCE_S,
                        (plant, _) -> !plant.sensing().overPressureHealthy,
                        contact("over-pressure", chip)));
        all.add(
                new Demand(
                        UnitId.STEAMER,
                        AlarmKind.BELT_STOPPED,
                        Rule.BELT_STOPPED.reactionS(),
                        (plant, out) ->
                                out.steamValve()
                                        && out.secondSteamValve()
                                        && plant.truth(0).beltMPerS <= 0,
                        Set.of()));
    }

    private static void oven(List<Demand> all, int n, PlantSettings.Oven numbers) {
        UnitId unit = UnitId.oven(n);
        String oven = "oven-" + n + ".";
        String chip = n < 3 ? "inputs-0x22" : "inputs-0x23";
        int i = n - 1;
        all.add(
                new Demand(
                        unit,
                        AlarmKind.HIGH_LIMIT_OPEN,
                        AT_ONCE_S,
                        (plant, _) -> !plant.sensing().highLimitHealthy[i],
                        contact(oven + "high-limit", chip)));
        all.add(
                new Demand(
                        unit,
                        AlarmKind.CURRENT_WITH_HEAT_OFF,
                        Rule.CURRENT_WITH_HEAT_OFF.reactionS(),
                        (plant, out) -> plant.truth(n).heaterW > 0 && !out.ovens().get(i).heater(),
                        Set.of(
                                oven + "heater-current open",
                                oven + "heater-current frozen",
                                chip + " frozen")));
        Set<String> air =
                Set.of(
                        oven + "air frozen",
                        oven + "air drift",
                        oven + "air lost",
                        oven + "air open",
                        oven + "air short",
                        oven + "air swapped",
                        oven + "air garbage",
                        oven + "air missing");
        all.add(
                new Demand(
                        unit,
                        AlarmKind.AIR_ABOVE_OVEN_LIMIT,
                        Rule.AIR_ABOVE_OVEN_LIMIT.reactionS() + 0.1,
                        (plant, _) ->
                                plant.sensing().airC[i] > 110.5
                                        && plant.sensing().airC[i] < PROBE_MOST_C - PROBE_ERROR_K,
                        air));
        all.add(
                new Demand(
                        unit,
                        AlarmKind.AIR_SENSOR_BAD,
                        Rule.AIR_SENSOR_BAD.reactionS() + 0.1,
                        (plant, _) -> plant.sensing().airC[i] > PROBE_MOST_C + PROBE_ERROR_K,
                        air));
        double proven = numbers.airflowDelayS();
        all.add(
                new Demand(
                        unit,
                        AlarmKind.AIRFLOW_NOT_PROVEN,
                        10 + proven + Rule.AIRFLOW_NOT_PROVEN.reactionS(),
                        (plant, out) ->
                                out.ovens().get(i).fan()
                                        && isShut(plant.sensing(), i)
                                        && plant.truth(n).circulation
                                                <= numbers.airflowSwitchShare(),
                        Set.of(
                                oven + "airflow stuck-on",
                                oven + "airflow frozen",
                                oven + "door-switch open",
                                oven + "door-switch frozen",
                                chip + " frozen",
                                chip + " garbage",
                                chip + " missing",
                                "i2c-1 hung")));
        all.add(
                new Demand(
                        unit,
                        AlarmKind.AIRFLOW_STUCK_PROVEN,
                        Rule.AIRFLOW_STUCK_PROVEN.reactionS() + proven,
                        (plant, out) ->
                                !out.ovens().get(i).fan()
                                        && plant.truth(n).circulation
                                                > numbers.airflowSwitchShare(),
                        Set.of(oven + "airflow open", oven + "airflow frozen", chip + " frozen")));
    }

    private static boolean isShut(Sensing sensing, int oven) {
        return sensing.doorClosed[oven];
    }
}
