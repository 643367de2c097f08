package steamleaf.monitor;

import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.Because;
import steamleaf.contract.Bodies;
import steamleaf.contract.Codec;
import steamleaf.contract.JournalRecord;
import steamleaf.contract.Kinds;
import steamleaf.contract.LearnedLive;
import steamleaf.contract.LineDescription;
import steamleaf.contract.RecipeDescription;
import steamleaf.contract.UnitLive;

/**
 * The invented site of the tests: a journal written by hand through the contract's records, and
 * live messages that fit it. The curves are smooth lines, not physics.
 */
public final class Ridge {
    public static final String SITE = "ridge-house";
    public static final String JOURNAL = "j-1";
    public static final String START = "s-1";

    /** 12 May 2026, 12:00 in the line's zone of the tests (UTC). */
    public static final Instant NOON = Instant.parse("2026-05-12T12:00:00Z");

    private final String journal;
    private final List<JournalRecord> records = new ArrayList<>();
    private Instant at = NOON;

    public Ridge(String journal) {
        this.journal = journal;
    }

    public static Ridge empty() {
        return new Ridge(JOURNAL);
    }

    public List<JournalRecord> records() {
        return List.copyOf(records);
    }

    public Instant at() {
        return at;
    }

    public Ridge skip(long seconds) {
        at = at.plusSeconds(seconds);
        return this;
    }

    public Ridge add(String kind, Object body) {
        records.add(
                new JournalRecord(
                        journal,
                        records.size() + 1L,
                        (records.size() + 1L) * 10,
                        at,
                        false,
                        kind,
                        Codec.tree(body)));
        return this;
    }

    public Ridge lot(String id, String label, double massKg) {
        return add(
                Kinds.LOT,
                new Bodies.Lot(
                        id,
                        "taken-in",
                        label,
                        "Heron slope",
                        "Morning Reed",
                        10,
                        "medium",
                        true,
                        at.minusSeconds(5_400),
                        massKg,
                        massKg,
                        26.5,
                        null,
                        null,
                        "Ines"));
    }

    public Ridge changed(
            String unit,
            String batch,
            String what,
            String state,
            @Nullable String operation,
            int step) {
        return changed(unit, batch, what, state, operation, step, null, null);
    }

    public Ridge changed(
            String unit,
            String batch,
            String what,
            String state,
            @Nullable String operation,
            int step,
            UnitLive.@Nullable Moisture moisture,
            @Nullable Double massKg) {
        boolean planned = what.equals("planned");
        return add(
                Kinds.CHANGED,
                new Bodies.Changed(
                        unit,
                        batch,
                        what,
                        state,
                        operation,
                        step,
                        "standard",
                        1,
                        planned ? List.of(new Bodies.Portion("lot-" + batch, 4.1)) : null,
                        massKg,
                        moisture,
                        null,
                        planned ? "Ines" : null));
    }

    public static UnitLive.Moisture moisture(double mean, double sd) {
        return new UnitLive.Moisture(mean, sd, mean + 2 * sd, 38.0, 0.055, 720.0, 120.0, 0.93);
    }

    /** Seconds of a batch in an oven, its moisture falling evenly from one value to another. */
    public Ridge seconds(
            String oven, String batch, int count, double from, double to, double airC) {
        for (int i = 0; i < count; i++) {
            double part = i / (double) count;
            double moisture = from + (to - from) * part;
            Map<String, Double> values = new LinkedHashMap<>();
            values.put("airC", airC + Math.sin(i / 60.0) * 0.6);
            values.put("exhaustC", airC - 18 + 12 * part);
            values.put("exhaustRh", 0.6 - 0.3 * part);
            values.put("scaleKg", 4.0 - 2.0 * part);
            values.put("setAirC", airC);
            values.put("heater", 0.55);
            values.put("damper", 0.7);
            values.put("fan", 1.0);
            values.put("moisture", moisture);
            values.put("moistureSd", 0.012);
            values.put("wettest", moisture + 0.02);
            values.put("leafC", 37.0);
            values.put("doorClosed", 1.0);
            values.put("airflow", 1.0);
            add(
                    Kinds.SECOND,
                    new Bodies.Second(
                            Map.of(
                                    oven,
                                    values,
                                    "line",
                                    Map.of("roomC", 24.0, "roomRh", 0.6, "pressureKPa", 95.4)),
                            Map.of(oven, batch)));
            at = at.plusSeconds(1);
        }
        return this;
    }

    /** A batch from its lot to the packing, {@code scale} seconds per recipe minute. */
    public Ridge finished(String batch, String oven, String label, int scale) {
        lot("lot-" + batch, label, 4.1);
        changed(oven, batch, "planned", "planned", null, 1);
        skip(60);
        changed("steamer", batch, "started", "running", "steam", 1);
        skip(240);
        changed(oven, batch, "operation", "running", "cool", 2);
        skip(300);
        changed(oven, batch, "operation", "running", "dry", 3, moisture(0.79, 0.012), 4.0);
        seconds(oven, batch, 90 * scale, 0.79, 0.50, 80);
        changed(oven, batch, "operation", "running", "roll", 4, moisture(0.50, 0.016), null);
        seconds(oven, batch, 15 * scale, 0.50, 0.49, 30);
        changed(oven, batch, "weighed", "running", "dry", 5, moisture(0.49, 0.012), 1.6);
        changed(oven, batch, "operation", "running", "dry", 5, moisture(0.49, 0.012), null);
        seconds(oven, batch, 30 * scale, 0.49, 0.30, 70);
        add(
                Kinds.ALARM,
                new Bodies.Alarm(
                        oven + ".airflow",
                        oven,
                        "airflow",
                        "normal",
                        "unacknowledged",
                        "high",
                        null,
                        Because.of("airflow-not-proven", oven)));
        add(
                Kinds.GUARD,
                new Bodies.Guard(
                        oven, "IL-07", "caused", true, Because.of("airflow-not-proven", oven)));
        seconds(oven, batch, 15 * scale, 0.30, 0.25, 70);
        add(
                Kinds.ALARM,
                new Bodies.Alarm(
                        oven + ".airflow",
                        oven,
                        "airflow",
                        "unacknowledged",
                        "acknowledged",
                        "high",
                        "Ines",
                        Because.of("airflow-not-proven", oven)));
        changed(oven, batch, "operation", "running", "shape", 6, moisture(0.25, 0.014), null);
        seconds(oven, batch, 20 * scale, 0.25, 0.245, 30);
        changed(oven, batch, "operation", "running", "dry", 7, moisture(0.245, 0.012), null);
        seconds(oven, batch, 40 * scale, 0.245, 0.13, 60);
        changed(oven, batch, "operation", "running", "rest", 8, moisture(0.13, 0.012), null);
        add(
                Kinds.SAMPLE,
                new Bodies.Sample(
                        "sample-" + batch,
                        oven,
                        batch,
                        "taken",
                        null,
                        null,
                        null,
                        null,
                        0.13,
                        0.012,
                        "Ines"));
        seconds(oven, batch, 30 * scale, 0.13, 0.132, 30);
        add(
                Kinds.SAMPLE,
                new Bodies.Sample(
                        "sample-" + batch,
                        oven,
                        batch,
                        "valued",
                        0.128,
                        0.004,
                        "oven",
                        "wet",
                        null,
                        null,
                        "Ines"));
        changed(oven, batch, "operation", "running", "dry", 9, moisture(0.132, 0.008), null);
        seconds(oven, batch, 40 * scale, 0.132, 0.053, 75);
        changed(oven, batch, "operation", "running", "cool", 10, moisture(0.053, 0.005), null);
        seconds(oven, batch, 20 * scale, 0.053, 0.052, 40);
        changed(oven, batch, "weighed", "running", "pack", 12, moisture(0.052, 0.004), 0.84);
        add(
                Kinds.LOT,
                new Bodies.Lot(
                        "packed-" + batch,
                        "packed",
                        "P-" + label,
                        null,
                        null,
                        null,
                        null,
                        null,
                        null,
                        0.84,
                        null,
                        null,
                        batch,
                        List.of(new Bodies.Portion("lot-" + batch, 4.1)),
                        "Ines"));
        changed(oven, batch, "completed", "idle", null, 12, moisture(0.052, 0.004), 0.84);
        return skip(600);
    }

    public static LineDescription description() {
        return new LineDescription(
                SITE,
                "Ridge House",
                START,
                NOON,
                "0.1.0",
                "c0ffee",
                List.of(
                        new LineDescription.UnitDescription(
                                "steamer", "steamer", null, null, false, 0.5),
                        new LineDescription.UnitDescription(
                                "oven-1", "oven", 130.0, 6_000.0, true, 6.0),
                        new LineDescription.UnitDescription(
                                "oven-2", "oven", 130.0, 6_000.0, true, 6.0),
                        new LineDescription.UnitDescription(
                                "oven-3", "oven", 130.0, 6_000.0, false, 6.0)),
                List.of("light", "standard", "deep"),
                true,
                8.0,
                16.0);
    }

    public static RecipeDescription recipe(String name) {
        return new RecipeDescription(
                name,
                1,
                0.055,
                List.of(
                        step("steam", null, null, null, null, 50.0),
                        step("cool", null, 34.0, null, null, null),
                        step("dry", 80.0, 38.0, 1.0, 0.50, null),
                        step("roll", null, null, null, null, 900.0),
                        step("dry", 70.0, 60.0, 0.75, 0.25, null),
                        step("shape", null, null, null, null, 1_200.0),
                        step("dry", 60.0, 60.0, 0.6, 0.13, null),
                        step("rest", null, null, null, null, 1_800.0),
                        step("dry", 75.0, 75.0, 0.3, 0.055, null),
                        step("cool", null, 35.0, null, null, null),
                        step("weigh", null, null, null, null, null),
                        step("pack", null, null, null, null, null)));
    }

    private static RecipeDescription.Step step(
            String operation,
            @Nullable Double airC,
            @Nullable Double leafMaxC,
            @Nullable Double damper,
            @Nullable Double until,
            @Nullable Double durationS) {
        return new RecipeDescription.Step(operation, airC, leafMaxC, damper, until, durationS);
    }

    private static UnitLive.Value good(double value) {
        return new UnitLive.Value(value, "good");
    }

    public static UnitLive idleOven(String name, long cycle, Instant at) {
        return new UnitLive(
                name,
                START,
                cycle,
                at,
                "idle",
                4,
                null,
                null,
                null,
                null,
                null,
                null,
                null,
                null,
                Map.of(
                        "airC", good(24.1),
                        "exhaustC", good(24.0),
                        "exhaustRh", good(0.58),
                        "doorClosed", good(1),
                        "airflow", good(0)),
                Map.of("heater", 0.0, "fan", 0.0, "damper", 0.0),
                null,
                null,
                null,
                List.of(),
                List.of(
                        new UnitLive.Permissive(
                                "permit-key-off", true, Because.of("permit-key-off", "line")),
                        new UnitLive.Permissive(
                                "emergency-stop", true, Because.of("emergency-stop", "line")),
                        new UnitLive.Permissive("door-open", false, Because.of("door-open", name)),
                        new UnitLive.Permissive(
                                "high-limit-open", true, Because.of("high-limit-open", name)),
                        new UnitLive.Permissive(
                                "press-start-at-machine",
                                false,
                                Because.of("press-start-at-machine", name))),
                null,
                null);
    }

    public static UnitLive drying(String name, String batch, long cycle, Instant at) {
        return new UnitLive(
                name,
                START,
                cycle,
                at,
                "running",
                4,
                "dry",
                "drying",
                9,
                12,
                1_340.0,
                batch,
                "standard",
                "40",
                Map.of(
                        "airC", good(75.2),
                        "exhaustC", good(61.3),
                        "exhaustRh", good(0.18),
                        "scaleKg", new UnitLive.Value(null, "stale"),
                        "doorClosed", good(1),
                        "airflow", good(1)),
                Map.of("heater", 0.42, "fan", 1.0, "damper", 0.3),
                75.0,
                new UnitLive.Moisture(0.081, 0.006, 0.09, 68.0, 0.055, 720.0, 150.0, 0.93),
                null,
                List.of(),
                List.of(
                        new UnitLive.Permissive(
                                "permit-key-off", true, Because.of("permit-key-off", "line"))),
                null,
                null);
    }

    /** Ready to roll: a person is asked to take the leaf out. */
    public static UnitLive prompting(String name, String batch, long cycle, Instant at) {
        UnitLive d = drying(name, batch, cycle, at);
        return new UnitLive(
                name,
                START,
                cycle,
                at,
                "running",
                4,
                "dry",
                "taking-out",
                3,
                12,
                5_640.0,
                batch,
                "standard",
                "41",
                d.readings(),
                d.outputs(),
                null,
                new UnitLive.Moisture(0.50, 0.016, 0.53, 36.5, 0.50, null, null, 0.71),
                new UnitLive.Prompt(
                        "p-7",
                        "take-out",
                        batch,
                        90,
                        false,
                        510.0,
                        Because.of("prompt.take-out", name.substring(5))),
                List.of(),
                d.permissives(),
                null,
                null);
    }

    /** The same oven with somebody waiting for it, with dried leaf outside, or zeroed. */
    public static UnitLive with(
            UnitLive d,
            UnitLive.@Nullable Finish finish,
            UnitLive.@Nullable Bench bench,
            UnitLive.@Nullable HotZero zero) {
        return with(d, finish, bench, zero, null);
    }

    /** The same with a foreseen end. */
    public static UnitLive with(
            UnitLive d,
            UnitLive.@Nullable Finish finish,
            UnitLive.@Nullable Bench bench,
            UnitLive.@Nullable HotZero zero,
            UnitLive.@Nullable Done done) {
        return new UnitLive(
                d.unit(),
                d.start(),
                d.cycle(),
                d.at(),
                d.state(),
                d.stateNumber(),
                d.operation(),
                d.phase(),
                d.stepNumber(),
                d.stepCount(),
                d.stepElapsedS(),
                d.batch(),
                d.recipe(),
                d.lots(),
                d.readings(),
                d.outputs(),
                d.setAirC(),
                d.moisture(),
                d.prompt(),
                d.causes(),
                d.permissives(),
                d.armed(),
                d.note(),
                finish,
                bench,
                zero,
                done);
    }

    /** Wanted in a hundred minutes, and nothing is known yet. */
    public static UnitLive.Finish looking(Instant at) {
        return new UnitLive.Finish(
                at.plusSeconds(6_000), false, false, null, null, null, null, null, List.of(), null);
    }

    /** Can be done in a hundred minutes; or, where it can't, a quarter of an hour later. */
    public static UnitLive.Finish finish(Instant at, boolean accepted, boolean possible) {
        Instant minute = at.plusSeconds(6_000).truncatedTo(ChronoUnit.MINUTES);
        Instant wanted = minute.minusMillis(600); // as it comes back from the line
        return new UnitLive.Finish(
                wanted,
                accepted,
                possible,
                possible ? wanted : wanted.plusSeconds(900),
                480.0,
                0.055,
                0.008,
                0.91,
                List.of(new UnitLive.Stage(7, 54.2, 0.6), new UnitLive.Stage(9, 65.0, 0.3)),
                Because.of(
                        possible ? "finish.reached" : "finish.reserve",
                        possible ? "100" : "115",
                        "8",
                        "5.5",
                        "0.8",
                        "91",
                        "54, 65"));
    }

    public static UnitLive line(long cycle, Instant at) {
        return new UnitLive(
                "line",
                START,
                cycle,
                at,
                "ready",
                4,
                null,
                null,
                null,
                null,
                null,
                null,
                null,
                null,
                Map.of("roomC", good(24.2), "roomRh", good(0.61), "pressureKPa", good(95.4)),
                Map.of("contactor", 1.0),
                null,
                null,
                null,
                List.of(),
                List.of(
                        new UnitLive.Permissive(
                                "permit-key-off", true, Because.of("permit-key-off", "line"))),
                null,
                null);
    }

    public static UnitLive steamer(long cycle, Instant at) {
        return new UnitLive(
                "steamer",
                START,
                cycle,
                at,
                "idle",
                4,
                null,
                null,
                null,
                null,
                null,
                null,
                null,
                null,
                Map.of(
                        "chestAC", good(24.3),
                        "chestBC", good(24.5),
                        "boilingC", good(98.3),
                        "beltMmPerS", good(0),
                        "hoodClosed", good(1)),
                Map.of("valve", 0.0, "belt", 0.0),
                null,
                null,
                null,
                List.of(),
                List.of(),
                null,
                null);
    }

    public static AlarmLive alarm(String unit, Instant since) {
        return new AlarmLive(
                unit + ".airflow",
                unit,
                "airflow",
                "unacknowledged",
                "high",
                300,
                40,
                since,
                null,
                Because.of("airflow-not-proven", unit));
    }

    private static final Map<String, String> LINE_ALARMS =
            Map.of(
                    "undervoltage", "medium",
                    "contactor-not-closing", "medium",
                    "pressure-sensor-bad", "medium",
                    "disk-full", "medium",
                    "room-sensor-bad", "low",
                    "clock-doubtful", "low",
                    "button-stuck", "low",
                    "room-warm", "low");

    private static final Map<String, String> STEAMER_ALARMS =
            Map.of(
                    "over-pressure", "high",
                    "chest-sensor-bad", "medium",
                    "chest-sensors-disagree", "medium",
                    "no-steam-available", "medium",
                    "extractor-not-proven", "medium",
                    "chest-above-boiling", "low");

    private static final Map<String, String> OVEN_ALARMS =
            Map.ofEntries(
                    Map.entry("airflow-not-proven", "high"),
                    Map.entry("air-sensor-bad", "high"),
                    Map.entry("high-limit-open", "high"),
                    Map.entry("no-heater-current", "medium"),
                    Map.entry("exhaust-sensor-bad", "medium"),
                    Map.entry("leaf-too-warm", "medium"),
                    Map.entry("held-too-long", "medium"),
                    Map.entry("nobody-answered", "medium"),
                    Map.entry("target-out-of-reach", "medium"),
                    Map.entry("door-open", "low"),
                    Map.entry("scale-bad", "low"),
                    Map.entry("moisture-unsure", "low"));

    private static final java.util.Set<String> TRIPS =
            java.util.Set.of(
                    "undervoltage",
                    "contactor-not-closing",
                    "over-pressure",
                    "chest-sensor-bad",
                    "chest-sensors-disagree",
                    "airflow-not-proven",
                    "air-sensor-bad",
                    "high-limit-open");

    /** Power is back: fifty alarms within a second, the low voltage first of all. */
    public static List<AlarmLive> storm(Instant since) {
        List<AlarmLive> storm = new ArrayList<>();
        storm.add(standing("line", "undervoltage", "medium", 99_999, 0, since));
        LINE_ALARMS.forEach((kind, priority) -> one(storm, "line", kind, priority, since));
        STEAMER_ALARMS.forEach((kind, priority) -> one(storm, "steamer", kind, priority, since));
        for (String oven : List.of("oven-1", "oven-2", "oven-3")) {
            OVEN_ALARMS.forEach((kind, priority) -> one(storm, oven, kind, priority, since));
        }
        return storm;
    }

    private static void one(
            List<AlarmLive> storm, String unit, String kind, String priority, Instant since) {
        if (!kind.equals("undervoltage")) {
            int n = storm.size();
            storm.add(standing(unit, kind, priority, 100_000 + n / 5, n, since));
        }
    }

    public static AlarmLive standing(
            String unit, String kind, String priority, long raised, int rank, Instant since) {
        return inState(
                "unacknowledged", unit, kind, priority, raised, rank, since, null, null, null);
    }

    public static AlarmLive inState(
            String state,
            String unit,
            String kind,
            String priority,
            long raised,
            int rank,
            Instant since,
            @Nullable String by,
            @Nullable String reason,
            @Nullable Instant until) {
        return new AlarmLive(
                unit + "." + kind,
                unit,
                kind,
                state,
                priority,
                600,
                raised,
                since,
                by,
                Because.of(kind, unit),
                raised,
                rank,
                TRIPS.contains(kind),
                reason,
                until);
    }

    /** The same alarm in another state. */
    public static AlarmLive as(AlarmLive alarm, String state, @Nullable String by) {
        return new AlarmLive(
                alarm.id(),
                alarm.unit(),
                alarm.definition(),
                state,
                alarm.priority(),
                alarm.respondS(),
                alarm.cycle() + 50,
                alarm.since(),
                by,
                alarm.what(),
                alarm.raised(),
                alarm.rank(),
                alarm.trip(),
                null,
                null);
    }

    /** Medium leaf: the rate is applied, the airflow not yet; tender leaf: two batches. */
    public static LearnedLive learned(String oven, Instant at) {
        LearnedLive.Part vague = new LearnedLive.Part(1.03, 0.14, "vague");
        LearnedLive.Part none = new LearnedLive.Part(null, null, "no-sample");
        return new LearnedLive(
                oven,
                at,
                List.of(
                        new LearnedLive.Grade(
                                "tender",
                                new LearnedLive.Trait(
                                        1.0, null, 0.5, 0, Because.of("learned.too-few", "0", "3")),
                                new LearnedLive.Trait(
                                        1.0,
                                        1.06,
                                        0.15,
                                        1,
                                        Because.of("learned.too-few", "1", "3")),
                                List.of(
                                        new LearnedLive.Lesson(
                                                "b-0",
                                                none,
                                                new LearnedLive.Part(1.06, 0.05, "counts")))),
                        new LearnedLive.Grade(
                                "medium",
                                new LearnedLive.Trait(
                                        0.748, 0.651, 0.391, 3, Because.of("learned.applied", "3")),
                                new LearnedLive.Trait(
                                        1.0, 1.02, 0.17, 4, Because.of("learned.scattered", "4")),
                                List.of(
                                        new LearnedLive.Lesson(
                                                "b-1",
                                                new LearnedLive.Part(0.62, 0.21, "counts"),
                                                vague),
                                        new LearnedLive.Lesson("b-2", none, vague)))));
    }
}
