package steamleaf.bench.campaign;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import steamleaf.app.config.Config;
import steamleaf.bench.BenchCommand;
import steamleaf.bench.BenchRun;
import steamleaf.bench.Hands;
import steamleaf.bench.Rig;
import steamleaf.core.alarm.AlarmEvent;
import steamleaf.core.alarm.AlarmStage;
import steamleaf.core.batch.Batch;
import steamleaf.core.cycle.CycleResult;
import steamleaf.core.interlock.Effect;
import steamleaf.core.interlock.GuardEvent;
import steamleaf.core.interlock.Rule;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.fault.FaultTimeline;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.text.Entry;

/**
 * What becomes of each fault, from runs: each breaks the stock line in the same batch, at the same
 * moment of its stage, and is compared with the same twenty minutes in which nothing broke.
 */
final class FaultSheet {
    private static final UnitId OVEN = UnitId.oven(1);
    private static final long SEED = 1;
    private static final String RECIPE = "standard";
    private static final double INTO_STAGE_S = 300;
    private static final double INTO_STEAM_S = 20;
    private static final double WATCHED_S = 1200;

    /** What the quiet twin told as well counts when it came sooner by this. */
    private static final double SOONER_S = 5;

    private static final double AT_ONCE_S = 1;
    private static final double LONGEST_S = 4 * 3600;
    private static final int CYCLES_PER_LOOK = 5;

    /** Times are rounded up to one of these, so that the page does not change with every tuning. */
    private static final double[] STEPS_S = {
        0.2, 0.5, 1, 2, 5, 10, 20, 40, 60, 120, 300, 600, 1200
    };

    /**
     * A row.
     *
     * @param stage where it happens
     * @param faults entries of a fault file; {@code at} counts from the moment of breaking
     * @param since times are counted from here: when the fault can show for the first time
     * @param otherwise what to say where no rule and no alarm answers
     */
    record Row(String what, Stage stage, List<String> faults, double since, String otherwise) {}

    /** What a run showed after the fault, and when; times in seconds since it could show. */
    record Seen(
            @Nullable Rule rule, double ruleS, String alarm, double alarmS, List<String> unsafe) {}

    /** Everything told in a window, in order, with the first time of each. */
    private record Told(
            Map<String, Double> rules,
            Map<String, Rule> byName,
            Map<String, Double> alarms,
            List<String> unsafe) {}

    private final Config config = BenchCommand.stock();
    private final Path scratch;
    private final Map<Stage, Told> quiet = new EnumMap<>(Stage.class);

    FaultSheet(Path scratch) {
        this.scratch = scratch;
    }

    /** The quiet twin of each stage must be known before rows are run side by side. */
    void begin() throws IOException {
        for (Stage stage : List.of(Stage.STEAMING, Stage.FIRST_DRYING)) {
            quiet.put(stage, told(stage, List.of(), scratch.resolve("quiet")));
        }
    }

    Seen run(Row row, int number) throws IOException {
        Told twin = quiet.get(row.stage());
        if (twin == null) {
            throw new IllegalStateException(row.stage() + " has no quiet twin");
        }
        Told told = told(row.stage(), row.faults(), scratch.resolve("row-" + number));
        Map.Entry<String, Double> rule = firstNew(told.rules(), twin.rules());
        Map.Entry<String, Double> alarm = firstNew(told.alarms(), twin.alarms());
        return new Seen(
                rule == null ? null : told.byName().get(rule.getKey()),
                rule == null ? Double.NaN : rule.getValue() - row.since(),
                alarm == null ? "" : alarm.getKey(),
                alarm == null ? Double.NaN : alarm.getValue() - row.since(),
                told.unsafe());
    }

    private static Map.@Nullable Entry<String, Double> firstNew(
            Map<String, Double> told, Map<String, Double> twin) {
        for (Map.Entry<String, Double> entry : told.entrySet()) {
            Double quietS = twin.get(entry.getKey());
            if (quietS == null || entry.getValue() < quietS - SOONER_S) {
                return entry;
            }
        }
        return null;
    }

    private Told told(Stage stage, List<String> faults, Path journal) throws IOException {
        BenchCommand.remove(journal);
        PlantSettings settings = PlantSettings.drawn(SEED);
        Told told =
                new Told(
                        new LinkedHashMap<>(),
                        new LinkedHashMap<>(),
                        new LinkedHashMap<>(),
                        new ArrayList<>());
        try (SimulatedLine line = SimulatedLine.open(settings, Board.stock(), SEED);
                Rig rig = Rig.alone(line, config, journal, "j-faults", BenchRun.BEGUN)) {
            Watch watch =
                    new Watch(line, Rig.CYCLE_S, config.guard().ovens().getFirst().airLimitC());
            Hands hands = new Hands(line.plant(), rig, Hands.Help.ALL, _ -> {});
            People people = new People(rig, hands, watch);
            rig.cycle();
            hands.beginDay();
            hands.runBatch(BenchRun.lot(settings), RECIPE, OVEN, BenchRun.chargeKg(settings));
            double enteredS = Double.NaN;
            double brokenS = Double.NaN;
            double afterS = stage == Stage.STEAMING ? INTO_STEAM_S : INTO_STAGE_S;
            for (long cycle = 2; !(rig.nowS() - brokenS > WATCHED_S); cycle++) {
                if (rig.nowS() > LONGEST_S) {
                    throw new IllegalStateException(stage + " was not reached");
                }
                rig.cycle();
                CycleResult result = rig.result();
                watch.look(result, rig.controller().failures());
                if (!Double.isNaN(brokenS)) {
                    note(result, rig.nowS() - brokenS, told);
                }
                if (cycle % CYCLES_PER_LOOK == 0) {
                    people.look();
                    Batch batch = rig.floor().batch(OVEN);
                    boolean there = batch != null && isThere(stage, batch);
                    enteredS = Double.isNaN(enteredS) && there ? rig.nowS() : enteredS;
                    if (Double.isNaN(brokenS) && rig.nowS() - enteredS >= afterS) {
                        brokenS = rig.nowS();
                        plan(line, faults);
                    }
                }
            }
            for (Finding finding : watch.findings()) {
                if (finding.check() != Check.PEOPLE_FAILED) {
                    told.unsafe().add(finding.unit() + ": " + finding.check().words());
                }
            }
            return told;
        } finally {
            BenchCommand.remove(journal);
        }
    }

    /** Steam is on, or leaf is being dried. */
    private static boolean isThere(Stage stage, Batch batch) {
        return stage == Stage.STEAMING
                ? batch.phase() instanceof steamleaf.core.batch.Phase.Feeding
                : Stage.of(batch) == stage;
    }

    /** Entries count from now; the line's own time is put before them. */
    private static void plan(SimulatedLine line, List<String> faults) {
        StringBuilder text = new StringBuilder();
        for (String fault : faults) {
            int comma = fault.indexOf(',');
            double atS = line.timeS() + Double.parseDouble(fault.substring(0, comma).strip());
            text.append(String.format(Locale.ROOT, "- {at: %.1f s", atS));
            text.append(fault.substring(comma)).append("}\n");
        }
        if (!text.isEmpty()) {
            line.faults()
                    .plan(FaultTimeline.parse("sheet", text.toString(), line.faults().catalogue()));
        }
    }

    private static void note(CycleResult result, double sinceS, Told told) {
        for (GuardEvent event : result.guardEvents()) {
            if (event instanceof GuardEvent.TookEffect(Rule rule, UnitId unit, boolean _)
                    && says(rule, sinceS)) {
                String name = unit.label() + " " + rule;
                told.rules().putIfAbsent(name, sinceS);
                told.byName().putIfAbsent(name, rule);
            }
        }
        for (AlarmEvent event : result.alarmEvents()) {
            if (event instanceof AlarmEvent.Changed changed
                    && changed.to() == AlarmStage.UNACKNOWLEDGED) {
                told.alarms().putIfAbsent(changed.alarm().label(), sinceS);
            }
        }
    }

    /** Heat that only waits, and a door that people open as they work, answer no fault. */
    private static boolean says(Rule rule, double sinceS) {
        return rule != Rule.HEAT_PAUSED_AIR_WARM
                && rule != Rule.ANOTHER_OVEN_WARMS_FIRST
                && (rule != Rule.DOOR_OPEN || sinceS < AT_ONCE_S);
    }

    // ---- the page

    /** The page's table, rows in the order given. */
    static String table(List<Row> rows, List<Seen> seen) {
        StringBuilder text = new StringBuilder();
        text.append(
                "| fault | while | verdict | rule, within | alarm, within | seen meanwhile |\n");
        text.append("| --- | --- | --- | --- | --- | --- |\n");
        for (int i = 0; i < rows.size(); i++) {
            Row row = rows.get(i);
            Seen s = seen.get(i);
            text.append("| ").append(row.what());
            text.append(" | ").append(row.stage() == Stage.STEAMING ? "steaming" : "drying");
            text.append(" | ").append(verdict(row, s));
            Rule rule = s.rule();
            text.append(" | ");
            if (rule != null) {
                text.append(rule.id()).append(" (").append(effect(rule.effect())).append("), ");
                text.append(within(s.ruleS()));
            }
            text.append(" | ");
            if (!s.alarm().isEmpty()) {
                text.append('`').append(s.alarm()).append("`, ").append(within(s.alarmS()));
            }
            text.append(" | ");
            text.append(String.join("; ", s.unsafe().stream().distinct().toList()));
            text.append(" |\n");
        }
        return text.toString();
    }

    private static String verdict(Row row, Seen s) {
        if (!s.unsafe().isEmpty()) {
            return "left to hard wiring: " + row.otherwise();
        }
        if (s.rule() != null && s.rule().effect() != Effect.ALARM_ONLY) {
            return "detected, effect taken";
        }
        return s.alarm().isEmpty() && s.rule() == null ? row.otherwise() : "detected, told";
    }

    private static String effect(Effect effect) {
        return switch (effect) {
            case CONTACTOR_OFF -> "contactor open";
            case FIRE -> "contactor open, fan off, evacuate";
            case STEAM_OFF -> "steam and belt off";
            case HEAT_OFF -> "heat off";
            case ALARM_ONLY -> "alarm only";
        };
    }

    private static String within(double s) {
        for (double step : STEPS_S) {
            if (s <= step + 1e-6) {
                String figure = step < 60 ? Entry.plain(step) + " s" : Entry.plain(step / 60);
                return step < 60 ? figure : figure + " min";
            }
        }
        return "more than 20 min";
    }
}
