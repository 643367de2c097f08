package steamleaf.core.interlock;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import steamleaf.core.reading.Channel;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Reading;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/**
 * A small healthy line around the guard: contacts that follow what is driven, a watchdog relay that
 * drops and latches, and air that stands where a test puts it. A test forces single readings.
 */
final class Rig {
    static final double CYCLE_S = 0.1;

    final int ovens;
    final Guard guard;
    final Map<Channel, Reading> forced = new HashMap<>();
    final double[] airC;
    final double[] exhaustC;
    double chestAC = 25.0;
    double chestBC = 25.0;
    final long[] charge;
    final long[] batch;
    final double[] airLimitC;
    final double[] longestHeatOnS;
    double boilingC = 99.6;

    boolean wantContactor = true;
    boolean wantSteam = false;
    boolean wantBelt = true;
    boolean wantExtractor = true;
    boolean wantUnlock = false;
    final boolean[] wantHeat;
    final boolean[] wantFan;
    double elapsedS = CYCLE_S;
    boolean late = false;

    GuardState state;
    AllowedOutputs out;
    final List<GuardEvent> events = new ArrayList<>();
    List<GuardEvent> lastEvents = List.of();
    long cycle = 0;

    private final Set<UnitId> starts = new HashSet<>();
    private final Set<UnitId> resets = new HashSet<>();
    private final Set<UnitId> stops = new HashSet<>();
    private final double[] fanForS;
    private double extractorForS = 0;
    boolean resetButton = false;

    /** The relay in the plant: edges, a drop after 0.8 s without, and a reset after 2 s of them. */
    boolean relayHolds = false;

    private double sinceEdgeS = 99;
    private double edgesForS = 0;

    Rig(int ovens) {
        this(ovens, GuardState.Kept.NOTHING, 0);
    }

    Rig(int ovens, GuardState.Kept kept, int restarts) {
        this.ovens = ovens;
        GuardSettings settings = GuardSettings.stock(ovens);
        guard = new Guard(settings);
        state = GuardState.started(settings, kept, restarts);
        out = AllowedOutputs.off(ovens);
        airC = filled(50.0);
        exhaustC = filled(40.0);
        airLimitC = filled(85.0);
        longestHeatOnS = filled(4 * 3600.0);
        charge = new long[ovens];
        batch = new long[ovens];
        wantHeat = new boolean[ovens];
        wantFan = new boolean[ovens];
        fanForS = new double[ovens];
        java.util.Arrays.fill(wantFan, true);
    }

    private double[] filled(double value) {
        double[] array = new double[ovens];
        java.util.Arrays.fill(array, value);
        return array;
    }

    void force(UnitId unit, Quantity quantity, double value) {
        forced.put(new Channel(unit, quantity), new Reading(value, Quality.GOOD));
    }

    void spoil(UnitId unit, Quantity quantity, Quality quality) {
        forced.put(new Channel(unit, quantity), new Reading(Double.NaN, quality));
    }

    void heal(UnitId unit, Quantity quantity) {
        forced.remove(new Channel(unit, quantity));
    }

    void askStart(UnitId unit) {
        starts.add(unit);
    }

    void askReset(UnitId unit) {
        resets.add(unit);
    }

    void askStop(UnitId unit) {
        stops.add(unit);
    }

    void cycle() {
        cycle++;
        List<OvenOutputs> wants = new ArrayList<>();
        for (int i = 0; i < ovens; i++) {
            wants.add(new OvenOutputs(wantHeat[i], wantFan[i], 0.5));
        }
        WantedOutputs wanted =
                new WantedOutputs(
                        wantContactor,
                        wantSteam,
                        wantSteam,
                        wantBelt,
                        0.5,
                        wantExtractor,
                        wantUnlock,
                        wants);
        GuardStep step = guard.step(state, input(wanted));
        starts.clear();
        resets.clear();
        stops.clear();
        state = step.state();
        out = step.outputs();
        lastEvents = step.events();
        events.addAll(lastEvents);
        plant();
    }

    /** The next cycle's input with other wishes; steps nothing. */
    GuardInput input(WantedOutputs wanted) {
        List<OvenLimits> limits = new ArrayList<>();
        List<OvenActivity> activity = new ArrayList<>();
        for (int i = 0; i < ovens; i++) {
            limits.add(new OvenLimits(airLimitC[i], longestHeatOnS[i]));
            activity.add(new OvenActivity(charge[i], batch[i]));
        }
        return new GuardInput(
                cycle,
                elapsedS,
                late,
                readings(),
                wanted,
                new GuardLimits(boilingC, limits),
                new GuardRequests(Set.copyOf(starts), Set.copyOf(resets), Set.copyOf(stops)),
                activity);
    }

    /** Moves the air as slowly as a real oven does. */
    void warm(int oven, double toC) {
        while (airC[oven - 1] != toC) {
            double step = Math.clamp(toC - airC[oven - 1], -20.0, 20.0);
            airC[oven - 1] += step;
            run(10.5);
        }
    }

    void run(double s) {
        for (int i = 0; i < Math.round(s / CYCLE_S); i++) {
            cycle();
        }
    }

    /** A press of the reset button: down for three cycles. */
    void pressReset() {
        resetButton = true;
        run(0.3);
        resetButton = false;
        run(0.2);
    }

    /** From power-up to everything running: contactor tested and closed, all units started. */
    Rig running() {
        run(Guard.SETTLE_S + 1.0);
        warmStart();
        return this;
    }

    /** From power-up to a tested, closed contactor; nothing started. */
    Rig closed() {
        run(Guard.SETTLE_S + 1.0);
        close();
        return this;
    }

    private void close() {
        for (int n = 0; n < 80 && state.contactor() != ContactorPhase.AWAITING_RESET; n++) {
            cycle();
        }
        pressReset();
        run(0.5);
    }

    void warmStart() {
        close();
        askStart(UnitId.STEAMER);
        for (int n = 1; n <= ovens; n++) {
            askStart(UnitId.oven(n));
            airC[n - 1] -= 7;
        }
        java.util.Arrays.fill(wantHeat, true);
        wantSteam = true;
        run(5.0); // fans have run up
        for (int n = 1; n <= ovens; n++) {
            answer(n);
        }
        run(1.0);
    }

    /** The oven whose turn it is gets warm, and the next one has its turn. */
    void answer(int oven) {
        airC[oven - 1] += 7;
        run(0.2);
    }

    private void plant() {
        sinceEdgeS = out.pulse() ? 0 : sinceEdgeS + CYCLE_S;
        edgesForS = out.pulse() ? edgesForS + CYCLE_S : 0;
        relayHolds = (relayHolds || (edgesForS >= 2.0 && resetButton)) && sinceEdgeS <= 0.8;
        for (int i = 0; i < ovens; i++) {
            fanForS[i] = out.ovens().get(i).fan() ? fanForS[i] + CYCLE_S : 0;
        }
        extractorForS = out.extractor() ? extractorForS + CYCLE_S : 0;
    }

    boolean contactorClosed() {
        return out.contactor() && relayHolds;
    }

    private Readings readings() {
        Readings.Collector c = new Readings.Collector(ovens);
        for (Quantity q : Quantity.values()) {
            switch (q.of()) {
                case LINE -> put(c, UnitId.LINE, q, healthy(UnitId.LINE, q));
                case STEAMER -> put(c, UnitId.STEAMER, q, healthy(UnitId.STEAMER, q));
                case OVEN -> {
                    for (int n = 1; n <= ovens; n++) {
                        put(c, UnitId.oven(n), q, healthy(UnitId.oven(n), q));
                    }
                }
            }
        }
        return c.build();
    }

    private void put(Readings.Collector c, UnitId unit, Quantity q, double value) {
        Reading reading = forced.get(new Channel(unit, q));
        if (reading == null) {
            c.set(unit, q, value, Quality.GOOD);
        } else {
            c.set(unit, q, reading.value(), reading.quality());
        }
    }

    private double healthy(UnitId unit, Quantity q) {
        int i = unit.number() - 1;
        return switch (q) {
            case EMERGENCY_STOP_HEALTHY, PERMIT_KEY_ON, SUPPLY_HEALTHY, SMOKE_HEALTHY -> 1;
            case HOOD_CLOSED, HOOD_LOCKED, STEAM_AVAILABLE, OVER_PRESSURE_HEALTHY -> 1;
            case DOOR_CLOSED, HIGH_LIMIT_HEALTHY -> 1;
            case START_BUTTON, CONFIRM_BUTTON, SILENCE_BUTTON -> 0;
            case RESET_BUTTON -> bit(resetButton);
            case CONTACTOR_CLOSED -> bit(contactorClosed());
            case ROOM_C -> 22;
            case ROOM_RH -> 0.6;
            case ROOM_PRESSURE_KPA -> 100.0;
            case CHEST_A_C -> chestAC;
            case CHEST_B_C -> chestBC;
            case BELT_MM_PER_S -> out.beltRun() ? 8.0 : 0.0;
            case EXTRACTOR_PROVEN -> bit(extractorForS >= 2.0);
            case AIR_C -> airC[i];
            case EXHAUST_C -> exhaustC[i];
            case EXHAUST_RH -> 0.4;
            case SCALE_KG -> 10.0;
            case AIRFLOW_PROVEN -> bit(fanForS[i] >= 2.0);
            case HEATER_CURRENT -> bit(out.ovens().get(i).heater() && contactorClosed());
        };
    }

    private static double bit(boolean on) {
        return on ? 1 : 0;
    }

    boolean heater(int oven) {
        return out.ovens().get(oven - 1).heater();
    }

    boolean steam() {
        return out.steamValve() || out.secondSteamValve();
    }

    boolean present(Rule rule, UnitId unit) {
        return cause(rule, unit) != null && cause(rule, unit).present();
    }

    boolean latched(Rule rule, UnitId unit) {
        return cause(rule, unit) != null && cause(rule, unit).latched();
    }

    Cause cause(Rule rule, UnitId unit) {
        return state.causes().stream()
                .filter(c -> c.rule() == rule && c.unit().equals(unit))
                .findFirst()
                .orElse(null);
    }

    /** What happened, for a failing test. */
    String story() {
        return "cycle "
                + cycle
                + " "
                + state.contactor()
                + " "
                + state.causes()
                + "\n"
                + events.subList(Math.max(0, events.size() - 30), events.size());
    }
}
