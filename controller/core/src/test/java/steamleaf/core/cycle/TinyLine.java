package steamleaf.core.cycle;

import java.util.ArrayList;
import java.util.Collections;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;
import steamleaf.core.alarm.AlarmCondition;
import steamleaf.core.alarm.AlarmEvent;
import steamleaf.core.batch.Answer;
import steamleaf.core.batch.ArmedAction;
import steamleaf.core.batch.Basis;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.BatchSettings;
import steamleaf.core.batch.Button;
import steamleaf.core.batch.Command;
import steamleaf.core.batch.Event;
import steamleaf.core.batch.OvenSettings;
import steamleaf.core.batch.Place;
import steamleaf.core.batch.Portion;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Prompt;
import steamleaf.core.batch.PromptKind;
import steamleaf.core.batch.Ripeness;
import steamleaf.core.batch.Stamp;
import steamleaf.core.batch.SteamerSettings;
import steamleaf.core.batch.StockRecipes;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.ContactorPhase;
import steamleaf.core.interlock.GuardEvent;
import steamleaf.core.interlock.GuardSettings;
import steamleaf.core.interlock.OvenOutputs;
import steamleaf.core.reading.Channel;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Reading;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;
import steamleaf.core.science.Drying;
import steamleaf.core.science.Psychrometrics;

/**
 * The whole core on a line of a few equations: lumped ovens that heat up and dry leaf, a chest that
 * boils, contacts that follow, a watchdog relay that latches. It shares the lumped structure of the
 * estimate; whether that holds on a plant of another structure is asked where the simulator is.
 */
final class TinyLine {
    static final double CYCLE_S = 0.1;
    static final double ROOM_C = 22.0;
    static final double ROOM_RH = 0.6;
    static final double PRESSURE_KPA = 100.0;
    static final double BOILING_C = 99.6;
    static final UnitId OVEN_1 = UnitId.oven(1);

    /** One oven and its leaf. */
    static final class Oven {
        double airC = ROOM_C;
        double waterKg;
        double dryKg;
        double evaporationKgPerS;
        double humidity = 0.01;
        boolean open;
        double fanS;
        double hottestLeafC;
        double leafC = ROOM_C;

        double moisture() {
            return waterKg / (waterKg + dryKg);
        }
    }

    final LineSettings settings;
    final GuardSettings guardSettings;
    Line line;
    LineState state;
    CycleResult last;
    long cycle;
    final List<Oven> ovens = new ArrayList<>();
    double chestC = ROOM_C;
    boolean relayHolds;

    /** What the program around the cycle says: late, disk, clock, dampers. */
    boolean late;

    List<AlarmCondition> shell = List.of();
    private double sinceEdgeS = 9.0;
    private double edgesS;
    private double extractorS;
    final Set<Button> pressed = EnumSet.noneOf(Button.class);
    final Map<Channel, Reading> forced = new HashMap<>();
    final List<Event> events = new ArrayList<>();
    final List<GuardEvent> guardEvents = new ArrayList<>();
    final List<AlarmEvent> alarmEvents = new ArrayList<>();
    final List<String> unsafe = new ArrayList<>();
    private final List<Command> commands = new ArrayList<>();
    private long nextCommand;

    TinyLine(int count) {
        LoopSettings loop = new LoopSettings(0.04, 240.0, 15.0, 4.0, 0.2, 10.0);
        settings =
                new LineSettings(
                        new BatchSettings(
                                CYCLE_S,
                                Collections.nCopies(
                                        count,
                                        new OvenSettings(100.0, 6000.0, 200.0, 6.0, 6.0, true)),
                                new SteamerSettings(800.0, 40.0, 5.0),
                                StockRecipes.all(),
                                12.0,
                                20.0,
                                10.0,
                                5.0,
                                60.0,
                                3.0,
                                1200.0,
                                600.0),
                        Collections.nCopies(count, loop),
                        new LoopSettings(0.4, 30.0, 0.0, 4.0, 0.5, 60.0));
        guardSettings = GuardSettings.stock(count);
        line = new Line(settings, guardSettings);
        state = line.initial();
        last =
                new CycleResult(
                        state,
                        AllowedOutputs.off(count),
                        steamleaf.core.interlock.Annunciation.DARK,
                        List.of(),
                        List.of(),
                        List.of(),
                        List.of(),
                        false);
        for (int i = 0; i < count; i++) {
            ovens.add(new Oven());
        }
        run(5.0);
    }

    // ---- time

    void step() {
        cycle++;
        last =
                line.step(
                        state,
                        new CycleInput(
                                cycle, CYCLE_S, late, readings(), List.copyOf(commands), shell));
        commands.clear();
        state = last.state();
        events.addAll(last.events());
        guardEvents.addAll(last.guardEvents());
        alarmEvents.addAll(last.alarmEvents());
        plant(last.outputs());
        each.run();
    }

    Runnable each = () -> {};

    void run(double seconds) {
        for (long i = Math.round(seconds / CYCLE_S); i > 0; i--) {
            step();
        }
    }

    void runUntil(String what, double withinS, BooleanSupplier holds) {
        for (long i = Math.round(withinS / CYCLE_S); i > 0; i--) {
            if (holds.getAsBoolean()) {
                return;
            }
            step();
        }
        throw new AssertionError(what + " did not come within " + withinS + " s\n" + story());
    }

    String story() {
        StringBuilder story = new StringBuilder();
        events.forEach(event -> story.append("  ").append(event).append('\n'));
        guardEvents.forEach(event -> story.append("  ").append(event).append('\n'));
        story.append(state.guard().causes()).append('\n');
        state.floor().slots().forEach(slot -> story.append("  ").append(slot).append('\n'));
        ovens.forEach(
                oven ->
                        story.append(
                                "  air %.1f leaf %.1f moisture %.4f\n"
                                        .formatted(oven.airC, oven.leafC, oven.moisture())));
        return story.toString();
    }

    // ---- plant

    private void plant(AllowedOutputs out) {
        sinceEdgeS = out.pulse() ? 0.0 : sinceEdgeS + CYCLE_S;
        edgesS = out.pulse() ? edgesS + CYCLE_S : 0.0;
        boolean reset = pressed.contains(Button.RESET);
        relayHolds = (relayHolds || (edgesS >= 2.0 && reset)) && sinceEdgeS <= 1.0;
        boolean powered = relayHolds && out.contactor();
        for (int i = 0; i < ovens.size(); i++) {
            oven(ovens.get(i), out.ovens().get(i), powered);
        }
        boolean steam = powered && out.steamValve() && out.secondSteamValve();
        chestC += CYCLE_S * ((steam ? (115.0 - chestC) / 25.0 : 0.0) - (chestC - ROOM_C) / 400.0);
        chestC = Math.min(chestC, BOILING_C);
        extractorS = out.extractor() ? extractorS + CYCLE_S : 0.0;
    }

    private void oven(Oven oven, OvenOutputs out, boolean powered) {
        if (out.heater() && powered && oven.open) {
            unsafe.add("heat into an open door at cycle " + cycle);
        }
        oven.fanS = out.fan() ? oven.fanS + CYCLE_S : 0.0;
        double heatW = out.heater() && powered ? 6000.0 : 0.0;
        double flow = 200.0 * 1.15 / 3600.0 * (out.fan() ? Math.max(0.03, out.damper()) : 0.01);
        double exchange = flow + (oven.open ? 0.3 : 0.0);
        double lossW = (10.0 + exchange * 1010.0) * (oven.airC - ROOM_C);
        oven.airC += CYCLE_S * (heatW - lossW - oven.evaporationKgPerS * 2.45e6) / 30_000.0;
        double in =
                Psychrometrics.humidityRatioOfVapourPressure(
                        ROOM_RH * Psychrometrics.saturationPressureKPa(ROOM_C), PRESSURE_KPA);
        double goal = in + oven.evaporationKgPerS / exchange;
        oven.humidity += Math.min(1.0, CYCLE_S / 10.0) * (goal - oven.humidity);
        leaf(oven, out.fan());
    }

    private static void leaf(Oven oven, boolean fan) {
        if (oven.dryKg == 0.0) {
            oven.evaporationKgPerS = 0.0;
            return;
        }
        double wetBulbC = Psychrometrics.wetBulbC(oven.airC, oven.humidity, PRESSURE_KPA);
        double vapour = Psychrometrics.saturationPressureKPa(wetBulbC);
        double full = Psychrometrics.humidityRatioOfVapourPressure(vapour, PRESSURE_KPA);
        double limit = (fan ? 0.025 : 0.006) * oven.dryKg * Math.max(1e-4, full - oven.humidity);
        double k =
                Drying.rateConstantPerS(
                        Drying.REFERENCE_RATE_PER_S, Drying.ACTIVATION_KJ_PER_MOL, oven.leafC);
        double demand = k * (oven.waterKg - 0.03 * oven.dryKg);
        double rate = Math.min(demand, limit);
        oven.evaporationKgPerS = rate;
        double goalC = wetBulbC + (1.0 - Math.max(0.0, rate) / limit) * (oven.airC - wetBulbC);
        oven.leafC += CYCLE_S / 20.0 * (goalC - oven.leafC);
        oven.hottestLeafC = Math.max(oven.hottestLeafC, oven.leafC);
        oven.waterKg -= rate * CYCLE_S;
    }

    Readings readings() {
        Readings.Collector c = new Readings.Collector(ovens.size());
        for (Quantity q : Quantity.values()) {
            switch (q.of()) {
                case LINE -> put(c, UnitId.LINE, q);
                case STEAMER -> put(c, UnitId.STEAMER, q);
                case OVEN -> {
                    for (int n = 1; n <= ovens.size(); n++) {
                        put(c, UnitId.oven(n), q);
                    }
                }
            }
        }
        return c.build();
    }

    private void put(Readings.Collector c, UnitId unit, Quantity q) {
        Reading reading = forced.get(new Channel(unit, q));
        if (reading == null) {
            c.set(unit, q, sensed(unit, q), Quality.GOOD);
        } else {
            c.set(unit, q, reading.value(), reading.quality());
        }
    }

    private double sensed(UnitId unit, Quantity q) {
        Oven oven = unit.isOven() ? ovens.get(unit.number() - 1) : null;
        AllowedOutputs out = last.outputs();
        boolean contactor = out.contactor() && relayHolds;
        double wobble = 0.02 * ((cycle * 7919) % 11 - 5);
        return switch (q) {
            case EMERGENCY_STOP_HEALTHY, PERMIT_KEY_ON, SUPPLY_HEALTHY, SMOKE_HEALTHY -> 1;
            case HOOD_CLOSED, HOOD_LOCKED, STEAM_AVAILABLE, OVER_PRESSURE_HEALTHY -> 1;
            case HIGH_LIMIT_HEALTHY -> 1;
            case START_BUTTON -> bit(pressed.contains(Button.START));
            case CONFIRM_BUTTON -> bit(pressed.contains(Button.CONFIRM));
            case SILENCE_BUTTON -> bit(pressed.contains(Button.SILENCE));
            case RESET_BUTTON -> bit(pressed.contains(Button.RESET));
            case CONTACTOR_CLOSED -> bit(contactor);
            case ROOM_C -> ROOM_C;
            case ROOM_RH -> ROOM_RH;
            case ROOM_PRESSURE_KPA -> PRESSURE_KPA;
            case CHEST_A_C -> chestC + wobble;
            case CHEST_B_C -> chestC + 0.2 - wobble;
            case BELT_MM_PER_S -> out.beltRun() ? 40.0 * out.beltSpeed() : 0.0;
            case EXTRACTOR_PROVEN -> bit(extractorS >= 2.0);
            case AIR_C -> known(oven).airC + wobble;
            case EXHAUST_C -> exhaustC(known(oven)) - wobble;
            case EXHAUST_RH -> exhaustRh(known(oven)) + 0.001 * wobble;
            case SCALE_KG -> 6.0 + known(oven).waterKg + known(oven).dryKg + 0.01 * wobble;
            case DOOR_CLOSED -> bit(!known(oven).open);
            case AIRFLOW_PROVEN -> bit(known(oven).fanS >= 2.0);
            case HEATER_CURRENT -> bit(out.ovens().get(unit.number() - 1).heater() && contactor);
        };
    }

    private static Oven known(@Nullable Oven oven) {
        return java.util.Objects.requireNonNull(oven);
    }

    private static double exhaustC(Oven oven) {
        return oven.airC - oven.evaporationKgPerS * 2.45e6 / (0.5 * 1010.0);
    }

    private static double exhaustRh(Oven oven) {
        return Psychrometrics.vapourPressureKPa(oven.humidity, PRESSURE_KPA)
                / Psychrometrics.saturationPressureKPa(exhaustC(oven));
    }

    private static double bit(boolean on) {
        return on ? 1.0 : 0.0;
    }

    // ---- people

    Stamp stamp(@Nullable ProcedureState seen) {
        return new Stamp("c" + nextCommand++, "Aki", false, cycle, seen);
    }

    Answer tell(Command command) {
        commands.add(command);
        step();
        return last.answers().getLast();
    }

    Answer.Moved moved(Answer answer) {
        if (answer instanceof Answer.Moved moved) {
            return moved;
        }
        throw new AssertionError("expected to be moved: " + answer + "\n" + story());
    }

    void press(Button button) {
        pressed.add(button);
        run(0.3);
        pressed.remove(button);
        run(0.3);
    }

    /** From leaf to the press of start; the relay is picked up with reset when the guard asks. */
    void start(UnitId oven, String recipe, double massKg) {
        String lot =
                moved(
                                tell(
                                        new Command.TakeInLot(
                                                stamp(null),
                                                "Lower terrace",
                                                "field-7",
                                                "Green",
                                                0,
                                                Ripeness.MEDIUM,
                                                false,
                                                2.0,
                                                massKg,
                                                24.0)))
                        .subject();
        moved(
                tell(
                        new Command.PlanBatch(
                                stamp(ProcedureState.IDLE),
                                oven,
                                recipe,
                                List.of(new Portion(lot, massKg)),
                                null)));
        moved(tell(new Command.Arm(stamp(ProcedureState.PLANNED), oven, ArmedAction.START)));
        press(Button.START);
        pickUpRelay();
    }

    void pickUpRelay() {
        if (state.guard().contactor() == ContactorPhase.CLOSED) {
            return;
        }
        runUntil(
                "the relay's test",
                30.0,
                () -> state.guard().contactor() == ContactorPhase.AWAITING_RESET);
        press(Button.RESET);
        runUntil("the contactor", 5.0, () -> state.guard().contactor() == ContactorPhase.CLOSED);
    }

    Batch batch(UnitId oven) {
        Batch batch = state.floor().batch(oven);
        if (batch == null) {
            throw new AssertionError("no batch in " + oven.label() + "\n" + story());
        }
        return batch;
    }

    /** Does the first thing that is asked of this oven; the leaf moves with the hands. */
    void serve(UnitId unit) {
        Batch batch = state.floor().batch(unit);
        if (batch == null || batch.prompts().isEmpty()) {
            return;
        }
        Oven oven = ovens.get(unit.number() - 1);
        Prompt prompt = batch.prompts().getFirst();
        switch (prompt.kind()) {
            case STEAM_READY, FEED, PRESS_CONFIRM -> {
                run(90.0);
                press(Button.CONFIRM);
            }
            case COOL_AND_LOAD -> {
                run(240.0);
                oven.open = true;
                run(40.0);
                oven.dryKg = 0.8;
                oven.waterKg = 3.2;
                oven.leafC = 30.0;
                oven.open = false;
                run(2.0);
                moved(answer(prompt, 4.0));
                press(Button.CONFIRM);
            }
            case PUT_BACK -> {
                oven.open = true;
                run(30.0);
                oven.dryKg = outDryKg;
                oven.waterKg = outWaterKg;
                oven.leafC = ROOM_C;
                oven.open = false;
                run(2.0);
                moved(answer(prompt, outDryKg + outWaterKg));
                press(Button.CONFIRM);
            }
            case TURN -> {
                oven.open = true;
                run(40.0);
                oven.open = false;
                run(2.0);
                press(Button.CONFIRM);
            }
            case TAKE_OUT -> {
                oven.open = true;
                run(20.0);
                outDryKg = oven.dryKg;
                outWaterKg = oven.waterKg;
                oven.dryKg = 0.0;
                oven.waterKg = 0.0;
                oven.open = false;
                run(1.0);
                press(Button.CONFIRM);
            }
            case HAND_SAMPLE -> {
                String sample = moved(tell(new Command.SampleTaken(stamp(null), unit))).subject();
                double moisture =
                        prompt.leafOutside()
                                ? outWaterKg / (outWaterKg + outDryKg)
                                : oven.moisture();
                run(300.0);
                moved(
                        tell(
                                new Command.SampleValue(
                                        stamp(null), sample, moisture, Basis.WET, "oven", 0.005)));
            }
            case WEIGH, PACK -> moved(answer(prompt, oven.dryKg + oven.waterKg));
            case PRESS_RESET -> press(Button.RESET);
            case TAKE_OUT_AND_SPREAD, RESUME_OR_ABORT -> run(1.0);
        }
    }

    private double outDryKg;
    private double outWaterKg;

    Answer answer(Prompt prompt, @Nullable Double massKg) {
        return tell(new Command.AnswerPrompt(stamp(null), prompt.id(), massKg));
    }

    boolean asks(UnitId oven, PromptKind kind) {
        Batch batch = state.floor().batch(oven);
        return batch != null && batch.prompt(kind) != null;
    }

    void runWithHands(UnitId oven, double withinS, BooleanSupplier enough) {
        long end = cycle + Math.round(withinS / CYCLE_S);
        while (cycle < end && !enough.getAsBoolean()) {
            serve(oven);
            step();
        }
        if (!enough.getAsBoolean()) {
            throw new AssertionError("not within " + withinS + " s\n" + story());
        }
    }

    boolean isInOven(UnitId oven) {
        Batch batch = state.floor().batch(oven);
        return batch != null && batch.charge().place() == Place.OVEN;
    }
}
